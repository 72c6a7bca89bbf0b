"""A picture as an SVG file of true size: millimetres in, millimetres out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final
from xml.sax.saxutils import escape, quoteattr

from kiosk.core.apparatus.picture import Box, Line, Outline, Picture, Shape, Words
from kiosk.printing.picture_inks import ON_PAPER, ROUND, STOPS, sweep

CAP_SHARE: Final = 0.66
"""Height of capitals as a share of the type size, of the bundled face."""
FAMILY: Final = "Prep Counter Sans, Atkinson Hyperlegible Next, Verdana, sans-serif"
ANCHORS: Final = {"start": "start", "middle": "middle", "end": "end"}


def svg(picture: Picture, inks: Mapping[str, str] = ON_PAPER) -> str:
    """Return the picture as SVG text; its units are millimetres."""
    size = f'width="{picture.width}mm" height="{picture.height}mm"'
    box = f'viewBox="0 0 {picture.width} {picture.height}"'
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} {box} role="img">',
        f"<title>{escape(picture.title)}</title>",
        "<defs>",
        *_gradients(inks),
        "</defs>",
        f'<g font-family="{FAMILY}">',
        *(_shape(shape, inks) for shape in picture.shapes),
        "</g>",
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def _gradients(inks: Mapping[str, str]) -> Iterator[str]:
    """Yield a sweep across and one down for every round material."""
    for ink in ROUND:
        colours = sweep(ink, inks)
        assert colours is not None
        stops = "".join(
            f'<stop offset="{at}" stop-color="{colour}"/>' for at, colour in zip(STOPS, colours, strict=True)
        )
        yield f'<linearGradient id="{ink}-across" x2="1" y2="0">{stops}</linearGradient>'
        yield f'<linearGradient id="{ink}-down" x2="0" y2="1">{stops}</linearGradient>'


def _shape(shape: Shape, inks: Mapping[str, str]) -> str:
    """Return one element."""
    if isinstance(shape, Line):
        ends = f'x1="{shape.x1}" y1="{shape.y1}" x2="{shape.x2}" y2="{shape.y2}"'
        return f'<line {ends} stroke="{inks[shape.ink]}" stroke-width="{shape.width}"{_tag(shape.tag)}/>'
    if isinstance(shape, Box):
        place = f'x="{shape.x}" y="{shape.y}" width="{shape.w}" height="{shape.h}" rx="{shape.round}"'
        return f"<rect {place}{_paint(shape, shape.h >= shape.w, inks)}{_tag(shape.tag)}/>"
    if isinstance(shape, Outline):
        points = " ".join(f"{x},{y}" for x, y in shape.points)
        return f'<polygon points="{points}"{_paint(shape, _upright(shape), inks)}{_tag(shape.tag)}/>'
    return _words(shape, inks)


def _upright(outline: Outline) -> bool:
    """Say whether an outline is higher than wide."""
    across = [x for x, _ in outline.points]
    down = [y for _, y in outline.points]
    return max(down) - min(down) >= max(across) - min(across)


def _paint(shape: Box | Outline, upright: bool, inks: Mapping[str, str]) -> str:
    """Return fill and stroke attributes."""
    fill = "none"
    if shape.fill in ROUND:
        fill = f"url(#{shape.fill}-{'across' if upright else 'down'})"
    elif shape.fill:
        fill = inks[shape.fill]
    stroke = f' stroke="{inks[shape.stroke]}" stroke-width="{shape.stroke_width}"' if shape.stroke else ""
    return f' fill="{fill}"{stroke} stroke-linejoin="round"'


def _words(words: Words, inks: Mapping[str, str]) -> str:
    """Return one text."""
    size = round(float(words.height) / CAP_SHARE, 4)
    weight = ' font-weight="600"' if words.bold else ""
    place = f'x="{words.x}" y="{words.y}" font-size="{size}" text-anchor="{ANCHORS[words.anchor]}"'
    return f'<text {place} fill="{inks[words.ink]}"{weight}{_tag(words.tag)}>{escape(words.text)}</text>'


def _tag(tag: str) -> str:
    """Return the tag as a class, so that a part can be found in the file."""
    return f" class={quoteattr(tag)}" if tag else ""
