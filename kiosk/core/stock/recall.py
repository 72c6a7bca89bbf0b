"""A recall: which containers to set aside, and which syringes and patients the lot has touched."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from kiosk.core.catalogue.container import Container
from kiosk.core.stock.expiry import is_opened


@dataclass(frozen=True, slots=True)
class Recall:
    """What is recalled: certain lots of a product, by its trade item number; all where ``lots`` is empty."""

    gtin: str
    lots: frozenset[str]
    at: datetime
    by: str
    reason: str

    def means(self, gtin: str, lot: str) -> bool:
        """Say whether a product and lot are among what is recalled."""
        return gtin == self.gtin and (not self.lots or lot in self.lots)


@dataclass(frozen=True, slots=True)
class Use:
    """One container's part in one syringe, as the record has it; ``outcome`` is empty until it has ended."""

    preparation: str
    patient: str
    container: str
    gtin: str
    lot: str
    at: datetime
    outcome: str = ""


@dataclass(frozen=True, slots=True)
class Touched:
    """What a recall reaches: sealed stock, opened vials, syringes not finished yet, syringes given out.

    ``patients`` are the ids of those for whom a syringe was finished, each once, in order of time.
    """

    sealed: tuple[Container, ...]
    opened: tuple[Container, ...]
    unfinished: tuple[Use, ...]
    finished: tuple[Use, ...]
    patients: tuple[str, ...]


def touched(recall: Recall, containers: Iterable[Container], uses: Iterable[Use]) -> Touched:
    """Return everything a recall reaches; uses oldest first. A discarded syringe reached nobody."""
    stock = [c for c in containers if recall.means(c.product.gtin, c.lot)]
    mine = sorted(
        (use for use in uses if recall.means(use.gtin, use.lot)), key=lambda use: (use.at, use.preparation)
    )
    finished = tuple(use for use in mine if use.outcome == "finished")
    return Touched(
        sealed=tuple(c for c in stock if not is_opened(c)),
        opened=tuple(c for c in stock if is_opened(c)),
        unfinished=tuple(use for use in mine if not use.outcome),
        finished=finished,
        patients=tuple(dict.fromkeys(use.patient for use in finished)),
    )


def quarantined(recall: Recall, containers: Iterable[Container]) -> tuple[Container, ...]:
    """Return the containers a recall sets aside, marked so that every check refuses them."""
    return tuple(replace(c, recalled=True) for c in containers if recall.means(c.product.gtin, c.lot))
