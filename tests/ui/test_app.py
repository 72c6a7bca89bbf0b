"""The whole window: paints first, opens the driver, listens, ticks, stops, and does not close by itself."""

from __future__ import annotations

from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication

from kiosk.hardware.wedge import Wedge
from kiosk.pages.parts import Ground, Page, Statement
from kiosk.ui.app import Kiosk, Outfit, occupy, run
from kiosk.ui.libraries import NoDisplay
from kiosk.ui.settings import Settings
from kiosk.ui.start import Frame, place
from tests.ui.sample_pages import english, trouble
from tests.ui.small_driver import SmallDriver

OPENING = Page("opening", Ground.DOOR, "Prep Counter", "One moment.", Statement((), ()))
WINDOWED = Settings(full_screen=False)


@pytest.fixture
def make_kiosk(qapp, shipped, say):
    made = []

    def make(**changes):
        outfit = Outfit(shipped, say, Wedge, lambda bug: trouble(english), WINDOWED)
        kiosk = Kiosk(replace(outfit, **changes))
        made.append(kiosk)
        return kiosk

    yield make
    for kiosk in made:
        kiosk.close()
        kiosk.window.may_close = lambda: True
        kiosk.window.close()
        kiosk.window.deleteLater()


@pytest.fixture
def driver():
    return SmallDriver()


def opened(qtbot, kiosk, driver):
    kiosk.open(OPENING, lambda background: driver)
    qtbot.waitUntil(lambda: kiosk.conductor.driver is driver)
    return kiosk


def test_the_first_page_is_painted_before_the_driver_is_opened(qtbot, make_kiosk, driver):
    kiosk = make_kiosk()
    seen = []

    def open_driver(background):
        seen.append(kiosk.window.shell.page.id)
        assert background is kiosk.worker
        return driver

    kiosk.open(OPENING, open_driver)
    assert seen == []
    qtbot.waitUntil(lambda: seen == ["opening"])
    qtbot.waitUntil(lambda: kiosk.window.shell.page.id == "volume")


def test_real_clicks_type_a_figure(qtbot, make_kiosk, driver):
    kiosk = opened(qtbot, make_kiosk(), driver)
    for name in ("digit:0", "point", "digit:5"):
        qtbot.mouseClick(kiosk.window.key(name), Qt.MouseButton.LeftButton)
    assert kiosk.window.control().display.typed == "0.5"


def strike(widget, text, at_ms, key=0):
    event = QKeyEvent(QEvent.Type.KeyPress, key, Qt.KeyboardModifier.NoModifier, text)
    event.setTimestamp(at_ms)
    QApplication.sendEvent(widget, event)


def test_typing_fills_the_field_and_a_scan_goes_to_the_driver_without_touching_it(qtbot, make_kiosk, driver):
    kiosk = opened(qtbot, make_kiosk(), driver)
    for n, character in enumerate("0.5"):
        strike(kiosk.window, character, 1000 + 150 * n)
    qtbot.waitUntil(lambda: driver.typed == "0.5")
    for n, character in enumerate("10K7704"):
        strike(kiosk.window, character, 9000 + 4 * n)
    strike(kiosk.window, "\r", 9030, Qt.Key.Key_Return)
    assert driver.calls[-1] == ("scan", "10K7704")
    assert driver.typed == "0.5"


def test_time_passes_for_the_driver(qtbot, make_kiosk, driver):
    opened(qtbot, make_kiosk(), driver)
    qtbot.waitUntil(lambda: driver.ticks >= 2)


def test_a_driver_that_cannot_be_opened_is_a_calm_page(qtbot, make_kiosk, monkeypatch):
    monkeypatch.setattr("sys.excepthook", lambda *bug: None)
    kiosk = make_kiosk()

    def broken(background):
        raise OSError("no disk")

    kiosk.open(OPENING, broken)
    qtbot.waitUntil(lambda: kiosk.window.shell.page.id == "trouble")


def test_the_window_does_not_close_unless_it_may(qtbot, make_kiosk, driver):
    allowed = []
    kiosk = opened(qtbot, make_kiosk(may_close=lambda: bool(allowed)), driver)
    assert not kiosk.window.close()
    assert kiosk.window.isVisible()
    allowed.append(True)
    assert kiosk.window.close()


def test_when_a_keeper_ends_the_work_the_program_leaves(qtbot, make_kiosk, driver, monkeypatch):
    codes = []
    monkeypatch.setattr(QApplication, "exit", codes.append)
    over = []
    kiosk = opened(qtbot, make_kiosk(ended=lambda: bool(over)), driver)
    over.append(True)
    kiosk.conductor.press("digit:1")
    assert codes == [0]
    assert kiosk.conductor.driver is None


def test_settings_in_force_dress_the_window_anew(qtbot, make_kiosk, driver):
    now = [WINDOWED]
    kiosk = opened(qtbot, make_kiosk(settings_now=lambda: now[0]), driver)
    qtbot.mouseClick(kiosk.window.key("digit:4"), Qt.MouseButton.LeftButton)
    now[0] = replace(WINDOWED, theme="night", sound=False)
    qtbot.waitUntil(lambda: kiosk.window.shell.look.theme.name == "night")
    assert kiosk.window.control().display.typed == "4", "the page is kept"
    assert not kiosk.bell.on


def test_a_new_size_is_dressed_for(qtbot, make_kiosk, driver):
    kiosk = opened(qtbot, make_kiosk(), driver)
    kiosk.window.resize(800, 1280)
    qtbot.waitUntil(lambda: kiosk.window.shell.standing)
    assert kiosk.window.shell.size() == kiosk.window.size()


def test_the_bell_rings_once_for_a_page(qtbot, make_kiosk, driver):
    kiosk = opened(qtbot, make_kiosk(), driver)
    driver.sound = "refused"
    kiosk.conductor.press("digit:1")
    kiosk.conductor.refresh()
    assert kiosk.bell.strokes == 2


def test_a_slow_job_ends_on_a_new_page(qtbot, make_kiosk, driver):
    kiosk = opened(qtbot, make_kiosk(), driver)
    kiosk.worker(lambda: "7", lambda answer: setattr(driver, "typed", answer))
    qtbot.waitUntil(lambda: kiosk.window.control().display.typed == "7")


def test_the_kiosk_takes_the_whole_screen(qtbot, make_kiosk):
    kiosk = make_kiosk()
    kiosk.window.show_page(OPENING)
    place(kiosk.window, full_screen=True)
    assert kiosk.window.geometry() == kiosk.window.screen().geometry()
    assert kiosk.window.windowFlags() & Qt.WindowType.FramelessWindowHint


def test_a_picture_of_the_window_is_saved(qtbot, make_kiosk, driver, tmp_path):
    kiosk = opened(qtbot, make_kiosk(), driver)
    kiosk.window.grab_to(tmp_path / "page.png")
    assert (tmp_path / "page.png").read_bytes().startswith(b"\x89PNG")
    with pytest.raises(OSError, match="cannot write"):
        kiosk.window.grab_to(tmp_path / "missing" / "page.png")


def test_without_a_display_the_answer_says_so(monkeypatch, shipped, say):
    for name in ("QT_QPA_PLATFORM", "DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    outfit = Outfit(shipped, say, Wedge, lambda bug: trouble(english))
    assert run(lambda background: SmallDriver(), OPENING, outfit) == NoDisplay("none")


def test_moments_are_written_when_asked_for(qtbot, make_kiosk, driver, monkeypatch, capsys):
    monkeypatch.setenv("KIOSK_TIMING", "1")
    kiosk = opened(qtbot, make_kiosk(), driver)
    said: list[str] = []

    def both() -> bool:
        said.append(capsys.readouterr().err)
        return "settled" in "".join(said)

    qtbot.waitUntil(lambda: both() or "ready" in "".join(said))
    kiosk.worker(lambda: 1, lambda answer: None)
    qtbot.waitUntil(both)
    kiosk.worker(lambda: 1, lambda answer: None)
    qtbot.waitUntil(lambda: kiosk.worker.under_way == 0)
    both()
    lines = [line.split() for line in "".join(said).splitlines()]
    assert [line[:2] for line in lines] == [["KIOSK_TIMING", "ready"], ["KIOSK_TIMING", "settled"]]
    assert int(lines[0][2]) < int(lines[1][2])


def test_a_kiosk_occupies_a_frame_that_has_been_painted(qtbot, shipped, say, driver):
    outfit = Outfit(shipped, say, Wedge, lambda bug: trouble(english), WINDOWED)
    frame = Frame(shipped, "day", "One moment", "")
    qtbot.addWidget(frame)
    frame.resize(1280, 800)
    frame.show()
    end = occupy(frame, outfit, lambda background: driver)
    qtbot.waitUntil(lambda: driver.ticks >= 1)
    assert frame.body.shell.page.id == "volume"
    assert frame.body.size() == frame.size()
    assert not frame.close()
    end()
    ticks = driver.ticks
    qtbot.mouseClick(frame.body.key("digit:1"), Qt.MouseButton.LeftButton)
    assert (driver.typed, driver.ticks) == ("", ticks)
    frame.may_close = lambda: True


def test_run_opens_a_window_and_works_until_the_end(qtbot, shipped, say, driver):
    over = []
    outfit = Outfit(shipped, say, Wedge, lambda bug: trouble(english), WINDOWED, ended=lambda: bool(over))

    def open_driver(background):
        over.append(True)
        return driver

    assert run(open_driver, OPENING, outfit) == 0
    assert driver.ticks == 0
