"""How much one injection site takes in one go, other sites that would take it, and splitting."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from typing import Final

from kiosk.core.apparatus.bodies import of_age
from kiosk.core.apparatus.needle_need import NeedleNeed, needed_needle, needs_needle
from kiosk.core.catalogue.device_tables import DeviceTables, VolumeLimit
from kiosk.core.catalogue.people import Patient
from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.dose.order import Order
from kiosk.core.dose.split import parts_needed
from kiosk.core.findings import Fact, Finding, Level, Refusal
from kiosk.core.units import Measure

SITES: Final[dict[Route, tuple[Site, ...]]] = {
    Route.INTRAMUSCULAR: (Site.VENTROGLUTEAL, Site.VASTUS_LATERALIS, Site.DELTOID),
    Route.SUBCUTANEOUS: (Site.ABDOMEN, Site.THIGH, Site.UPPER_OUTER_ARM),
    Route.INTRADERMAL: (Site.FOREARM,),
}
"""Sites that may be proposed instead; dorsogluteal never is (sciatic nerve, missed muscle)."""

MOST_PARTS: Final = 4
"""More injections than this for one dose are not proposed (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Split:
    """The same volume in ``parts`` equal shares of ``each``, at as many places."""

    parts: int
    each: Measure


def limit_of(
    patient: Patient, route: Route, site: Site | None, on: date, tables: DeviceTables
) -> VolumeLimit | None:
    """Return the limit for this site and age; a row for the very site goes before one for the route."""
    fits = [row for row in tables.volume_limits if row.route == route and of_age(row.ages, patient.born, on)]
    own = [row for row in fits if row.site == site and site is not None]
    common = [row for row in fits if row.site is None]
    return next(iter(own or common), None)


def volume_at_site(order: Order, volume: Measure, on: date, tables: DeviceTables) -> tuple[Finding, ...]:
    """Say whether the volume is more than this site usually takes, or than it ever takes."""
    if not needs_needle(order):
        return ()
    limit = limit_of(order.patient, order.route, order.site, on, tables)
    site: Fact = order.site.value if order.site else ""
    if limit is None:
        return (Finding("no_volume_limit_known", Level.CAUTION, {"site": site, "volume": volume}),)
    facts: dict[str, Fact] = {"volume": volume, "site": site, "usual": limit.usual, "most": limit.most}
    if volume > limit.most:
        ways_out = _ways_out(order, volume, on, tables)
        return (Finding("too_much_for_site", Level.STOP, facts | ways_out, limit.basis.said),)
    if volume > limit.usual:
        return (Finding("over_usual_for_site", Level.CAUTION, facts, limit.basis.said),)
    return ()


def _ways_out(order: Order, volume: Measure, on: date, tables: DeviceTables) -> dict[str, Fact]:
    """Return the other sites that take the volume, and the equal shares that this one takes."""
    others = tuple(site.value for site in other_sites(order, volume, on, tables))
    shares = tuple(split.each for split in splits(order, volume, on, tables))
    return {"others": others or "no_other_site", "each": shares or "no_share"}


def other_sites(order: Order, volume: Measure, on: date, tables: DeviceTables) -> tuple[Site, ...]:
    """Return the other sites that take the volume without a word, and for which a needle guide exists."""
    return tuple(
        site
        for site in SITES.get(order.route, ())
        if site != order.site and _takes(order, site, volume, on, tables)
    )


def _takes(order: Order, site: Site, volume: Measure, on: date, tables: DeviceTables) -> bool:
    """Say whether a site takes the volume as usual and the guides know a needle for it."""
    limit = limit_of(order.patient, order.route, site, on, tables)
    moved = replace(order, site=site)
    return (
        limit is not None
        and volume <= limit.usual
        and isinstance(needed_needle(moved, on, tables), NeedleNeed)
    )


def split(order: Order, volume: Measure, on: date, tables: DeviceTables) -> Split | Refusal:
    """Return the fewest equal shares that each stay within what the site usually takes.

    Codes: ``no_volume_limit_known``, ``no_split`` (more than ``MOST_PARTS`` shares).
    """
    limit = limit_of(order.patient, order.route, order.site, on, tables)
    facts: dict[str, Fact] = {"volume": volume, "site": order.site.value if order.site else ""}
    if limit is None:
        return Refusal("no_volume_limit_known", facts)
    share = volume.ratio(limit.usual)
    parts = max(1, -(-share.numerator // share.denominator))
    if parts > MOST_PARTS:
        return Refusal("no_split", facts | {"usual": limit.usual})
    return Split(parts, volume.scaled(Fraction(1, parts)))


def splits(order: Order, volume: Measure, on: date, tables: DeviceTables) -> tuple[Split, ...]:
    """Return the ways to share a volume out that is too much for the site in one go, fewest parts first.

    The fewest equal shares that the site takes at the most, where the whole is more than that; and the
    fewest that it takes as usual. Nothing where the whole is usual, or ``MOST_PARTS`` are too few.
    """
    limit = limit_of(order.patient, order.route, order.site, on, tables)
    if limit is None or volume <= limit.usual:
        return ()
    bounds = (limit.most, limit.usual) if volume > limit.most else (limit.usual,)
    counts = dict.fromkeys(parts_needed(volume, bound) for bound in bounds)
    return tuple(Split(n, volume.scaled(Fraction(1, n))) for n in counts if 1 < n <= MOST_PARTS)
