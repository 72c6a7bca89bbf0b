"""Plans one syringe from a description: the agreed volume, the checks, the apparatus, what is missing.

The arithmetic, the checks and the choices are the core's own, the same that the screens ask. A check is
left out only when it would judge something that nobody said.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from kiosk.core.catalogue.check_tables import OrderTables
from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.core.catalogue.people import Person, Role
from kiosk.core.checks.check import ContainerCase, OrderCase, run
from kiosk.core.checks.container_checks import CONTAINER_CHECKS
from kiosk.core.checks.order_checks import order_checks
from kiosk.core.checks.order_checks_allergy import NO_ALLERGY
from kiosk.core.checks.second_person import second_reasons
from kiosk.core.dose.agreed import agreed_plan
from kiosk.core.dose.follow import Followed, follow
from kiosk.core.dose.follow_rules import all_rules
from kiosk.core.dose.order import Order
from kiosk.core.findings import Facts, Finding, Level, Refusal
from kiosk.core.units import Measure
from kiosk.feeds.worksheet_apparatus import Counter, counter_of, fitted
from kiosk.feeds.worksheet_build import order as build_order
from kiosk.feeds.worksheet_build_stock import chosen_make_up, containers
from kiosk.feeds.worksheet_builder import AllergyClasses, Builder
from kiosk.feeds.worksheet_facts import Vocabulary
from kiosk.feeds.worksheet_form import Description
from kiosk.feeds.worksheet_moments import moment
from kiosk.feeds.worksheet_question import convert
from kiosk.feeds.worksheet_stated import stated_in
from kiosk.pages.worksheet_values import Outcome, Planned, Worksheet

NOT_RUN: Final = {
    "patient_name_missing": "patient.name",
    "patient_number_missing": "patient.number",
    "patient_dates": "patient.born",
    "weight_plausible": "patient.born",
    "weight_old": "patient.born",
    "prescriber_missing": "order.prescriber",
    "due_time_plausible": "order.due",
    "no_limit_listed": "order.drug.limits",
    "no_limit_at_this_age": "order.drug.limits",
    "route_not_listed": "order.drug.limits",
}
"""Order checks that judge what nobody said, by check and field."""

WANTED_BY: Final = {
    "weight_missing": "patient.weight",
    "height_missing": "patient.height",
    "no_weight_for_dose": "patient.weight",
    "no_height_for_dose": "patient.height",
    "sex_not_known": "patient.sex",
    "no_container_yet": "containers",
    "dose_not_chosen": "order.chosen_dose",
    "make_up_not_chosen": "containers[0].make_ups",
    "strength_not_stated": "containers[0].strength",
    "strength_after_mixing_not_stated": "containers[0].make_ups",
    "contents_not_known": "containers[0].contents",
    "valence_not_given": "order.drug.valence",
    "molar_mass_not_given": "order.drug.molar_mass",
    "base_or_salt_not_stated": "order.stated_as",
    "salt_equivalence_not_given": "order.drug.salt_to_base",
}
"""Refusals of the arithmetic, and stops of a check, that are only a want of something: code and field."""

PRACTICE: Final = "common practice, no source"
PREPARER: Final = Person("preparer", "", "", frozenset({Role.PREPARER}))


@dataclass(frozen=True, slots=True)
class Planner:
    """What a worksheet is planned with: the vocabulary and the published tables."""

    vocabulary: Vocabulary
    tables: DeviceTables
    order_tables: OrderTables

    def planned(self, tree: dict[str, Any], now: datetime) -> Worksheet:
        """Return the worksheet of one description. Raises ``BadInput``."""
        described = convert(tree, Description)
        if described.now is not None:
            now = moment(described.now, "now")
        the = Builder(self.vocabulary.figures, now, self._allergy_classes())
        order, drug = build_order(the, described)
        stock = containers(the, described, drug)
        counter = counter_of(the, described, self.tables)
        followed = follow(stated_in(described, self.vocabulary), all_rules())
        if order is None or the.missing:
            return self._partial(the, followed, tuple(the.missing))
        return self._sheet(the, described, order, stock, counter, followed)

    def _partial(self, the: Builder, followed: Followed, missing: tuple[str, ...]) -> Worksheet:
        """Return what follows from a description that does not say enough for a plan."""
        findings = (*the.figures.findings, *followed.findings)
        refusal = followed.refusals[0] if followed.refusals else None
        outcome = Outcome.REFUSED if refusal else Outcome.PARTIAL
        return Worksheet(outcome, followed, None, None, findings, refusal, missing)

    def _sheet(
        self,
        the: Builder,
        described: Description,
        order: Order,
        stock: tuple[Container, ...],
        counter: Counter,
        followed: Followed,
    ) -> Worksheet:
        """Return the worksheet of a description that says enough."""
        seen = (*self._order_findings(the, order), *_stock_findings(the, order, stock))
        findings = (*the.figures.findings, *seen)
        stop = next((finding for finding in seen if finding.level is Level.STOP), None)
        if stop is not None and stop.id in WANTED_BY:
            return self._partial(the, followed, (WANTED_BY[stop.id],))
        if stop is not None:
            refusal = Refusal(stop.id, stop.facts, stop.source)
            return Worksheet(Outcome.REFUSED, followed, None, None, findings, refusal, withheld=True)
        plan = agreed_plan(order, stock, the.now, chosen_make_up(described, stock))
        if isinstance(plan, Refusal):
            wanted = WANTED_BY.get(plan.code)
            if wanted:
                return self._partial(the, followed, (wanted,))
            return Worksheet(Outcome.REFUSED, followed, None, None, findings, plan)
        made = Planned(order, plan, the.now, second_person=self._second(the, order, plan.dose))
        whole = fitted(the, made, stock, counter)
        outcome = Outcome.PLANNED if whole.refusal is None else Outcome.REFUSED
        findings = (*findings, *plan.findings, *whole.findings)
        return Worksheet(outcome, followed, None, whole.planned, findings, whole.refusal, whole.missing)

    def _order_findings(self, the: Builder, order: Order) -> Iterator[Finding]:
        """Yield what the order checks see."""
        checks = [
            check for check in order_checks(self.order_tables) if NOT_RUN.get(check.id) not in the.unsaid
        ]
        yield from run(checks, OrderCase(order, the.now))
        facts: Facts = {"drug": order.drug.name}
        if "patient.allergies" in the.unsaid:
            yield Finding("allergies_not_said", Level.NOTE, facts, PRACTICE)
        elif order.patient.allergies and "order.drug.allergy_classes" in the.unsaid:
            yield Finding("allergy_classes_not_said", Level.CAUTION, facts, PRACTICE)

    def _allergy_classes(self) -> AllergyClasses:
        """Return the classes that the allergy tables know."""
        tables = self.order_tables
        written = {name.group for name in tables.allergy_names} - {NO_ALLERGY, "not a drug"}
        crossing = {cross.given for cross in tables.cross_reactions}
        return AllergyClasses(tables.allergy_names, frozenset(written | crossing))

    def _second(self, the: Builder, order: Order, dose: Measure) -> tuple[str, ...]:
        """Return why a second person must look; without an age that cannot be told."""
        if "patient.born" in the.unsaid:
            return ()
        return second_reasons(order, PREPARER, dose, self.order_tables.policy)


def _stock_findings(the: Builder, order: Order, stock: Sequence[Container]) -> Iterator[Finding]:
    """Yield what the checks of each container see, in the order they are taken."""
    for at, container in enumerate(stock):
        unsaid = {
            "expired": "expiry",
            "not_earliest_expiry": "expiry",
            "wrong_strength_for_route": "routes",
        }
        checks = [check for check in CONTAINER_CHECKS if not _is_unsaid(the, unsaid.get(check.id), container)]
        yield from run(checks, ContainerCase(order, container, tuple(stock[:at]), the.now, tuple(stock)))


def _is_unsaid(the: Builder, field: str | None, container: Container) -> bool:
    """Say whether a container's field holds a stand-in."""
    place = container.product.id.removeprefix("product-")
    return field is not None and f"containers[{int(place) - 1}].{field}" in the.unsaid
