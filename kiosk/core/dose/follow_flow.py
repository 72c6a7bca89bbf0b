"""Rules about flow and scales: a volume over a time, a dose a minute, drops, an insulin barrel."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from kiosk.core.dose.follow import Rule, Stated, Worked
from kiosk.core.dose.follow_doses import DOSED, sized
from kiosk.core.dose.follow_relations import divided, multiplied, rule, stands_for
from kiosk.core.dose.follow_strengths import MIXED
from kiosk.core.dose.follow_units import agree, combine, turn
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure

FLOWING: Final = (
    "infusion_volume infusion_rate drop_factor drip_rate dose_flow flow_per_weight flow_per_surface duration"
)
NOT_FLOWING: Final = "doses_per_day interval lasts"
"""A time that belongs to a course of doses is no time of flow."""


def _drops_a_minute(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the drip rate in drops a minute, the way it is counted at the chamber."""
    drops = multiplied(stated, values)
    return turn(drops, "drop/min") if isinstance(drops, Measure) else drops


def _an_hour(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return a rate in mL/h, the way pumps are set."""
    rate = divided(stated, values)
    return turn(rate, "mL/h") if isinstance(rate, Measure) else rate


def _of_bag(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the rate in mL/h at which a bag that holds a dose gives so much of it over time."""
    bag, flow, dose = values
    rate = combine((bag, flow), (dose,), stated.bridges)
    return None if rate is None else turn(rate, "mL/h")


def _scale_reading(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the units to read on a barrel; a barrel of another strength than the insulin's is refused."""
    dose, strength, barrel = values
    apart = agree(strength, barrel, stated.bridges)
    if apart is None:
        return None
    if apart:
        return Refusal("barrel_of_another_strength", {"strength": strength, "barrel": barrel})
    return turn(dose, "units", stated.bridges)


def _volumes() -> Iterator[Rule]:
    """Yield which volume is the one that flows; a whole container only when no dose is drawn out of it."""
    ranked = (
        ("drawn_volume", ""),
        ("final_volume", ""),
        ("container_volume", DOSED),
        ("label_volume", DOSED),
    )
    for at, (name, dosed) in enumerate(ranked):
        before = " ".join(("infusion_volume", NOT_FLOWING, dosed, *(one for one, _ in ranked[:at])))
        yield stands_for(f"infusion_volume = {name}", when=FLOWING, unless=before)


def rules() -> Iterator[Rule]:
    """Yield every rule about flow and scales."""
    yield from _volumes()
    yield rule("infusion_rate = infusion_volume ÷ duration", _an_hour, when=FLOWING, unless=NOT_FLOWING)
    yield rule("dose_flow = infusion_rate × strength", multiplied, when=FLOWING, unless=NOT_FLOWING)
    yield rule("infusion_rate = dose_flow ÷ strength", _an_hour, proves=False)
    by_dose = "dose_flow flow_per_weight flow_per_surface"
    of_bag = "infusion_rate = dose_flow ÷ final_concentration"
    yield rule(of_bag, _an_hour, when=by_dose, unless=f"stock_strength {MIXED}", proves=False)
    in_bag = "infusion_rate = container_volume × dose_flow ÷ dose"
    apart = f"stock_strength content final_volume {MIXED}"
    yield rule(in_bag, _of_bag, when=by_dose, unless=apart, proves=False)
    yield rule("duration = dose ÷ dose_flow", divided, when=by_dose, unless=NOT_FLOWING, proves=False)
    yield rule("infusion_volume = infusion_rate × duration", multiplied, unless=NOT_FLOWING)
    yield rule("duration = infusion_volume ÷ infusion_rate", divided, unless=NOT_FLOWING, proves=False)
    yield from sized("dose_flow", "flow")
    yield rule("dose_flow = dose ÷ duration", divided, when="duration", unless=NOT_FLOWING, proves=False)
    yield rule("flowed_dose = dose_flow × duration", multiplied, when=FLOWING, unless=NOT_FLOWING)
    yield stands_for("dose = flowed_dose", unless="dose dose_per_weight dose_per_surface daily_dose")
    yield rule("flow_for_weight = dose_flow ÷ weight_kg", divided)
    yield rule("flow_for_surface = dose_flow ÷ bsa", divided)
    yield rule("drip_rate = infusion_rate × drop_factor", _drops_a_minute)
    yield rule("infusion_rate = drip_rate ÷ drop_factor", _an_hour, proves=False)
    yield rule("scale_reading = dose , strength , barrel_strength", _scale_reading, proves=False)
