"""What the month's report and a register's sheet say, from figures added up by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from fractions import Fraction

import pytest

from kiosk.core.stock.holding import Holding, Sheet
from kiosk.core.stock.waste import Reason, Wasted
from kiosk.core.units import Measure
from kiosk.flow.stock_keeping import Controlled, RegisterLine
from kiosk.pages.register_sheet import register_sheet
from kiosk.pages.waste_sheet import waste_sheet
from kiosk.pages.words import Words
from kiosk.tables.words import words as load
from tests.counter import NOW, container

WORDS = {language: Words(load(language), language) for language in ("en", "fr")}
MORPHINE, INSULIN = container("C008").product, container("C054").product


def ml(value: str) -> Measure:
    return Measure(Fraction(value), "mL")


def wasted(container_id: str, volume: Measure, reason: Reason, day: int = 0) -> Wasted:
    return Wasted(container(container_id).product, volume, reason, NOW + timedelta(days=day), "K01")


WASTES = (
    wasted("C054", ml("5"), Reason.IN_USE_OVER),  # 10 mL cost 15.70: 7.85
    wasted("C054", ml("2"), Reason.REMAINDER, 1),  # 3.14
    wasted("C008", ml("0.5"), Reason.REMAINDER, 1),  # 1 mL costs 0.70 or so; see the list: half of it
    wasted("C080", Measure(Fraction(1), "1"), Reason.EXPIRED, 2),  # one dry container: 11.50
    wasted("C054", ml("5"), Reason.BROKEN, 40),  # another month
)


def test_the_months_bars_and_sums_are_its_waste_added_up() -> None:
    sheet = waste_sheet(WASTES, (), 2026, 3, NOW, WORDS["en"])
    half = MORPHINE.price / 2 if MORPHINE.price else Decimal(0)
    total = Decimal("7.85") + Decimal("3.14") + half + Decimal("11.50")
    assert dict(sheet.sums) == {
        "times": "4",
        "volume": "7.5 mL",
        "whole containers": "1",
        "value": f"{total:.2f} EUR",
    }
    assert [(bar.name, bar.length) for bar in sheet.by_reason.bars] == [
        ("expired", Decimal("11.50")),
        ("opened too long", Decimal("7.85")),
        ("remainder of a dose", Decimal("3.14") + half),
    ]
    assert [(bar.name, bar.shown) for bar in sheet.by_product.bars][:2] == [
        ("glucagon 1 mg powder", "11.50 EUR"),
        ("insulin human soluble 100 units/mL, 10 mL", "10.99 EUR"),
    ]
    assert [(bar.name, bar.length) for bar in sheet.by_day.bars] == [
        ("16", Decimal("7.85")),
        ("17", Decimal("3.14") + half),
        ("18", Decimal("11.50")),
    ]


def test_a_sum_without_every_price_is_not_given() -> None:
    free = replace(WASTES[0], product=replace(INSULIN, price=None))
    sheet = waste_sheet((free,), (), 2026, 3, NOW, WORDS["en"])
    assert dict(sheet.sums)["value"] == "not known"
    assert sheet.by_reason.bars[0].length == 0


def test_two_currencies_are_never_added_up() -> None:
    other = replace(WASTES[1], product=replace(INSULIN, currency="SEK"))
    sheet = waste_sheet((WASTES[0], other), (), 2026, 3, NOW, WORDS["en"])
    assert dict(sheet.sums)["value"] == "several currencies"


def test_french_writes_money_with_a_comma() -> None:
    sheet = waste_sheet(WASTES, (), 2026, 3, NOW, WORDS["fr"])
    assert sheet.by_product.bars[0].shown == "11,50 EUR"
    assert sheet.title == "Pertes de mars 2026"


def test_what_expires_within_two_months_is_listed_soonest_first() -> None:
    held = [Holding(container(one), 2) for one in ("C001", "C026", "C020", "C053", "C046")]
    table = waste_sheet((), held, 2026, 3, NOW, WORDS["en"]).tables[1]
    # six days ago; an opened vial's last hours; 12 days; 25 days of an opened vial; 240 days is too far
    assert [row[1] for row in table.rows] == ["TWM0091", "TWL2004", "TWG8002", "TWS1003"]


@pytest.mark.parametrize("language", ["en", "fr"])
def test_a_register_says_each_movement_and_its_people(language: str) -> None:
    sheet = Sheet("morphine 10 mg/mL", "morphine", "mL")
    one = Controlled(MORPHINE, sheet, ml("9"), None)
    lines = [
        RegisterLine(1, 5, NOW, "received", "m", "L1", ml("10"), None, None, None, ml("10"), "K01", "W01"),
        RegisterLine(
            2,
            9,
            NOW,
            "used",
            "m",
            "L1",
            None,
            ml("0.6"),
            None,
            None,
            ml("9.4"),
            "N01",
            "N02",
            "p",
            "",
            "D10001",
            "Whom",
        ),
        RegisterLine(
            3,
            9,
            NOW,
            "wasted",
            "m",
            "L1",
            None,
            None,
            ml("0.4"),
            None,
            ml("9"),
            "N01",
            "W01",
            "p",
            "remainder",
            "D10001",
            "Whom",
        ),
    ]
    page = register_sheet(one, lines, (), WORDS[language], {"K01": "Kay", "W01": "Wim"}.get, NOW)  # type: ignore[arg-type]
    point = "." if language == "en" else ","
    assert page.title == "morphine 10 mg/mL"
    assert [row[4:8] for row in page.rows] == [
        ("10", "", "", "10"),
        ("", f"0{point}6", "", f"9{point}4"),
        ("", "", f"0{point}4", "9"),
    ]
    assert "Whom" in page.rows[1][2]
    assert "Kay" in page.rows[0][8]
    assert len({len(row) for row in (*page.rows, page.headings)}) == 1
