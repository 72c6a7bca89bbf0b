"""Error-prone forms in free text, by the published lists: each row a pattern and what to write instead."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from kiosk.core.findings import Finding, Level


@dataclass(frozen=True, slots=True)
class UnsafeForm:
    """One row of ``resources/tables/unsafe_forms.csv``.

    ``pattern`` is a regular expression, case-sensitive; ``list`` names the published list; ``known`` says
    how the row is known. The two ``_fr`` columns are the same words in French.
    """

    pattern: str
    misread_as: str
    write_instead: str
    list: str
    source: str
    known: str
    misread_as_fr: str = ""
    write_instead_fr: str = ""


@lru_cache(maxsize=256)
def _compiled(pattern: str) -> re.Pattern[str]:
    """Return the compiled pattern. Raises ``re.error`` for a broken row: the table is at fault."""
    return re.compile(pattern)


def unsafe_forms(text: str, rows: Iterable[UnsafeForm], language: str = "en") -> tuple[Finding, ...]:
    """Return one caution per row whose form stands in ``text``, in the order of the rows.

    Finding ``unsafe_form``; facts ``form`` (as it stands in the text), ``misread_as``,
    ``write_instead``, ``list``.
    """
    seen = ((row, _compiled(row.pattern).search(text)) for row in rows)
    return tuple(_finding(row, match.group(0).strip(), language) for row, match in seen if match)


def _finding(row: UnsafeForm, form: str, language: str) -> Finding:
    """Return the caution for one form."""
    french = language == "fr"
    facts = {
        "form": form,
        "misread_as": (row.misread_as_fr if french else "") or row.misread_as,
        "write_instead": (row.write_instead_fr if french else "") or row.write_instead,
        "list": row.list,
    }
    return Finding("unsafe_form", Level.CAUTION, facts, row.source)
