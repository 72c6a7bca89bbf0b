"""What a site decides where published sources leave a choice; the defaults are the safer ones."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class DevicePolicy:
    """One option of every choice in device_choices.csv, as the site has chosen.

    ``half_lines``: the plunger may be set halfway between two lines. ``least_barrel_share``: below this
    share of the barrel a measure is said to be small for it. ``most_full_share``: above it a larger
    barrel is preferred. ``bubble_room_share``: the share of the barrel kept free for the bubble.
    ``worst_case_factor``: a worst case beyond this many times the allowed error is not measured at all,
    nor is one beyond ``worst_case_most`` (a share of the dose), whatever the drug allows.
    ``strict_tolerance``: a published tolerance beyond the allowed error is refused, not only said.
    ``insulin_tolerance``: which reading of ISO 8537 holds. ``filter_for_glass``: every glass ampoule is
    drawn through a filter. ``stopper_wipe`` and ``stopper_dry``: how long. ``needle_body``: whose needle
    guide holds for muscle. ``viscous_from``: mPa s from which a liquid is thick. ``friction``: of the
    plunger, in newtons. ``small_insulin``: doses below are known to be measured badly.
    """

    half_lines: bool
    least_barrel_share: Decimal
    most_full_share: Decimal
    bubble_room_share: Decimal
    worst_case_factor: Decimal
    worst_case_most: Decimal
    strict_tolerance: bool
    insulin_tolerance: str
    filter_for_glass: bool
    stopper_wipe: Measure
    stopper_dry: Measure
    needle_body: str
    viscous_from_mpa_s: Decimal
    friction_n: Decimal
    small_insulin: Measure
