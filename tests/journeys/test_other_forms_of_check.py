"""Weaker forms of check at a real counter whose site asks for them: pages, record, label, database."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.core.preparation import events as e
from kiosk.core.preparation.form_events import PauseBegan, SelfCheckBegan, Witnessed
from kiosk.feeds.pack_code import code_of
from kiosk.hardware.clock import SetClock
from kiosk.pages.parts import Ground, StepCard
from kiosk.printing.read_back import text_of
from kiosk.store.opening import Store
from kiosk.store.verify import verify
from kiosk.walkthrough.journeys import choose, draw_up, set_plunger, take_up, type_figure
from kiosk.wiring.home import Home
from kiosk.wiring.ward import policy_trouble
from tests.counter import NOW, container
from tests.journeys.counters import fresh, opened, the_cast
from tests.journeys.driver_hand import DriverHand
from tests.journeys.keeper import PREPARER, presses, said, sign_on

CAST = the_cast()
HEADER = (
    "reason,drug,drug_class,routes,from_days,until_days,spoken,trainee,controlled,high_alert,by_body,"
    "above_limit,at_least,unit,form,source,known\n"
)
LINE = "{reason},prochlorperazine,,,,,,,,,,,,,{form},our ward's own rule,common practice\n"


class Counter:
    """One open counter of such a site."""

    def __init__(self, home: Home, store: Store, hand: DriverHand) -> None:
        self.home, self.store, self.hand = home, store, hand

    @property
    def events(self) -> list[e.Event]:
        row = self.store.database.row("SELECT id FROM preparations")
        assert row is not None
        return [entry.event for entry in self.store.ledger.events(row["id"])]


def site_asks(home: Home, form: str, reason: str = "our_antiemetics") -> None:
    home.tables.mkdir(exist_ok=True)
    text = HEADER + LINE.format(reason=reason, form=form)
    (home.tables / "second_person.csv").write_text(text, encoding="utf-8")


@pytest.fixture
def counter(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Counter]:
    clock, home = SetClock(NOW), fresh(tmp_path)
    site_asks(home, request.param)
    store, driver = opened(home, clock)
    yield Counter(home, store, DriverHand(driver, clock, home.labels))
    store.close()


def filled(hand: DriverHand) -> None:
    """An ampoule of prochlorPERazine, drawn up and read."""
    sign_on(hand, PREPARER)
    take_up(hand, CAST.given["ampoule_order"])
    hand.press("take-up")
    hand.scan(CAST.code["ampoule"])
    type_figure(hand, CAST.given["ampoule_figure"])
    presses(hand, ["commit", "go-on"])
    choose(hand, "syringe")
    choose(hand, "draw-up-device")
    choose(hand, "needle")
    draw_up(hand)
    hand.wait("reading")
    set_plunger(hand, int(CAST.given["ampoule_half_lines"]))
    hand.press("commit")


def label_says(counter: Counter) -> str:
    counter.hand.wait("label")
    counter.hand.press("print")
    counter.hand.wait("scan-back")
    (label,) = counter.home.labels.glob("*.pdf")
    return " ".join(text_of(label.read_bytes()).split())


def holds(counter: Counter) -> bool:
    return verify(counter.home.database, counter.store.keys).whole


@pytest.mark.parametrize("counter", ["self-check after a pause"], indirect=True)
def test_one_person_steps_back_reads_again_blind_and_the_label_says_so(counter: Counter) -> None:
    hand = counter.hand
    filled(hand)
    page = hand.wait("self-check-pause")
    assert (page.ground, page.stages, page.in_hand) == (Ground.CHECKER, (), None)
    assert isinstance(page.control, StepCard)
    assert (page.control.left_s, page.control.done.enabled) == (120, False)
    hand.pass_time(119)
    assert not hand.page().control.done.enabled  # type: ignore[union-attr]
    hand.pass_time(1)
    hand.press("begin-self-check")
    hand.wait("call-back")
    sign_on(hand, PREPARER)  # once more badge and PIN: whoever stands here now is the one who reads
    hand.wait("check-container")
    hand.scan(code_of(container(CAST.given["ampoule"])))
    hand.wait("check-figure")
    type_figure(hand, CAST.given["ampoule_figure"])
    hand.press("commit")
    needle = next(one for one in counter.events if isinstance(one, e.NeedleTaken))
    hand.wait("check-needle")
    hand.press(f"choose:{needle.needle}")
    hand.wait("check-plunger")
    set_plunger(hand, int(CAST.given["ampoule_half_lines"]))
    hand.press("commit")
    assert hand.wait("compare").question == "Your second reading and the kiosk agree"
    hand.press("go-on")
    assert "self-check only" in label_says(counter)
    kinds = [type(event) for event in counter.events]
    assert kinds.index(PauseBegan) < kinds.index(SelfCheckBegan) < kinds.index(e.Vouched)
    assert holds(counter)


@pytest.mark.parametrize("counter", ["self-check after a pause"], indirect=True)
def test_a_slip_in_the_second_reading_is_said_by_where_and_read_once_more(counter: Counter) -> None:
    hand = counter.hand
    filled(hand)
    hand.pass_time(120)
    hand.press("begin-self-check")
    sign_on(hand, PREPARER)
    hand.scan(code_of(container(CAST.given["ampoule"])))
    type_figure(hand, "10")
    hand.press("commit")
    needle = next(one for one in counter.events if isinstance(one, e.NeedleTaken))
    hand.press(f"choose:{needle.needle}")
    set_plunger(hand, int(CAST.given["ampoule_half_lines"]))
    hand.press("commit")
    assert hand.wait("compare").question == "Your second reading differs here"
    hand.press("go-on")
    sign_on(hand, PREPARER)
    hand.wait("check-figure")
    type_figure(hand, "10")
    hand.press("commit")
    presses(hand, ["go-on"])
    hand.wait("must-discard")


@pytest.mark.parametrize("counter", ["seen by a witness"], indirect=True)
def test_a_witness_sees_it_and_the_label_does_not_call_it_a_check(counter: Counter) -> None:
    hand = counter.hand
    filled(hand)
    page = hand.wait("call-witness")
    assert (page.ground, page.stages) == (Ground.CHECKER, ())
    sign_on(hand, "N05")  # Zofia Larkmeadow may check, not witness
    assert said(hand)
    hand.wait("call-witness")
    sign_on(hand, PREPARER)
    hand.wait("call-witness")
    sign_on(hand, "W01")
    printed = label_says(counter)
    assert "seen, not checked" in printed
    assert "TG" in printed  # the witness's initials
    assert Witnessed("W01") in counter.events
    row = counter.store.database.row("SELECT needs_second, checker, witness FROM preparations")
    assert row is not None
    assert (row["needs_second"], row["checker"], row["witness"]) == (0, None, "W01")
    assert holds(counter)


@pytest.mark.parametrize("counter", ["seen by a witness"], indirect=True)
def test_a_witness_cannot_have_another_part_in_the_syringe(counter: Counter) -> None:
    """The database alone refuses it too: one role a person and syringe."""
    import sqlite3

    hand = counter.hand
    filled(hand)
    sign_on(hand, "W01")
    hand.wait("label")
    with pytest.raises(sqlite3.IntegrityError):
        counter.store.database.raw.execute(
            "INSERT INTO roles SELECT preparation, person, 'checker' FROM roles WHERE person = 'W01'"
        )


@pytest.mark.parametrize("reason", ["high_alert_drug", "controlled_drug"])
def test_a_site_that_weakens_a_published_reason_is_not_opened(tmp_path: Path, reason: str) -> None:
    home = Home(tmp_path)
    site_asks(home, "seen by a witness", reason)
    assert policy_trouble(home.folder) == f"check_policy.csv: policy_form_too_weak: {reason}"


def test_by_default_nobody_is_asked_for_any_of_them(tmp_path: Path) -> None:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    hand = DriverHand(driver, clock, home.labels)
    filled(hand)
    hand.wait("label")
    store.close()
