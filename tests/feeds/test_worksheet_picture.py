"""``kiosk worksheet --picture`` and ``kiosk gauges``: the files, measured, and what they refuse."""

from __future__ import annotations

import io
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pdfplumber
import pytest
from PIL import Image

from kiosk.cli import main
from kiosk.core.apparatus.set_drawing import set_picture
from kiosk.core.apparatus.strokes import moved
from kiosk.core.apparatus.syringe_drawing import syringe_picture
from kiosk.tables.words import words
from tests.core.apparatus.samples import THREE, a_needle, ml
from tests.feeds.asking import Told, ask

SPACE = "{http://www.w3.org/2000/svg}"
WORKSHEETS = Path(__file__).parent / "worksheets"
QUESTION = {
    "ask": "volume",
    "given": {
        "ordered_dose": {"value": 8, "unit": "mg"},
        "stock_strength": {"amount": {"value": 10, "unit": "mg"}, "volume": {"value": 1, "unit": "mL"}},
    },
}


def prochlorperazine(**changes: Any) -> dict[str, Any]:
    """12.5 mg of 12.5 mg in 1 mL into the hip muscle, with one syringe and two needles at hand."""
    return {
        "now": "2026-03-02T09:00:00Z",
        "order": {
            "drug": {"name": "prochlorPERazine"},
            "dose": "12.5 mg",
            "route": "intramuscular",
            "site": "ventrogluteal",
        },
        "patient": {"born": "1980-07-01", "sex": "female", "weight": "71 kg", "allergies": []},
        "containers": [
            {
                "strength": {"amount": "12.5 mg", "volume": "1 mL"},
                "contents": "1 mL",
                "form": "glass ampoule",
                "routes": ["intramuscular"],
            }
        ],
        "devices": {
            "syringes": [
                {
                    "nominal": "3 mL",
                    "graduation": "0.1 mL",
                    "numbered_every": "0.5 mL",
                    "scale_length": "50.5 mm",
                    "barrel_bore": "8.7 mm",
                }
            ],
            "needles": [
                {"gauge": 22, "length": "38 mm", "inch_text": "1 1/2"},
                {"gauge": 23, "length": "25 mm", "inch_text": "1"},
            ],
            "draw_up": [
                {"kind": "blunt filter needle", "gauge": 18, "length": "38 mm", "filter_micrometres": 5}
            ],
        },
    } | changes


def drawn(folder: Path, ending: str = "svg", *options: str, **changes: Any) -> tuple[Told, Path]:
    path = folder / f"syringe.{ending}"
    return ask(prochlorperazine(**changes), "--picture", str(path), *options), path


def elements(path: Path, kind: str, tag: str) -> list[ElementTree.Element]:
    root = ElementTree.fromstring(path.read_text(encoding="utf-8"))
    return [e for e in root.iter(SPACE + kind) if (e.get("class") or "").startswith(tag)]


def millimetres(element: ElementTree.Element, name: str) -> float:
    return float(element.get(name) or "nan")


def test_the_picture_is_life_size_with_every_graduation_and_the_line_to_reach(tmp_path: Path) -> None:
    told, path = drawn(tmp_path)
    assert told.end == 0
    assert told.err == ""
    lines = [millimetres(e, "y1") for e in elements(path, "line", "graduation:")]
    assert len(lines) == 31  # 3 mL by 0.1 mL, with the zero line
    assert lines[-1] - lines[0] == pytest.approx(50.5, abs=0.001)  # the scale length that was stated
    pointer = elements(path, "line", "pointer")[0]
    # 1 mL of 3 mL on a scale of 50.5 mm: 16.833 mm below the zero line. Hand arithmetic.
    assert millimetres(pointer, "y1") - lines[0] == pytest.approx(16.833, abs=0.001)
    assert [e.text for e in elements(path, "text", "line figure")] == ["1 mL"]


def test_the_needle_is_on_the_barrel_and_beside_it_at_its_true_size(tmp_path: Path) -> None:
    _, path = drawn(tmp_path)
    tubes = elements(path, "polygon", "needle")
    assert not elements(path, "line", "needle, width not known")
    sizes = []
    for tube in tubes:
        points = [tuple(map(float, pair.split(","))) for pair in (tube.get("points") or "").split()]
        across, down = [x for x, _ in points], [y for _, y in points]
        sizes.append((round(max(across) - min(across), 3), round(max(down) - min(down), 3)))
    # the best, 22 G 38 mm, on the tip and beside it; 23 G 25 mm. Nominal widths of regular tubing:
    # 0.7176 mm and 0.6414 mm (needle_nominal_bore.csv).
    assert sizes == [(0.718, 38), (0.718, 38), (0.641, 25)]


def test_the_edge_that_is_read_is_said_in_words_in_both_languages(tmp_path: Path) -> None:
    for language in ("en", "fr"):
        _, path = drawn(tmp_path, "svg", "--language", language)
        notes = [e.text for e in elements(path, "text", "note")]
        entries = words(language)
        assert notes == [entries["picture.edge_1"], entries["picture.edge_2"]]


def test_the_pdf_is_of_true_size_and_set_in_the_bundled_face(tmp_path: Path) -> None:
    _, path = drawn(tmp_path, "pdf")
    with pdfplumber.open(path) as document:
        (page,) = document.pages
        fonts = {char["fontname"] for char in page.chars}
        wide = [line for line in page.lines if line["height"] == 0]
        longest = max(float(line["x1"] - line["x0"]) for line in wide) / 72 * 25.4
        text = page.extract_text()
    assert all("PrepCounterSans" in name for name in fonts), fonts
    assert longest == pytest.approx(100, abs=0.01)
    assert "3 mL syringe, lock tip, lines every 0.1 mL" in text
    assert "22 G" in text


def test_the_png_says_its_density_so_that_a_print_is_life_size(tmp_path: Path) -> None:
    _, path = drawn(tmp_path, "png")
    with Image.open(path) as opened:
        per_mm, image = opened.info["dpi"][0] / 25.4, opened.convert("L")
    rows = [y for y in range(image.height) if _dark_run(image, y) > 99 * per_mm]
    assert rows, "the line of 100 mm is not there"
    assert _dark_run(image, rows[0]) / per_mm == pytest.approx(100.3, abs=0.3)  # with its end marks


def _dark_run(image: Image.Image, y: int) -> int:
    """The longest run of dark pixels in a row."""
    longest = run = 0
    for x in range(image.width):
        run = run + 1 if image.getpixel((x, y)) < 128 else 0
        longest = max(longest, run)
    return longest


def test_a_scale_nobody_gave_the_length_of_is_said_to_be_drawn_short(tmp_path: Path) -> None:
    devices = prochlorperazine()["devices"]
    del devices["syringes"][0]["scale_length"]
    _, path = drawn(tmp_path, "svg", devices=devices)
    said = [e.text for e in elements(path, "text", "caption")]
    assert words("en")["picture.shortest_scale"] in said


def test_a_fixed_needle_is_drawn_on_its_barrel_alone(tmp_path: Path) -> None:
    path = tmp_path / "insulin.svg"
    told = ask((WORKSHEETS / "insulin.toml").read_bytes(), "--picture", str(path))
    assert told.end == 0
    assert elements(path, "polygon", "hub") == []  # what is fixed has no hub and stands nowhere alone
    assert [e.text for e in elements(path, "text", "line figure")] == ["18 units"]


@pytest.mark.parametrize(
    ("description", "says"),
    [
        ((WORKSHEETS / "too_small_to_measure.toml").read_bytes(), "no syringe at hand measures the dose"),
        ((WORKSHEETS / "percent_to_mmol.json").read_bytes(), "or none is named"),
        (QUESTION, "plans no syringe"),
    ],
    ids=["nothing measures it", "no syringe named", "a question"],
)
def test_what_has_no_picture_is_refused_in_one_sentence(
    tmp_path: Path, description: bytes | dict[str, Any], says: str
) -> None:
    path = tmp_path / "none.svg"
    told = ask(description, "--picture", str(path))
    assert told.end == 3
    assert says in told.err
    assert told.err.count("\n") == 1
    assert told.out
    assert not path.exists()


def test_a_refused_plan_has_no_picture(tmp_path: Path) -> None:
    told, path = drawn(
        tmp_path, "svg", patient=prochlorperazine()["patient"] | {"allergies": ["chlorpromazine"]}
    )
    assert told.end == 3
    assert "the plan is refused" in told.err
    assert not path.exists()


def test_an_unknown_ending_is_refused_before_anything_is_worked_out(tmp_path: Path) -> None:
    told, path = drawn(tmp_path, "bmp")
    assert told.end == 2
    assert told.out == ""
    assert told.err.count("\n") == 1
    assert ".svg" in told.err
    assert not path.exists()


def test_a_place_that_cannot_be_written_is_said_in_one_sentence(tmp_path: Path) -> None:
    told = ask(prochlorperazine(), "--picture", str(tmp_path / "nowhere" / "syringe.svg"))
    assert told.end == 2
    assert told.err.count("\n") == 1


def test_many_descriptions_have_no_one_picture(tmp_path: Path) -> None:
    with pytest.raises(SystemExit) as stopped, redirect_stderr(io.StringIO()):
        ask(prochlorperazine(), "--lines", "--picture", str(tmp_path / "many.svg"))
    assert stopped.value.code == 2


@pytest.mark.parametrize("language", ["en", "fr"])
def test_the_page_of_gauges_shows_18_to_31_to_scale(tmp_path: Path, language: str) -> None:
    path = tmp_path / "gauges.svg"
    assert main(["gauges", str(path), "--language", language]) == 0
    root = ElementTree.fromstring(path.read_text(encoding="utf-8"))
    texts = [e.text for e in root.iter(f"{SPACE}text")]
    assert all(str(gauge) in texts for gauge in range(18, 32))
    assert root.findtext(f"{SPACE}title") == words(language)["picture.gauges.title"]
    widths = []
    for tube in elements(path, "polygon", "needle")[:14]:
        points = [float(pair.split(",")[0]) for pair in (tube.get("points") or "").split()]
        widths.append(max(points) - min(points))
    assert widths == sorted(widths, reverse=True)  # a smaller number is a thicker needle
    assert widths[0] == pytest.approx(1.27, abs=0.001)  # 18 G regular tubing, needle_nominal_bore.csv


def test_the_page_of_gauges_refuses_another_ending(tmp_path: Path) -> None:
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        assert main(["gauges", str(tmp_path / "gauges.txt")]) == 2
    assert err.getvalue().count("\n") == 1


def test_the_page_is_the_two_pictures_moved_and_nothing_left_out() -> None:
    needle = a_needle(22, "38", "1 1/2", outer="0.7")
    page = set_picture(THREE, ml("1"), (needle,), words("en"), captions=("3 mL",))
    alone = syringe_picture(THREE, ml("1"), needle=needle, notes=("sealing edge", "of the stopper"))
    first = next(s for s in page.shapes if getattr(s, "tag", "").startswith("graduation:"))
    same = next(s for s in alone.shapes if getattr(s, "tag", "").startswith("graduation:"))
    right, down = first.x1 - same.x1, first.y1 - same.y1  # type: ignore[union-attr]
    assert {moved(shape, right, down) for shape in alone.shapes} <= set(page.shapes)
    assert page.title == "3 mL"
