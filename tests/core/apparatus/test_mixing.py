"""Two drugs in one syringe: only what a table allows, clear before cloudy."""

from __future__ import annotations

from kiosk.core.apparatus.mixing import drawing_order, may_share
from kiosk.core.catalogue.container import Form
from tests.core.apparatus.samples import CLOUDY, INSULIN, a_container, a_drug, tables

LONG = a_drug("insulin glargine", unit="units", insulin=True, classes=frozenset({"insulin long"}))


def test_clear_short_acting_and_cloudy_insulin_may_share_a_syringe() -> None:
    assert may_share(INSULIN, CLOUDY, tables()) is None
    assert may_share(CLOUDY, INSULIN, tables()) is None
    assert may_share(INSULIN, INSULIN, tables()) is None


def test_long_acting_insulin_shares_with_none() -> None:
    for other in (INSULIN, CLOUDY):
        finding = may_share(LONG, other, tables())
        assert finding is not None
        assert finding.id == "not_in_one_syringe"
        assert finding.source.endswith("(from memory)")


def test_a_pair_no_table_knows_is_refused() -> None:
    finding = may_share(a_drug("one"), a_drug("other"), tables())
    assert finding is not None
    assert finding.facts == {"first": "one", "second": "other"}


def test_clear_is_drawn_before_cloudy_whatever_was_taken_first() -> None:
    clear = a_container(Form.MULTI_DOSE_VIAL, id="clear", drug=INSULIN)
    cloudy = a_container(Form.MULTI_DOSE_VIAL, id="cloudy", drug=CLOUDY)
    assert [c.id for c in drawing_order((cloudy, clear), tables())] == ["clear", "cloudy"]
    assert [c.id for c in drawing_order((clear, cloudy), tables())] == ["clear", "cloudy"]


def test_containers_of_one_drug_keep_the_order_they_were_taken_in() -> None:
    vials = [a_container(Form.MULTI_DOSE_VIAL, id=i, drug=CLOUDY) for i in "bac"]
    assert [c.id for c in drawing_order(vials, tables())] == ["b", "a", "c"]
