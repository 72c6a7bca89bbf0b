"""A dose that no syringe here measures well: nothing is made, and what to ask the pharmacy for is shown."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from kiosk.core.apparatus.measurable import DilutionOffer
from kiosk.core.dose.order import FixedDose
from kiosk.core.preparation import events as e
from kiosk.core.units import Measure
from kiosk.pages.dilution import offer_of
from kiosk.pages.parts import Choices, Lines
from tests.counter import container, order
from tests.journeys.driver_hand import keys_of
from tests.journeys.one_counter import Counter, at_a_counter

VITAMIN = container("C029")  # phytomenadione 2 mg in 0.2 mL: 10 mg/mL


@pytest.fixture(params=["en", "fr"])
def counter(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Counter]:
    """At the syringe, with 0.4 mg of 10 mg/mL to measure: 0.04 mL by hand."""
    with at_a_counter(tmp_path, request.param) as made:
        small = replace(order("O09"), id="X09", dose=FixedDose(Measure.of("0.4", "mg")), as_written="")
        made.nurse.begin(made.ordered(small))
        made.nurse.take(VITAMIN)
        made.nurse.work_out("0.04")
        yield made


def test_the_recipe_that_would_do_is_shown_and_no_syringe_can_be_taken(counter: Counter) -> None:
    page = counter.hand.wait("no-syringe")
    assert isinstance(page.control, Lines)
    assert "0.04 mL" in page.question.replace(",", ".")
    assert not [key for key in keys_of(page) if key.name.startswith("choose:") and key.enabled]
    assert len(page.control.lines) >= 4  # stock, made up, the dose, how well it is then measured
    counter.hand.press("syringes")
    listed = counter.hand.wait("syringe").control
    assert isinstance(listed, Choices)
    assert not any(choice.key.enabled for choice in listed.choices)
    assert all(choice.refused for choice in listed.choices)


def test_the_recipe_carries_the_dose_by_hand(counter: Counter) -> None:
    offer = offer_of(counter.driver.view())
    assert isinstance(offer, DilutionOffer)
    volumes = [step.volume.value for step in offer.dilution.recipe if step.volume is not None]
    *pairs, dose = volumes  # drawn, made up to; perhaps drawn, made up to again; the dose
    strength = Fraction(10)  # mg/mL in the ampoule
    for drawn, filled in zip(pairs[::2], pairs[1::2], strict=True):
        strength *= drawn / filled
    assert dose * strength == Fraction("0.4")


def test_it_is_given_up_for_that_reason_and_the_ampoule_goes_back(counter: Counter) -> None:
    counter.hand.press("stop")
    counter.hand.press("discard:not_measurable")
    counter.hand.wait("due")
    kinds = [type(event) for event in counter.happened()]
    assert kinds[-2:] == [e.PutBack, e.Discarded]
    assert "X09" in counter.due()


def test_a_dose_measured_within_a_wider_error_can_be_looked_up_and_left(tmp_path: Path) -> None:
    with at_a_counter(tmp_path) as counter:
        counter.nurse.begin("O13")  # 0.1 mL of haloperidol: up to 17 % off, 10 % allowed
        counter.nurse.take(container("C017"))
        counter.nurse.work_out("0.1")
        before = counter.hand.wait("syringe")
        counter.hand.press("dilution")
        counter.hand.wait("dilution")
        counter.hand.press("back")
        assert counter.hand.page() == before
