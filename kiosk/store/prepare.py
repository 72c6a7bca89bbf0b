"""Writes ``prepared``: the schema and every statement as SQL text. Run after changing either.

``python -m kiosk.store.prepare`` rewrites the file; a test refuses a stale one.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Final

from sqlalchemy import Index
from sqlalchemy.dialects import sqlite
from sqlalchemy.schema import CreateIndex, CreateTable
from sqlalchemy.sql import ClauseElement

from kiosk.store.guards import GUARDS
from kiosk.store.schema import SCHEMA_VERSION, metadata
from kiosk.store.statements import STATEMENTS

TARGET: Final = Path(__file__).with_name("prepared.py")

# Where the migration tool notes the version; exactly as it would make it itself.
_VERSION_TABLE: Final = (
    "CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL, "
    "CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num))"
)
_STAMP: Final = "INSERT INTO alembic_version (version_num) VALUES (:version)"

_MADE: Final = "SELECT sql FROM sqlite_master"

_HEADING: Final = '''"""Tables, guards and daily statements as SQL text. Made by ``prepare``: do not edit."""

from __future__ import annotations

from typing import Final

# fmt: off
# ruff: noqa: E501
'''


def _text(clause: ClauseElement) -> str:
    """Return the SQL of a statement with named values and constants written out, on one line."""
    dialect = sqlite.dialect(paramstyle="named")
    made = clause.compile(dialect=dialect, compile_kwargs={"render_postcompile": True})
    said = " ".join(str(made).split())
    for name, value in (made.params or {}).items():
        if value is not None:
            said = re.sub(rf":{name}\b", _constant(value), said)
    return said.removesuffix(" OFFSET 0").replace("( ", "(").replace(" )", ")")


def _constant(value: object) -> str:
    """Return a constant as SQL. Only plain words and whole numbers are met."""
    said = repr(value)
    if not re.fullmatch(r"\d+|'[^'\\]*'", said):
        raise ValueError(f"not a plain constant: {said}")
    return said


def _by_name(index: Index) -> str:
    """Return the name an index is sorted by."""
    return str(index.name)


def create_statements() -> tuple[str, ...]:
    """Return the statements that make an empty database of this version, in order."""
    made: list[str] = [_VERSION_TABLE]
    for table in metadata.sorted_tables:
        made.append(_text(CreateTable(table)))
        made += [_text(CreateIndex(index)) for index in sorted(table.indexes, key=_by_name)]
    return (*made, *GUARDS)


def prepared() -> str:
    """Return the text of the module ``prepared``."""
    lines = [_HEADING, f"SCHEMA_VERSION: Final = {SCHEMA_VERSION!r}\n", "SCHEMA: Final[tuple[str, ...]] = ("]
    lines += [f"    {statement!r}," for statement in create_statements()]
    lines += [")\n", f"MADE: Final = {_MADE!r}", f"STAMP: Final = {_STAMP!r}"]
    lines += [f"{name}: Final = {_text(statement)!r}" for name, statement in sorted(STATEMENTS.items())]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    TARGET.write_text(prepared(), encoding="utf-8")
