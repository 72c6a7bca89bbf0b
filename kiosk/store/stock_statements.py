"""Statements of the book of stock and of the rows of containers. See ``statements``."""

from __future__ import annotations

from typing import Any, Final, TypeAlias

from sqlalchemy import Delete, Select, Update, bindparam, case, func, literal_column, select
from sqlalchemy.dialects.sqlite import Insert, insert

from kiosk.store import schema as t

Statement: TypeAlias = Select[Any] | Insert | Update | Delete

# Takings of a container that open syringes may still put back. The few open syringes are asked first.
_TAKEN: Final = (
    "FROM preparations AS p CROSS JOIN lots_used AS u "
    "WHERE p.ended_at IS NULL AND u.preparation = p.id AND u.container = containers.id AND u.kept = 1 "
    "AND NOT EXISTS (SELECT 1 FROM stock_book AS b WHERE b.preparation = p.id AND b.container = u.container)"
)
IN_HAND: Final = f"(SELECT count(*) {_TAKEN})"
_ALIKE: Final = "coalesce(containers.held, CASE WHEN containers.opened_at IS NULL THEN 9999 END, 1)"
_RESERVED: Final = (
    f"CASE WHEN {IN_HAND} >= {_ALIKE} THEN (SELECT p.order_id {_TAKEN} ORDER BY u.entry DESC LIMIT 1) END"
)

STATE: Final = ("held", "left", "opened_at", "discard_after", "recalled", "used_up", "set_aside")
_row = t.containers.c
_book = t.stock_book.c
_this = _row.id == bindparam("container")

stock: Final = select(
    _row.id,
    _row.body,
    *(_row[name] for name in STATE),
    literal_column(IN_HAND).label("in_hand"),
    literal_column(_RESERVED).label("reserved_for"),
    t.products.c.body.label("product"),
).join_from(t.containers, t.products)
_soonest: Final = (_row.expiry, _row.id)


def _given(*names: str) -> dict[str, Any]:
    """Return bound values named like their columns."""
    return {name: bindparam(name) for name in names}


def _changed(**values: Any) -> Update:
    """Return an update of one row of containers."""
    return t.containers.update().where(_this).values(**values)


_PRINT: Final[list[Any]] = [
    func.count(),
    func.max(literal_column("rowid")),
    func.sum(func.length(t.products.c.body)),
]

_OF_CONTAINERS: Final[dict[str, Statement]] = {
    "CONTAINER": stock.where(_row.id == bindparam("id")),
    "CONTAINERS_OF_PRODUCT": stock.where(_row.product == bindparam("product")).order_by(*_soonest),
    "CONTAINERS_OF_DRUG": stock.where(t.products.c.drug == bindparam("drug")).order_by(*_soonest),
    "CONTAINERS_OF_LOT": stock.where(_row.lot == bindparam("lot")).order_by(*_soonest),
    "ALL_CONTAINERS": stock.where(_row.used_up == literal_column("0")).order_by(
        t.products.c.drug, t.products.c.id, *_soonest
    ),
    "EVERY_CONTAINER": stock,
    "ALIKE": stock.where(
        _row.product == bindparam("product"),
        _row.lot == bindparam("lot"),
        _row.serial == literal_column("''"),
        _row.opened_at.is_(None),
        _row.held.is_not(None),
        _row.set_aside == literal_column("''"),
        _row.recalled == literal_column("0"),
        func.json_extract(_row.body, "$.drawer") == bindparam("drawer"),
    ),
    "NUMBERED": select(_row.id).where(
        _row.product == bindparam("product"), _row.lot == bindparam("lot"), _row.serial == bindparam("serial")
    ),
    "HELD": select(
        _row.held, _row.left, _row.recalled, _row.set_aside, literal_column(IN_HAND).label("in_hand")
    ).where(_this),
    "TAKE": _changed(
        held=_row.held - bindparam("count"),
        used_up=case((_row.held <= bindparam("count"), 1), else_=_row.used_up),
    ),
    "ADD": _changed(held=_row.held + bindparam("count"), used_up=0),
    "SET_HELD": _changed(
        held=bindparam("count"), used_up=case((bindparam("count") == literal_column("0"), 1), else_=0)
    ),
    "EMPTIED": _changed(left="0 mL").where(_row.left.is_not(None)),
    "SET_DRAWER": _changed(body=func.json_set(_row.body, "$.drawer", bindparam("drawer"))),
    "SET_ASIDE": _changed(set_aside=bindparam("reason")),
    "KEEP_REST": _changed(
        left=bindparam("volume"),
        opened_at=func.coalesce(_row.opened_at, bindparam("at")),
        discard_after=func.coalesce(_row.discard_after, bindparam("until")),
    ),
    "RECALL_LOT": t.containers.update()
    .where(_row.lot == bindparam("which"))
    .where((_row.product == bindparam("only")) | (bindparam("only") == literal_column("''")))
    .values(recalled=1),
    "PRODUCTS_PRINT": select(*_PRINT).select_from(t.products),
    "PRODUCT_NAMES": select(
        t.products.c.id, func.json_extract(t.products.c.body, "$.label_name").label("name")
    ),
    "DRUGS_HERE": select(t.products.c.body)
    .join_from(t.products, t.containers)
    .where(_row.used_up == literal_column("0"))
    .group_by(t.products.c.drug),
    "ADD_PRODUCT": insert(t.products).values(_given("id", "gtin", "drug", "body")).on_conflict_do_nothing(),
}

_taking = t.lots_used.c
_last = t.stock_book.alias("later").c
_of_taking = (
    _taking.preparation == bindparam("preparation"),
    _taking.container == bindparam("container"),
)

_OF_BOOK: Final[dict[str, Statement]] = {
    "TAKINGS": select(_taking.lot, _taking.product, _taking.had, _taking.kept).where(*_of_taking),
    "USES_OF_LOT": select(*(_taking[name] for name in ("at", "preparation", "container", "patient")))
    .where(_taking.lot == bindparam("lot"), _taking.product == bindparam("product"))
    .order_by(_taking.entry),
    "ENDS_OF_LOT": select(t.preparations.c.id, t.preparations.c.code, t.preparations.c.outcome)
    .join_from(t.lots_used, t.preparations)
    .where(_taking.lot == bindparam("lot"))
    .distinct(),
    "PRODUCTS_OF_LOT": select(t.products.c.body)
    .where(
        t.products.c.id.in_(select(_row.product).where(_row.lot == bindparam("lot")))
        | t.products.c.id.in_(select(_taking.product).where(_taking.lot == bindparam("lot")))
    )
    .order_by(t.products.c.id),
    "BOOKED": select(_book.line).where(
        _book.preparation == bindparam("preparation"), _book.container == bindparam("container")
    ),
    "USED_IN": select(_book.product, _book.lot, _book.container, func.sum(_book.used).label("used"))
    .where(_book.preparation == bindparam("preparation"))
    .group_by(_book.product, _book.lot, _book.container)
    .having(func.sum(_book.used) > literal_column("0")),
    "LAST_LINE": select(_book.line, _book.left, _book.drug, _book.unit, _book.sheet)
    .where(_book.product == bindparam("product"), _book.lot == bindparam("lot"))
    .order_by(_book.line.desc())
    .limit(literal_column("1")),
    "LAST_OF_SHEET": select(_book.sheet_line, _book.balance)
    .where(_book.sheet == bindparam("sheet"))
    .order_by(_book.sheet_line.desc())
    .limit(literal_column("1")),
    "REGISTER": select(
        *_book,
        t.products.c.body.label("product_body"),
        t.preparations.c.code,
        t.patients_seen.c.name.label("patient"),
        t.patients_seen.c.erased_at,
    )
    .join_from(t.stock_book, t.products, _book.product == t.products.c.id)
    .join(t.preparations, t.preparations.c.id == _book.preparation, isouter=True)
    .join(t.patients_seen, t.patients_seen.c.ref == t.preparations.c.patient, isouter=True)
    .where(_book.sheet == bindparam("sheet"))
    .order_by(_book.sheet_line),
    "CONTROLLED": select(_book.product, _book.sheet, t.products.c.body.label("product_body"))
    .join_from(t.stock_book, t.products, _book.product == t.products.c.id)
    .where(_book.sheet.is_not(None))
    .distinct()
    .order_by(_book.sheet, _book.product),
    "WASTED": select(
        _book.at, _book.wasted, _book.unit, _book.reason, _book.person, _book.other, t.products.c.body
    )
    .join_from(t.stock_book, t.products, _book.product == t.products.c.id)
    .where(_book.wasted > literal_column("0"), _book.at >= bindparam("since"), _book.at < bindparam("until"))
    .order_by(_book.at, _book.entry),
    "LOTS_LEFT": select(_book.product, _book.lot, _book.unit, _book.left).where(
        _book.line
        == select(func.max(_last.line))
        .where(_last.product == _book.product, _last.lot == _book.lot)
        .scalar_subquery()
    ),
    "IN_HAND": select(_taking.product, _taking.lot, _taking.had)
    .join_from(t.lots_used, t.preparations)
    .where(t.preparations.c.ended_at.is_(None), _taking.kept == literal_column("0"))
    .where(
        ~select(_book.line)
        .where(_book.preparation == _taking.preparation, _book.container == _taking.container)
        .exists()
    ),
    "WRITE_LINE": insert(t.stock_book).values(_given(*(column.name for column in t.stock_book.columns))),
    "CHECKER_OF": select(t.preparations.c.checker).where(t.preparations.c.id == bindparam("preparation")),
    "NOTE_COUNT": insert(t.handovers).values(_given(*(column.name for column in t.handovers.columns))),
    "LAST_COUNT": select(*t.handovers.c)
    .where(t.handovers.c.product == bindparam("product"))
    .order_by(t.handovers.c.entry.desc())
    .limit(literal_column("1")),
    "COUNTS": select(*t.handovers.c)
    .where(t.handovers.c.product == bindparam("product"))
    .order_by(t.handovers.c.entry),
}

STOCK_STATEMENTS: Final[dict[str, Statement]] = _OF_CONTAINERS | _OF_BOOK
