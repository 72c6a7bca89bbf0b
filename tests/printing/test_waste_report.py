"""The month's report of waste: its bars as long as their figures, its tables whole."""

from __future__ import annotations

import io
from decimal import Decimal

import pdfplumber
import pytest

from kiosk.core.findings import Refusal
from kiosk.core.label.table_sheet import TableSheet
from kiosk.core.label.waste_sheet import Bar, Bars, WasteSheet
from kiosk.printing.waste_report import waste_pdf
from tests.printing.samples import bundled

MM = 72 / 25.4


def a_report(rows: int = 3, bars: tuple[Bar, ...] | None = None) -> WasteSheet:
    figures = ("40.00", "20.00", "10.00")
    some = tuple(Bar(f"reason {n}", Decimal(f), f) for n, f in enumerate(figures)) if bars is None else bars
    days = (Bar("1", Decimal(5), "5.00"), Bar("16", Decimal(10), "10.01"))
    table = tuple((f"product {n}", "1", "2 mL", "", "3.50") for n in range(rows))
    heads = ("product", "times", "volume", "containers", "value")
    return WasteSheet(
        title="Waste in Apr 2026",
        subtitle="Made 24 Apr 2026.",
        sums=(("times", "31"), ("volume", "114.45 mL"), ("containers", "2"), ("value", "160.33")),
        by_reason=Bars("Value by reason", some, "Nothing."),
        by_product=Bars("Value by product", some[:2], "Nothing."),
        by_day=Bars("Value by day", days, "Nothing."),
        tables=(TableSheet("Every product", "", heads, table, "", "", "Nothing here."),),
        foot="Foot.",
    )


def made(report: WasteSheet) -> pdfplumber.PDF:
    pdf = waste_pdf(report, bundled())
    assert isinstance(pdf, bytes), pdf
    return pdfplumber.open(io.BytesIO(pdf))


def bars_of(document: pdfplumber.PDF) -> list[tuple[float, float]]:
    """Width and height in mm of every dark grey bar."""
    rects = [r for r in document.pages[0].rects if r["non_stroking_color"] == (0.33, 0.33, 0.33)]
    return [(round(r["width"] / MM, 2), round(r["height"] / MM, 2)) for r in rects]


def test_lying_bars_are_as_long_as_their_figures() -> None:
    with made(a_report()) as document:
        lying = sorted((wide for wide, high in bars_of(document) if wide > high), reverse=True)
    # 40, 20, 10 and again 40, 20: the longest takes all the room
    assert lying[0] == lying[1]
    assert [round(long / lying[0], 2) for long in lying] == [1.0, 1.0, 0.5, 0.5, 0.25]


def test_standing_bars_are_as_high_as_their_days_were_costly_and_stand_over_them() -> None:
    with made(a_report()) as document:
        page = document.pages[0]
        rects = [r for r in page.rects if r["non_stroking_color"] == (0.33, 0.33, 0.33)]
        standing = sorted((r for r in rects if r["height"] > r["width"]), key=lambda r: r["x0"])
        first, sixteenth = standing
        assert first["height"] / sixteenth["height"] == pytest.approx(0.5, abs=0.01)
        words = {w["text"]: w for w in page.extract_words() if w["top"] > sixteenth["bottom"]}
        each = (210 - 36) / 31 * MM
        assert 18 * MM <= first["x0"] < 18 * MM + each
        assert 18 * MM + 15 * each <= sixteenth["x0"] < 18 * MM + 16 * each
        assert words["15"]["x0"] < sixteenth["x1"] < words["20"]["x0"]


def test_a_long_table_turns_the_page_under_its_headings_and_loses_nothing() -> None:
    with made(a_report(rows=70)) as document:
        texts = [page.extract_text() for page in document.pages]
    assert len(texts) == 3
    assert all("containers" in text for text in texts)
    whole = "\n".join(texts).split()
    assert all(whole.count(str(n)) >= 1 for n in range(70))
    assert "Foot." in texts[-1]


def test_a_month_without_waste_says_so() -> None:
    with made(a_report(rows=0, bars=())) as document:
        text = document.pages[0].extract_text()
    assert text.count("Nothing.") == 2
    assert "Nothing here." in text


def test_what_no_face_can_draw_is_refused() -> None:
    answer = waste_pdf(a_report(bars=(Bar("日", Decimal(1), "1"),)), bundled())
    assert isinstance(answer, Refusal)
    assert answer.code == "label_glyph_missing"


def test_the_tallest_day_carries_its_figure_as_the_charts_scale() -> None:
    with made(a_report()) as document:
        words = document.pages[0].extract_words()
    (figure,) = [word for word in words if word["text"] == "10.01"]
    assert all(word["text"] != "5.00" for word in words)
    # the sixteenth of thirty-one days: right of the middle of 174 mm that begin at 18 mm
    assert 18 + 174 * 15 / 31 - 13 <= figure["x0"] / MM <= 18 + 174 * 16 / 31
