"""All order checks by stable id, each beside the hazard it answers (a row of hazards.csv)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import partial
from typing import Final

from kiosk.core.catalogue.check_tables import OrderTables
from kiosk.core.checks import order_checks_allergy as allergy
from kiosk.core.checks import order_checks_complete as complete
from kiosk.core.checks import order_checks_dose as dose
from kiosk.core.checks import order_checks_time as time
from kiosk.core.checks import order_checks_weight as weight
from kiosk.core.checks import order_checks_writing as writing
from kiosk.core.checks.amounts import stated_measures
from kiosk.core.checks.asking import Ask
from kiosk.core.checks.check import Check, OrderCase
from kiosk.core.dose.bridge import VOLUME, kind_of
from kiosk.core.dose.order import FixedDose, Order
from kiosk.core.units import Measure

ORDER_CHECKS: Final[tuple[tuple[str, Ask], ...]] = (
    ("wrong_patient", complete.patient_name_missing),
    ("wrong_patient", complete.patient_number_missing),
    ("wrong_patient", complete.patient_dates),
    ("unclear_order", complete.prescriber_missing),
    ("unclear_order", complete.dose_not_positive),
    ("unclear_order", complete.dose_contradicts_itself),
    ("day_for_dose", complete.doses_a_day_contradict),
    ("unclear_order", writing.written_otherwise),
    ("misread_writing", writing.unsafe_notation),
    ("wrong_time", time.due_time_plausible),
    ("dose_too_soon", time.given_too_recently),
    ("allergy", allergy.allergies_contradict),
    ("allergy", allergy.allergic_to_drug),
    ("allergy", allergy.allergy_crossing),
    ("allergy", allergy.allergy_not_understood),
    ("wrong_route", dose.route_not_listed),
    ("unit_slip", dose.unit_not_of_drug),
    ("wrong_weight", weight.weight_missing),
    ("wrong_weight", weight.height_missing),
    ("wrong_weight", weight.weight_plausible),
    ("wrong_weight", weight.weight_old),
    ("tenfold_slip", dose.dose_above_limit),
    ("tenfold_slip", dose.dose_below_limit),
    ("day_for_dose", dose.day_total_above_limit),
    ("day_for_dose", dose.day_total_above_order),
    ("overdose", weight.limit_without_weight),
    ("overdose", dose.no_limit_at_this_age),
    ("overdose", dose.no_limit_listed),
)
"""Hazard and question; a check's id is the name of its function."""


def order_checks(tables: OrderTables) -> tuple[Check[OrderCase], ...]:
    """Return every order check, ready to be asked."""
    return tuple(Check(ask.__name__, hazard, partial(ask, tables)) for hazard, ask in ORDER_CHECKS)


SIZE_OF_DOSE: Final = frozenset({"dose_above_limit", "dose_below_limit", "day_total_above_limit"})


def with_dose_known(order: Order, dose: Measure) -> Order | None:
    """Return an order by volume as the dose that the container in hand makes of it; None for any other.

    Two millilitres are no dose until a strength is known: then the bounds of the list apply.
    """
    by_volume = any(kind_of(m.unit.split("/")[0]) == VOLUME for m in stated_measures(order))
    if not by_volume or kind_of(dose.unit) == VOLUME:
        return None
    return replace(order, dose=FixedDose(dose))


def checks_of_size(checks: Iterable[Check[OrderCase]]) -> tuple[Check[OrderCase], ...]:
    """Return those checks that ask how large a dose is, to be asked again once it is known."""
    return tuple(check for check in checks if check.id in SIZE_OF_DOSE)
