"""One container in the terms of an order. All by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.strength import AmountOnly, Powder
from kiosk.core.dose.order import Order
from kiosk.core.dose.stock_line import StockLine, chosen_line, stock_line
from kiosk.core.findings import Refusal
from tests.core.dose.things import drug, in_volume, line, m, order, powder, vial

TWO_LINES = Powder(m("1 g"), (line(to="5 mL"), line(to="10 mL", routes=frozenset({"intramuscular"}))))


def found(container: Container, of: Order | None = None, by_volume: bool = False) -> StockLine:
    made = stock_line(container, of or order("10 mg"), by_volume, None)
    assert isinstance(made, StockLine), made
    return made


def code(container: Container, of: Order | None = None, by_volume: bool = False) -> str:
    made = stock_line(container, of or order("10 mg"), by_volume, None)
    assert isinstance(made, Refusal), made
    return made.code


def test_a_liquid_keeps_its_label_and_is_told_in_the_drugs_unit() -> None:
    made = found(vial(in_volume("1 g", "10 mL"), "10 mL", left=m("4 mL")))
    assert made.says is not None
    assert (made.says.amount, made.amount, made.per_ml) == (m("1 g"), m("1000 mg"), m("100 mg/mL"))
    assert (made.full, made.available, made.to_mix, made.recipe()) == (m("10 mL"), m("4 mL"), False, ())


def test_a_powder_is_to_be_mixed_until_it_is_opened_or_made_up() -> None:
    label = powder("500 mg", "2.1 mL", "0.4 mL")
    dry = found(vial(label, None, id="v7"))
    assert (dry.full, dry.available, dry.to_mix) == (m("2.5 mL"), m("2.5 mL"), True)
    assert [(step.does, step.container) for step in dry.recipe()] == [("add_diluent", "v7")]
    for wet in (vial(label, None, left=m("1 mL")), vial(label, None, made_up=label.make_ups[0])):
        assert not found(wet).to_mix
        assert found(wet).recipe() == ()


def test_a_used_up_container_holds_nothing() -> None:
    assert found(vial(in_volume("10 mg", "1 mL"), used_up=True)).available == m("0 mL")


def test_an_opened_container_of_unknown_fill_is_counted_by_what_is_left() -> None:
    made = found(vial(in_volume("10 mg", "1 mL"), None, left=m("3 mL")))
    assert (made.full, made.available) == (m("3 mL"), m("3 mL"))


def test_an_order_in_millilitres_may_do_without_a_strength() -> None:
    made = found(vial(AmountOnly(m("10 mg")), "1 mL"), order("0.5 mL"), by_volume=True)
    assert (made.says, made.amount, made.per_ml) == (None, None, None)
    assert code(vial(AmountOnly(m("10 mg")), "1 mL")) == "strength_not_stated"


@pytest.mark.parametrize(
    ("chosen", "asked", "route", "wanted"),
    [
        (None, None, "intravenous", 0),
        (None, None, "intramuscular", "make_up_not_chosen"),
        (None, "100", "intramuscular", 1),
        (None, "200", "intramuscular", 0),
        (None, "150", "intramuscular", "make_up_not_chosen"),
        (1, None, "intramuscular", 1),
        (1, None, "intravenous", "make_up_not_on_label"),
        (1, "200", "intramuscular", 1),
    ],
)
def test_the_label_line_is_chosen_never_guessed(
    chosen: int | None, asked: str | None, route: str, wanted: int | str
) -> None:
    of = order("10 mg", route=route, concentration_asked=Decimal(asked) if asked else None)
    answer = chosen_line(TWO_LINES, of, None if chosen is None else TWO_LINES.make_ups[chosen])
    if isinstance(wanted, int):
        assert answer == TWO_LINES.make_ups[wanted]
    else:
        assert isinstance(answer, Refusal)
        assert answer.code == wanted


def test_lines_that_make_no_sense_give_no_concentration() -> None:
    broken = Powder(m("1 g"), (line(to="0 mL"), line(to="10 mL")))
    asked = order("10 mg", concentration_asked=Decimal(100))
    assert chosen_line(broken, asked, None) == broken.make_ups[1]
    in_units = replace(asked, drug=drug("units"))
    assert isinstance(chosen_line(broken, in_units, None), Refusal)


def test_a_label_with_no_line_for_the_route_says_so() -> None:
    label = Powder(m("1 g"), (line(to="10 mL", routes=frozenset({"intravenous"})),))
    assert code(vial(label, None)) == "make_up_not_for_route"
    assert code(vial(Powder(m("1 g")), None)) == "make_up_not_chosen"


@pytest.mark.parametrize(
    ("ordered", "labelled", "wanted"),
    [("base", "base", "100"), ("salt", "salt", "100"), ("base", "salt", "80"), ("salt", "base", "125")],
)
def test_a_label_is_counted_as_the_order_counts(ordered: str, labelled: str, wanted: str) -> None:
    # 0.8 of the salt is base: 100 mg of salt hold 80 mg of base, 100 mg of base are 125 mg of salt
    of = drug(salt_to_base=Decimal("0.8"))
    made = found(
        vial(in_volume("100 mg", "1 mL"), of=of, stated_as=labelled), order("10 mg", of, stated_as=ordered)
    )
    assert made.amount == m(f"{wanted} mg")


@pytest.mark.parametrize(
    ("container", "of", "by_volume", "wanted"),
    [
        (vial(in_volume("10 mg", "1 mL"), of=drug(id="other")), order("10 mg"), False, "different_drug"),
        (vial(in_volume("10 mg", "1 mL"), None), order("10 mg"), False, "contents_not_known"),
        (vial(in_volume("10 mg", "1 mL"), left=m("-1 mL")), order("10 mg"), False, "left_not_understood"),
        (vial(in_volume("10 units", "1 mL")), order("10 mg"), False, "unit_not_of_this_drug"),
        (vial(in_volume("10 units", "1 mL")), order("1 mL"), True, "unit_not_of_this_drug"),
        (vial(in_volume("10 mg", "1 mL"), stated_as="salt"), order("10 mg"), False,
         "base_or_salt_not_stated"),
        (vial(in_volume("10 mg", "1 mL"), stated_as="salt"), order("10 mg", stated_as="base"), False,
         "salt_equivalence_not_given"),
    ],
)  # fmt: skip
def test_a_container_that_leaves_a_doubt_is_refused(
    container: Container, of: Order, by_volume: bool, wanted: str
) -> None:
    assert code(container, of, by_volume) == wanted


def test_units_have_no_base_and_no_salt() -> None:
    of = drug("units", salt_to_base=Decimal("0.8"))
    container = vial(in_volume("10 units", "1 mL"), of=of, stated_as="salt")
    assert code(container, order("10 units", of, stated_as="base")) == "salt_equivalence_not_given"
