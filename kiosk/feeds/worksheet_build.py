"""From a description to an order and a patient of the core; what is not said is not made up."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Final

from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.people import Patient, Weighed
from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.dose.follow_units import plain
from kiosk.core.dose.order import DosePerBody, DoseRange, FixedDose, Order, Ordered
from kiosk.core.units import Measure, same_kind
from kiosk.feeds.worksheet_build_drug import drug
from kiosk.feeds.worksheet_build_stock import strength_facts
from kiosk.feeds.worksheet_builder import AMOUNTS, Builder
from kiosk.feeds.worksheet_form import Description, OrderIn, PatientIn
from kiosk.feeds.worksheet_given import FactName, Given
from kiosk.feeds.worksheet_moments import born_of, day, moment
from kiosk.feeds.worksheet_read import BadInput
from kiosk.feeds.worksheet_readers import READERS
from kiosk.feeds.worksheet_shapes import body_mass, shape

NOBODY_BORN: Final = date(1900, 1, 1)


def patient(the: Builder, said: PatientIn) -> Patient:
    """Return the patient; a name, a number or a birthday that is not said is a stand-in."""
    path = "patient"
    for name in ("name", "number", "allergies"):
        if getattr(said, name) is None:
            the.unsaid.add(f"{path}.{name}")
    weight = the.body(said.weight, f"{path}.weight", "weight")
    weighed_on = the.now.date() if said.weighed_on is None else day(said.weighed_on, f"{path}.weighed_on")
    earlier = []
    for at, one in enumerate(said.earlier):
        here = f"{path}.earlier[{at}]"
        found = the.body(one.weight, f"{here}.weight", "weight")
        assert found is not None  # the form requires it
        earlier.append(Weighed(found, day(one.on, f"{here}.on")))
    return Patient(
        id="patient",
        name=said.name or "",
        number=said.number or "",
        born=_born(the, said, path),
        sex=said.sex,
        place=said.place,
        weighed=Weighed(weight, weighed_on) if weight else None,
        earlier=tuple(earlier),
        height=the.body(said.height, f"{path}.height", "height"),
        allergies=tuple(said.allergies or ()),
    )


def _born(the: Builder, said: PatientIn, path: str) -> date:
    """Return the day of birth, as said or by the age."""
    if said.born is not None:
        return day(said.born, f"{path}.born")
    if said.age is not None:
        age = the.figures.measure(said.age, f"{path}.age", "year", zero=True)
        return born_of(age, the.now.date(), f"{path}.age")
    the.unsaid.add(f"{path}.born")
    return NOBODY_BORN


def ordered(the: Builder, said: OrderIn) -> Ordered | None:
    """Return the dose in whichever way it is written; None, noted as missing, when it is not.

    A fixed dose, a rate by body size with its bounds, or a range with the dose chosen in it: one of them.
    """
    path = "order"
    ways = [name for name in ("dose", "dose_rate", "range_low") if getattr(said, name) is not None]
    if len(ways) > 1:
        raise BadInput(f"{path}.{ways[1]}", "dose_stated_twice", first=f"{path}.{ways[0]}")
    if said.range_low is not None or said.range_high is not None:
        return _range(the, said, path)
    name = "dose" if said.dose is not None else "dose_rate"
    node = said.dose if said.dose is not None else said.dose_rate
    if node is None:
        the.missing.append(f"{path}.dose")
        return None
    value, spelt = the.figures.quantity(node, f"{path}.{name}")
    if value <= 0:
        raise BadInput(f"{path}.{name}", "not_above_zero")
    found = body_mass(spelt.measure(value))
    if "/" not in found.unit and not spelt.per_dose:
        if shape(found.unit) not in ("amount", "volume"):
            raise BadInput(f"{path}.{name}.unit", "unit_of_another_kind", unit=found.unit)
        return FixedDose(found)
    return _rate(the, said, path, name, found)


def _rate(the: Builder, said: OrderIn, path: str, name: str, rate: Measure) -> Ordered:
    """Return a dose by body size or by the day."""
    if shape(rate.unit).split("/")[0] not in ("amount", "volume"):
        raise BadInput(f"{path}.{name}.unit", "unit_of_another_kind", unit=rate.unit)
    divided = said.divided_doses_per_day
    if divided is not None and not 1 <= divided <= 48:
        raise BadInput(f"{path}.divided_doses_per_day", "not_a_whole_number", most=48)
    kinds = (*AMOUNTS, "mL")
    return DosePerBody(
        rate,
        divided or 1,
        the.measure(said.max_single_dose, f"{path}.max_single_dose", kinds),
        the.measure(said.min_single_dose, f"{path}.min_single_dose", kinds),
        the.measure(said.max_daily_dose, f"{path}.max_daily_dose", kinds),
        said.surface_by,
    )


def _range(the: Builder, said: OrderIn, path: str) -> Ordered | None:
    """Return a range with the dose chosen in it; both ends are needed."""
    for name in ("range_low", "range_high", "chosen_dose"):
        if getattr(said, name) is None:
            the.missing.append(f"{path}.{name}")
    if said.range_low is None or said.range_high is None:
        return None
    low = body_mass(the.figures.measure(said.range_low, f"{path}.range_low"))
    high = body_mass(the.figures.measure(said.range_high, f"{path}.range_high"))
    chosen = said.chosen_dose
    return DoseRange(
        low, high, None if chosen is None else body_mass(the.figures.measure(chosen, f"{path}.chosen_dose"))
    )


def order(the: Builder, described: Description) -> tuple[Order | None, Drug]:
    """Return the order, None when its drug, dose or route is not said (noted as missing), and the drug."""
    said, path = described.order, "order"
    dose = ordered(the, said)
    found = drug(the, described, _unit(the, described, dose))
    route = the.word(said.route, Route, f"{path}.route")
    if route is None:
        the.missing.append(f"{path}.route")
    for name in ("prescriber", "due"):
        if getattr(said, name) is None:
            the.unsaid.add(f"{path}.{name}")
    person = patient(the, described.patient)
    rest = _rest(the, said, path, found)
    if dose is None or route is None or not found.name:
        return None, found
    site = the.word(said.site, Site, f"{path}.site")
    due = the.now if said.due is None else moment(said.due, f"{path}.due")
    return replace(rest, patient=person, dose=dose, route=route, site=site, due=due), found


def _rest(the: Builder, said: OrderIn, path: str, found: Drug) -> Order:
    """Return an order with everything that stands beside patient, dose and route, which are put in later."""
    nobody = Patient("", "", "", NOBODY_BORN, "", "")
    return Order(
        id=said.id,
        patient=nobody,
        drug=found,
        dose=FixedDose(Measure.of(0, found.measured_in)),
        route=Route.INTRAMUSCULAR,
        site=None,
        due=the.now,
        prescriber=said.prescriber or "",
        spoken=said.spoken,
        as_written=said.as_written,
        stated_as=said.stated_as,
        last_given=None if said.last_given is None else moment(said.last_given, f"{path}.last_given"),
        given_today=the.measure(said.given_today, f"{path}.given_today", (*AMOUNTS, "mL")),
        doses_per_day=_doses_per_day(the, said, path),
        concentration_asked=_concentration(the, said, found),
    )


def _unit(the: Builder, described: Description, dose: Ordered | None) -> str:
    """Return a unit the drug is ordered in; for an order in millilitres, one it is labelled in."""
    ordered_in = "" if dose is None else _amount_unit(dose)
    if not described.containers or (ordered_in and not same_kind(ordered_in, "mL")):
        return ordered_in
    first = described.containers[0]
    if first.powder is not None:
        return body_mass(the.figures.measure(first.powder, "containers[0].powder")).unit
    if first.strength is None:
        return ordered_in
    facts = strength_facts(the, first.strength, "containers[0].strength")
    return plain(facts.get("stock_strength") or facts["content"]).unit.split("/")[0]


def _amount_unit(dose: Ordered) -> str:
    """Return the unit of amount in which a dose is ordered."""
    if isinstance(dose, FixedDose):
        return dose.amount.unit
    return (dose.rate if isinstance(dose, DosePerBody) else dose.low).unit.split("/")[0]


def _doses_per_day(the: Builder, said: OrderIn, path: str) -> int | None:
    """Return the whole number of doses a day; a dose less often than daily has none."""
    if said.doses_per_day is None:
        return said.divided_doses_per_day
    found = Given()
    row = FactName("doses_per_day", "per_day", "doses_per_day", "1/day", "")
    READERS["per_day"](the.figures, row, said.doses_per_day, f"{path}.doses_per_day", found)
    per_day = found.said[0].value.value
    return int(per_day) if per_day.denominator == 1 else None


def _concentration(the: Builder, said: OrderIn, found: Drug) -> Decimal | None:
    """Return the concentration asked for, as a number of the drug's unit per mL."""
    wanted = f"{found.measured_in}/mL"
    asked = the.measure(said.concentration_asked, "order.concentration_asked", (wanted,))
    return None if asked is None else asked.to(wanted).decimal
