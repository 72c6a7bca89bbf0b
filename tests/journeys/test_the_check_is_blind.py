"""While a check is open no figure of the preparer, of the other reader or of the kiosk is anywhere.

In a real window: every widget, shown or not, everything painted since, the clipboard, and all that was
printed or logged. The dose is ordered by weight, so that none of those figures stands in the order itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, is_dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any, get_args, get_type_hints

import pytest
from PySide6.QtWidgets import QApplication

from kiosk.core.apparatus.choices import SyringeOption
from kiosk.core.apparatus.setting import Setting
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.notation import in_words
from kiosk.core.preparation import events as e
from kiosk.core.preparation import plans
from kiosk.core.preparation.check_sheet import CheckSheet
from kiosk.core.preparation.state import Preparation, Stage
from kiosk.core.preparation.two_people import Reference
from kiosk.core.units import Measure
from kiosk.feeds.pack_code import code_of
from kiosk.hardware.clock import SetClock
from kiosk.pages.driver import Driver
from kiosk.pages.making import _tidy
from kiosk.pages.parts import Choices, PlungerSetter
from kiosk.tables.resources import resources
from kiosk.tables.words import words
from kiosk.ui.settings import Settings
from kiosk.ui.walk import NoSuchKey, Walk
from kiosk.walkthrough.journeys import draw_up, take_up, type_figure
from kiosk.walkthrough.window_hand import WindowHand
from kiosk.wiring.counter import open_driver
from kiosk.wiring.window import outfit
from tests.counter import NOW, container
from tests.journeys.counters import fresh, opened_store
from tests.journeys.everything_said import Everything, numbers_in, strings_in
from tests.journeys.keeper import CHECKER, PREPARER, sign_on

ORDER, STOCK = "O08", "C074"  # ampicillin 25 mg/kg into muscle for 6.8 kg; powder, 500 mg
RIGHT, WRONG = "0.85", "8.5"  # 170 mg of 200 mg/mL, by hand; and the tenfold slip
HALF_LINES = 170  # half-lines of 0.005 mL
LINE = "graduation:"


@dataclass
class Check:
    """An open check in a window, and what must not be seen of it."""

    hand: WindowHand
    driver: Driver
    everything: Everything
    printed: Callable[[], str]
    language: str
    secret: set[Fraction]
    needle: set[str]
    words: str

    def is_blind(self, page: str) -> None:
        """Prove one page, whose needles may only be the whole list of the counter."""
        self.hand.wait(page)
        phrases = {self.words} | (set() if page == "check-needle" else self.needle)
        for text in (*self.everything.now(), self.printed()):
            if text.startswith(LINE):  # each line of the barrel has a name: all of them, see below
                continue
            assert not numbers_in(text) & self.secret, (page, text)
            assert not any(phrase in text.replace("\u00a0", " ") for phrase in phrases), (page, text)
        self.everything.forget()


@pytest.fixture(params=["en", "fr"])
def check(
    request: pytest.FixtureRequest,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
    caplog: pytest.LogCaptureFixture,
    qapp: QApplication,
) -> Iterator[Check]:
    """A filled syringe in a real window, the preparer's last figure just committed."""
    language, clock, home = request.param, SetClock(NOW), fresh(tmp_path)
    store, everything = opened_store(home), Everything(monkeypatch)
    quiet = Settings(motion=False, sound=False, full_screen=False)
    walk = Walk(outfit(resources(), dict(words(language)), quiet, may_close=True), (1280, 800))
    drivers: list[Driver] = []

    def opening(background: Any) -> Driver:
        drivers.append(open_driver(store, home, language, clock, background))
        return drivers[0]

    walk.begin(opening)
    hand = WindowHand(walk, clock, home.labels, None, "blind")
    prepare(hand)
    state = drivers[0].state()
    assert state is not None
    option = next(
        one
        for one in plans.syringe_options(state, drivers[0].desk.rules, NOW)
        if state.syringe is not None and one.syringe.id == state.syringe.syringe
    )
    capfd.readouterr()
    caplog.clear()

    def printed() -> str:
        out = capfd.readouterr()
        return "\n".join((out.out, out.err, caplog.text))

    yield Check(
        hand,
        drivers[0],
        everything,
        printed,
        language,
        figures(state, option),
        needle(state),
        figure_in_words(state, language),
    )
    walk.close()
    store.close()


def prepare(hand: WindowHand) -> None:
    """Everything up to the reading that calls the second person, by real keys and scans."""
    sign_on(hand, PREPARER)  # type: ignore[arg-type]
    take_up(hand, ORDER)
    hand.press("take-up")
    hand.wait("stock")
    for _ in range(2):  # held up once, a caution about the volume for this site; held up again, meant
        if hand.page().id == "stock":
            hand.pass_time(2)
            hand.scan(code_of(container(STOCK)))
    hand.wait("volume")
    type_figure(hand, RIGHT)
    hand.press("commit")
    hand.wait("working")
    hand.press("go-on")
    choose_first(hand, "syringe")
    choose_first(hand, "draw-up-device")
    choose_first(hand, "needle")
    draw_up(hand)
    hand.wait("reading")
    set_to(hand, HALF_LINES)
    hand.press("commit")
    hand.wait("call-second")


def choose_first(hand: WindowHand, page: str) -> None:
    control = hand.wait(page).control
    assert isinstance(control, Choices)
    hand.press(next(choice.key.name for choice in control.choices if choice.key.enabled))


def turn_to(hand: WindowHand, name: str) -> None:
    """Turn the pages of a list until a key is on, and press it."""
    for _ in range(20):
        try:
            hand.press(name)
        except NoSuchKey:
            hand.press("turn:on")
        else:
            return
    raise AssertionError(f"{name} is on no page of the list")


def set_to(hand: WindowHand, half_lines: int) -> None:
    for step in (10, 1):
        for _ in range(half_lines // step):
            hand.press(f"plunger:{step}")
        half_lines %= step


def figures(state: Preparation, option: SyringeOption) -> set[Fraction]:
    """Return every figure of the preparer and of the kiosk on this syringe, as a number."""
    plan, setting = plans.sure_plan(state, NOW), option.setting
    assert setting is not None
    assert state.syringe is not None
    assert state.plunger is not None
    known = [
        *(committed.figure for committed in state.figures),
        *(committed.worked_out for committed in state.figures),
        plan.volume,
        plan.dose,
        plan.strength,
        *(take.left for take in plan.takes),
        state.syringe.line,
        state.syringe.line_volume,
        state.syringe.dose_given,
        state.plunger.position,
        *(_tidy(bound) for bound in (setting.least, setting.most)),
    ]
    return {measure.value for measure in known}


def needle(state: Preparation) -> set[str]:
    """Return what would name the chosen needle: gauge, length, its id."""
    assert state.needle is not None
    assert state.needle.needle
    return {f"{state.needle.gauge} G", f"{state.needle.length.to('mm').value} mm", state.needle.needle}


def figure_in_words(state: Preparation, language: str) -> str:
    """Return the committed figure as the pad would read it back."""
    assert state.figure is not None
    return in_words(state.figure, language)


def test_the_case_is_fit_to_prove_it(check: Check) -> None:
    written = " ".join(strings_in(check.hand.page().slip))
    shown = numbers_in(written)
    assert Fraction("0.85") in check.secret
    assert Fraction(170) in check.secret
    assert len(check.secret) >= 6
    assert not shown & check.secret, "the order itself must not hold what is to be proved absent"


def test_nobodys_figure_is_anywhere_while_the_check_is_open(check: Check) -> None:
    hand = check.hand
    check.everything.forget()
    check.is_blind("call-second")
    hand.press("stop")
    check.is_blind("stopping")
    hand.press("back")
    sign_on_blind(check, CHECKER)
    check.is_blind("check-container")
    hand.press("by-hand")
    check.is_blind("check-by-hand")
    hand.press("back")
    hand.pass_time(2)
    hand.scan(code_of(container(STOCK)))
    check.is_blind("check-figure")
    first_reading(check)
    second_round(check)


def first_reading(check: Check) -> None:
    """The second person slips tenfold, reads needle and plunger, and the readings differ."""
    hand = check.hand
    type_figure(hand, WRONG)
    check.everything.forget()  # what the pad read back to the very person who typed it
    hand.press("commit")
    check.secret.add(Fraction(WRONG))
    check.is_blind("check-needle")
    offered = hand.page().control
    assert isinstance(offered, Choices)
    kinds = {f"choose:{one.id}" for one in check.driver.desk.rules.needles} | {"choose:"}
    assert {choice.key.name for choice in offered.choices} == kinds
    assert not any(choice.badge or choice.details for choice in offered.choices)
    state = check.driver.state()
    assert state is not None
    assert state.needle is not None
    turn_to(hand, f"choose:{state.needle.needle}")
    check.everything.forget()  # the other pages of the whole list of needles
    check.is_blind("check-plunger")
    blank = hand.page().control
    assert isinstance(blank, PlungerSetter)
    assert (blank.at_mm, blank.reading, blank.words) == (0, "", "")
    lines = {text for text in strings_in(blank.picture) if text.startswith(LINE)}
    assert len(lines) == 101  # 1 mL in lines of 0.01 mL, the zero line among them: none stands out
    set_to(hand, HALF_LINES)
    hand.press("commit")
    check.is_blind("compare")
    hand.press("go-on")


def second_round(check: Check) -> None:
    """Both read the figure again, each alone; the preparer first, who sees not even their own."""
    hand = check.hand
    for person in (PREPARER, CHECKER):
        check.is_blind("call-back")
        sign_on_blind(check, person)
        check.is_blind("check-figure")
        type_figure(hand, RIGHT)
        check.everything.forget()
        hand.press("commit")
    check.is_blind("compare")
    state = check.driver.state()
    assert state is not None
    assert state.vouched is not None
    assert check.driver.here() is Stage.LABEL


def sign_on_blind(check: Check, person: str) -> None:
    """Sign somebody on and prove the PIN page on the way. The digits of a PIN are nobody's figure."""
    hand = check.hand
    sign_on(hand, person)  # type: ignore[arg-type]
    check.everything.forget()


def test_a_screen_locked_in_an_open_check_is_blind_too(check: Check) -> None:
    check.everything.forget()
    check.hand.press("stop")
    check.hand.press("leave-for-now")
    check.is_blind("locked")
    sign_on_blind(check, PREPARER)
    check.is_blind("call-second")


# -- the type that feeds the blind pages -----------------------------------------------------------

FORBIDDEN: tuple[type, ...] = (
    VolumePlan,
    Setting,
    SyringeOption,
    Preparation,
    Reference,
    e.SyringeTaken,
    e.NeedleTaken,
    e.VolumeCommitted,
    e.PlungerRead,
    e.Stated,
)


def reachable(kind: Any, seen: set[Any]) -> set[Any]:
    """Return every type that a value of this type can hold, by its fields, all the way down."""
    if kind in seen:
        return seen
    seen.add(kind)
    for inner in get_args(kind):
        reachable(inner, seen)
    if is_dataclass(kind):
        hints = get_type_hints(kind)
        for field in fields(kind):
            reachable(hints[field.name], seen)
    return seen


def test_the_check_sheet_cannot_carry_anybodys_figure() -> None:
    held = reachable(CheckSheet, set())
    assert Measure in held  # of the order, the barrel, the needles: the walk does go down
    assert {kind.__name__ for kind in FORBIDDEN if kind in held} == set()
    assert Any not in held
    assert object not in held


def test_the_walk_over_types_finds_what_is_hidden_deep() -> None:
    @dataclass
    class Deep:
        inner: tuple[dict[str, tuple[e.PlungerRead, ...]], ...]

    Deep.__annotations__["inner"] = tuple[dict[str, tuple[e.PlungerRead, ...]], ...]
    assert e.PlungerRead in reachable(Deep, set())
