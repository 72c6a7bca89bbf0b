"""A recall reaches sealed stock, open vials, syringes under way and patients: nothing more, nothing less."""

from __future__ import annotations

from datetime import timedelta

from kiosk.core.catalogue.container import Form
from kiosk.core.checks.check import ContainerCase, run
from kiosk.core.checks.container_checks import CONTAINER_CHECKS
from kiosk.core.stock.recall import Recall, Use, quarantined, touched
from tests.core.samples import NOW, a_container, a_product, an_order

VIAL = a_product(id="vial", form=Form.MULTI_DOSE_VIAL, contents="10")
DAY = timedelta(days=1)
LOT = Recall(VIAL.gtin, frozenset({"A1"}), NOW, "k1", "particles")


def use(preparation: str, patient: str, *, lot: str = "A1", outcome: str = "finished", days: int = 0) -> Use:
    return Use(preparation, patient, "c1", VIAL.gtin, lot, NOW + days * DAY, outcome)


def test_a_lot_reaches_its_stock_its_syringes_and_its_patients() -> None:
    sealed = a_container(VIAL, id="sealed")
    opened = a_container(VIAL, id="opened", left="4", opened_at=NOW - DAY, discard_after=NOW + DAY)
    other = a_container(VIAL, id="other", lot="B2")
    uses = [
        use("s3", "p1", days=3),
        use("s1", "p2", days=1),
        use("s2", "p1", days=2),
        use("s4", "p3", outcome=""),
        use("s5", "p4", outcome="discarded"),
        use("s6", "p5", lot="B2"),
    ]
    found = touched(LOT, [sealed, opened, other], uses)
    assert found.sealed == (sealed,)
    assert found.opened == (opened,)
    assert [one.preparation for one in found.unfinished] == ["s4"]
    assert [one.preparation for one in found.finished] == ["s1", "s2", "s3"]
    assert found.patients == ("p2", "p1")


def test_a_recall_without_lots_is_of_the_whole_product_and_of_no_other() -> None:
    every = Recall(VIAL.gtin, frozenset(), NOW, "k1", "label wrong")
    assert every.means(VIAL.gtin, "any")
    assert not every.means("09520000000011", "any")


def test_what_is_set_aside_is_refused_by_the_check() -> None:
    (aside,) = quarantined(LOT, [a_container(VIAL), a_container(VIAL, id="b", lot="B2")])
    found = run(CONTAINER_CHECKS, ContainerCase(an_order(), aside, (), NOW))
    assert "recalled" in {finding.id for finding in found}
