"""The world's troubles at a real counter: a calm screen, nothing printed, nothing lost, and back to work.

Each trouble is a real one: a file moved away, bytes changed in a page of the database, a lock held by
another process, rights taken away, a folder that is gone. Expected words: ours, from resources/words.
"""

from __future__ import annotations

import resource
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import pytest

from kiosk.core.preparation import events as e
from kiosk.core.preparation.house_events import SignedOn
from kiosk.hardware.clock import SetClock
from kiosk.pages.parts import Ground, Page
from kiosk.pages.patience import BETWEEN_TRIES
from kiosk.store.opening import Store
from kiosk.store.verify import verify
from kiosk.walkthrough.journeys import choose, draw_up, set_plunger, take_up, type_figure
from kiosk.wiring.home import Home
from tests.counter import NOW
from tests.journeys.counters import fresh, opened, opened_store, the_cast
from tests.journeys.driver_hand import DriverHand, keys_of
from tests.journeys.keeper import KEEPER, PREPARER, at_desk, badge, house, presses, sign_on
from tests.journeys.windows import a_window

CAST = the_cast()
HOLDER = """
import sqlite3, sys
held = sqlite3.connect(sys.argv[1], isolation_level=None)
held.execute("BEGIN EXCLUSIVE")
print("held", flush=True)
sys.stdin.readline()
held.execute("ROLLBACK")
"""


@dataclass
class Counter:
    """A counter and the hand at it."""

    home: Home
    store: Store
    hand: DriverHand

    def page(self) -> Page:
        return self.hand.page()


@pytest.fixture
def counter(tmp_path: Path) -> Iterator[Counter]:
    home = fresh(tmp_path)
    clock = SetClock(NOW)
    store, driver = opened(home, clock)
    yield Counter(home, store, DriverHand(driver, clock, home.labels))
    store.close()


@contextmanager
def held_elsewhere(database: Path) -> Iterator[None]:
    """Another process holds the exclusive lock of the database."""
    command = [sys.executable, "-c", HOLDER, str(database)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as other:
        assert other.stdin is not None
        assert other.stdout is not None
        assert other.stdout.readline() == "held\n"
        yield
        other.stdin.write("\n")
        other.stdin.flush()


@contextmanager
def away(path: Path) -> Iterator[None]:
    """A file or folder is not where it was."""
    elsewhere = path.with_name(f"{path.name}.elsewhere")
    path.rename(elsewhere)
    yield
    elsewhere.rename(path)


@contextmanager
def replaced(path: Path) -> Iterator[None]:
    """Another file stands under the name of the database: a copy, for instance, put back too early."""
    elsewhere = path.with_name(f"{path.name}.elsewhere")
    path.rename(elsewhere)
    path.write_bytes(elsewhere.read_bytes())
    yield
    elsewhere.rename(path)


def page_of(store: Store, table: str) -> int:
    """The number of the page at which a table begins, as SQLite's own catalogue says."""
    row = store.database.row("SELECT rootpage FROM sqlite_master WHERE name = :name", {"name": table})
    assert row is not None
    return int(row[0])


@contextmanager
def damaged(home: Home, store: Store, table: str) -> Iterator[None]:
    """The first page of a table is overwritten on the disk, behind the counter's back."""
    store.database.raw.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
    size = int(store.database.raw.execute("PRAGMA page_size").fetchone()[0])
    at = (page_of(store, table) - 1) * size
    whole = home.database.read_bytes()[at : at + size]
    overwrite(home.database, at, b"\xa5" * size)
    store.database.raw.execute("PRAGMA shrink_memory")
    yield
    overwrite(home.database, at, whole)
    store.database.raw.execute("PRAGMA shrink_memory")


def overwrite(path: Path, at: int, data: bytes) -> None:
    with path.open("r+b") as handle:
        handle.seek(at)
        handle.write(data)


def entries(counter: Counter) -> list[e.Event]:
    return [one.event for one in counter.store.ledger.events(counter.hand.driver.sitting.preparation)]


def is_calm(page: Page, says: str) -> None:
    """One question, what and what now, one key, and nothing of a patient or a dose."""
    assert page.id == "unread"
    assert page.ground is Ground.TROUBLE
    assert page.question == "The record cannot be read"
    assert page.help.startswith(says)
    assert {key.name for key in keys_of(page)} == {"look-again"}
    assert page.slip is None
    assert page.stages == ()
    assert page.findings == ()


@contextmanager
def no_room(database: Path) -> Iterator[None]:
    """The log may not grow any more; for a really full disk see tests.durability.full_disk."""
    size = database.with_name(f"{database.name}-wal").stat().st_size
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    yield
    resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


# -- reading -------------------------------------------------------------------------------------------


Trouble = Callable[[Counter, str], object]
READ_TROUBLES: dict[str, tuple[Trouble, str]] = {
    "a damaged page": (lambda c, table: damaged(c.home, c.store, table), "A part of the record is damaged."),
    "a file moved away": (lambda c, _: away(c.home.database), "The file of the record is no longer"),
    "a file replaced": (lambda c, _: replaced(c.home.database), "The file of the record is no longer"),
}


@pytest.mark.parametrize("name", READ_TROUBLES)
def test_the_doses_due_cannot_be_read_and_come_back_by_themselves(counter: Counter, name: str) -> None:
    trouble, says = READ_TROUBLES[name]
    hand = counter.hand
    sign_on(hand, PREPARER)
    before = hand.wait("due")
    with trouble(counter, "orders"):  # type: ignore[attr-defined]
        hand.driver.tick()
        is_calm(hand.page(), says)
        hand.press("look-again")
        assert hand.page().heard == "Looked again at 08:00"
    hand.driver.tick()
    assert hand.wait("due").control == before.control


@pytest.mark.parametrize("name", READ_TROUBLES)
def test_a_syringe_under_way_waits_where_it_was(counter: Counter, name: str) -> None:
    trouble, says = READ_TROUBLES[name]
    hand = counter.hand
    sign_on(hand, PREPARER)
    take_up(hand, CAST.given["ampoule_order"])
    hand.press("take-up")
    before, on_record = hand.wait("stock"), entries(counter)
    with trouble(counter, "containers"):  # type: ignore[attr-defined]
        hand.driver.tick()
        is_calm(hand.page(), says)
        hand.scan(CAST.code["ampoule"])
        assert hand.page().heard == "Not taken: the record cannot be read"
    assert hand.wait("stock").in_hand == before.in_hand
    assert entries(counter) == on_record
    hand.pass_time(2)
    hand.scan(CAST.code["ampoule"])
    hand.wait("volume")


def test_a_screen_left_in_trouble_locks_and_opens_again_when_it_is_over(counter: Counter) -> None:
    hand = counter.hand
    sign_on(hand, PREPARER)
    hand.wait("due")
    with away(counter.home.database):
        hand.pass_time(180)
        hand.driver.tick()
        hand.wait("locked")
        hand.scan(badge(PREPARER))
        assert hand.page().id == "locked"
        (card,) = hand.page().findings
        assert card.what == "That was not done to its end: the record could not be read."
    sign_on(hand, PREPARER)
    hand.wait("due")
    assert house(counter.store, SignedOn)[-1] == SignedOn(PREPARER)


def test_an_order_that_could_not_be_read_is_asked_for_again(counter: Counter) -> None:
    """The list is on the screen already; the key is pressed in the very moment of the trouble."""
    hand = counter.hand
    sign_on(hand, PREPARER)
    page = hand.wait("due")
    (first, *_) = page.control.rows  # type: ignore[union-attr]
    with away(counter.home.database):
        hand.driver.press(first.key.name)
        assert hand.driver.sitting.order is None
    hand.press(first.key.name)
    hand.wait("order")


@pytest.mark.parametrize("room", ["staff", "stock", "record", "policies"])
def test_the_keepers_desk_waits_too(counter: Counter, room: str) -> None:
    hand = counter.hand
    at_desk(hand, room)
    before = hand.page()
    with away(counter.home.database):
        for key in [key for key in keys_of(before.control) if key.enabled][:4]:
            hand.driver.press(key.name)
            hand.driver.tick()
            assert hand.page().ground in (Ground.TROUBLE, Ground.BENCH)
    hand.driver.tick()
    assert hand.page().id != "unread"
    assert hand.driver.sitting.person is not None
    assert hand.driver.sitting.person.id == KEEPER


# -- writing -------------------------------------------------------------------------------------------


def to_volume(hand: DriverHand) -> None:
    """Up to a committed figure's place: 20 units of insulin for Tobias Wrenfield."""
    sign_on(hand, PREPARER)
    take_up(hand, CAST.given["insulin_order"])
    hand.press("take-up")
    hand.scan(CAST.code["insulin"])
    hand.wait("volume")


def test_a_figure_committed_to_a_record_that_is_held_is_kept_and_written_once_it_is_free(
    counter: Counter,
) -> None:
    hand = counter.hand
    to_volume(hand)
    type_figure(hand, CAST.given["insulin_figure"])
    with held_elsewhere(counter.home.database):
        hand.press("commit")
        page = hand.wait("trouble")
        assert page.help.startswith("Another program holds the record.")
        assert {key.name for key in keys_of(page) if key.enabled} == {"retry"}
        hand.press("retry")
        hand.wait("trouble")
    hand.press("retry")
    hand.wait("working")
    assert [type(one) for one in entries(counter)].count(e.VolumeCommitted) == 1


def test_a_figure_committed_to_a_file_that_is_gone_is_not_lost_in_it(counter: Counter) -> None:
    """The system would go on writing into a file without a name; what is answered must be found again."""
    hand = counter.hand
    to_volume(hand)
    type_figure(hand, CAST.given["insulin_figure"])
    with away(counter.home.database):
        hand.press("commit")
        assert hand.wait("trouble").help.startswith("The file of the record is no longer where it was.")
    hand.press("retry")
    hand.wait("working")
    assert verify(counter.home.database, counter.store.keys).whole


def test_a_figure_committed_where_nothing_more_fits_waits_for_room(counter: Counter) -> None:
    hand = counter.hand
    to_volume(hand)
    type_figure(hand, CAST.given["insulin_figure"])
    before = entries(counter)
    with no_room(counter.home.database):
        hand.press("commit")
        hand.wait("trouble")
        assert entries(counter) == before
    hand.press("retry")
    hand.wait("working")
    assert verify(counter.home.database, counter.store.keys).whole


def test_a_log_that_is_gone_stops_the_writing_too(counter: Counter) -> None:
    hand = counter.hand
    to_volume(hand)
    type_figure(hand, CAST.given["insulin_figure"])
    with away(counter.home.database.with_name(f"{counter.home.database.name}-wal")):
        hand.press("commit")
        assert hand.wait("trouble").help.startswith("The file of the record is no longer where it was.")
    hand.press("retry")
    hand.wait("working")


def test_the_screen_goes_on_answering_while_sign_offs_wait_for_a_record_that_is_held(
    counter: Counter, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each try may wait for seconds: it is made once in a while, not at each of four ticks a second."""
    hand, tries = counter.hand, []
    to_volume(hand)
    sign_off = counter.store.people.sign_off
    monkeypatch.setattr(counter.store.people, "sign_off", lambda *a: (tries.append(a), sign_off(*a)))
    with held_elsewhere(counter.home.database):
        hand.pass_time(180)
        for _ in range(40):
            hand.driver.tick()
        assert len(tries) == 1
        hand.wait("locked")
    hand.pass_time(int(BETWEEN_TRIES.total_seconds()))
    hand.driver.tick()
    assert len(tries) == 2
    assert hand.driver.owed == []


# -- the label -----------------------------------------------------------------------------------------


def to_label(hand: DriverHand) -> None:
    """Make the ampoule's syringe as far as its label."""
    sign_on(hand, PREPARER)
    take_up(hand, CAST.given["ampoule_order"])
    hand.press("take-up")
    hand.scan(CAST.code["ampoule"])
    hand.wait("volume")
    type_figure(hand, CAST.given["ampoule_figure"])
    presses(hand, ["commit", "go-on"])
    for page in ("syringe", "draw-up-device", "needle"):
        choose(hand, page)
    draw_up(hand)
    set_plunger(hand, int(CAST.given["ampoule_half_lines"]))
    hand.press("commit")
    hand.wait("label")


def labels(counter: Counter) -> list[Path]:
    return list(counter.home.labels.parent.rglob("*.pdf"))


def test_with_the_folder_of_labels_gone_nothing_is_printed_and_it_is_said(counter: Counter) -> None:
    hand = counter.hand
    to_label(hand)
    with away(counter.home.labels):
        hand.driver.tick()
        assert "Label printer not ready" in hand.page().foot.devices  # type: ignore[union-attr]
        hand.press("print")
        page = hand.wait("label")
        assert page.findings[0].what == "The label did not come out."
        assert page.findings[0].why == "The folder for labels is not there."
        assert labels(counter) == []
    hand.press("print")
    hand.wait("scan-back")
    assert len(labels(counter)) == 1


@pytest.mark.parametrize("name", ["a file moved away", "a lock held"])
def test_without_a_record_no_label_comes_out(counter: Counter, name: str) -> None:
    hand = counter.hand
    to_label(hand)
    database = counter.home.database
    with away(database) if name == "a file moved away" else held_elsewhere(database):
        hand.driver.press("print")
        assert hand.page().id in {"trouble", "unread"}
        assert labels(counter) == []
    if hand.page().id == "trouble":
        hand.press("retry")
    else:
        hand.press("print")
    hand.wait("scan-back")
    assert len(labels(counter)) == 1


# -- in the window ---------------------------------------------------------------------------------------


def test_in_the_window_a_damaged_page_is_a_calm_screen_and_no_stop(tmp_path: Path) -> None:
    """The same in the window that people see: it does not stop as it does for a fault of its own."""
    home = fresh(tmp_path)
    clock = SetClock(NOW)
    store = opened_store(home)
    with a_window(home, store, clock) as walk:
        walk.scan(badge(PREPARER))
        walk.press(*(f"digit:{digit}" for digit in CAST.pin["preparer"]), "commit")
        before = walk.page
        assert before.id == "due"
        with damaged(home, store, "orders"):
            walk.kiosk.conductor.tick()
            is_calm(walk.page, "A part of the record is damaged.")
            walk.press("look-again")
            assert walk.page.id == "unread"
            assert walk.kiosk.conductor.stopped is None
        walk.kiosk.conductor.tick()
        assert walk.page.id == "due"
        assert walk.page.control == before.control
    store.close()
