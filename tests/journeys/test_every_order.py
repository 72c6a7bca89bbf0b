"""Every order of the demo ward, from the due list to the end that demo_db/README.md tells.

Figures are worked out here by hand, as a nurse would and rounded as a nurse would: hundredths below one
millilitre, tenths above, whole units for insulin; beside each stands the arithmetic. Lines are those of the
syringe that the kiosk ranks first. Nothing here is asked of the kiosk but what is on its screens.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from kiosk.core.catalogue.container import Container, Form
from tests.counter import container, ward
from tests.journeys.driver_hand import keys_of
from tests.journeys.nurse import Made
from tests.journeys.one_counter import Counter, at_a_counter

ML_1, ML_2, ML_3 = "syringe-1ml-lock", "syringe-2ml-slip", "syringe-3ml-lock"
ML_10, ML_20 = "syringe-10ml-lock", "syringe-20ml-lock"
FILL, FILTER = "blunt-fill-18g-38mm", "blunt-filter-18g-38mm"
WHOLE = "whole"


@dataclass(frozen=True)
class Way:
    """One order's way: what is taken, the figure, and what must come of it."""

    order: str
    containers: str
    figure: str
    syringe: str
    line: str
    device: str
    needle: str
    label: str
    second: bool = False
    chosen: str = ""


FINISHED = (
    # 12.5 mg of 12.5 mg in 1 mL
    Way("O01", "C002", "1", ML_2, "1", FILTER, "needle-22g-38mm", "12.5 mg in 1 mL"),
    # 20 units are 20 units
    Way("O02", "C053", "20", "insulin-u100-0.3ml", "20", "", "fixed", "20 units in 0.2 mL", second=True),
    # 5,000 units of 5,000 units in 1 mL
    Way("O03", "C061", "1", ML_2, "1", FILL, "needle-26g-13mm", "5,000 units in 1 mL", second=True),
    # 0.5 mg of 1 in 1000, that is 1 mg in 1 mL
    Way("O04", "C004", "0.5", ML_1, "0.5", FILTER, "needle-23g-25mm", "0.5 mg in 0.5 mL", second=True),
    # 2.5 mg chosen, of 10 mg in 1 mL
    Way("O06", "C008", "0.25", ML_1, "0.25", FILTER, "needle-26g-13mm", "2.5 mg in 0.25 mL", True, "2.5"),
    # 15 mg x 20.5 kg = 307.5 mg, of 120 mg in 5 mL: 12.8125 mL; lines every 0.5 mL
    Way("O07", "C048 C048 C048", "12.8", "oral-20ml", "13", "", "", "307.5 mg in 13 mL", second=True),
    # 25 mg x 6.8 kg = 170 mg, of 500 mg in 2.5 mL
    Way("O08", "C074", "0.85", ML_1, "0.85", FILL, "needle-23g-25mm", "170 mg in 0.85 mL", second=True),
    # 1 mg of 2 mg in 0.2 mL
    Way("O09", "C029", "0.1", ML_1, "0.1", FILTER, "needle-23g-16mm", "1 mg in 0.1 mL", second=True),
    # 7 mg x 14.2 kg = 99.4 mg, of 80 mg in 2 mL: 2.485 mL
    Way("O10", "C026 C026", "2.5", ML_3, "2.5", FILTER, "", "99.4 mg in 2.5 mL", second=True),
    # 50,000 units x 20.5 kg = 1,025,000 units, of 1,000,000 units in 2 mL: 2.05 mL
    Way("O11", "C076 C076", "2.1", ML_3, "2", FILL, "", "1,025,000 units in 2 mL", second=True),
    # 60 mg x 14.2 kg = 852 mg a day, a third is 284 mg, of 250 mg in 5 mL: 5.68 mL; lines every 0.2 mL
    Way("O12", "C075 C075", "5.7", ML_10, "5.6", FILL, "", "284 mg in 5.6 mL", second=True),
    # 0.5 mg of 5 mg in 1 mL
    Way("O13", "C017", "0.1", ML_1, "0.1", FILTER, "needle-26g-13mm", "0.5 mg in 0.1 mL"),
    # 1 g of 1 g in 10 mL
    Way("O14", "C072", "10", ML_20, "10", FILL, "", "1,000 mg in 10 mL", second=True),
    # 200 mg of 200 mg in 1 mL, oily: a lock tip before a slip tip
    Way("O15", "C019", "1", ML_3, "1", FILTER, "needle-21g-38mm", "200 mg in 1 mL"),
    # 125 mcg of 500 mcg in 2 mL
    Way("O16", "C036", "0.5", ML_1, "0.5", FILTER, "", "125 mcg in 0.5 mL", second=True),
    # 5 units of 5 units in 1 mL
    Way("O17", "C039", "1", ML_2, "1", FILTER, "needle-23g-25mm", "5 units in 1 mL", second=True),
    # 0.5 mL ordered, 40 units in 0.5 mL
    Way("O18", "C070", "0.5", WHOLE, WHOLE, "", "needle-25g-25mm", "40 units in 0.5 mL"),
    # 14 units are 14 units
    Way("O19", "C057", "14", "insulin-u100-0.3ml", "14", "", "fixed", "14 units in 0.14 mL", second=True),
    # 5 units of 5 units in 0.1 mL
    Way("O20", "C068", "0.1", ML_1, "0.1", FILL, "needle-27g-10mm", "5 units in 0.1 mL"),
    # 40 mg of 40 mg in 0.4 mL
    Way("O21", "C064", "0.4", WHOLE, WHOLE, "", "fixed", "40 mg in 0.4 mL", second=True),
    # (116 cm x 20.5 kg / 3600) root = 0.8127 m2 x 15 mg = 12.19 mg, of 50 mg in 2 mL: 0.4876 mL
    Way("O22", "C049", "0.49", ML_1, "0.49", FILL, "needle-26g-13mm", "≈ 12.19 mg in 0.49 mL", second=True),
    # 5 mg x 176 lb x 0.45359237 = 399.16 mg, of 80 mg in 2 mL: 9.979 mL; five ampoules of one lot
    Way("O23", "C027 C027 C027 C027 C027", "10", ML_20, "10", FILTER, "", "≈ 399.2 mg in 10 mL"),
    # 0.25 mg x 176 lb = 44 mg, at most 25 mg, of 25 mg in 1 mL
    Way("O24", "C032", "1", ML_2, "1", FILTER, "needle-22g-38mm", "25 mg in 1 mL", second=True),
    # 150 mg of 150 mg in 1 mL, thick
    Way("O26", "C065", "1", ML_3, "1", FILL, "needle-21g-38mm", "150 mg in 1 mL"),
    # 6.6 mg of 3.3 mg in 1 mL
    Way("O27", "C025 C025", "2", ML_3, "2", FILTER, "", "6.6 mg in 2 mL"),
    # 10 mg of 10 mg in 2 mL; the lot in front has expired
    Way("O28", "C021", "2", ML_3, "2", FILTER, "needle-22g-38mm", "10 mg in 2 mL", second=True),
)

STOPPED = (
    ("O05", "Allergy: codeine"),
    ("O29", "10 times too large"),
    ("O30", "At least 6 h must lie between doses"),
)
"""Orders that are never begun, and why."""

ROWS: list[tuple[str, ...]] = []
HEADS = ("order", "containers", "figure", "syringe", "line", "draw-up", "needle", "outcome")


@pytest.fixture
def counter(tmp_path: Path) -> Iterator[Counter]:
    with at_a_counter(tmp_path) as made:
        yield made


def noted(way: Way, made: Made, outcome: str) -> None:
    """One row of the table."""
    names = " + ".join(sorted({container(c).product.label_name for c in way.containers.split()}))
    count = len(way.containers.split())
    taken = f"{count} x {names}" if count > 1 else names
    ROWS.append(
        (
            way.order,
            taken,
            way.figure,
            made.syringe,
            way.line,
            made.device,
            made.needle or way.needle,
            outcome,
        )
    )


def made_whole(counter: Counter, way: Way) -> Made:
    """Go the whole way and return what was taken."""
    nurse, held = counter.nurse, [container(one) for one in way.containers.split()]
    nurse.begin(way.order, way.chosen)
    nurse.take(*held)
    if held[0].product.form is Form.PREFILLED:
        nurse.own(held[0])
    nurse.work_out(way.figure)
    nurse.fit()
    nurse.draw()
    nurse.read(way.line)
    if way.second:
        nurse.check(held, way.figure, way.line)
    nurse.label_and_rest()
    return nurse.made


@pytest.mark.parametrize("way", FINISHED, ids=lambda way: way.order)
def test_the_order_is_made_and_finished(counter: Counter, way: Way) -> None:
    made = made_whole(counter, way)
    label = counter.nurse.label()
    noted(way, made, "finished, two people" if made.checked else "finished")
    assert way.label in label
    assert way.syringe == WHOLE or made.syringe == way.syringe
    assert made.device == way.device
    assert way.needle in ("fixed", made.needle)
    assert ("Checked by" in label) is way.second
    assert way.order not in counter.due()
    assert_suits(way, made)


def assert_suits(way: Way, made: Made) -> None:
    """What the trade knows of every syringe, whichever it is."""
    held = [container(one) for one in way.containers.split()]
    order = next(one for one in ward().orders if one.id == way.order)
    glass = any(one.product.form is Form.GLASS_AMPOULE for one in held)
    assert ("filter" in made.device) is glass  # a filter for glass, and for nothing else
    injected = order.route.value in ("intramuscular", "subcutaneous", "intradermal")
    assert bool(way.needle) is injected  # into a cannula or a mouth no needle goes
    capped = "sterile cap" if order.route.value == "intravenous" else "oral cap"
    assert any(capped in step for step in made.steps) is not injected
    assert made.witnessed is (order.drug.controlled and _is_left(held, way))
    assert made.last_look[-1] == "Nothing else of this syringe is left on the counter."


def _is_left(held: list[Container], way: Way) -> bool:
    """Whether something stays in the containers: all but the exact ones leave some."""
    contents = sum(one.product.contents.value for one in held if one.product.contents)
    return contents > 0 and str(contents) != way.line


def test_magnesium_is_shared_over_two_syringes(counter: Counter) -> None:
    # 5 g of 50 %: 10 mL; the hip takes 5 mL at the most: 2.5 g in 5 mL, twice
    magnesium = container("C040")
    for part, order in enumerate(("O25", "O25-2"), start=1):
        counter.nurse.begin(order)
        page = counter.nurse.take(magnesium)
        if page.id == "split":
            counter.hand.press("split-into:2")
            counter.nurse.take(magnesium)
        counter.nurse.work_out("5")
        counter.nurse.fit()
        counter.nurse.draw()
        counter.nurse.read("5")
        counter.nurse.check([magnesium], "5", "5")
        counter.nurse.label_and_rest()
        label = counter.nurse.label()
        assert "2.5 g in 5 mL" in label
        assert f"Syringe {part} of 2" in label
        way = Way(order, "C040", "5", ML_10, "5", FILTER, counter.nurse.made.needle, "")
        noted(way, counter.nurse.made, f"finished, two people, {part} of 2")
    assert not {"O25", "O25-2"} & counter.due()


@pytest.mark.parametrize(("order", "why"), STOPPED, ids=[order for order, _ in STOPPED])
def test_the_order_is_never_begun(counter: Counter, order: str, why: str) -> None:
    page = counter.nurse.begin(order)
    assert page.id == "order"
    assert not [key for key in keys_of(page) if key.name == "take-up" and key.enabled]
    said = " ".join(card.what + " " + card.why for card in page.findings)
    assert why in said, said
    ROWS.append((order, "", "", "", "", "", "", f"stopped: {page.findings[0].what}"))


def test_no_order_of_the_ward_is_left_out_and_the_table(tell_at_the_end: Callable[[str], None]) -> None:
    told = {way.order for way in FINISHED} | {"O25"} | {order for order, _ in STOPPED}
    assert told == {one.id for one in ward().orders}
    widths = [max([len(head), *(len(row[n]) for row in ROWS)]) for n, head in enumerate(HEADS)]
    table = [f"{len(ROWS)} syringes of the demo ward, by hand"]
    for row in (HEADS, *sorted(ROWS)):
        cells = (cell.ljust(width) for cell, width in zip(row, widths, strict=True))
        table.append("  ".join(cells).rstrip())
    tell_at_the_end("\n".join(table))
