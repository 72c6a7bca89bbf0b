"""What may be asked for: every word to ask with, the facts it may mean, the unit it is answered in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final


@dataclass(frozen=True, slots=True)
class Ask:
    """``facts`` may be meant, the first that follows is; ``unit`` is answered in when none is asked for.

    ``instead`` are meant when none of these can be had in the unit asked for and only one of them was
    worked out: who asks for a dose in millilitres means the volume.
    """

    facts: tuple[str, ...]
    unit: str = ""
    instead: tuple[str, ...] = ()


_TABLE: Final = (
    (
        "volume dose_volume volume_to_give volume_to_draw injection_volume volume_to_administer volume_mL mL"
        " volume_per_dose administered_volume",
        "volume",
        "mL",
    ),
    ("volume_each volume_per_injection volume_per_site", "volume_each", "mL"),
    (
        "dose amount dose_per_dose single_dose drug_amount amount_per_dose ordered_dose dose_to_give",
        "dose drawn_dose mixed_amount content",
        "",
    ),
    ("drawn_dose dose_given actual_dose amount_given dose_administered", "drawn_dose", ""),
    ("drawn_volume volume_drawn", "drawn_volume", "mL"),
    ("mass solute_mass", "drawn_dose dose mixed_amount content quantity", "mg"),
    ("mg milligrams", "drawn_dose dose mixed_amount content quantity", "mg"),
    ("g grams", "drawn_dose dose mixed_amount content quantity", "g"),
    ("mcg micrograms", "drawn_dose dose mixed_amount content quantity", "mcg"),
    ("units", "drawn_dose dose mixed_amount content quantity", "units"),
    ("mEq milliequivalents", "drawn_dose dose mixed_amount content quantity", "mEq"),
    ("mmol millimoles", "drawn_dose dose mixed_amount content quantity", "mmol"),
    (
        "daily_dose dose_per_day total_daily_dose day_dose daily_amount amount_per_day",
        "day_total daily_dose",
        "",
    ),
    ("doses_per_day frequency times_per_day number_of_doses_per_day", "doses_per_day", "1/day"),
    ("interval dosing_interval dose_interval", "interval", "h"),
    ("number_of_doses total_doses doses", "number_of_doses doses_in_container", "1"),
    ("doses_in_container doses_per_container doses_per_vial", "doses_in_container", "1"),
    ("course_dose total_dose", "course_dose flowed_dose day_total", ""),
    ("course_volume total_volume volume_for_course", "course_volume final_volume", "mL"),
    ("day_volume daily_volume volume_per_day", "day_volume", "mL/day"),
    ("dose_per_kg dose_per_weight mg_per_kg", "dose_for_weight day_for_weight flow_for_weight", ""),
    ("daily_dose_per_kg", "day_for_weight", ""),
    ("dose_per_m2 dose_per_surface", "dose_for_surface flow_for_surface", ""),
    ("range_high safe_high range_max", "high_dose high_day max_dose max_day", ""),
    ("range_low safe_low range_min", "low_dose low_day min_dose min_day", ""),
    (
        "max_dose maximum_dose max_single_dose maximum_single_dose high_dose dose_high safe_dose_high"
        " max_safe_dose dose_max",
        "max_dose high_dose high_day max_day",
        "",
    ),
    (
        "max_daily_dose maximum_daily_dose daily_high high_daily_dose daily_max daily_dose_high"
        " safe_daily_high max_dose_per_day",
        "max_day high_day",
        "",
    ),
    ("max_volume maximum_volume", "max_volume volume", "mL"),
    (
        "min_dose minimum_dose min_single_dose low_dose dose_low safe_dose_low min_safe_dose dose_min",
        "min_dose low_dose low_day min_day",
        "",
    ),
    (
        "min_daily_dose minimum_daily_dose daily_low low_daily_dose daily_min daily_dose_low safe_daily_low",
        "min_day low_day",
        "",
    ),
    (
        "in_range safe is_safe within_range is_in_range in_safe_range within_limits acceptable"
        " dose_is_safe is_within_range",
        "in_range",
        "1",
    ),
    ("concentration strength", "final_concentration mixture_strength strength stock_strength", ""),
    (
        "final_concentration final_strength resulting_concentration new_concentration"
        " reconstituted_concentration concentration_after_reconstitution",
        "final_concentration mixture_strength strength stock_strength",
        "",
    ),
    *(
        (f"{above}_per_mL", "final_concentration mixture_strength strength stock_strength", f"{above}/mL")
        for above in ("mg", "mcg", "g", "units", "mEq", "mmol")
    ),
    ("stock_concentration", "stock_strength", ""),
    ("percent percent_w_v percentage percent_strength", "final_concentration strength stock_strength", "%"),
    ("ratio_denominator ratio ratio_strength", "ratio_denominator", "1"),
    ("final_volume reconstituted_volume volume_after_mixing resulting_volume", "final_volume", "mL"),
    (
        "diluent_volume diluent diluent_added volume_to_add diluent_to_add volume_of_diluent water_to_add"
        " low_volume volume_of_low weak_volume",
        "diluent_added",
        "mL",
    ),
    ("least_volume minimum_volume min_volume", "least_volume", "mL"),
    ("dilution_factor", "dilution_factor", "1"),
    ("base_dose base_amount", "base_dose", ""),
    ("salt_dose salt_amount", "salt_dose", ""),
    ("chosen_diluent", "diluent_added", "mL"),
    ("chosen_concentration", "final_concentration", ""),
    ("chosen_volume", "volume", "mL"),
    (
        "displacement_volume displacement powder_volume displacement_value powder_displacement",
        "displacement_volume",
        "mL",
    ),
    ("displacement_per_gram displacement_per_g", "displacement_per_amount", "mL/g"),
    ("stock_volume volume_of_stock high_volume volume_of_high strong_volume", "stock_volume volume", "mL"),
    (
        "count containers number_of_containers vials ampoules tablets capsules number_of_vials"
        " number_of_ampoules number_of_tablets vials_needed ampoules_needed containers_needed tablet_count"
        " vial_count container_count bags bottles",
        "count course_count",
        "1",
    ),
    ("course_count total_count total_vials total_tablets", "course_count", "1"),
    ("injections number_of_injections sites", "injections", "1"),
    (
        "waste_volume remaining_volume discard_volume left waste wasted_volume volume_wasted discarded_volume"
        " leftover_volume volume_left volume_to_discard",
        "waste_volume",
        "mL",
    ),
    ("waste_dose waste_amount remaining_dose amount_wasted wasted_dose dose_wasted", "waste_dose", ""),
    ("percent_error error", "error", "1"),
    ("weight patient_weight weight_kg body_weight kg", "weight_kg", "kg"),
    ("weight_lb lb pounds", "weight_kg", "lb"),
    ("adjusted_weight adjusted_body_weight", "adjusted_weight", "kg"),
    ("height", "height", "cm"),
    ("ideal_weight ideal_body_weight", "ideal_weight", "kg"),
    ("bsa body_surface patient_bsa body_surface_area", "bsa", "m2"),
    ("quantity converted conversion converted_value value converted_quantity", "quantity calculated", ""),
    ("rounded rounded_value rounded_volume rounded_dose", "calculated", ""),
    ("mg_per_mEq mass_per_mEq equivalent_weight", "mass_per_charge", "mg/mEq"),
    ("mg_per_mmol molar_mass", "molar_mass", "mg/mmol"),
    (
        "infusion_rate rate flow_rate pump_rate mL_per_h mL_per_hour mL_per_hr injection_rate push_rate",
        "infusion_rate",
        "mL/h",
    ),
    (
        "drip_rate drop_rate drops_per_minute drops_per_min gtt_per_min gtts_per_min",
        "drip_rate",
        "drop/min",
    ),
    ("drops number_of_drops", "volume drawn_volume infusion_volume", "drop"),
    ("duration infusion_time time hours run_time infusion_duration", "duration lasts interval", ""),
    ("lasts days_supply days", "lasts", "day"),
    (
        "dose_rate dose_per_time dose_per_hour dose_per_minute dose_per_min",
        "dose_flow dose_for_weight day_for_weight flow_for_weight",
        "",
    ),
    ("dose_per_kg_per_time", "flow_for_weight", ""),
    ("infusion_volume volume_infused volume_to_infuse", "infusion_volume", "mL"),
    ("scale_reading syringe_units syringe_line units_on_syringe", "scale_reading drawn_volume", ""),
)


def _asks() -> Mapping[str, Ask]:
    """Return every way to ask, by its word in lower case."""
    made: dict[str, Ask] = {}
    for spelt, facts, unit in _TABLE:
        meant = tuple(facts.split())
        instead = tuple(_INSTEAD.get(meant[0], "").split())
        made |= dict.fromkeys(spelt.lower().split(), Ask(meant, unit, instead))
    return MappingProxyType(made)


_INSTEAD: Final = {
    "dose": "volume count day_total daily_dose dose_flow infusion_rate flow_for_weight",
    "volume": "stock_volume diluent_added final_volume infusion_volume waste_volume day_volume course_volume",
    "infusion_rate": "drip_rate dose_flow",
    "count": "injections doses_in_container number_of_doses",
    "quantity": "dose",
}
"""By the first fact of an ask: what else may be meant by its word."""

ASKS: Final = _asks()
SPELT: Final = tuple(sorted(name for spelt, _, _ in _TABLE for name in spelt.split()))
"""Every word to ask with, as it is spelt; any capitals are understood."""
