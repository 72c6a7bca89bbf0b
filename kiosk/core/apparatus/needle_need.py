"""Which gauges and lengths the published guides allow for this patient, route, site and liquid."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from kiosk.core.apparatus.bodies import of_age, of_weight, weight_of
from kiosk.core.apparatus.liquid import liquid_of
from kiosk.core.catalogue.device_policy import DevicePolicy
from kiosk.core.catalogue.device_tables import DeviceTables, GaugeForLiquid, LengthClass, Liquid, NeedleGuide
from kiosk.core.catalogue.people import Patient
from kiosk.core.catalogue.routes import Route
from kiosk.core.dose.order import Order
from kiosk.core.findings import Fact, Refusal
from kiosk.core.units import Measure

NEEDLE_ROUTES = frozenset({Route.INTRAMUSCULAR, Route.SUBCUTANEOUS, Route.INTRADERMAL})
GENERAL = "general"


@dataclass(frozen=True, slots=True)
class NeedleNeed:
    """What a needle must be: lengths in mm as packs label them, gauge numbers (a smaller number is thicker).

    ``guides`` are the ids of the rows it follows from.
    """

    shortest: Measure
    longest: Measure
    usual: Measure
    thickest: int
    finest: int
    usual_gauge: int
    angle_degrees: int
    liquid: Liquid
    guides: frozenset[str]
    source: str


def needs_needle(order: Order) -> bool:
    """Say whether this route takes a needle at all: into a cannula or by mouth none may be offered."""
    return order.route in NEEDLE_ROUTES


def needed_needle(
    order: Order, on: date, tables: DeviceTables, policy: DevicePolicy | None = None
) -> NeedleNeed | Refusal:
    """Return what the guides ask of a needle, or why they cannot say.

    Codes: ``no_needle_for_route``, ``site_needed``, ``weight_needed``, ``sex_needed``, ``no_needle_guide``.
    """
    rules = policy or tables.policy
    if not needs_needle(order):
        return Refusal("no_needle_for_route", {"route": order.route.value})
    if order.site is None:
        return Refusal("site_needed", {"route": order.route.value})
    facts: dict[str, Fact] = {"site": order.site.value, "route": order.route.value}
    liquid = liquid_of(order.drug, rules)
    candidates = [g for g in _for_site(order, on, tables, rules) if g.liquid in (None, liquid)]
    if not candidates:
        return Refusal("no_needle_guide", facts)
    found = _for_body(_special_first(candidates), order.patient)
    if found is None:
        return Refusal("weight_needed", facts)
    if not found:
        return Refusal("no_needle_guide", facts)
    need = _need(found, _gauges(order.route, liquid, tables), tables, liquid)
    return need or Refusal("sex_needed", facts)


def _for_site(order: Order, on: date, tables: DeviceTables, rules: DevicePolicy) -> list[NeedleGuide]:
    """Return the rows for this route, site and age: of the site's chosen body, else the general ones."""
    matching = [
        guide
        for guide in tables.guides
        if guide.route == order.route
        and (not guide.sites or order.site in guide.sites)
        and of_age(guide.ages, order.patient.born, on)
    ]
    chosen = [guide for guide in matching if guide.body == rules.needle_body]
    return chosen or [guide for guide in matching if guide.body == GENERAL]


def _special_first(guides: Sequence[NeedleGuide]) -> Sequence[NeedleGuide]:
    """Keep only the rows for this very liquid, where there are any."""
    return [guide for guide in guides if guide.liquid is not None] or guides


def _for_body(guides: Sequence[NeedleGuide], patient: Patient) -> Sequence[NeedleGuide] | None:
    """Return the rows for this weight and sex; rows that mind the weight go before those that do not.

    Without a recorded sex, what holds for either is taken. None: the weight decides and is not known.
    """
    by_weight = [guide for guide in guides if guide.weights.bounded]
    weight = weight_of(patient)
    if by_weight and weight is None:
        return None
    if weight is not None:
        by_weight = [guide for guide in by_weight if of_weight(guide.weights, weight)]
    fits = by_weight or [guide for guide in guides if not guide.weights.bounded]
    return [guide for guide in fits if not patient.sex or guide.sex in ("", patient.sex)]


def _gauges(route: Route, liquid: Liquid, tables: DeviceTables) -> GaugeForLiquid:
    """Return the gauge numbers for a liquid by a route; a liquid with no row of its own counts as watery."""
    rows = {row.liquid: row for row in tables.gauges if row.route == route}
    return rows.get(liquid) or rows[Liquid.AQUEOUS]


def _need(
    guides: Sequence[NeedleGuide], gauges: GaugeForLiquid, tables: DeviceTables, liquid: Liquid
) -> NeedleNeed | None:
    """Return what satisfies every row at once, or None where rows for either sex exclude each other.

    A thick liquid sets the gauge, else the guide does.
    """
    shortest = _most(guide.shortest for guide in guides)
    longest = _least(guide.longest for guide in guides)
    if shortest > longest:
        return None
    own = [(g.thickest, g.finest) for g in guides if g.thickest is not None and g.finest is not None]
    use = own if own and liquid is not Liquid.VISCOUS else [(gauges.thickest, gauges.finest)]
    thickest, finest = max(pair[0] for pair in use), min(pair[1] for pair in use)
    return NeedleNeed(
        shortest=_label_span(shortest, tables.lengths)[0],
        longest=_label_span(longest, tables.lengths)[1],
        usual=_most(guide.usual for guide in guides),
        thickest=thickest,
        finest=finest,
        usual_gauge=min(max(gauges.usual, thickest), finest),
        angle_degrees=guides[0].angle_degrees,
        liquid=liquid,
        guides=frozenset(guide.id for guide in guides),
        source=guides[0].basis.said,
    )


def _label_span(length: Measure, classes: Sequence[LengthClass]) -> tuple[Measure, Measure]:
    """Return the shortest and longest millimetres sold as the same inches as ``length``.

    A guide says 25 mm, a pack says 1 in or 25.4 mm: the same needle.
    """
    for one in classes:
        if one.shortest <= length <= one.longest:
            return one.shortest, one.longest
    return length, length


def _most(lengths: Iterable[Measure]) -> Measure:
    """Return the longest of some lengths."""
    return max(lengths, key=lambda m: m.to("mm").value)


def _least(lengths: Iterable[Measure]) -> Measure:
    """Return the shortest of some lengths."""
    return min(lengths, key=lambda m: m.to("mm").value)
