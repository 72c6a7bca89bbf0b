"""What comes filled is its own syringe: the whole path, what is asked of it, what it may not be used for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.dose.order import FixedDose, Order
from kiosk.core.preparation import events as e
from kiosk.core.units import Measure
from kiosk.hardware.clock import SetClock
from kiosk.walkthrough.journeys import sign_on, type_figure
from tests.counter import NOW, container, order
from tests.journeys.counters import fresh, opened
from tests.journeys.driver_hand import DriverHand
from tests.journeys.nurse import Nurse
from tests.journeys.one_counter import Counter, at_a_counter

ENOXAPARIN = container("C064")  # 40 mg in 0.4 mL, no lines, a fixed needle of 27 G 12.7 mm
ADRENALINE = container("C005")  # 1 mg in 10 mL, lines every 0.5 mL, for the vein
VACCINE = container("C070")  # 0.5 mL, no lines, a needle is fitted


@pytest.fixture
def counter(tmp_path: Path) -> Iterator[Counter]:
    with at_a_counter(tmp_path) as made:
        yield made


def of_kind(happened: list[e.Event], kind: type[e.Event]) -> list[e.Event]:
    return [event for event in happened if isinstance(event, kind)]


def adrenaline_into_a_vein(milligrams: str) -> Order:
    """An order of our own: the ward has none for the prefilled adrenaline."""
    return replace(
        order("O04"),
        id="X01",
        dose=FixedDose(Measure.of(milligrams, "mg")),
        route=Route.INTRAVENOUS,
        site=Site.CANNULA,
        as_written=f"EPINEPHrine {milligrams} mg into the vein now",
    )


def test_a_prefilled_syringe_with_its_needle_leaves_nothing_to_choose(counter: Counter) -> None:
    nurse = counter.nurse
    nurse.begin("O21")
    nurse.take(ENOXAPARIN)
    nurse.own(ENOXAPARIN)
    nurse.work_out("0.4")
    counter.hand.wait("draw-up")  # no syringe, no draw-up device, no needle was asked for
    nurse.draw()
    assert not any("Draw" in step or "line" in step or "Push" in step for step in nurse.made.steps)
    assert "Leave the cap on." in nurse.made.steps
    counter.hand.wait("content")
    nurse.read("whole")
    nurse.check([ENOXAPARIN], "0.4", "whole")
    assert "40 mg in 0.4 mL" in _printed(counter)
    happened = counter.happened()
    (taken,) = of_kind(happened, e.SyringeTaken)
    assert isinstance(taken, e.SyringeTaken)
    assert taken.syringe == "prefilled:enoxaparin-40mg-0.4ml"
    assert taken.line_volume == Measure.of("0.4", "mL")
    assert taken.dose_given == Measure.of("40", "mg")
    (needle,) = of_kind(happened, e.NeedleTaken)
    assert isinstance(needle, e.NeedleTaken)
    assert (needle.gauge, needle.length) == (27, Measure.of("12.7", "mm"))
    matters = {(s.by, s.matter) for s in happened if isinstance(s, e.Stated)}
    assert len(matters) == 8  # four matters, two people
    (rest,) = of_kind(happened, e.RestAccounted)
    assert isinstance(rest, e.RestAccounted)
    assert rest.volume.value == 0


def _printed(counter: Counter) -> str:
    """Print, finish, and return what the label says."""
    counter.nurse.label_and_rest()
    return counter.nurse.label()


def test_the_whole_prefilled_adrenaline_goes_into_a_vein_under_its_own_cap(counter: Counter) -> None:
    nurse = counter.nurse
    nurse.begin(counter.ordered(adrenaline_into_a_vein("1")))
    nurse.take(ADRENALINE)
    nurse.own(ADRENALINE)
    nurse.work_out("10")
    nurse.fit()
    assert (nurse.made.device, nurse.made.needle) == ("", "")
    nurse.draw()
    nurse.read("whole")
    nurse.check([ADRENALINE], "10", "whole")
    label = _printed(counter)
    assert "1 mg in 10 mL" in label
    assert "intravenous" in label
    assert nurse.made.rests == ["The prefilled syringe is the dose"]
    assert nurse.made.last_look[0] == "The cap is on the prefilled syringe."


def test_part_of_one_with_lines_is_set_to_a_line_and_what_goes_is_booked(counter: Counter) -> None:
    nurse = counter.nurse
    nurse.begin(counter.ordered(adrenaline_into_a_vein("0.5")))
    nurse.take(ADRENALINE)
    nurse.own(ADRENALINE)
    nurse.work_out("5")  # 0.5 mg of 1 mg in 10 mL: 5 mL, by hand
    nurse.draw()
    assert "Push out the extra until the plunger stands at 5 mL." in nurse.made.steps
    nurse.read("5")
    nurse.check([ADRENALINE], "5", "5")
    label = _printed(counter)
    assert "0.5 mg in 5 mL" in label
    assert nurse.made.rests == ["5 mL was pushed out of the prefilled syringe"]
    (rest,) = of_kind(counter.happened(), e.RestAccounted)
    assert isinstance(rest, e.RestAccounted)
    assert rest.volume == Measure.of(5, "mL")


def test_part_of_one_without_lines_is_refused_and_says_what_to_do(counter: Counter) -> None:
    half = replace(
        order("O21"),
        id="X02",
        dose=FixedDose(Measure.of(20, "mg")),
        as_written="enoxaparin 20 mg subcutaneously",
    )
    counter.nurse.begin(counter.ordered(half))
    page = counter.nurse.take(ENOXAPARIN)
    assert page.id == "stock"
    (card,) = page.findings
    assert "has no line for that" in card.what
    assert "whole syringe" in card.now


def test_two_of_them_are_never_put_together(counter: Counter) -> None:
    double = replace(
        order("O21"),
        id="X03",
        dose=FixedDose(Measure.of(80, "mg")),
        as_written="enoxaparin 80 mg subcutaneously",
    )
    counter.nurse.begin(counter.ordered(double))
    page = counter.nurse.take(ENOXAPARIN)
    assert page.id == "stock"
    assert "The dose needs 0.8 mL" in page.findings[0].what
    assert counter.happened()[-1].code == "prefilled_holds_too_little"  # type: ignore[union-attr]


def test_a_needle_is_chosen_where_none_is_fixed_and_a_cloudy_one_is_turned_over(counter: Counter) -> None:
    nurse = counter.nurse
    nurse.begin("O18")
    nurse.take(VACCINE)
    nurse.own(VACCINE)
    nurse.work_out("0.5")
    counter.hand.wait("needle")
    nurse.fit()
    nurse.draw()
    assert any("evenly cloudy" in step for step in nurse.made.steps)
    assert any("Fit the injection needle" in step for step in nurse.made.steps)
    nurse.read("whole")
    assert "40 units in 0.5 mL" in _printed(counter)
    assert nurse.made.last_look[0].startswith("Cap over the injection needle")


@pytest.mark.parametrize(
    ("said", "why"), [("content missing", "not whole"), ("content spoilt", "does not look as it should")]
)
def test_one_that_is_not_as_it_should_be_gets_no_label(counter: Counter, said: str, why: str) -> None:
    nurse = counter.nurse
    nurse.begin("O21")
    nurse.take(ENOXAPARIN)
    nurse.work_out("0.4")
    nurse.draw()
    counter.hand.press(f"choose:{said}")
    page = counter.hand.wait("content")
    assert why in page.findings[0].what
    read = of_kind(counter.happened(), e.PlungerRead)[-1]
    assert isinstance(read, e.PlungerRead)
    assert (read.on_the_line, read.content) == (False, said)
    assert of_kind(counter.happened(), e.Vouched) == []


def test_a_checker_who_finds_it_not_whole_is_a_difference(counter: Counter) -> None:
    nurse = counter.nurse
    nurse.begin("O21")
    nurse.take(ENOXAPARIN)
    nurse.work_out("0.4")
    nurse.draw()
    nurse.read("whole")
    sign_on(counter.hand, nurse.cast, "checker")
    nurse.take(ENOXAPARIN)
    type_figure(counter.hand, "0.4")
    counter.hand.press("commit")
    nurse._choose_needle()
    counter.hand.wait("check-content")
    counter.hand.press("choose:content missing")
    page = counter.hand.wait("compare")
    assert [agree for _, _, agree in page.control.rows] == [True, True, True, False]  # type: ignore[union-attr]


def test_a_prefilled_syringe_found_after_a_restart_is_looked_at_again(tmp_path: Path) -> None:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    nurse = Nurse(DriverHand(driver, clock, home.labels))
    nurse.begin("O21")
    nurse.take(ENOXAPARIN)
    nurse.work_out("0.4")
    nurse.draw()
    nurse.hand.wait("content")
    store.close()
    store, driver = opened(home, clock)
    nurse = Nurse(DriverHand(driver, clock, home.labels))
    sign_on(nurse.hand, nurse.cast, "preparer")
    nurse.hand.press("resume")
    nurse.hand.wait("verify")
    nurse.take(ENOXAPARIN)
    nurse.hand.wait("content")
    nurse.read("whole")
    nurse.hand.wait("call-second")
    store.close()
