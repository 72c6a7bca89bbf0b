"""Finding entries that belong to no syringe: by person, day and kind. Imported when somebody looks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date, datetime, tzinfo
from typing import Final

from sqlalchemy import ColumnElement, and_, func, or_, select
from sqlalchemy.dialects import sqlite

from kiosk.flow.keeping_house import HouseAsked, HouseEntry
from kiosk.store import schema as t
from kiosk.store.codec import moment
from kiosk.store.connection import Database
from kiosk.store.entry import HOUSE, moment_text
from kiosk.store.ledger import Ledger

MOST: Final = 500
# Fields of an entry, besides ``by``, that name a person.
_NAMES: Final = ("person", "witness", "second")


def house_entries(database: Database, ledger: Ledger, asked: HouseAsked) -> Sequence[HouseEntry]:
    """Return the entries asked for, latest first, at most ``MOST``. Raises ``RecordTrouble``."""
    query = select(t.ledger.c.seq, t.ledger.c.entry).where(and_(*_conditions(asked)))
    made = (
        query.order_by(t.ledger.c.seq.desc()).limit(MOST).compile(dialect=_DIALECT, compile_kwargs=_IN_FULL)
    )
    return [
        HouseEntry(one.seq, one.at, one.event)
        for one in ledger.read_house(database.rows(str(made), made.params))
    ]


def house_days(database: Database, since: datetime, zone: tzinfo | None) -> Sequence[tuple[date, int]]:
    """Return the days since a moment on which there are such entries, and how many, latest first."""
    query = select(t.ledger.c.at).where(and_(*_conditions(HouseAsked(since=since))))
    made = query.compile(dialect=_DIALECT, compile_kwargs=_IN_FULL)
    moments = (moment(row[0]) for row in database.rows(str(made), made.params))
    counted = Counter(moment.astimezone(zone).date() for moment in moments)
    return sorted(counted.items(), reverse=True)


def _conditions(asked: HouseAsked) -> list[ColumnElement[bool]]:
    """Return the conditions of what is asked."""
    found: list[ColumnElement[bool]] = [t.ledger.c.preparation == HOUSE]
    if asked.since:
        found.append(t.ledger.c.at >= moment_text(asked.since))
    if asked.until:
        found.append(t.ledger.c.at < moment_text(asked.until))
    if asked.person:
        named = (func.json_extract(t.ledger.c.entry, f"$.body.{name}") == asked.person for name in _NAMES)
        found.append(or_(t.ledger.c.by == asked.person, *named))
    if asked.kinds:
        found.append(t.ledger.c.kind.in_(asked.kinds))
    return found


_DIALECT: Final = sqlite.dialect(paramstyle="named")
_IN_FULL: Final = {"render_postcompile": True}
