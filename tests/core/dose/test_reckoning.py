"""The figures of a plan told, and what is noticed on the way."""

from __future__ import annotations

from kiosk.core.catalogue.strength import AmountOnly
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.findings import Level
from tests.core.dose.things import drug, in_volume, m, order, plan, powder, vial


def told(made: VolumePlan, form: str = "dimensional") -> list[tuple[str, str]]:
    return [(line.note, line.text) for line in made.working if line.form == form]


def test_an_order_in_millilitres_is_told_with_what_it_carries() -> None:
    made = plan(order("2 mL"), vial(in_volume("80 mg", "2 mL")))
    assert told(made) == [("ordered_as_volume", "2 mL"), ("amount_in_volume", "2 mL × 40 mg/mL = 80 mg")]
    assert told(made) == told(made, "desired over have")


def test_without_a_strength_the_volume_is_all_there_is_to_tell() -> None:
    made = plan(order("0.5 mL"), vial(AmountOnly(m("10 mg")), "1 mL"))
    assert told(made) == [("ordered_as_volume", "0.5 mL"), ("volume_as_ordered", "0.5 mL")]


def test_a_bridge_stands_on_either_side_that_needs_one() -> None:
    ion = drug("mmol", valence=2)
    made = plan(order("16 mEq", ion), vial(in_volume("4 mEq", "1 mL"), of=ion))
    assert told(made)[1:] == [
        ("same_amount_of_drug", "16 mEq = 8 mmol"),
        ("same_amount_of_drug", "4 mEq = 2 mmol"),
        ("volume", "8 mmol × (1 mL / 2 mmol) = 4 mL"),
    ]


def test_the_strength_a_label_states_is_told_as_stated() -> None:
    made = plan(order("330 mg"), vial(powder("1 g", "2.5 mL", strength="330 mg/mL"), None))
    assert told(made) == [
        ("ordered", "330 mg"),
        ("strength_by_label", "330 mg/mL"),
        ("volume", "330 mg × (1 mL / 330 mg) = 1 mL"),
    ]


def test_what_is_noticed_is_no_more_than_a_note() -> None:
    first = vial(powder("1 g", "2.5 mL", to="3 mL", strength="330 mg/mL"), None, id="a", overfill=m("0.1 mL"))
    spare = vial(powder("1 g", "2.5 mL", to="3 mL", strength="330 mg/mL"), None, id="b", overfill=m("0.1 mL"))
    made = plan(order("330 mg"), first, spare)
    assert [(f.id, f.level) for f in made.findings] == [
        ("make_up_label_rounded", Level.NOTE),
        ("container_not_needed", Level.NOTE),
        ("overfill_not_counted", Level.NOTE),
    ]
    assert made.findings[1].facts == {"container": "b"}
    assert made.findings[2].facts == {"container": "a", "overfill": m("0.1 mL")}


def test_an_overfill_of_nothing_is_not_worth_a_word() -> None:
    assert plan(order("5 mg"), vial(in_volume("10 mg", "1 mL"), overfill=m("0 mL"))).findings == ()
    assert plan(order("5 mg"), vial(in_volume("10 mg", "1 mL"), overfill=m("3 mg"))).findings == ()
