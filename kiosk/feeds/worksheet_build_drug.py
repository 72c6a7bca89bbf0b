"""From a description to a drug of the core, as far as the drug is described."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any, Final

from kiosk.core.catalogue.drug import DoseLimit, Drug
from kiosk.core.catalogue.routes import Route
from kiosk.core.dose.bridge import kind_of
from kiosk.core.units import Measure
from kiosk.feeds.worksheet_builder import Builder
from kiosk.feeds.worksheet_form import Description, DrugIn, LimitIn
from kiosk.feeds.worksheet_given import FactName, Given
from kiosk.feeds.worksheet_read import BadInput
from kiosk.feeds.worksheet_readers import READERS
from kiosk.feeds.worksheet_shapes import body_mass

MEASURED_IN: Final = {"mass": "mg", "units": "units", "substance": "mmol", "charge": "mEq", "volume": "mL"}


def drug(the: Builder, described: Description, unit: str) -> Drug:
    """Return the drug as far as it is described; ``unit`` is one it is ordered or labelled in."""
    said = described.order.drug
    listed = said if isinstance(said, DrugIn) else DrugIn(name=said or "")
    if not listed.name.strip():
        the.missing.append("order.drug")
    path = "order.drug"
    measured_in = listed.measured_in or MEASURED_IN[kind_of(unit) or "mass"]
    if kind_of(measured_in) is None:
        raise BadInput(f"{path}.measured_in", "unknown_unit", unit=measured_in[:40])
    if not listed.limits:
        the.unsaid.add("order.drug.limits")
    molar_mass = None
    if listed.molar_mass is not None:
        found = the.measure(listed.molar_mass, f"{path}.molar_mass", ("g/mol",), "g/mol")
        molar_mass = found.to("g/mol").decimal if found else None
    return Drug(
        id=listed.id or listed.name.casefold(),
        name=listed.name,
        measured_in=measured_in,
        classes=frozenset(listed.classes),
        allergy_classes=_allergy_classes(the, listed, path),
        high_alert=listed.high_alert,
        controlled=listed.controlled,
        is_insulin=listed.insulin,
        cloudy=listed.cloudy,
        limits=tuple(_limit(the, one, f"{path}.limits[{at}]") for at, one in enumerate(listed.limits)),
        least_interval=the.measure(listed.least_interval, f"{path}.least_interval", ("h",)),
        allowed_error=_allowed_error(the, listed.allowed_error, f"{path}.allowed_error"),
        viscosity_mpa_s=the.decimal(listed.viscosity_mpa_s, f"{path}.viscosity_mpa_s"),
        salt_to_base=the.decimal(listed.salt_to_base, f"{path}.salt_to_base"),
        valence=_valence(listed.valence, f"{path}.valence"),
        molar_mass_g_per_mol=molar_mass,
        weight_basis=listed.weight_basis,
    )


def _allergy_classes(the: Builder, listed: DrugIn, path: str) -> frozenset[str]:
    """Return the classes of an allergy to this drug: as stated, else those its own name belongs to."""
    found: frozenset[str] = frozenset()
    for at, text in enumerate(listed.allergy_classes):
        classes = the.allergies.of(text)
        if not classes:
            known = tuple(sorted(the.allergies.ids))
            raise BadInput(f"{path}.allergy_classes[{at}]", "unknown_word", text=text[:40], known=known)
        found |= classes
    if not listed.allergy_classes:
        found = the.allergies.of(listed.name)
    if not found:
        the.unsaid.add(f"{path}.allergy_classes")
    return found


def _allowed_error(the: Builder, node: Any, path: str) -> Decimal:
    """Return the allowed error as a share; a twentieth unless said otherwise."""
    if node is None:
        return Decimal("0.05")
    found = Given()
    READERS["share"](the.figures, FactName("", "", "", "", ""), node, path, found)
    share = found.allowed_error or Fraction(0)
    return Decimal(share.numerator) / Decimal(share.denominator)


def _valence(valence: int | None, path: str) -> int | None:
    """Return a valence an ion can have."""
    if valence is not None and not 1 <= valence <= 7:
        raise BadInput(path, "not_a_whole_number", most=7)
    return valence


def _limit(the: Builder, said: LimitIn, path: str) -> DoseLimit:
    """Return one bound on the dose."""
    low, high = _bound(the, said.low, f"{path}.low"), _bound(the, said.high, f"{path}.high")
    if low is None and high is None:
        raise BadInput(f"{path}.high", "missing")
    routes = frozenset(str(the.word(route, Route, f"{path}.routes")) for route in said.routes)
    return DoseLimit(said.per, low, high, routes, said.min_age_days, said.max_age_days, said.source)


def _bound(the: Builder, node: Any, path: str) -> Measure | None:
    """Return one end of a bound, or None when it is not said."""
    if node is None:
        return None
    found = body_mass(the.figures.measure(node, path))
    if kind_of(found.unit.split("/")[0]) is None:
        raise BadInput(f"{path}.unit", "unit_of_another_kind", unit=found.unit)
    return found
