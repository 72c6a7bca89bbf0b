"""The check values as real symbols: written as GS1 Data Matrix, burnt at 203 dpi, read by another reader.

Writer: pystrich. Reader: zxing-cpp, independent of it. Three printer dots a module, one bit a dot, as a
label printer makes them. Values: label-and-check facts, section 9c.
"""

from __future__ import annotations

import io
from datetime import UTC, date, datetime

import pytest
import zxingcpp
from pystrich.datamatrix import DataMatrixData, DataMatrixEncoder
from pystrich.gs1 import GS1Fixed, GS1Variable
from reportlab.pdfgen.canvas import Canvas

from kiosk.core.findings import Refusal
from kiosk.feeds.scan import what_is
from kiosk.flow.scans import ProductScan
from kiosk.printing.read_back import burnt
from kiosk.printing.symbol import DOTS_203

NOW = datetime(2026, 11, 25, 3, 0, tzinfo=UTC)
POINTS_PER_MM = 72 / 25.4
QUIET = 2


def scanned(*fields: GS1Fixed | GS1Variable) -> str:
    """Return what a scanner with AIM identifiers sends for a printed symbol of these fields."""
    marks = DataMatrixEncoder(DataMatrixData.gs1(*fields), quiet_zone=0).get_rect_marks()
    module = 3 / DOTS_203.per_mm * POINTS_PER_MM
    side = (marks.width + 2 * QUIET) * module
    page = io.BytesIO()
    canvas = Canvas(page, pagesize=(side, side))
    for x, y, wide, high, *_ in marks.marks:
        canvas.rect(
            (x + QUIET) * module, side - (y + QUIET + high) * module, wide * module, high * module, 0, 1
        )
    canvas.save()
    (found,) = zxingcpp.read_barcodes(burnt(page.getvalue(), DOTS_203))
    return found.symbology_identifier + found.bytes.decode("ascii")


def test_a_serial_between_fixed_fields_survives_paper() -> None:
    text = scanned(
        GS1Fixed("01", "07680669330019"),
        GS1Variable("21", "10030376244896"),
        GS1Fixed("17", "251130"),
        GS1Variable("10", "A1B2"),
    )
    assert text.startswith("]d2")
    assert what_is(text, NOW) == ProductScan("07680669330019", "A1B2", date(2025, 11, 30), "10030376244896")


def test_the_demonstration_product_survives_paper() -> None:
    text = scanned(GS1Fixed("01", "09501101530003"), GS1Fixed("17", "271231"), GS1Variable("10", "AB-123"))
    assert what_is(text, NOW) == ProductScan("09501101530003", "AB-123", date(2027, 12, 31))


def test_a_symbol_made_without_its_separator_is_noticed_on_paper_too() -> None:
    text = scanned(
        GS1Fixed("01", "00730822299541"), GS1Fixed("17", "271231"), GS1Variable("10", "N4053724112201132002")
    )
    found = what_is(text, NOW)
    assert isinstance(found, ProductScan)
    assert (found.lot, found.flags) == ("N4053724112201132002", ("scan_separator_lost",))


@pytest.mark.parametrize(
    ("fields", "code"),
    [
        ([GS1Fixed("01", "09501101530004")], "scan_check_digit_wrong"),
        ([GS1Variable("30", "19"), GS1Variable("21", "123456789012")], "scan_without_product"),
    ],
)
def test_a_well_printed_symbol_may_still_be_wrong(fields: list[GS1Fixed | GS1Variable], code: str) -> None:
    found = what_is(scanned(*fields), NOW)
    assert isinstance(found, Refusal)
    assert found.code == code
