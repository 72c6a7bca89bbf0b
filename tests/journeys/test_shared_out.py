"""A dose too large for one place is shared out over several syringes, each made and labelled alone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from kiosk.core.catalogue.routes import Site
from kiosk.core.dose.order import FixedDose
from kiosk.core.preparation import events as e
from kiosk.core.preparation.dose_events import SplitTaken
from kiosk.core.units import Measure
from kiosk.pages.parts import Choices, Page
from kiosk.walkthrough.journeys import symbol
from tests.counter import container, order
from tests.journeys.nurse import Nurse
from tests.journeys.one_counter import Counter, at_a_counter

MAGNESIUM = container("C040")  # 50 %, 10 mL: 5 g in 10 mL
HALOPERIDOL_DEPOT = container("C018")  # 100 mg in 1 mL


@pytest.fixture
def counter(tmp_path: Path) -> Iterator[Counter]:
    with at_a_counter(tmp_path) as made:
        yield made


def offered(page: Page) -> list[str]:
    assert isinstance(page.control, Choices)
    return [choice.key.label for choice in page.control.choices]


def make_a_part(nurse: Nurse) -> None:
    """2.5 g, a half of 5 g, of 5 g in 10 mL: 5 mL by hand."""
    nurse.take(MAGNESIUM)
    nurse.work_out("5")
    nurse.fit()
    nurse.draw()
    nurse.read("5")
    nurse.check([MAGNESIUM], "5", "5")
    nurse.label_and_rest()


def test_too_much_for_the_site_offers_equal_parts_and_names_other_sites(counter: Counter) -> None:
    counter.nurse.begin("O25")
    page = counter.nurse.take(MAGNESIUM)
    assert page.id == "split"
    assert "10 mL" in page.question
    # The hip muscle takes 5 mL at the most and 3 mL as usual (volume_limits.csv): two, or four.
    assert offered(page) == ["2 syringes of 5 mL", "4 syringes of 2.5 mL"]
    assert "No other site takes it all." in page.help
    refused = counter.happened()[-1]
    assert isinstance(refused, e.Refused)
    assert refused.code == "too_much_for_site"
    assert dict(refused.facts)["each"] == "5 mL, 5/2 mL"


def test_a_site_that_takes_it_all_is_named(counter: Counter) -> None:
    # 250 mg of 100 mg in 1 mL: 2.5 mL. The arm takes 2 mL at the most, the hip and the thigh 3 mL.
    depot = replace(
        order("O15"),
        id="X05",
        drug=HALOPERIDOL_DEPOT.product.drug,
        dose=FixedDose(Measure.of(250, "mg")),
        site=Site.DELTOID,
        as_written="haloperidol decanoate 250 mg intramuscular",
        last_given=None,
    )
    counter.nurse.begin(counter.ordered(depot))
    page = counter.nurse.take(HALOPERIDOL_DEPOT)  # the first of three says it, not the last
    assert page.id == "split"
    assert "hip muscle (ventrogluteal), outer thigh muscle" in page.help
    assert offered(page) == ["2 syringes of 1.25 mL", "3 syringes of ≈ 0.833 mL"]


def test_two_syringes_are_made_one_after_the_other(counter: Counter) -> None:
    nurse = counter.nurse
    nurse.begin("O25")
    nurse.take(MAGNESIUM)
    counter.hand.press("split-into:2")
    page = counter.hand.wait("stock")
    assert page.slip is not None
    assert page.slip.dose == "5 g"
    assert "shared out: syringe 1 of 2" in page.slip.lines
    make_a_part(nurse)
    label = nurse.label()
    assert "2.5 g in 5 mL" in label
    assert "Syringe 1 of 2" in label
    assert "O25" not in counter.due()
    assert "O25-2" in counter.due()
    nurse.begin("O25-2")
    assert counter.hand.page().id == "stock"
    make_a_part(nurse)
    assert "Syringe 2 of 2" in nurse.label()
    assert not {"O25", "O25-2"} & counter.due()


def test_what_is_on_record_is_the_whole_and_its_parts(counter: Counter) -> None:
    counter.nurse.begin("O25")
    counter.nurse.take(MAGNESIUM)
    counter.hand.press("split-into:4")
    split = counter.happened()[-1]
    assert split == SplitTaken("N01", 4, Measure.of(10, "mL"), Measure.of("2.5", "mL"))
    assert {one for one in counter.due() if one.startswith("O25")} == {"O25-2", "O25-3", "O25-4"}
    counter.nurse.take(MAGNESIUM)
    counter.hand.wait("volume")  # 2.5 mL is usual there: no caution


def test_a_part_given_up_is_due_again_as_that_part(counter: Counter) -> None:
    counter.nurse.begin("O25")
    counter.nurse.take(MAGNESIUM)
    counter.hand.press("split-into:2")
    counter.hand.press("stop")
    counter.hand.press("discard:other")
    counter.hand.wait("due")
    again = counter.driver.orders.order("O25")
    assert again is not None
    assert (again.part, again.parts) == (1, 2)
    assert {"O25", "O25-2"} <= counter.due()


def test_a_dose_is_shared_out_once_and_only_as_offered(counter: Counter) -> None:
    counter.nurse.begin("O25")
    counter.nurse.take(MAGNESIUM)
    counter.hand.driver.press("split-into:3")
    assert counter.hand.page().id == "split"
    counter.hand.press("split-into:2")
    page = counter.nurse.take(MAGNESIUM)
    assert page.id == "volume"
    assert "split" not in {key.name for key in page.keys}


def test_more_than_usual_may_be_shared_out_or_meant(counter: Counter) -> None:
    # 170 mg of 200 mg/mL is 0.85 mL; the thigh of an infant takes 0.5 mL as usual, 1 mL at the most.
    counter.nurse.begin("O08")
    powder = container("C074")
    counter.hand.scan(symbol(powder))
    page = counter.hand.wait("stock")
    assert page.findings[0].level == "caution"
    counter.hand.press("split")
    assert offered(counter.hand.wait("split")) == ["2 syringes of 0.425 mL"]
    counter.hand.press("back")
    counter.nurse.take(powder)
    counter.hand.wait("volume")
