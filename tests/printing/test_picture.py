"""Pictures on paper and in files, measured: every graduation against the syringe's own figures.

Pixels: the rows of the scale are found in the rendered picture at three densities. Paper: in millimetres,
both in the vector page and in a render of it at 600 dots per inch.
"""

from __future__ import annotations

import io
from decimal import Decimal
from itertools import combinations, pairwise
from pathlib import Path
from xml.etree import ElementTree

import pdfplumber
import pypdfium2
import pytest
from PIL import Image

from kiosk.core.apparatus.drawing import gauge_page, needles_picture, scale_place, syringe_picture
from kiosk.core.apparatus.picture import Box, Line, Outline, Picture, Words
from kiosk.core.apparatus.scale_drawing import graduations, line_length
from kiosk.core.apparatus.syringe_shape import shape_of
from kiosk.core.catalogue.devices import Syringe
from kiosk.printing.faces import Fonts, faces
from kiosk.printing.picture import KINDS, UnknownPictureKind, can_write, png, write
from kiosk.printing.picture_inks import ON_PAPER, STOPS, lit, sweep
from kiosk.printing.picture_pdf import pdf
from kiosk.printing.picture_svg import svg
from kiosk.tables.resources import resource
from kiosk.tables.words import words
from tests.core.apparatus.samples import ONE, TEN, THREE, a_needle, an_insulin_syringe, ml, tables

FONTS = Fonts(
    resource("fonts", "PrepCounterSans-Regular.ttf"), resource("fonts", "PrepCounterSans-Semibold.ttf")
)
INSULIN = an_insulin_syringe("100", "2")
DENSITIES = (96, 147, 220)


def full(syringe: Syringe) -> Picture:
    """The scale over liquid from end to end: the plunger at the last line."""
    return syringe_picture(syringe, syringe.nominal, False, lens=False)


def rows_found(image: Image.Image, syringe: Syringe, per_mm: float) -> list[float]:
    """The middles (in pixels from the top) of the dark rows within the shortest lines of the scale."""
    shape = shape_of(syringe)
    left = float(shape.middle - shape.outer / 2) + 0.55
    right = left - 0.2 + float(line_length(shape, "plain")) - 0.2
    columns = range(round(left * per_mm), max(round(left * per_mm) + 1, round(right * per_mm)))
    top = round(float(shape.zero - 1) * per_mm)
    foot = round((float(shape.zero) + clear_of_stopper(syringe)) * per_mm)
    grey = image.convert("L")
    dark = [1 - sum(grey.getpixel((x, y)) for x in columns) / (255 * len(columns)) for y in range(top, foot)]
    ground = sorted(dark)[len(dark) // 4]
    return _middles([max(0.0, d - ground - 0.06) for d in dark], top)


def _middles(dark: list[float], top: int) -> list[float]:
    """The weighed middle of every run of darkness."""
    found, weight, moment = [], 0.0, 0.0
    for y, d in enumerate([*dark, 0.0]):
        if d > 0:
            weight, moment = weight + d, moment + d * (top + y + 0.5)
        elif weight:
            if weight > 0.05:
                found.append(moment / weight)
            weight = moment = 0.0
    return found


def clear_of_stopper(syringe: Syringe) -> float:
    """How far down the scale (mm) nothing of the stopper at the last line is in the way."""
    shape = shape_of(syringe)
    return float(shape.scale - shape.shoulder) - 0.4


def expected(syringe: Syringe, per_mm: float) -> list[float]:
    """Where the lines must be, from the syringe's scale length alone; those at the stopper are left out."""
    zero = float(scale_place(syringe).zero_mm)
    count = int(syringe.nominal.ratio(syringe.graduation))
    step = float(syringe.scale_length.value) / count
    places = [n * step for n in range(count) if n * step < clear_of_stopper(syringe) - 0.2]
    assert len(places) >= count - 2
    return [(zero + place) * per_mm for place in places]


@pytest.mark.parametrize("dpi", DENSITIES)
@pytest.mark.parametrize("syringe", [THREE, TEN, INSULIN], ids=lambda s: s.id)
def test_graduations_stand_at_their_pixels_at_three_densities(syringe: Syringe, dpi: int) -> None:
    image = Image.open(io.BytesIO(png(full(syringe), dpi, fonts=FONTS)))
    per_mm = dpi / 25.4
    found, wanted = rows_found(image, syringe, per_mm), expected(syringe, per_mm)
    assert len(found) == len(wanted)
    assert max(abs(f - w) for f, w in zip(found, wanted, strict=True)) < 0.5  # of one pixel


def test_the_hundred_lines_of_the_1_ml_barrel_are_all_there_on_a_fine_screen() -> None:
    image = Image.open(io.BytesIO(png(full(ONE), 300, fonts=FONTS)))
    found, wanted = rows_found(image, ONE, 300 / 25.4), expected(ONE, 300 / 25.4)
    assert len(found) == len(wanted) >= 98
    assert max(abs(f - w) for f, w in zip(found, wanted, strict=True)) < 0.5


@pytest.mark.parametrize("syringe", [ONE, THREE, TEN, INSULIN], ids=lambda s: s.id)
def test_the_printed_page_measures_true_in_millimetres(syringe: Syringe) -> None:
    document = pypdfium2.PdfDocument(pdf(full(syringe), fonts=FONTS))
    image = document[0].render(scale=600 / 72).to_pil()
    document.close()
    found = [y * 25.4 / 600 for y in rows_found(image, syringe, 600 / 25.4)]
    wanted = [y * 1.0 for y in expected(syringe, 1.0)]
    assert len(found) == len(wanted)
    assert max(abs(f - w) for f, w in zip(found, wanted, strict=True)) < 0.02  # mm
    count = int(syringe.nominal.ratio(syringe.graduation))
    over_all = float(syringe.scale_length.value) * (len(wanted) - 1) / count
    assert abs(found[-1] - found[0] - over_all) < 0.02


def test_the_vector_page_holds_every_graduation_to_a_thousandth_of_a_millimetre() -> None:
    picture = full(THREE)
    with pdfplumber.open(io.BytesIO(pdf(picture, fonts=FONTS))) as document:
        page = document.pages[0]
        assert abs(float(page.width) / 72 * 25.4 - float(picture.width)) < 0.001
        assert abs(float(page.height) / 72 * 25.4 - float(picture.height)) < 0.001
        drawn = {round(line["top"] / 72 * 25.4, 2) for line in page.lines if line["height"] == 0}
    zero = scale_place(THREE).zero_mm
    for graduation in graduations(THREE):
        assert round(float(zero + graduation.place), 2) in drawn


def test_the_page_of_needles_measures_true() -> None:
    page = gauge_page(tables(), words("en"))
    document = pypdfium2.PdfDocument(pdf(page, fonts=FONTS))
    image = document[0].render(scale=600 / 72).to_pil().convert("L")
    document.close()
    (ruler,) = [s for s in page.shapes if isinstance(s, Line) and s.tag == "100 mm"]
    y = round(float(ruler.y1) / 25.4 * 600)
    dark = [
        x for x in range(image.width) if image.getpixel((x, y)) < 128 and x < float(ruler.x2 + 1) / 25.4 * 600
    ]
    assert abs((dark[-1] - dark[0] + 1) / 600 * 25.4 - 100.3) < 0.1  # the end marks are 0.3 mm thick


def test_an_svg_file_is_in_millimetres_and_carries_its_title() -> None:
    picture = syringe_picture(THREE, ml("1"), title="3 mL < lock")
    root = ElementTree.fromstring(svg(picture))
    assert root.get("width") == f"{picture.width}mm"
    assert root.get("viewBox") == f"0 0 {picture.width} {picture.height}"
    space = "{http://www.w3.org/2000/svg}"
    assert root.findtext(f"{space}title") == "3 mL < lock"
    lines = [e for e in root.iter(f"{space}line") if (e.get("class") or "").startswith("graduation:")]
    zero = scale_place(THREE).zero_mm
    places = [Decimal(e.get("y1") or "") - zero for e in lines]
    assert places == [g.place for g in graduations(THREE)]
    kinds = {Line: "line", Box: "rect", Outline: "polygon", Words: "text"}
    for kind, element in kinds.items():
        count = sum(isinstance(s, kind) for s in picture.shapes)
        assert len(list(root.iter(space + element))) == count > 0


def test_capitals_are_as_high_as_asked() -> None:
    picture = Picture(Decimal(40), Decimal(20), (Words(Decimal(2), Decimal(15), "H", Decimal(10)),), "H")
    image = Image.open(io.BytesIO(png(picture, 600, fonts=FONTS))).convert("L")
    rows = [y for y in range(image.height) if min(image.getpixel((x, y)) for x in range(image.width)) < 128]
    assert abs((rows[-1] - rows[0] + 1) / 600 * 25.4 - 10) < 0.15


def test_words_stand_where_their_anchor_says() -> None:
    shapes = tuple(
        Words(Decimal(30), Decimal(10 * n), "HHH", Decimal(5), anchor=anchor)
        for n, anchor in enumerate(("start", "middle", "end"), start=1)
    )
    image = Image.open(io.BytesIO(png(Picture(Decimal(60), Decimal(35), shapes, "x"), 200, fonts=FONTS)))
    spans = []
    for n in (1, 2, 3):
        y = round((10 * n - 2.5) / 25.4 * 200)
        dark = [x for x in range(image.width) if image.convert("L").getpixel((x, y)) < 128]
        spans.append((dark[0] / 200 * 25.4, dark[-1] / 200 * 25.4))
    assert abs(spans[0][0] - 30) < 1
    assert abs(sum(spans[1]) / 2 - 30) < 1
    assert abs(spans[2][1] - 30) < 1


@pytest.mark.parametrize("kind", KINDS)
def test_a_picture_is_written_by_the_name_of_its_file(tmp_path: Path, kind: str) -> None:
    path = tmp_path / f"syringe{kind.upper()}"
    assert can_write(path)
    write(syringe_picture(THREE, ml("1")), path, FONTS)
    start = {".svg": b"<svg", ".png": b"\x89PNG", ".pdf": b"%PDF"}[kind]
    assert path.read_bytes().startswith(start)


def test_another_kind_of_file_is_refused(tmp_path: Path) -> None:
    assert not can_write(tmp_path / "syringe.bmp")
    with pytest.raises(UnknownPictureKind):
        write(full(THREE), tmp_path / "syringe.bmp")


@pytest.mark.parametrize("language", ["en", "fr"])
def test_no_words_run_out_of_a_picture_or_into_their_neighbours(language: str) -> None:
    entries = words(language)
    edge = (entries["picture.edge_1"], entries["picture.edge_2"])
    longest = an_insulin_syringe("100", "2")
    ward = [a_needle(22, "31.75", "1 1/4", outer="0.7"), a_needle(21, "38.1", "1 1/2", outer="0.8")]
    pictures = [
        gauge_page(tables(), entries, language),
        needles_picture(ward, ward[0], language=language, ring_word=entries["picture.ring"]),
        syringe_picture(longest, longest.nominal, notes=edge, language=language),
        syringe_picture(ONE, ml("0.37"), notes=edge, language=language),
    ]
    for picture in pictures:
        spans = [(s.text, s.y, *_span(s)) for s in picture.shapes if isinstance(s, Words)]
        assert all(left >= 0 and right <= float(picture.width) for _, _, left, right in spans), picture.title
        page = picture is pictures[0]
        for one, other in combinations(spans, 2) if page else ():
            apart = one[3] <= other[2] or other[3] <= one[2]
            assert one[1] != other[1] or apart, (one, other)


def _span(words: Words) -> tuple[float, float]:
    """From where to where a text reaches, by the bundled face."""
    face = faces(FONTS).face(words.bold)
    wide = face.width(words.text, float(words.height) / face.cap)
    left = float(words.x) - {"start": 0.0, "middle": wide / 2, "end": wide}[words.anchor]
    return left, left + wide


def test_a_png_says_how_dense_it_is() -> None:
    image = Image.open(io.BytesIO(png(full(THREE), 300)))
    assert round(image.info["dpi"][0]) == 300
    assert abs(image.height / 300 * 25.4 - float(full(THREE).height)) < 0.2


def test_the_same_picture_gives_the_same_bytes() -> None:
    assert pdf(full(THREE), fonts=FONTS) == pdf(full(THREE), fonts=FONTS)
    assert png(full(THREE)) == png(full(THREE))


def test_without_font_files_a_standard_face_is_used() -> None:
    picture = needles_picture((a_needle(23, "25", "1", outer="0.64", bore="0.34"),), None)
    with pdfplumber.open(io.BytesIO(pdf(picture))) as document:
        text = document.pages[0].extract_text()
    assert "23 G" in text


def test_a_round_material_is_light_in_the_middle_and_dark_at_its_edges() -> None:
    edge, light, plain, other = sweep("metal", ON_PAPER) or ("", "", "", "")
    assert edge == other < plain < light
    assert sweep("line", ON_PAPER) is None
    assert lit("#808080", 3) == "#FFFFFF"
    assert all(a < b for a, b in pairwise(STOPS))


def test_every_ink_of_every_picture_has_a_colour() -> None:
    pictures = [
        full(THREE),
        syringe_picture(ONE, ml("0.5"), blank=True),
        gauge_page(tables(), words("fr"), "fr"),
    ]
    for picture in pictures:
        for shape in picture.shapes:
            inks = [shape.ink] if isinstance(shape, Line | Words) else [shape.fill, shape.stroke]
            assert all(ink in ON_PAPER for ink in inks if ink)
