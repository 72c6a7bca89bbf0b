"""Powders: what a label line leads to, and the lines that fit. Figures published or by hand, as marked."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.catalogue.strength import MakeUp, Powder
from kiosk.core.dose.holds import Have
from kiosk.core.dose.make_up import (
    AGREES_WITHIN,
    displaced_by,
    displacement_of,
    line_for_limit,
    lines_for,
    made_up,
)
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure
from tests.core.dose.things import line, m, powder

MULTI = Powder(
    m("5000000 units"),
    (
        line("18 mL", strength="250000 units/mL"),
        line("8 mL", strength="500000 units/mL"),
        line("3 mL", strength="1000000 units/mL", routes=frozenset({"intramuscular"})),
    ),
)
WHO = "WHO Pocket Book of Hospital Care for Children, 2nd edition 2013, Annex 2"


def liquid(made: Powder) -> Have:
    found = made_up(made, made.make_ups[0])
    assert isinstance(found, Have), found
    return found


def code(answer: object) -> str:
    assert isinstance(answer, Refusal), answer
    return answer.code


@pytest.mark.parametrize(
    ("made", "contents", "per_ml", "source"),
    [
        (powder("500 mg", "2.1 mL", to="2.5 mL"), "2.5 mL", "200 mg/mL", WHO),
        (powder("1 g", "9.6 mL", to="10 mL"), "10 mL", "0.1 g/mL", WHO),
        (
            powder("250 mg", "4.8 mL", "0.2 mL"),
            "5 mL",
            "50 mg/mL",
            "Injectable medicines textbook, displacement",
        ),
        (powder("250 mg", None, "0.2 mL", to="5 mL"), "5 mL", "50 mg/mL", "Injectable medicines textbook"),
        (powder("1 g", "9 mL", "0.7 mL/g"), "9.7 mL", "10000/97 mg/mL", "hand: 9 + 0.7"),
        (powder("2 g", "18 mL", "1 mL/g"), "20 mL", "100 mg/mL", "hand: 18 + 2"),
        (powder("500 mg", "10 mL", "0 mL"), "10 mL", "50 mg/mL", "hand: the label says it may be ignored"),
        (powder("5000000 units", "3 mL", strength="1000000 units/mL"), "5 mL", "1000000 units/mL", "MD0904"),
    ],
)
def test_a_line_leads_to_a_volume_and_a_strength(
    made: Powder, contents: str, per_ml: str, source: str
) -> None:
    found = liquid(made)
    assert found.contents == m(contents), source
    assert found.per_ml.same(m(per_ml)), source


@pytest.mark.parametrize(
    ("made", "wanted", "source"),
    [
        (powder("5000000 units", "3 mL", to="5 mL"), "2 mL", "US Army MD0904, final examination"),
        (powder("500 mg", "2.1 mL", to="2.5 mL"), "0.4 mL", WHO),
        (powder("1 g", "9.6 mL", to="10 mL"), "0.4 mL", WHO),
        (powder("2 g", "19 mL", to="20 mL"), "1 mL", WHO),
        (powder("1 g", "9 mL", "0.7 mL"), "0.7 mL", "hand: as stated"),
        (powder("2 g", "9 mL", "0.7 mL/g"), "1.4 mL", "hand: 2 x 0.7"),
        (powder("500 mg", "1.6 mL", strength="250 mg/mL"), "0.4 mL", "hand: 500 / 250 - 1.6"),
    ],
)
def test_what_a_powder_takes_up_is_the_final_volume_less_the_diluent(
    made: Powder, wanted: str, source: str
) -> None:
    assert displacement_of(made, made.make_ups[0]) == m(wanted), source


@pytest.mark.parametrize(
    ("made", "wanted"),
    [
        (powder("500 mg", to="5 mL"), "strength_after_mixing_not_stated"),
        (powder("500 mg", "5 mL"), "strength_after_mixing_not_stated"),
        (powder("500 mg", "5 mL", "1 kg"), "make_up_not_understood"),
    ],
)
def test_what_a_powder_takes_up_is_not_guessed(made: Powder, wanted: str) -> None:
    assert code(displacement_of(made, made.make_ups[0])) == wanted


def test_statements_of_one_label_may_lie_apart_by_its_rounding_and_no_further() -> None:
    share = AGREES_WITHIN
    exact = Measure(Fraction(10), "mL")
    for off, agrees in ((share, True), (share + Fraction(1, 1000), False)):
        other = exact.scaled(1 + off)
        found = made_up(Powder(m("1 g"), ()), MakeUp("water", None, None, other, m("100 mg/mL")))
        assert isinstance(found, Have) == agrees
    less = made_up(Powder(m("1 g"), ()), MakeUp("water", m("10.6 mL"), None, None, m("100 mg/mL")))
    assert code(less) == "make_up_contradicts"


def test_the_labels_own_strength_counts_before_its_volume_and_its_sum() -> None:
    # hand: 1 g at 330 mg/mL is 3.03 mL, stated 3 mL, 2.5 + 0.5 = 3 mL
    made = powder("1 g", "2.5 mL", "0.5 mL", to="3 mL", strength="330 mg/mL")
    found = liquid(made)
    assert found.per_ml == m("330 mg/mL")
    assert found.contents == Measure(Fraction(100, 33), "mL")
    assert [f.id for f in found.findings] == ["make_up_label_rounded"]
    assert found.findings[0].facts["other"] == m("3 mL")


def test_lines_hold_for_the_routes_they_name_or_for_all() -> None:
    assert lines_for(MULTI) == MULTI.make_ups
    assert lines_for(MULTI, "intramuscular") == MULTI.make_ups
    assert lines_for(MULTI, "intravenous") == MULTI.make_ups[:2]


def test_the_weakest_solution_that_fits_one_injection_is_found() -> None:
    # multi-strength label table of nursing textbooks: 600,000 units, at most 1 mL: add 3 mL
    assert line_for_limit(MULTI, MULTI.make_ups, m("600000 units"), m("1 mL")) == MULTI.make_ups[2]
    assert line_for_limit(MULTI, MULTI.make_ups, m("600000 units"), m("1.2 mL")) == MULTI.make_ups[1]
    assert line_for_limit(MULTI, MULTI.make_ups, m("600000 units"), m("5 mL")) == MULTI.make_ups[0]


@pytest.mark.parametrize(("dose", "largest"), [("6000000 units", "1 mL"), ("600 mg", "5 mL")])
def test_a_dose_no_line_fits_is_refused(dose: str, largest: str) -> None:
    assert code(line_for_limit(MULTI, MULTI.make_ups, m(dose), m(largest))) == "no_line_within_limit"


def test_a_displacement_per_mass_needs_a_powder_counted_by_mass() -> None:
    assert displaced_by(m("2 g"), m("0.5 mL/g")) == m("1 mL")
    assert code(displaced_by(m("2 units"), m("0.5 mL/g"))) == "make_up_not_understood"
    assert code(displaced_by(m("2 g"), m("0.5 mL/units"))) == "make_up_not_understood"
    assert code(displaced_by(m("2 g"), Measure(Fraction(1), "pinch"))) == "make_up_not_understood"


@given(st.integers(1, 5000), st.integers(1, 500), st.integers(0, 100))
def test_what_is_added_and_what_is_taken_up_are_all_there_is(mg: int, added: int, taken_up: int) -> None:
    diluent, own = Measure(Fraction(added, 10), "mL"), Measure(Fraction(taken_up, 10), "mL")
    found = made_up(Powder(Measure(Fraction(mg), "mg"), ()), MakeUp("water", diluent, own))
    assert isinstance(found, Have)
    assert found.contents == diluent + own
    assert found.per_ml.times(diluent + own, "mg") == Measure(Fraction(mg), "mg")
