"""A lot is recalled at the desk: what it touched is on the screen, and it is refused from then on."""

from __future__ import annotations

from pathlib import Path

from kiosk.feeds.pack_code import code_of
from kiosk.hardware.clock import SetClock
from kiosk.pages.parts import Lines
from kiosk.walkthrough.journeys import ampoule_into_muscle, take_up
from tests.counter import NOW, container
from tests.journeys.counters import fresh, opened, the_cast
from tests.journeys.driver_hand import DriverHand
from tests.journeys.keeper import KEEPER, at_desk, said, sign_on


def test_a_recalled_lot_shows_its_syringe_and_its_patient_and_is_refused(tmp_path: Path) -> None:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    hand = DriverHand(driver, clock, home.labels)
    ampoule_into_muscle(hand, the_cast())  # takes one of four ampoules of lot TWP2317
    hand.press("sign-off")
    at_desk(hand, "stock", KEEPER)
    hand.press("recall")
    hand.wait("keeping-recall")
    hand.pass_time(2)
    hand.scan(code_of(container("C002")))
    page = hand.wait("keeping-reached")
    assert "TWP2317" in page.question
    assert page.help == "3 sealed and 0 open here, 1 syringes, 1 patients."
    assert isinstance(page.control, Lines)
    told = " ".join(f"{line.text} {line.detail}" for line in page.control.lines)
    assert "Mirabel Oakhollow" in told
    assert "D100000: finished" in told
    hand.press("recall")
    hand.wait("keeping-recall-why")
    hand.press("one:maker")
    page = hand.wait("keeping-reached")
    assert page.heard == "Lot TWP2317 is recalled. None of it may be used."
    hand.press("back")
    hand.press("back")
    hand.press("sign-off")

    sign_on(hand, "N03")
    take_up(hand, "O28")
    hand.press("take-up")
    hand.wait("stock")
    hand.pass_time(2)
    hand.scan(code_of(container("C002")))
    assert any("prochlorPERazine" in text or "recalled" in text for text in said(hand))
    recalled = {one.container.id for one in store.stock.holdings() if one.container.recalled}
    assert recalled == {"C002", "C023"}
    store.close()


def test_a_lot_that_was_never_here_is_said_so(tmp_path: Path) -> None:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    hand = DriverHand(driver, clock, home.labels)
    at_desk(hand, "stock", KEEPER)
    hand.press("recall")
    hand.press("type-lot")
    hand.wait("keeping-recall-lot")
    driver.type("NEVER1")
    hand.press("commit")
    hand.wait("keeping-recall-lot")
    assert said(hand) == ["Lot NEVER1 has never stood here."]
    store.close()
