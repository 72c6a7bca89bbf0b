"""Pictures on the screen: graduations where the millimetres say, at three densities of screen."""

from __future__ import annotations

from decimal import Decimal

import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QImage, QPainter

from kiosk.core.apparatus.picture import Box, Line, Outline, Picture, Words
from kiosk.ui.drawing import draw_picture
from tests.ui.sample_pictures import syringe

D = Decimal
DENSITIES = [96 / 25.4, 141.2 / 25.4, 11.81]
"""A desk screen, a 15.6-inch panel, a 300 dots per inch one."""


def draw(look, picture, dots):
    wide, high = (round(float(side) * dots) + 2 for side in (picture.width, picture.height))
    image = QImage(wide, high, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    draw_picture(painter, picture, look, QPointF(0, 0), dots)
    painter.end()
    return image


def darkness(image, x, y):
    return 255 - QColor(image.pixel(x, y)).lightness()


def dark_rows(image):
    """Return the rows that hold ink."""
    across = range(image.width())
    return [y for y in range(image.height()) if any(darkness(image, x, y) > 128 for x in across)]


def centre_of_dark(image, x, top, bottom):
    """Return the centre of darkness of a column between two rows, in dots."""
    rows = range(max(0, top), min(image.height(), bottom))
    weights = [max(0, darkness(image, x, y) - 40) for y in rows]
    return sum(w * (y + 0.5) for w, y in zip(weights, rows, strict=True)) / sum(weights)


@pytest.mark.parametrize("dots", DENSITIES)
def test_every_graduation_stands_at_its_millimetre(look, dots):
    empty = syringe(D(0))
    lines = [s for s in empty.shapes if isinstance(s, Line) and s.tag.startswith("graduation")]
    image = draw(look, Picture(empty.width, empty.height, tuple(lines), "lines only"), dots)
    assert len(lines) == 31
    for line in lines:
        x = round(float(line.x1 + D(1)) * dots)
        y = float(line.y1) * dots
        assert centre_of_dark(image, x, round(y - 0.4 * dots), round(y + 0.4 * dots) + 1) == pytest.approx(
            y, abs=0.35
        )


@pytest.mark.parametrize("dots", DENSITIES)
def test_the_sealing_edge_stands_where_the_volume_says(look, dots):
    # 1.5 mL on a 44 mm scale of 3 mL lies 22 mm below the zero line, which lies 10 mm down
    picture = syringe(D(22))
    edge = next(s for s in picture.shapes if isinstance(s, Box) and s.tag == "edge")
    assert edge.y == D(32)
    bare = Picture(picture.width, picture.height, (edge,), "edge only")
    image = draw(look, bare, dots)
    x = round(float(edge.x + edge.w / 2) * dots)
    first = next(y for y in range(image.height()) if darkness(image, x, y) > 60)
    assert first == pytest.approx(32 * dots, abs=1.0)


@pytest.mark.parametrize("dots", DENSITIES)
def test_letters_are_as_high_as_asked(look, dots):
    image = draw(look, Picture(D(20), D(10), (Words(D(2), D(8), "H", D(4)),), "letter"), dots)
    dark = [
        y for y in range(image.height()) if any(darkness(image, x, y) > 128 for x in range(image.width()))
    ]
    assert (dark[-1] + 1 - dark[0]) / dots == pytest.approx(4, abs=1.2 / dots)
    assert (dark[-1] + 1) / dots == pytest.approx(8, abs=1 / dots)


@pytest.mark.parametrize(("anchor", "left"), [("start", 10.0), ("middle", 7.0), ("end", 4.0)])
def test_letters_keep_to_their_anchor(look, anchor, left):
    image = draw(
        look, Picture(D(30), D(10), (Words(D(10), D(8), "HHHH", D(3), anchor=anchor),), "letters"), 10
    )
    dark = [
        x for x in range(image.width()) if any(darkness(image, x, y) > 128 for y in range(image.height()))
    ]
    width = (dark[-1] - dark[0]) / 10
    share = {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor]
    assert dark[0] / 10 == pytest.approx(10 - share * width, abs=0.8)


def test_glass_is_lit_across_its_narrow_side_and_rubber_is_not_flat(look):
    image = draw(look, Picture(D(10), D(40), (Box(D(0), D(0), D(10), D(40), fill="glass"),), "glass"), 10)
    across = {image.pixel(x, 200) for x in range(5, 95)}
    down = {image.pixel(50, y) for y in range(5, 395)}
    assert len(across) > 3
    assert len(down) == 1


def test_an_outline_is_filled_and_stroked(look):
    shape = Outline(((D(1), D(1)), (D(9), D(1)), (D(5), D(9))), fill="accent", stroke="line")
    image = draw(look, Picture(D(10), D(10), (shape,), "wedge"), 10)
    assert QColor(image.pixel(50, 40)).name() == look.theme.picture["accent"].lower()


def test_a_stroke_never_vanishes_on_a_coarse_screen(look):
    line = Line(D(0), D(5), D(10), D(5), D("0.01"), "line")
    image = draw(look, Picture(D(10), D(10), (line,), "hair"), 3)
    assert max(darkness(image, 15, y) for y in range(image.height())) > 60
