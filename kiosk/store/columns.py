"""How the tables of a counter's database are declared: STRICT tables of text and whole numbers."""

from __future__ import annotations

from typing import Any, Final

from sqlalchemy import Column, Computed, Index, Integer, MetaData, Table, Text, text

metadata: Final = MetaData()


def words(name: str, *parts: Any, null: bool = False, **more: Any) -> Column[str]:
    """Return a text column, NOT NULL unless said."""
    return Column(name, Text, *parts, nullable=null, **more)


def number(name: str, **more: Any) -> Column[int]:
    """Return a whole-number column, NOT NULL."""
    return Column(name, Integer, nullable=False, **more)


def said(name: str) -> Column[str]:
    """Return a column computed from the entry's own text: it can never say anything else."""
    return Column(name, Text, Computed(f"json_extract(entry, '$.{name}')", persisted=False))


def table(name: str, *parts: Any, rowid: bool = True) -> Table:
    """Return a STRICT table."""
    return Table(name, metadata, *parts, sqlite_strict=True, sqlite_with_rowid=rowid)


def only_one(name: str, *columns: str, where: str = "") -> Index:
    """Return a unique index, over the rows that ``where`` names if given."""
    return Index(name, *columns, unique=True, sqlite_where=text(where) if where else None)
