"""Until when the syringe may be used: the earliest of several limits, each with its source.

The limits: the packs' own last day; the in-use time of an opened multi-dose vial; how long the made-up or
drawn-up drug is stable; and the immediate-use limit for what is prepared outside a clean room. Source of
the rule: common practice, no source; sources of the limits stand beside each.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Final

from kiosk.core.catalogue.container import Container, Form
from kiosk.core.catalogue.strength import MakeUp, Powder
from kiosk.core.stock.moments import earliest, end_of, plus
from kiosk.core.units import Measure

PACK: Final = "pack_limit"
IN_USE: Final = "in_use_limit"
MADE_UP: Final = "made_up_limit"
IN_SYRINGE: Final = "in_syringe_limit"
IMMEDIATE_USE: Final = "immediate_use_limit"
SITE: Final = "site_limit"
ON_THE_PACK: Final = "stated on the pack"


@dataclass(frozen=True, slots=True)
class ImmediateUse:
    """One published answer to how long a syringe prepared outside a clean room may wait.

    ``within`` counts from the start of preparation. ``chosen`` marks the kiosk's default.
    """

    id: str
    within: Measure
    chosen: bool
    source: str


@dataclass(frozen=True, slots=True)
class Limit:
    """One reason to discard at a moment: ``name`` is a words key under ``name``."""

    name: str
    at: datetime
    source: str


@dataclass(frozen=True, slots=True)
class DiscardAfter:
    """The moment from which the syringe must not be used; ``limits`` earliest first, the first governs."""

    limits: tuple[Limit, ...]

    @property
    def governing(self) -> Limit:
        """The limit that comes first."""
        return self.limits[0]

    @property
    def at(self) -> datetime:
        """The moment itself."""
        return self.limits[0].at


def chosen_limit(published: Iterable[ImmediateUse], site_choice: str = "") -> ImmediateUse:
    """Return the immediate-use limit in force: the default, or a stricter published one the site names.

    Raises ``ValueError`` for an unknown choice or one that is longer than the default.
    """
    rows = {row.id: row for row in published}
    (default,) = (row for row in rows.values() if row.chosen)
    if not site_choice:
        return default
    if site_choice not in rows or rows[site_choice].within > default.within:
        raise ValueError(f"a site may only choose a stricter limit than {default.id}: {site_choice!r}")
    return rows[site_choice]


def discard_after(
    containers: Sequence[Container],
    route: str,
    started: datetime,
    drawn: datetime,
    immediate: ImmediateUse,
    site_limit: Measure | None = None,
) -> DiscardAfter:
    """Return when a syringe drawn from ``containers`` must be discarded, and why.

    ``started`` is when preparation began and ``drawn`` when the plunger was read, both aware and in the
    counter's zone, in which the limits are answered. A
    ``site_limit`` counts from ``started``; it can only shorten, since the earliest limit governs.
    """
    limits = [Limit(IMMEDIATE_USE, plus(started, immediate.within), immediate.source)]
    if site_limit is not None:
        limits.append(Limit(SITE, plus(started, site_limit), "this site's policy"))
    for container in containers:
        limits.extend(_of_container(container, route, started, drawn))
    return DiscardAfter(tuple(sorted(limits, key=lambda limit: (limit.at.astimezone(UTC), limit.name))))


def _of_container(container: Container, route: str, started: datetime, drawn: datetime) -> Iterator[Limit]:
    """Yield what one container says about how long its drug may be used."""
    product = container.product
    yield Limit(PACK, end_of(container.expiry, drawn), ON_THE_PACK)
    if container.discard_after is not None:
        yield Limit(IN_USE, container.discard_after.astimezone(drawn.tzinfo), "in-use label of the vial")
    elif product.form is Form.MULTI_DOSE_VIAL and product.in_use is not None:
        yield Limit(IN_USE, plus(drawn, product.in_use), ON_THE_PACK)
    if product.stable_in_syringe is not None:
        yield Limit(IN_SYRINGE, plus(drawn, product.stable_in_syringe), ON_THE_PACK)
    spans = [plus(started, m.usable_for) for m in _ways_made_up(container, route) if m.usable_for is not None]
    if spans:
        yield Limit(MADE_UP, earliest(*spans), ON_THE_PACK)


def _ways_made_up(container: Container, route: str) -> tuple[MakeUp, ...]:
    """Return the label line a powder was made up by; every line for this route where none is on record."""
    strength = container.product.strength
    if container.made_up is not None or not isinstance(strength, Powder):
        return (container.made_up,) if container.made_up is not None else ()
    return tuple(line for line in strength.make_ups if not line.routes or route in line.routes)
