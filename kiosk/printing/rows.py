"""Rows of text that either fit as designed or are refused: declared sizes, no shrinking, nothing dropped.

A field may have two or three settings, the largest first, each with its own floor; the first that holds
the text is taken. All lengths in mm.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from kiosk.core.findings import Refusal
from kiosk.printing.faces import Faces
from kiosk.printing.paper import Paper


@dataclass(frozen=True, slots=True)
class Piece:
    """Some words of one size; ``gap`` is the space before it when it is not the first of its row."""

    text: str
    size: float
    bold: bool = False
    gap: float = 0.0


@dataclass(frozen=True, slots=True)
class Row:
    """Pieces from the left on one baseline; ``pitch`` is the height the row takes."""

    pieces: tuple[Piece, ...]
    pitch: float


@dataclass(frozen=True, slots=True)
class Setting:
    """One way to set a text: em, height of a line, and how many lines it may take."""

    size: float
    pitch: float
    lines: int = 1


def unreadable(texts: Iterable[str], faces: Faces) -> Refusal | None:
    """Return a refusal for the first text with a character that a face cannot draw."""
    for text in texts:
        missing = faces.regular.missing(text) or faces.bold.missing(text)
        if missing:
            return Refusal("label_glyph_missing", {"text": text, "character": f"U+{ord(missing):04X}"})
    return None


def width_of(pieces: Sequence[Piece], faces: Faces) -> float:
    """Return how wide pieces are beside each other."""
    gaps = sum(piece.gap for piece in pieces[1:])
    return gaps + sum(faces.face(piece.bold).width(piece.text, piece.size) for piece in pieces)


def row_of(pieces: Iterable[Piece], pitch: float, width: float, faces: Faces) -> Row | Refusal:
    """Return the pieces that say something as one row, or a refusal when they are too wide together."""
    said = tuple(piece for piece in pieces if piece.text)
    if width_of(said, faces) > width:
        return Refusal("label_too_wide", {"text": " ".join(piece.text for piece in said)})
    return Row(said, pitch)


def first_fitting(*ways: tuple[Row, ...] | Row | Refusal) -> tuple[Row, ...] | Row | Refusal:
    """Return the first way that fits, the last one's refusal when none does."""
    return next((way for way in ways if not isinstance(way, Refusal)), ways[-1])


def flowed(pieces: Iterable[Piece], pitch: float, width: float, faces: Faces) -> tuple[Row, ...] | Refusal:
    """Return the pieces in as few rows as hold them in order; a piece is never broken."""
    rows: list[list[Piece]] = [[]]
    for piece in pieces:
        if not piece.text:
            continue
        if width_of([piece], faces) > width:
            return Refusal("label_too_wide", {"text": piece.text})
        if width_of([*rows[-1], piece], faces) > width:
            rows.append([])
        rows[-1].append(piece)
    return tuple(Row(tuple(row), pitch) for row in rows if row)


def set_text(
    text: str, settings: Sequence[Setting], width: float, faces: Faces, *, bold: bool = False
) -> tuple[Row, ...] | Refusal:
    """Return the text in the largest setting that holds it, broken between words or after a hyphen."""
    for setting in settings:
        lines = _broken(text, setting, width, faces, bold)
        if lines is not None:
            return tuple(Row((Piece(line, setting.size, bold),), setting.pitch) for line in lines)
    return Refusal("label_too_wide", {"text": text})


def _broken(text: str, setting: Setting, width: float, faces: Faces, bold: bool) -> list[str] | None:
    """Return the lines of a text, each as full as it goes, or None when they are too many or too wide."""
    face, lines = faces.face(bold), [""]
    for part in re.findall(r" ?[^ -]*-?", text):
        if lines[-1] and face.width(lines[-1] + part, setting.size) > width:
            lines.append(part.lstrip(" "))
        else:
            lines[-1] += part
    fits = all(face.width(line, setting.size) <= width for line in lines)
    return lines if fits and len(lines) <= setting.lines else None


class Stack:
    """Rows under each other, gathered until the first refusal."""

    def __init__(self) -> None:
        self.rows: list[Row] = []
        self.refusal: Refusal | None = None

    def add(self, rows: Row | tuple[Row, ...] | Refusal) -> None:
        """Take rows, or remember the first refusal."""
        if isinstance(rows, Refusal):
            self.refusal = self.refusal or rows
        else:
            self.rows.extend((rows,) if isinstance(rows, Row) else rows)

    def append_where_room(self, piece: Piece, width: float, faces: Faces) -> None:
        """Put one more piece at the end of the last row that has room for it, if one has."""
        for number in reversed(range(len(self.rows) if piece.text else 0)):
            pieces = (*self.rows[number].pieces, piece)
            if width_of(pieces, faces) <= width:
                self.rows[number] = Row(pieces, self.rows[number].pitch)
                return

    @property
    def height(self) -> float:
        """How high the rows are together."""
        return sum(row.pitch for row in self.rows)


def largest_that_fits(
    settings: Sequence[Setting],
    build: Callable[[Sequence[Setting]], tuple[Stack, ...]],
    fits: Callable[[tuple[Stack, ...]], bool],
) -> tuple[Stack, ...] | Refusal:
    """Return the stacks built with the largest of the settings that leaves room for all the rest."""
    for first in range(len(settings)):
        stacks = build(settings[first:])
        refusal = next((stack.refusal for stack in stacks if stack.refusal), None)
        if refusal:
            return refusal
        if fits(stacks):
            return stacks
    return Refusal("label_too_full")


def draw_rows(paper: Paper, faces: Faces, x: float, top: float, rows: Iterable[Row]) -> float:
    """Draw rows under each other from ``top`` and return where the last one ends."""
    for row in rows:
        tallest = max(row.pieces, key=lambda piece: piece.size)
        baseline = top + (row.pitch + faces.face(tallest.bold).cap * tallest.size) / 2
        at = x
        for number, piece in enumerate(row.pieces):
            at += piece.gap if number else 0.0
            paper.text(at, baseline, piece.text, piece.size, bold=piece.bold)
            at += faces.face(piece.bold).width(piece.text, piece.size)
        top += row.pitch
    return top
