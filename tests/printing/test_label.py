"""Labels on paper: true size, everything on them, nothing over the edge or over anything else."""

from __future__ import annotations

import io
from collections import Counter
from dataclasses import replace
from itertools import combinations
from typing import Any

import pdfplumber
import pytest
import zxingcpp

from kiosk.core.findings import Refusal
from kiosk.core.label.says import InUseFields, LabelFields, Shape
from kiosk.printing.in_use import in_use_pdf
from kiosk.printing.label import label_pdf
from kiosk.printing.read_back import MM_PER_POINT, burnt, codes_on, read_back, text_of
from kiosk.printing.symbol import DOTS_203, DOTS_300, Dots
from kiosk.printing.wording import in_use_texts_of, texts_of
from tests.printing.samples import (
    EVERY_IN_USE,
    EVERY_LABEL,
    bundled,
    copied,
    in_use,
    insulin,
    plain,
    training,
)

HEADS = [DOTS_203, DOTS_300]
SIZES = {Shape.ALONG: (60, 30), Shape.FLAG: (45, 45)}


def pdf_of(label: LabelFields | InUseFields, dots: Dots = DOTS_203) -> bytes:
    made = (label_pdf if isinstance(label, LabelFields) else in_use_pdf)(label, bundled(), dots)  # type: ignore[arg-type]
    assert isinstance(made, bytes), made
    return made


def page_of(pdf: bytes) -> Any:
    return pdfplumber.open(io.BytesIO(pdf)).pages[0]


every_label = pytest.mark.parametrize("label", EVERY_LABEL.values(), ids=EVERY_LABEL.keys())
every_one = pytest.mark.parametrize(
    "label",
    [*EVERY_LABEL.values(), *EVERY_IN_USE.values()],
    ids=[*EVERY_LABEL.keys(), *(f"in use, {name}" for name in EVERY_IN_USE)],
)
every_head = pytest.mark.parametrize("dots", HEADS, ids=lambda dots: f"{dots.nominal} dpi")


@every_head
@every_one
def test_what_is_printed_reads_back_as_what_was_asked(label: LabelFields | InUseFields, dots: Dots) -> None:
    texts = texts_of(label) if isinstance(label, LabelFields) else in_use_texts_of(label)
    assert len(texts) >= 6
    assert read_back(pdf_of(label, dots), label.code, texts, dots) is None


@every_head
@every_label
def test_the_symbol_decodes_at_the_nominal_dots_per_inch_too(label: LabelFields, dots: Dots) -> None:
    # 203 dpi as the name says, not 8 dots a millimetre: the grid is a little off and must still read.
    nominal = Dots(dots.nominal, dots.nominal / 25.4)
    assert codes_on(burnt(pdf_of(label, dots), nominal)) == (label.code,)


@every_label
def test_the_page_is_the_label_at_true_size(label: LabelFields) -> None:
    page = page_of(pdf_of(label))
    width, height = SIZES[label.shape]
    assert float(page.width) * MM_PER_POINT == pytest.approx(width, abs=0.01)
    assert float(page.height) * MM_PER_POINT == pytest.approx(height, abs=0.01)


@every_label
def test_at_203_dpi_a_millimetre_is_eight_dots_and_the_label_whole_ones(label: LabelFields) -> None:
    width, height = SIZES[label.shape]
    assert burnt(pdf_of(label), DOTS_203).size == (8 * width, 8 * height)


@every_one
def test_no_word_leaves_the_label_or_touches_another(label: LabelFields | InUseFields) -> None:
    page = page_of(pdf_of(label))
    words = [_ink(word) for word in page.extract_words(keep_blank_chars=True, x_tolerance=1)]
    assert words
    edge = 0.5 / MM_PER_POINT
    for x0, top, x1, bottom, text in words:
        assert edge <= x0 < x1 <= float(page.width) - edge, text
        assert edge <= top < bottom <= float(page.height) - edge, text
    for one, other in combinations(words, 2):
        assert not _overlap(one, other), (one[4], other[4])


def _ink(word: dict[str, Any]) -> tuple[float, float, float, float, str]:
    """The box of a word's capitals and ascenders: the reader gives the whole em, most of it blank."""
    height = word["bottom"] - word["top"]
    if not word.get("upright", True):
        return word["x0"], word["top"], word["x1"], word["bottom"], word["text"]
    return word["x0"], word["top"] + 0.18 * height, word["x1"], word["bottom"] - 0.16 * height, word["text"]


def _overlap(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


@every_one
def test_no_word_comes_into_the_quiet_zone_of_the_symbol(label: LabelFields | InUseFields) -> None:
    page = page_of(pdf_of(label))
    x0, top, x1, bottom = _symbol_box(page)
    module = (x1 - x0) / 16
    zone = (x0 - module, top - module, x1 + module, bottom + module)
    for word in page.extract_words(keep_blank_chars=True, x_tolerance=1):
        assert not _overlap(zone, _ink(word)), word["text"]
    solid = [_box(rect) for rect in page.rects if not _inside(_box(rect), (x0, top, x1, bottom))]
    assert all(not _overlap(zone, rect) for rect in solid)


def _symbol_box(page: Any) -> tuple[float, float, float, float]:
    """The box of the symbol: of all black fields those of the commonest height, one module."""
    module, _ = Counter(round(float(rect["height"]), 2) for rect in page.rects).most_common(1)[0]
    runs = [_box(rect) for rect in page.rects if round(float(rect["height"]), 2) == module]
    left, tops, right, bottoms = zip(*runs, strict=True)
    return min(left), min(tops), max(right), max(bottoms)


def _box(rect: dict[str, Any]) -> tuple[float, float, float, float]:
    return rect["x0"], rect["top"], rect["x1"], rect["bottom"]


def _inside(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return (
        one[0] >= other[0] - 1
        and one[1] >= other[1] - 1
        and one[2] <= other[2] + 1
        and one[3] <= other[3] + 1
    )


@every_head
def test_every_module_is_whole_dots_and_lies_on_them(dots: Dots) -> None:
    for shape in Shape:
        x0, top, x1, _ = _symbol_box(page_of(pdf_of(replace(plain(), shape=shape), dots)))
        per_point = dots.per_mm * MM_PER_POINT
        for place in (x0, top, (x1 - x0) / 16):
            assert place * per_point == pytest.approx(round(place * per_point), abs=0.01)
        assert round((x1 - x0) / 16 * per_point) >= 3


@every_label
def test_the_drugs_name_is_at_least_two_and_a_half_millimetres_high(label: LabelFields) -> None:
    # ISO 26825:2020: letter height of the name at least 2.5 mm, bold, not all capitals.
    chars = page_of(pdf_of(label)).chars
    first_word = label.drug.split(" ")[0]
    text = "".join(char["text"] for char in chars)
    start = text.index(first_word)
    name = chars[start : start + len(first_word)]
    assert all("Bold" in char["fontname"] for char in name)
    assert bundled().bold.cap * name[0]["size"] * MM_PER_POINT >= 2.5
    assert not label.drug.isupper()


@every_one
def test_nothing_is_smaller_than_two_millimetres_of_type(label: LabelFields | InUseFields) -> None:
    chars = page_of(pdf_of(label)).chars
    ems = [char["size"] if char["upright"] else char["x1"] - char["x0"] for char in chars]
    assert min(ems) * MM_PER_POINT >= 1.99


@every_one
def test_only_the_bundled_face_is_in_the_file(label: LabelFields | InUseFields) -> None:
    assert {char["fontname"].split("+")[-1] for char in page_of(pdf_of(label)).chars} <= {
        "PrepCounterSans",
        "PrepCounterSansBold",
    }
    assert b"Helvetica" not in pdf_of(label)


def test_the_same_label_is_the_same_bytes() -> None:
    assert pdf_of(plain()) == pdf_of(plain())
    assert pdf_of(plain()) != pdf_of(insulin())


def test_the_training_banner_is_on_every_label_of_the_lab_and_on_no_other() -> None:
    for shape in Shape:
        label = replace(plain(), shape=shape)
        assert "NOT FOR USE" not in text_of(pdf_of(label))
        assert "TRAINING," in text_of(pdf_of(training(label)))
        assert "NOT FOR USE" in text_of(pdf_of(training(label)))


def test_a_further_copy_says_which_it_is_and_carries_another_code() -> None:
    for shape in Shape:
        label = replace(copied(plain(), 3), shape=shape)
        assert "copy 3" in text_of(pdf_of(label))
        assert codes_on(burnt(pdf_of(label), DOTS_203)) == (label.code,)
        assert label.code != plain().code


def test_the_flag_keeps_its_sticking_edge_free_of_fields() -> None:
    page = page_of(pdf_of(replace(plain(), shape=Shape.FLAG)))
    in_edge = page.crop((0, 0, page.width, 5 / MM_PER_POINT)).extract_text()
    assert in_edge.startswith("Stick this edge along the barrel, opposite the")
    assert plain().drug not in in_edge


def test_no_field_crosses_the_fold() -> None:
    for label in EVERY_LABEL.values():
        if label.shape is Shape.FLAG:
            fold = 25 / MM_PER_POINT
            for word in page_of(pdf_of(label)).extract_words():
                _, top, _, bottom, text = _ink(word)
                assert bottom <= fold or top >= fold, text


@pytest.mark.parametrize("field", ["drug", "patient", "place", "prepared_by", "route"])
@pytest.mark.parametrize("shape", list(Shape))
def test_a_character_the_face_lacks_is_refused_never_replaced(field: str, shape: Shape) -> None:
    label = replace(plain(), shape=shape, **{field: "Ines \u6f22"})
    answer = label_pdf(label, bundled())
    if field == "place":
        assert isinstance(answer, bytes) or answer.code == "label_glyph_missing"
        return
    assert answer == Refusal("label_glyph_missing", {"text": "Ines \u6f22", "character": "U+6F22"})


@pytest.mark.parametrize("field", ["drug", "dose", "route", "patient", "patient_number", "discard_after"])
@pytest.mark.parametrize("shape", list(Shape))
def test_what_does_not_fit_is_refused_never_shrunk(field: str, shape: Shape) -> None:
    answer = label_pdf(replace(plain(), shape=shape, **{field: "Mississippi" * 12}), bundled())
    assert isinstance(answer, Refusal)
    assert answer.code == "label_too_wide"


def test_too_much_at_once_is_refused_as_such() -> None:
    warnings = tuple(f"keep in mind warning number {number}" for number in range(6))
    answer = label_pdf(replace(plain(), warnings=warnings), bundled())
    assert answer == Refusal("label_too_full")


def test_a_warning_is_printed_where_there_is_one() -> None:
    for shape in Shape:
        label = replace(plain(), shape=shape, warnings=("Protect from light",))
        assert "Protect from light" in text_of(pdf_of(label))


def test_a_place_is_printed_where_there_is_room_and_never_costs_a_field() -> None:
    assert "Bay 3, bed 2" in text_of(pdf_of(plain()))
    roomy = replace(plain(), place="the long corridor behind the old chapel, on the left")
    assert roomy.place not in text_of(pdf_of(roomy))
    assert read_back(pdf_of(roomy), roomy.code, texts_of(roomy), DOTS_203) is None


def test_a_code_too_long_for_the_symbol_is_refused() -> None:
    for made in (
        label_pdf(replace(plain(), code="PC1" + "A3F7" * 9), bundled()),
        in_use_pdf(replace(in_use(), code="PV1" + "A3F7" * 9), bundled()),
    ):
        assert isinstance(made, Refusal)
        assert made.code == "label_code_too_long"


@every_head
def test_the_symbol_still_reads_with_a_smudge_on_it(dots: Dots) -> None:
    # ECC 200, 16 x 16: 12 data and 12 error words; five damaged ones are mended (ISO/IEC 16022).
    pdf = pdf_of(plain(), dots)
    image = burnt(pdf, dots)
    x0, top, x1, bottom = (value * MM_PER_POINT * dots.per_mm for value in _symbol_box(page_of(pdf)))
    middle = (int((x0 + x1) / 2), int((top + bottom) / 2))
    side = int((x1 - x0) / 16 * 2)
    image.paste(255, (*middle, middle[0] + side, middle[1] + side))
    found = zxingcpp.read_barcodes(image)
    assert [one.text for one in found] == [plain().code]
