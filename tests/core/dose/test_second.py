"""The second computation shares nothing with the first, and comes to the published answers by itself."""

from __future__ import annotations

import ast
from fractions import Fraction
from pathlib import Path
from random import Random

import pytest

from kiosk.core import units
from kiosk.core.catalogue.people import Patient
from kiosk.core.dose import second, second_dose, second_stock, second_table
from kiosk.core.dose.order import DosePerBody, Ordered
from kiosk.core.dose.second import NotReckoned, Reckoned, TooLittle, reckon
from kiosk.core.units import BASE_UNITS, Measure
from tests.core.dose.random_cases import sound_case
from tests.core.dose.test_ordered import DOUBTFUL_ORDERS, UNKNOWN_SIZES
from tests.core.dose.things import drug, in_volume, m, order, patient, powder, vial

FILES = [Path(str(module.__file__)) for module in (second, second_dose, second_stock, second_table)]
VALUES_ONLY = {  # frozen values that both computations are given, nothing that reckons
    "kiosk.core.catalogue.container",
    "kiosk.core.catalogue.drug",
    "kiosk.core.catalogue.people",
    "kiosk.core.catalogue.strength",
    "kiosk.core.dose.order",
    "kiosk.core.dose.second_dose",
    "kiosk.core.dose.second_stock",
    "kiosk.core.dose.second_table",
    "kiosk.core.units",
}
METHODS = {name for name in vars(Measure) if not name.startswith("_")} - {"value", "unit"}


def imported(path: Path) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            found.setdefault(str(node.module), set()).update(alias.name for alias in node.names)
        if isinstance(node, ast.Import):
            found.update({alias.name: set() for alias in node.names})
    return found


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_it_imports_no_helper_of_the_first(path: Path) -> None:
    ours = {module: names for module, names in imported(path).items() if module.startswith("kiosk")}
    assert ours.keys() <= VALUES_ONLY
    assert ours.get("kiosk.core.units", set()) <= {"Measure"}


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_it_calls_no_method_of_a_measure(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    used = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    assert not used & METHODS


def test_it_reckons_with_the_first_ones_tools_taken_away(monkeypatch: pytest.MonkeyPatch) -> None:
    cases = [sound_case(Random(seed)) for seed in range(200)]
    before = [reckon(case.order, case.containers) for case in cases]

    def gone(*_: object) -> None:
        raise AssertionError("the second computation reached for a tool of the first")

    for name in METHODS | {"__add__", "__sub__", "__lt__", "__le__", "__gt__", "__ge__"}:
        monkeypatch.setattr(Measure, name, gone)
    for name in ("factor", "same_kind", "known_unit", "exact", "registry"):
        monkeypatch.setattr(units, name, gone)
    assert [reckon(case.order, case.containers) for case in cases] == before
    assert sum(isinstance(each, Reckoned) for each in before) > 50


def test_its_table_says_what_the_closed_list_says() -> None:
    # two tables written down separately; here they are held against each other
    assert second_table.SIZES.keys() <= BASE_UNITS.keys()
    for unit, (kind, size) in second_table.SIZES.items():
        for other, (other_kind, other_size) in second_table.SIZES.items():
            assert units.same_kind(unit, other) == (kind == other_kind)
            if kind == other_kind:
                assert units.factor(unit, other) == size / other_size


@pytest.mark.parametrize(
    ("case", "volume", "source"),
    [
        ((order("250 mg"), vial(in_volume("1 g", "10 mL"))), "2.5", "LPN college quiz 1"),
        ((order("20 mg"), vial(in_volume("15 mg", "1 mL"))), "4/3", "LPN college quiz 1"),
        (
            (order(DosePerBody(m("0.5 mg/lb")), to=patient("40 lb")), vial(in_volume("50 mg", "1 mL"))),
            "0.4",
            "MD0904",
        ),
        ((order("200 mg"), vial(powder("500 mg", "2.1 mL", "0.4 mL"), None)), "1", "WHO Pocket Book 2013"),
        (
            (order("50 mg"), vial(powder("250 mg", "5 mL", "0.2 mL"), None)),
            "1.04",
            "Injectable medicines textbook",
        ),
    ],
)
def test_it_comes_to_the_published_answers(case: tuple, volume: str, source: str) -> None:  # type: ignore[type-arg]
    found = reckon(case[0], case[1:])
    assert isinstance(found, Reckoned), source
    assert found.volume == Fraction(volume), source


def test_draws_are_cut_from_running_totals() -> None:
    # hand: 3.2 mL from 2 mL and 2 mL: 2 and 1.2, leaving 0 and 0.8
    ampoules = [vial(in_volume("100 mg", "2 mL"), "2 mL", id=name) for name in "ab"]
    found = reckon(order("160 mg"), ampoules)
    assert found == Reckoned(
        Fraction(160), Fraction(50), Fraction("3.2"),
        (("a", Fraction(2), Fraction(0)), ("b", Fraction("1.2"), Fraction("0.8"))), 2,
    )  # fmt: skip


def test_a_shortage_is_told_in_figures() -> None:
    found = reckon(order("500 mg"), [vial(in_volume("100 mg", "2 mL"), "2 mL")])
    assert found == TooLittle(Fraction(10), Fraction(2), 5)


def test_what_it_cannot_reckon_it_says_and_never_raises() -> None:
    assert isinstance(reckon(order("5 mg"), []), NotReckoned)
    assert isinstance(reckon(order("5 units"), [vial(in_volume("1 mg", "1 mL"))]), NotReckoned)
    other = vial(in_volume("1 units", "1 mL"), of=drug(id="other"))
    assert reckon(order("5 mg"), [other]) == NotReckoned("drug")


@pytest.mark.parametrize(("dose", "_code"), DOUBTFUL_ORDERS)
def test_it_doubts_the_orders_that_the_first_doubts(dose: Ordered, _code: str) -> None:
    bottle = vial(in_volume("1 mg", "1 mL"))
    assert isinstance(reckon(order(dose, to=patient("70 kg", "170 cm")), [bottle]), NotReckoned)


@pytest.mark.parametrize(("to", "basis", "rate", "_code"), UNKNOWN_SIZES)
def test_it_guesses_at_no_patients_size(to: Patient, basis: str, rate: str, _code: str) -> None:
    asked = order(DosePerBody(m(rate)), drug(weight_basis=basis), to)
    assert isinstance(reckon(asked, [vial(in_volume("1 mg", "1 mL"))]), NotReckoned)


def test_it_takes_no_number_of_doses_below_one() -> None:
    asked = order(DosePerBody(m("5 mg/kg")), doses_per_day=0)
    assert isinstance(reckon(asked, [vial(in_volume("1 mg", "1 mL"))]), NotReckoned)


@pytest.mark.parametrize("displacement", ["0.4 mL/mL", "-0.4 mL", "0.4 mg", "0.4 mL/units"])
def test_it_takes_no_displacement_that_means_nothing(displacement: str) -> None:
    made = vial(powder("500 mg", "2 mL", displacement), None)
    assert isinstance(reckon(order("5 mg"), [made]), NotReckoned)
