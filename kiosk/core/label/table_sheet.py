"""What a table on paper says: a register's sheet, a report's columns. Words and figures, no layout."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class TableSheet:
    """A table that may run over several pages, already worded and in safe notation.

    Every row has a cell for each heading. ``page`` is said on each page, with ``{page}`` and ``{pages}``.
    ``empty`` stands where there are no rows. ``training`` as on labels.
    """

    title: str
    subtitle: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    foot: str
    page: str
    empty: str = ""
    training: str = ""
