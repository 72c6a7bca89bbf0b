"""Pictures as values: a few primitives in millimetres, drawn alike by screen, PDF, SVG and PNG.

The origin is the top left corner, y grows downwards. ``ink`` names a role, not a colour: ``line``,
``faint``, ``glass``, ``liquid``, ``rubber``, ``metal``, ``accent``, ``paper``, ``text``, ``soft``.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class Line:
    """A straight stroke of ``width`` mm."""

    x1: Decimal
    y1: Decimal
    x2: Decimal
    y2: Decimal
    width: Decimal
    ink: str
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle, filled and/or stroked; ``round`` is the corner radius in mm."""

    x: Decimal
    y: Decimal
    w: Decimal
    h: Decimal
    fill: str = ""
    stroke: str = ""
    stroke_width: Decimal = Decimal("0.2")
    round: Decimal = Decimal(0)
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed polygon through points in mm."""

    points: tuple[tuple[Decimal, Decimal], ...]
    fill: str = ""
    stroke: str = ""
    stroke_width: Decimal = Decimal("0.2")
    tag: str = ""


@dataclass(frozen=True, slots=True)
class Words:
    """Text whose capitals are ``height`` mm high; ``anchor`` is start, middle or end; baseline at y."""

    x: Decimal
    y: Decimal
    text: str
    height: Decimal
    ink: str = "text"
    anchor: str = "start"
    bold: bool = False
    tag: str = ""


Shape: TypeAlias = Line | Box | Outline | Words


@dataclass(frozen=True, slots=True)
class Picture:
    """``width`` x ``height`` mm of shapes, back to front. ``title`` is the accessible name."""

    width: Decimal
    height: Decimal
    shapes: tuple[Shape, ...]
    title: str
