"""The tables of the book of stock, beside those in ``schema``.

Amounts are whole thousandths of a millilitre, or of a container where the fill is not known (``unit``): the
database itself can add them up. A line is of one lot of one product; ``left`` is what then is left of that
lot at the counter, drawers and opened vials and hands together. A line of controlled stock also continues
the ``balance`` of its ``sheet``: one drug in one strength.
"""

from __future__ import annotations

from typing import Final

from sqlalchemy import CheckConstraint, Column, ForeignKey, Index, Integer, PrimaryKeyConstraint, text

from kiosk.store.columns import number as _number
from kiosk.store.columns import only_one as _only_one
from kiosk.store.columns import table as _table
from kiosk.store.columns import words as _text

MOVES: Final = (
    "received",
    "used",
    "wasted",
    "put back",
    "discarded",
    "sent back",
    "counted",
    "settled",
)

stock_book = _table(
    "stock_book",
    _text("product"),
    _text("lot"),
    _number("line"),
    Column("entry", Integer, ForeignKey("ledger.seq"), nullable=False),
    _text("at"),
    _text("move"),
    _text("drug"),
    _text("unit"),
    _number("came"),
    _number("used"),
    _number("wasted"),
    _number("sent"),
    _number("left"),
    _text("container"),
    _text("preparation"),
    _text("person"),
    _text("other"),
    _text("reason"),
    _text("sheet", null=True),
    Column("sheet_line", Integer, nullable=True),
    Column("balance", Integer, nullable=True),
    PrimaryKeyConstraint("product", "lot", "line"),
    CheckConstraint('"left" >= 0 AND coalesce(balance, 0) >= 0', name="never_below_nothing"),
    CheckConstraint("came >= 0 AND wasted >= 0 AND sent >= 0", name="nothing_comes_backwards"),
    CheckConstraint("used >= 0 OR wasted = -used", name="only_a_discard_takes_use_back"),
    CheckConstraint("unit IN ('mL', '1')", name="unit_is_known"),
    CheckConstraint(
        "(sheet IS NULL) = (sheet_line IS NULL) AND (sheet IS NULL) = (balance IS NULL)",
        name="a_sheet_has_a_balance",
    ),
    _only_one("book_of_sheet", "sheet", "sheet_line", where="sheet IS NOT NULL"),
    Index("book_of_preparation", "preparation", "container"),
    Index("book_of_waste", "at", sqlite_where=text("wasted > 0")),
    rowid=False,
)

handovers = _table(
    "handovers",
    _text("product"),
    Column("entry", Integer, ForeignKey("ledger.seq"), nullable=False),
    _text("at"),
    _text("person"),
    _text("other"),
    _number("sealed"),
    _number("opened"),
    _number("sealed_booked"),
    _number("opened_booked"),
    PrimaryKeyConstraint("product", "entry"),
    CheckConstraint("person <> other AND other <> ''", name="two_people_count"),
    CheckConstraint("sealed >= 0 AND opened >= 0", name="no_count_below_nothing"),
    rowid=False,
)
