"""Reads ``resources/tables/unsafe_forms.csv``: the error-prone forms that are looked for in free text."""

from __future__ import annotations

import re

from kiosk.core.notation import UnsafeForm
from kiosk.tables.csv_rows import Row, rows


def unsafe_forms() -> tuple[UnsafeForm, ...]:
    """Return every row, in the order of the table. Raises ``BadTable``."""
    return tuple(_form(row) for row in rows("unsafe_forms", key=("pattern",)))


def _form(row: Row) -> UnsafeForm:
    """Return one row, once its pattern can be used."""
    try:
        re.compile(row.text("pattern"))
    except re.error as trouble:
        raise row.refused(f"pattern is not a regular expression: {trouble}") from trouble
    return UnsafeForm(
        pattern=row.text("pattern"),
        misread_as=row.text("misread_as"),
        write_instead=row.text("write_instead"),
        list=row.text("list"),
        source=row.text("source"),
        known=row.text("known"),
        misread_as_fr=row.text("misread_as_fr"),
        write_instead_fr=row.text("write_instead_fr"),
    )
