"""What the one-page record of a preparation says: headed rows, the working, nothing about layout."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SheetSection:
    """Rows of a name and what stands beside it, under one heading."""

    heading: str
    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class WorkingColumn:
    """One written form of the working, line by line."""

    heading: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PreparationSheet:
    """One preparation on one page, already worded and in safe notation.

    ``code`` is the syringe's printed code. ``sections`` come in reading order: order, stock, devices,
    people, findings, label, rest. ``foot`` says what the page is and is not. ``training`` as on labels.
    """

    title: str
    subtitle: str
    code: str
    sections: tuple[SheetSection, ...]
    working_heading: str = ""
    working: tuple[WorkingColumn, ...] = ()
    foot: str = ""
    training: str = ""
