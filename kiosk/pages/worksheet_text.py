"""The small parts of a plain-text page: a section, a name with its figure, a wrapped paragraph."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import Final

NAME_WIDTH: Final = 34


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and its lines; without lines it is not shown."""

    heading: str
    lines: tuple[str, ...]


def pair(name: str, value: str) -> str:
    """Return a name and its figure in two columns; a name too long for the first keeps one space."""
    return f"{name.ljust(NAME_WIDTH)} {value}"


def wrapped(text: str, width: int) -> list[str]:
    """Return a paragraph as lines, those after the first set in; a figure keeps its unit."""
    return textwrap.wrap(text, width, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False)
