"""The readers that a description's parts share: measures of a kind, words of the trade, what is not said.

Where the core's types need a value that nobody stated, a stand-in is used and the field's path is noted in
``unsaid``: no check that would judge the stand-in is run, and no choice that needs it is made.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from enum import StrEnum
from typing import Any, Final, TypeVar

from kiosk.core.catalogue.check_tables import AllergyName
from kiosk.core.checks.order_checks_allergy import groups_of
from kiosk.core.units import Measure, same_kind
from kiosk.feeds.worksheet_figures import Figures
from kiosk.feeds.worksheet_given import FactName, Given
from kiosk.feeds.worksheet_read import BadInput
from kiosk.feeds.worksheet_readers import READERS
from kiosk.feeds.worksheet_shapes import body_mass

Word = TypeVar("Word", bound=StrEnum)

AMOUNTS: Final = ("mg", "units", "mmol", "mEq")


@dataclass(frozen=True, slots=True)
class AllergyClasses:
    """The classes of the allergy tables: how each is ``written``, and the ``ids`` that the rows know."""

    written: tuple[AllergyName, ...] = ()
    ids: frozenset[str] = frozenset()

    def of(self, text: str) -> frozenset[str]:
        """Return the classes a text names, by id or in the words of the table."""
        return groups_of(text, self.written) & self.ids | ({text} & self.ids)


@dataclass(slots=True)
class Builder:
    """Reads one description at one moment. ``unsaid`` are paths with a stand-in, ``missing`` those wanted."""

    figures: Figures
    now: datetime
    allergies: AllergyClasses = AllergyClasses()
    unsaid: set[str] = field(default_factory=set)
    missing: list[str] = field(default_factory=list)

    def measure(self, node: Any, path: str, like: Iterable[str], default: str = "") -> Measure | None:
        """Return a measure above zero of one of the kinds of ``like``; None when it is not said."""
        if node is None:
            return None
        found = body_mass(self.figures.measure(node, path, default))
        if not any(same_kind(found.unit, kind) for kind in like):
            raise BadInput(f"{path}.unit", "unit_of_another_kind", unit=found.unit)
        return found

    def word(self, text: str | None, kinds: type[Word], path: str) -> Word | None:
        """Return a word of the trade, or None when it is not said."""
        if text is None:
            return None
        wanted = " ".join(text.casefold().split())
        for word in kinds:
            if word.value == wanted:
                return word
        raise BadInput(path, "unknown_word", text=text[:40], known=tuple(word.value for word in kinds))

    def decimal(self, node: Any, path: str) -> Decimal | None:
        """Return a number above zero as a Decimal, or None when it is not said."""
        if node is None:
            return None
        value = self.figures.positive(node, path)
        return Decimal(value.numerator) / Decimal(value.denominator)

    def body(self, node: Any, path: str, kind: str) -> Measure | None:
        """Return a weight or height, or the sum of its parts; None when it is not said."""
        if node is None:
            return None
        found = Given()
        READERS[kind](self.figures, FactName(kind, kind, kind, "", ""), node, path, found)
        return found.said[0].value
