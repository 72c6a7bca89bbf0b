"""The table of error-prone forms: whole, in both languages, every pattern one that can be used."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.tables import unsafe_forms as table
from kiosk.tables.csv_rows import BadTable, read

HEADER = "pattern,misread_as,write_instead,misread_as_fr,write_instead_fr,list,source,known\n"


def test_every_row_says_what_it_is_misread_as_in_both_languages_and_who_says_so() -> None:
    rows = table.unsafe_forms()
    assert len(rows) > 30
    for row in rows:
        assert row.misread_as
        assert row.write_instead
        assert row.misread_as_fr
        assert row.write_instead_fr
        assert row.source
        assert row.known in ("seen", "from memory", "common practice")


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("(,a,b,c,d,list,source,seen", "not a regular expression"),
        ("x,,b,c,d,list,source,seen", "misread_as is empty"),
        ("x,a,b,c,,list,source,seen", "write_instead_fr is empty"),
    ],
)
def test_a_row_that_cannot_be_used_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, row: str, why: str
) -> None:
    path = tmp_path / "unsafe_forms.csv"
    path.write_text(HEADER + row + "\n", encoding="utf-8")
    monkeypatch.setattr(table, "rows", lambda _, key: read(path, key))
    with pytest.raises(BadTable, match=why):
        table.unsafe_forms()
