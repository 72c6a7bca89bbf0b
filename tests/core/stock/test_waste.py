"""Waste and its month's report; values by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from fractions import Fraction

from kiosk.core.catalogue.container import Product
from kiosk.core.stock.waste import Reason, Wasted, month_report, worth
from kiosk.core.units import Measure
from tests.core.samples import a_product

MARCH = datetime(2026, 3, 31, 23, 59, tzinfo=UTC)
APRIL = datetime(2026, 4, 1, 0, 0, tzinfo=UTC)


def priced(price: str | None, contents: str = "10", id: str = "vial") -> Product:
    product = a_product(id=id, contents=contents)
    return replace(product, price=None if price is None else Decimal(price))


def waste(
    product: Product, volume: Measure, reason: Reason = Reason.REMAINDER, at: datetime = MARCH
) -> Wasted:
    return Wasted(product, volume, reason, at, "n1")


def test_the_rest_of_a_vial_is_worth_its_share() -> None:
    # 2.5 mL of a 10 mL vial at 15.70 is a quarter: 3.925
    assert worth(waste(priced("15.70"), Measure.of("2.5", "mL"))) == Fraction("3.925")
    assert worth(waste(priced("15.70"), Measure.of(2, "1"))) == Fraction("31.40")
    assert worth(waste(priced(None), Measure.of(1, "mL"))) is None


def test_powder_without_a_fill_has_a_value_only_as_a_whole_container() -> None:
    powder = replace(priced("2.20"), contents=None)
    assert worth(waste(powder, Measure.of(1, "mL"))) is None
    assert worth(waste(powder, Measure.of(3, "1"))) == Fraction("6.60")


def test_a_months_report_adds_up_by_reason_and_by_product_and_rounds_once() -> None:
    cheap, dear = priced("1.00", "3", "cheap"), priced("12.00", "10", "dear")
    third = waste(cheap, Measure.of(1, "mL"))  # a third of 1.00 each: 0.3333...
    report = month_report(
        [
            third,
            third,
            third,
            waste(dear, Measure.of(5, "mL"), Reason.IN_USE_OVER),
            waste(dear, Measure.of(2, "1"), Reason.EXPIRED),
            waste(dear, Measure.of(10, "mL"), at=APRIL),
        ],
        2026,
        3,
    )
    assert report.total.times == 5
    assert report.total.value == Decimal("31.00")  # 3 x 1/3 + 6 + 24; rounding each third would give 30.99
    assert report.total.volume == Measure.of(8, "mL")
    assert report.total.containers == 2
    assert [(reason, line.value) for reason, line in report.by_reason] == [
        (Reason.REMAINDER, Decimal("1.00")),
        (Reason.EXPIRED, Decimal("24.00")),
        (Reason.IN_USE_OVER, Decimal("6.00")),
    ]
    assert [(name, line.value) for name, line in report.by_product] == [
        ("dear", Decimal("30.00")),
        ("cheap", Decimal("1.00")),
    ]


def test_a_sum_with_an_unknown_price_in_it_is_not_given() -> None:
    report = month_report(
        [waste(priced("1"), Measure.of(1, "mL")), waste(priced(None), Measure.of(1, "mL"))], 2026, 3
    )
    assert report.total.value is None
    assert report.total.volume == Measure.of(2, "mL")


def test_values_in_two_currencies_are_not_added_up() -> None:
    euros = replace(priced("1", id="a"), currency="EUR")
    crowns = replace(priced("10", id="b"), currency="SEK")
    report = month_report([waste(euros, Measure.of(1, "mL")), waste(crowns, Measure.of(1, "mL"))], 2026, 3)
    assert (report.total.value, report.total.mixed) == (None, True)
    assert [(line.value, line.currency) for _, line in report.by_product] == [
        (Decimal("1.00"), "SEK"),
        (Decimal("0.10"), "EUR"),
    ]


def test_a_month_without_waste_is_an_empty_report() -> None:
    report = month_report([], 2026, 2)
    assert report.by_reason == report.by_product == ()
    assert report.total.value == Decimal(0)
