"""Finding syringes again: by patient, drug, lot, person, day. Imported when somebody looks something up."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any, Final

from sqlalchemy import ColumnElement, Select, and_, exists, func, or_, select
from sqlalchemy.dialects import sqlite

from kiosk.flow.keeping import Asked, Found
from kiosk.store import schema as t
from kiosk.store.codec import from_text, moment
from kiosk.store.connection import Database, Row
from kiosk.store.entry import moment_text
from kiosk.store.identities import ERASED

MOST: Final = 500


def search(database: Database, asked: Asked, most: int = MOST) -> Sequence[Found]:
    """Return the syringes asked for, latest first, at most ``most``. Raises ``RecordTrouble``."""
    query = _syringes().where(and_(True, *_conditions(asked)))
    query = query.order_by(t.preparations.c.opened_at.desc(), t.preparations.c.id).limit(most)
    return [_found(row) for row in _rows(database, query)]


def recall(database: Database, lot: str) -> Sequence[Found]:
    """Return every syringe made from a lot, earliest first, however many. Raises ``RecordTrouble``."""
    query = _syringes().where(_of_lot(lot)).order_by(t.preparations.c.opened_at, t.preparations.c.id)
    return [_found(row) for row in _rows(database, query)]


def count_of_lot(database: Database, lot: str) -> int:
    """Return in how many syringes a lot went; read from the one index that holds it all."""
    query = select(func.count(t.lots_used.c.preparation.distinct())).where(t.lots_used.c.lot == lot)
    return int(_rows(database, query)[0][0])


def _syringes() -> Select[Any]:
    """Return the query of all syringes."""
    p, seen = t.preparations, t.patients_seen
    lots = select(func.json_group_array(t.lots_used.c.lot.distinct())).where(
        t.lots_used.c.preparation == p.c.id
    )
    return select(
        *p.c,
        lots.scalar_subquery().label("lots"),
        seen.c.name.label("patient_name"),
        seen.c.number.label("patient_number"),
        seen.c.erased_at.is_not(None).label("erased"),
    ).join_from(p, seen)


def _conditions(asked: Asked) -> list[ColumnElement[bool]]:
    """Return the conditions of what is asked."""
    p, found = t.preparations, list[ColumnElement[bool]]()
    if asked.patient:
        found.append(_of_patient(asked.patient))
    if asked.drug:
        found.append(p.c.drug == asked.drug)
    if asked.lot:
        found.append(_of_lot(asked.lot))
    if asked.person:
        found.append(exists().where(t.roles.c.preparation == p.c.id, t.roles.c.person == asked.person))
    if asked.since:
        found.append(p.c.opened_at >= moment_text(asked.since))
    if asked.until:
        found.append(p.c.opened_at < moment_text(asked.until))
    return found


def _of_patient(text: str) -> ColumnElement[bool]:
    """A patient by id or number, or by part of the name."""
    seen = t.patients_seen.c
    return or_(seen.id == text, seen.number == text, seen.name.icontains(text, autoescape=True))


def _of_lot(lot: str) -> ColumnElement[bool]:
    """Syringes a lot went into."""
    return t.preparations.c.id.in_(select(t.lots_used.c.preparation).where(t.lots_used.c.lot == lot))


def _rows(database: Database, query: Select[Any]) -> Sequence[Row]:
    """Run a query on the store's own connection."""
    made = query.compile(dialect=sqlite.dialect(paramstyle="named"))
    return database.rows(str(made), made.params)


def _found(row: Row) -> Found:
    """Return one syringe from its row."""
    gone = bool(row["erased"])
    return Found(
        preparation=row["id"],
        code=row["code"],
        order=row["order_id"],
        patient=ERASED if gone else row["patient_name"],
        patient_number=ERASED if gone else row["patient_number"],
        drug=row["drug"],
        lots=tuple(sorted(from_text(row["lots"]))),
        preparer=row["preparer"],
        checker=row["checker"] or "",
        witness=row["witness"] or "",
        opened_at=moment(row["opened_at"]),
        ended_at=moment(row["ended_at"]) if row["ended_at"] else None,
        outcome=row["outcome"] or "",
    )


def by_code(database: Database, code: str) -> Found | None:
    """Return the syringe of a code, or None. Raises ``RecordTrouble``."""
    found = _rows(database, _syringes().where(t.preparations.c.code == code))
    return _found(found[0]) if found else None


def drugs_made(database: Database) -> Sequence[str]:
    """Return the ids of the drugs that syringes were ever made of, in order. Raises ``RecordTrouble``."""
    drug = t.preparations.c.drug
    return [row[0] for row in _rows(database, select(drug).distinct().order_by(drug))]


def count_between(database: Database, since: datetime, until: datetime) -> int:
    """Return how many syringes were begun from one moment up to another. Raises ``RecordTrouble``."""
    opened = t.preparations.c.opened_at
    within = and_(opened >= moment_text(since), opened < moment_text(until))
    return int(_rows(database, select(func.count()).where(within))[0][0])
