"""A multi-dose vial opened for a dose goes back with an in-use label, and its rest is booked."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from kiosk.core.label.code import Kind, ReadCode, read_code
from kiosk.hardware.clock import SetClock
from kiosk.pages.parts import Statement
from kiosk.walkthrough.journeys import insulin_with_second_person, symbol
from tests.counter import NOW, container
from tests.journeys.counters import fresh, opened, the_cast
from tests.journeys.driver_hand import DriverHand, read_label


class Insisting(DriverHand):
    """Answers the caution of a later expiry by holding the same vial up again, as the screen asks."""

    def scan(self, text: str) -> None:
        super().scan(text)
        if self.page().id == "stock" and self.page().findings:
            assert [card.level for card in self.page().findings] == ["caution"]
            self.pass_time(2)
            super().scan(text)


def test_a_fresh_vial_gets_its_in_use_label_and_keeps_what_is_left(tmp_path: Path) -> None:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    cast = the_cast()
    cast = replace(cast, code={**cast.code, "insulin": symbol(container("C054"))})
    insulin_with_second_person(Insisting(driver, clock, home.labels), cast)

    (label,) = home.labels.glob("in-use-*.pdf")
    code = read_code(read_label(label))
    assert isinstance(code, ReadCode)
    assert code.kind is Kind.CONTAINER
    (vial,) = [c for c in store.shelf.containers_of("insulin_soluble", clock.now()) if c.id == code.names]
    # 10 mL less 20 units of 100 units/mL: 0.2 mL. Hand arithmetic.
    assert vial.left is not None
    assert str(vial.left.to("mL").decimal) == "9.8"
    assert vial.opened_at is not None
    assert vial.discard_after is not None
    assert (vial.discard_after - vial.opened_at).days == 28
    store.close()


def test_until_when_the_syringe_may_be_used_is_shown_with_every_limit_and_its_source(tmp_path: Path) -> None:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    hand = DriverHand(driver, clock, home.labels)
    insulin_with_second_person(hand, the_cast())
    (page,) = [page for caption, page in hand.looked if caption == "the label may be printed now"]
    assert isinstance(page.control, Statement)
    # Taken up at 08:00: four hours (USP <797>) end at 12:00. The vial was opened three days before and is
    # good for 25 days more, its pack for 190 (demo_db/stock.csv): 10 April, 22 September.
    immediate = "the limit for immediate use (USP <797>, edition official in 2023, immediate use)"
    assert page.control.lines[:3] == (
        f"Discard after 16 Mar 2026 12:00: {immediate}.",
        "Later: 10 Apr 2026 08:00, the in-use time of the opened vial (in-use label of the vial).",
        "Later: 22 Sep 2026 23:59, the expiry on the pack (stated on the pack).",
    )
    assert "12:00" in hand.label_text()
    store.close()
