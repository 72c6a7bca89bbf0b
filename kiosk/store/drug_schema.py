"""The tables of the drug list, beside those in ``schema``: which versions there are, and who signed them.

What a version says stands in the record alone; its row here leads to it and is what the locks stand on.
"""

from __future__ import annotations

from typing import Final

from sqlalchemy import (
    CheckConstraint,
    Column,
    ForeignKey,
    ForeignKeyConstraint,
    Integer,
    PrimaryKeyConstraint,
)

from kiosk.store.columns import number as _number
from kiosk.store.columns import only_one as _only_one
from kiosk.store.columns import table as _table
from kiosk.store.columns import words as _text

_VERSION: Final = ("drug_entries.drug", "drug_entries.version")

drug_entries = _table(
    "drug_entries",
    _text("drug"),
    _number("version"),
    _text("effective"),
    _text("person"),
    Column("entry", Integer, ForeignKey("ledger.seq"), nullable=False),
    PrimaryKeyConstraint("drug", "version"),
    CheckConstraint("version >= 1", name="versions_count_from_one"),
    CheckConstraint("date(effective) = effective", name="effective_is_a_day"),
    rowid=False,
)

drug_signatures = _table(
    "drug_signatures",
    _text("drug"),
    _number("version"),
    _number("place"),
    _text("person"),
    Column("entry", Integer, ForeignKey("ledger.seq"), nullable=False),
    PrimaryKeyConstraint("drug", "version", "place"),
    ForeignKeyConstraint(("drug", "version"), _VERSION),
    CheckConstraint("place IN (1, 2)", name="two_sign"),
    CheckConstraint("trim(person) <> ''", name="somebody_signs"),
    _only_one("nobody_signs_twice", "drug", "version", "person"),
    rowid=False,
)

drug_withdrawals = _table(
    "drug_withdrawals",
    _text("drug"),
    _number("version"),
    _text("person"),
    Column("entry", Integer, ForeignKey("ledger.seq"), nullable=False),
    PrimaryKeyConstraint("drug", "version"),
    ForeignKeyConstraint(("drug", "version"), _VERSION),
    rowid=False,
)
