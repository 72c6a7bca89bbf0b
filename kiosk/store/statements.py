"""Every statement of the daily path, declared against the tables. ``prepare`` turns them into SQL text.

The kiosk runs the text, so that taking up work never waits for the SQL library to load.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final, TypeAlias

from sqlalchemy import (
    Delete,
    Select,
    Table,
    Update,
    and_,
    bindparam,
    func,
    literal_column,
    or_,
    select,
    text,
)
from sqlalchemy.dialects.sqlite import Insert, insert

from kiosk.store import schema as t
from kiosk.store.drug_statements import DRUG_STATEMENTS
from kiosk.store.stock_statements import STOCK_STATEMENTS

Statement: TypeAlias = Select[Any] | Insert | Update | Delete


def _given(*names: str) -> dict[str, Any]:
    """Return bound values named like their columns."""
    return {name: bindparam(name) for name in names}


def _into(table: Table, *names: str) -> Insert:
    """Return an insert of the named columns, or of every plain column."""
    chosen = names or tuple(column.name for column in table.columns if column.computed is None)
    return insert(table).values(_given(*chosen))


def _put(table: Table, key: str = "id", but: Iterable[str] = ()) -> Insert:
    """Return an insert of every column that overwrites the row of the same key, all columns ``but`` some."""
    names = [column.name for column in table.columns]
    making = insert(table).values(_given(*names))
    changed: dict[str, Any] = {name: making.excluded[name] for name in names if name not in (key, *but)}
    if "recalled" in changed:  # a list that does not know of a recall does not lift it
        changed["recalled"] = func.max(table.c.recalled, making.excluded.recalled)
    return making.on_conflict_do_update(index_elements=[key], set_=changed)


_OF_TRIES: Final = ("SignOnRefused", "BadgeIssued", "SignedOn", "Released", "RetentionApplied")

_HEAD: Final[dict[str, Statement]] = {
    "HEAD": select(t.ledger.c.seq, t.ledger.c.hash, t.ledger.c.mark, t.ledger.c.at)
    .order_by(t.ledger.c.seq.desc())
    .limit(1),
    "WRITTEN_BEFORE": select(t.ledger.c.seq, t.ledger.c.entry)
    .where(t.ledger.c.key == bindparam("key"))
    .order_by(t.ledger.c.part),
    "WRITE_ENTRY": _into(t.ledger),
    "ENTRIES_OF": select(t.ledger.c.seq, t.ledger.c.entry)
    .where(t.ledger.c.preparation == bindparam("preparation"))
    .order_by(t.ledger.c.seq),
    "ENTRIES_FROM": select(t.ledger.c.seq, t.ledger.c.entry, t.ledger.c.hash, t.ledger.c.mark)
    .where(t.ledger.c.seq >= bindparam("first"))
    .order_by(t.ledger.c.seq),
    "CHAIN_FROM": select(t.ledger.c.entry, t.ledger.c.hash)
    .where(t.ledger.c.seq >= bindparam("first"))
    .order_by(t.ledger.c.seq),
    "COUNT_FROM": select(func.count()).select_from(t.ledger).where(t.ledger.c.seq >= bindparam("first")),
    "LAST_OF_KIND": select(t.ledger.c.seq, t.ledger.c.entry)
    .where(t.ledger.c.kind == bindparam("kind"), text(t.SELDOM))
    .order_by(t.ledger.c.seq.desc())
    .limit(1),
    "ACCEPTANCES": select(
        func.json_extract(t.ledger.c.entry, "$.body.seq").label("seq"), t.ledger.c.at
    ).where(t.ledger.c.kind == "RecordAccepted", text(t.SELDOM)),
    "POLICY_ENTRIES": select(t.ledger.c.seq, t.ledger.c.entry, t.ledger.c.hash, t.ledger.c.mark)
    .where(or_(t.ledger.c.kind == "PolicyNoted", t.ledger.c.kind == "PolicyChanged"), text(t.SELDOM))
    .order_by(t.ledger.c.seq),
    "TRIES_ENTRIES": select(t.ledger.c.entry)
    .where(t.ledger.c.preparation == "", or_(*(t.ledger.c.kind == kind for kind in _OF_TRIES)))
    .order_by(t.ledger.c.seq),
    "LIST_ENTRIES": select(t.ledger.c.entry)
    .where(t.ledger.c.preparation == "", t.ledger.c.kind == "ListChanged")
    .order_by(t.ledger.c.seq),
    "STAFF_ENTRIES": select(t.ledger.c.entry)
    .where(
        t.ledger.c.preparation == "",
        or_(
            *(t.ledger.c.kind == kind for kind in ("StaffChanged", "PinChanged", "BadgeIssued", "BadgeEnded"))
        ),
    )
    .order_by(t.ledger.c.seq),
    "LAST_PLACE": select(func.max(t.ledger.c.seq)),
    "SEQS_FROM": select(t.ledger.c.seq).where(t.ledger.c.seq >= bindparam("first")).order_by(t.ledger.c.seq),
    "HASH_AT": select(t.ledger.c.hash).where(t.ledger.c.seq == bindparam("seq")),
    "LAST_ROUND": select(func.max(func.json_extract(t.ledger.c.entry, "$.body.round"))).where(
        t.ledger.c.preparation == bindparam("preparation"),
        t.ledger.c.kind == "Stated",
        t.ledger.c.seq < bindparam("before"),
    ),
}

_SEEN: Final[dict[str, Statement]] = {
    "ALL_SEEN": select(*t.patients_seen.c),
    "SEEN_BY_REF": select(*t.patients_seen.c).where(t.patients_seen.c.ref == bindparam("ref")),
    "SEEN_BEFORE": select(t.patients_seen.c.ref).where(
        *(t.patients_seen.c[name] == bindparam(name) for name in ("id", "number", "name", "born", "place"))
    ),
    "SEE_PATIENT": _into(t.patients_seen),
    "SYRINGE_OF": select(t.preparations.c.patient, t.preparations.c.drug).where(
        t.preparations.c.id == bindparam("preparation")
    ),
    "ORDER_OF": select(t.orders)
    .join(t.preparations, t.preparations.c.order_id == t.orders.c.id)
    .where(t.preparations.c.id == bindparam("preparation")),
    "SEEN_OF_ID": select(t.patients_seen.c.ref).where(t.patients_seen.c.id == bindparam("id")),
    "ERASE_SEEN": t.patients_seen.update()
    .where(t.patients_seen.c.ref == bindparam("which"))
    .values(salt="", id="", number="", name="", born="", place="", erased_at=bindparam("erased_at")),
    "OPEN_OF_PATIENT": select(t.preparations.c.id)
    .join_from(t.preparations, t.patients_seen)
    .where(t.patients_seen.c.id == bindparam("id"), t.preparations.c.ended_at.is_(None)),
    "SEEN_LAST": select(
        t.patients_seen.c.id,
        func.max(t.patients_seen.c.name).label("name"),
        func.max(t.patients_seen.c.number).label("number"),
        func.max(t.patients_seen.c.born).label("born"),
        func.count().label("syringes"),
        func.max(t.preparations.c.ended_at).label("last"),
    )
    .join_from(t.patients_seen, t.preparations)
    .where(t.patients_seen.c.erased_at.is_(None))
    .group_by(t.patients_seen.c.id)
    .having(func.count() == func.count(t.preparations.c.ended_at)),
    "SEEN_OPEN": select(t.patients_seen.c.id)
    .join_from(t.patients_seen, t.preparations)
    .where(t.preparations.c.ended_at.is_(None)),
    "SYRINGES_OF_PATIENT": select(t.preparations.c.id, t.preparations.c.code)
    .join_from(t.preparations, t.patients_seen)
    .where(t.patients_seen.c.id == bindparam("id")),
    "LISTED_LAST": select(t.patients, func.max(t.orders.c.due).label("last"))
    .join_from(t.patients, t.orders)
    .group_by(t.patients.c.id),
    "FORGET_PATIENT": t.patients.delete().where(t.patients.c.id == bindparam("id")),
    "FORGET_ORDERS": t.orders.delete().where(t.orders.c.patient == bindparam("id")),
}

_one = t.preparations.c.id == bindparam("preparation")

_PROJECT: Final[dict[str, Statement]] = {
    "OPEN_PREPARATION": _into(
        t.preparations,
        *("id", "order_id", "patient", "drug", "code", "needs_second", "form", "preparer", "opened_at"),
    ),
    "TAKE_ROLE": _into(t.roles).on_conflict_do_nothing(),
    "ROLE_OF": select(t.roles.c.role).where(
        t.roles.c.preparation == bindparam("preparation"), t.roles.c.person == bindparam("person")
    ),
    "NEED_SECOND": t.preparations.update().where(_one).values(needs_second=1),
    "SET_PREPARER": t.preparations.update().where(_one).values(preparer=bindparam("person")),
    "SET_CHECKER": t.preparations.update().where(_one).values(checker=bindparam("person")),
    "SET_WITNESS": t.preparations.update().where(_one).values(witness=bindparam("person")),
    "VOUCH": _into(t.vouchers).on_conflict_do_nothing(),
    "ASK_LABEL": _into(t.labels),
    "END_LABEL": t.labels.update()
    .where(t.labels.c.preparation == bindparam("preparation"), t.labels.c.copy == bindparam("which"))
    .values(outcome=bindparam("how")),
    "USE_LOT": _into(t.lots_used),
    "END_PREPARATION": t.preparations.update().where(_one).values(**_given("ended_at", "outcome")),
    "UNFINISHED": select(t.preparations.c.id)
    .where(t.preparations.c.ended_at.is_(None))
    .order_by(literal_column("+preparations.opened_at"), t.preparations.c.id),
    "OPENED_EVER": select(func.count()).select_from(t.preparations),
}

_taken_up = (
    select(1)
    .where(t.preparations.c.order_id == t.orders.c.id)
    .where(or_(t.preparations.c.outcome.is_(None), t.preparations.c.outcome == "finished"))
    .exists()
)
_orders = select(t.orders.c.body, t.patients.c.body.label("patient")).join_from(t.orders, t.patients)

_LISTS: Final[dict[str, Statement]] = {
    "OPEN_ORDERS_OF_PATIENT": select(t.orders.c.id).where(
        t.orders.c.patient == bindparam("id"), t.orders.c.due > bindparam("after"), ~_taken_up
    ),
    "ORDERS_DUE": _orders.where(~_taken_up).order_by(t.orders.c.due, t.orders.c.id),
    "ORDER": _orders.where(t.orders.c.id == bindparam("id")),
    "PRODUCT_OF_GTIN": select(t.products.c.id, t.products.c.body).where(
        t.products.c.gtin == bindparam("gtin")
    ),
    "DEVICES_OF": select(t.devices.c.body)
    .where(t.devices.c.kind == bindparam("kind"))
    .order_by(t.devices.c.id),
    "PUT_PATIENT": _put(t.patients),
    "PUT_ORDER": _put(t.orders),
    "PUT_PRODUCT": _put(t.products),
    "PUT_CONTAINER": _put(
        t.containers, but=("held", "left", "opened_at", "discard_after", "used_up", "set_aside")
    ),
    "PUT_DEVICE": _put(t.devices),
    "EVERY_PRODUCT": select(*t.products.c).order_by(t.products.c.id),
    "EVERY_DEVICE": select(*t.devices.c).order_by(t.devices.c.id),
    "EVERY_PATIENT": select(*t.patients.c).order_by(t.patients.c.id),
    "EVERY_ORDER": select(*t.orders.c).order_by(t.orders.c.id),
    "SHARED_OUT": select(
        t.preparations.c.order_id, func.json_extract(t.ledger.c.entry, "$.body.parts").label("parts")
    )
    .join_from(t.ledger, t.preparations, t.ledger.c.preparation == t.preparations.c.id)
    .where(t.ledger.c.kind == "SplitTaken")
    .order_by(t.ledger.c.seq),
    "DROP_ORDER": t.orders.delete().where(t.orders.c.id == bindparam("id")),
}
for _table in (t.patients, t.orders, t.products, t.containers, t.devices):
    _LISTS[f"{_table.name.upper()}_BY_ID"] = select(*_table.c).where(_table.c.id == bindparam("id"))

_PEOPLE: Final[dict[str, Statement]] = {
    "PERSON": select(*t.people.c).where(t.people.c.id == bindparam("id")),
    "EVERYBODY": select(*t.people.c).where(t.people.c.left_at.is_(None)).order_by(t.people.c.name),
    "PUT_PERSON": _put(t.people),
    "OTHER_KEEPERS": select(func.count())
    .select_from(t.people)
    .where(t.people.c.left_at.is_(None), t.people.c.roles.contains('"keeper"'))
    .where(t.people.c.id != bindparam("but")),
    "PERSON_OF_BADGE": select(*t.people.c)
    .join_from(t.people, t.badges)
    .where(
        and_(t.badges.c.digest == bindparam("digest"), t.badges.c.ended_at.is_(None)),
        t.people.c.left_at.is_(None),
    ),
    "BADGE": select(*t.badges.c).where(t.badges.c.digest == bindparam("digest")),
    "BADGES_OF": select(t.badges.c.digest).where(t.badges.c.person == bindparam("person")),
    "PUT_BADGE": _put(t.badges, "digest"),
    "EVERY_PERSON": select(*t.people.c),
    "EVERY_BADGE": select(*t.badges.c),
    "EVERY_PIN": select(*t.pins.c),
    "PIN_OF": select(*t.pins.c).where(t.pins.c.person == bindparam("person")),
    "PUT_PIN": _put(t.pins, "person"),
    "TRIES": select(*t.tries.c).where(t.tries.c.digest == bindparam("digest")),
    "PUT_TRIES": _put(t.tries, "digest"),
    "OLD_TRIES": select(t.tries.c.digest).where(
        t.tries.c.locked_at.is_(None), t.tries.c.last_at < bindparam("before")
    ),
    "EVERY_TRIES": select(*t.tries.c),
    "CLEAR_TRIES": t.tries.update()
    .where(t.tries.c.digest == bindparam("which"), t.tries.c.locked_at.is_(None))
    .values(failures=0),
    "FORGET_TRIES": t.tries.delete().where(t.tries.c.digest == bindparam("which")),
    "BADGE_OF": select(*t.badges.c).where(
        t.badges.c.person == bindparam("person"), t.badges.c.ended_at.is_(None)
    ),
    "LOCKED_BADGES": select(t.tries.c.digest, t.tries.c.locked_at, t.badges.c.person)
    .join_from(t.tries, t.badges, t.tries.c.digest == t.badges.c.digest, isouter=True)
    .where(t.tries.c.locked_at.is_not(None))
    .order_by(t.tries.c.locked_at),
}

STATEMENTS: Final[Mapping[str, Statement]] = (
    _HEAD | _SEEN | _PROJECT | _LISTS | _PEOPLE | STOCK_STATEMENTS | DRUG_STATEMENTS
)
