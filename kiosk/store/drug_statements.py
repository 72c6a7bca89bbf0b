"""Statements of the drug list. See ``statements``."""

from __future__ import annotations

from typing import Any, Final, TypeAlias

from sqlalchemy import Select, bindparam, select, union_all
from sqlalchemy.dialects.sqlite import Insert, insert

from kiosk.store import schema as t

Statement: TypeAlias = Select[Any] | Insert
_TABLES: Final = (t.drug_entries, t.drug_signatures, t.drug_withdrawals)
_entries = select(t.ledger.c.seq, t.ledger.c.entry, t.ledger.c.hash, t.ledger.c.mark)
_every = union_all(*(select(table.c.entry) for table in _TABLES))
_of_drug = union_all(*(select(table.c.entry).where(table.c.drug == bindparam("drug")) for table in _TABLES))

DRUG_STATEMENTS: Final[dict[str, Statement]] = {
    "DRUG_LIST": _entries.where(t.ledger.c.seq.in_(_every)).order_by(t.ledger.c.seq),
    "DRUG_ENTRY": _entries.where(t.ledger.c.seq.in_(_of_drug)).order_by(t.ledger.c.seq),
    **{
        name: insert(table).values({column.name: bindparam(column.name) for column in table.columns})
        for name, table in zip(("PROPOSE_DRUG", "SIGN_DRUG", "WITHDRAW_DRUG"), _TABLES, strict=True)
    },
}
