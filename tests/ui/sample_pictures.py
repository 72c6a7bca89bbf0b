"""Pictures for trying the window: an invented syringe and an invented ampoule, in millimetres."""

from __future__ import annotations

from decimal import Decimal

from kiosk.core.apparatus.picture import Box, Line, Outline, Picture, Shape, Words

D = Decimal
LENGTH, BORE = D(44), D("9.2")


def _tip(middle: Decimal) -> list[Shape]:
    """A lock collar and a tip."""
    return [
        Box(middle - D("2.1"), D(0), D("4.2"), D("4"), fill="glass", stroke="line"),
        Box(middle - D("3.9"), D(3), D("7.8"), D("6"), fill="glass", stroke="line", round=D("0.6")),
    ]


def _scale(
    left: Decimal, top: Decimal, length: Decimal, lines: int, every: int, numbers: list[str]
) -> list[Shape]:
    """Graduations with a longer one and a number at every ``every``-th."""
    shapes: list[Shape] = []
    for n in range(lines + 1):
        y = top + length * n / lines
        long = n % every == 0
        shapes.append(
            Line(
                left, y, left + (D("4.2") if long else D("2.4")), y, D("0.22"), "line", tag=f"graduation:{n}"
            )
        )
        if long and n:
            shapes.append(Words(left + D("5"), y + D("0.85"), numbers[n // every], D("1.7"), "line"))
    return shapes


def _plunger(middle: Decimal, bore: Decimal, edge: Decimal, rod: Decimal) -> list[Shape]:
    """A stopper whose sealing edge stands at ``edge``, on a rod of length ``rod``."""
    half = bore / 2 - D("0.15")
    return [
        Box(middle - D("2"), edge + D("5"), D("4"), rod - D("5"), fill="metal", stroke="faint"),
        Box(middle - half, edge, 2 * half, D("1.5"), fill="rubber", tag="edge"),
        Box(middle - half + D("0.9"), edge + D("1.5"), 2 * half - D("1.8"), D("2.2"), fill="rubber"),
        Box(middle - half, edge + D("3.7"), 2 * half, D("1.5"), fill="rubber"),
        Box(middle - D("6"), edge + rod, D("12"), D("1.8"), fill="glass", stroke="line", round=D("0.9")),
    ]


def syringe(
    at_mm: Decimal,
    length: Decimal = LENGTH,
    bore: Decimal = BORE,
    lines: int = 30,
    every: int = 5,
    numbers: tuple[str, ...] = ("", "0.5", "1", "1.5", "2", "2.5", "3"),
    line_at: Decimal | None = None,
    line_text: str = "",
) -> Picture:
    """An upright syringe, its plunger ``at_mm`` below zero; ``line_at`` marks a line to reach."""
    width, middle, zero = D(34), D(14), D(10)
    left = middle - bore / 2
    rod = length + D(12)
    shapes: list[Shape] = _tip(middle)
    shapes.append(
        Box(
            left,
            zero - D(1),
            bore,
            length + D(6),
            fill="glass",
            stroke="line",
            stroke_width=D("0.3"),
            round=D("0.8"),
        )
    )
    if at_mm:
        shapes.append(Box(left + D("0.3"), zero, bore - D("0.6"), at_mm, fill="liquid", tag="liquid"))
    shapes += _plunger(middle, bore, zero + at_mm, rod)
    shapes += _scale(left + D("0.4"), zero, length, lines, every, list(numbers))
    shapes.append(
        Box(
            middle - D(10),
            zero + length + D(5),
            D(20),
            D("2"),
            fill="glass",
            stroke="line",
            round=D(1),
            tag="flange",
        )
    )
    if line_at is not None:
        y = zero + line_at
        shapes.append(Line(left + bore + D("0.6"), y, D("24"), y, D("0.4"), "accent", tag="line to reach"))
        shapes.append(Words(D("24.8"), y + D("1.4"), line_text, D("2.8"), "accent", bold=True))
    height = zero + length + rod + D(2) if at_mm > length else zero + at_mm + rod + D(3)
    return Picture(width, height, tuple(shapes), "3 mL syringe, plunger drawn life-size")


def ampoule() -> Picture:
    """A 1 mL glass ampoule."""
    body = Box(D(4), D(20), D(11), D(38), fill="glass", stroke="line", round=D("1.5"))
    liquid = Box(D("4.5"), D(30), D(10), D("27.4"), fill="liquid", round=D(1))
    neck = Outline(
        ((D(7), D(2)), (D(12), D(2)), (D("11.2"), D(14)), (D(15), D(21)), (D(4), D(21)), (D("7.8"), D(14))),
        fill="glass",
        stroke="line",
    )
    band = Line(D("7.8"), D(14), D("11.2"), D(14), D("0.6"), "accent")
    label = Box(D(4), D(36), D(11), D(15), fill="paper", stroke="faint")
    words = Words(D("9.5"), D(44), "12.5 mg", D("1.7"), "text", "middle", bold=True)
    small = Words(D("9.5"), D(48), "in 1 mL", D("1.5"), "soft", "middle")
    return Picture(D(19), D(60), (neck, body, liquid, band, label, words, small), "Glass ampoule, 1 mL")
