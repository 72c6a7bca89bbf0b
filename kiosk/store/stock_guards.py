"""The locks of the book of stock: it only grows, it adds up, it never goes below nothing.

A line of controlled stock stands under two people whom its own entry names, and continues the balance of its
sheet of the register. A lot is on one sheet, or on none, from its first line on.
"""

from __future__ import annotations

from typing import Final

from kiosk.store.refusing import kept, refuse

_LAST_OF_LOT: Final = (
    "FROM stock_book WHERE product = NEW.product AND lot = NEW.lot ORDER BY line DESC LIMIT 1"
)
_LAST_OF_SHEET: Final = "FROM stock_book WHERE sheet = NEW.sheet ORDER BY sheet_line DESC LIMIT 1"
_MOVED: Final = "NEW.came - NEW.used - NEW.wasted - NEW.sent"
# Who saw it: the witness that the entry names, or the checker of the syringe it is about.
_SECOND_PERSON: Final = (
    "coalesce((SELECT json_extract(entry, '$.body.witness') FROM ledger WHERE seq = NEW.entry), '') "
    "= NEW.other "
    "OR EXISTS (SELECT 1 FROM roles WHERE preparation = NEW.preparation AND person = NEW.other "
    "AND role = 'checker')"
)
_CONTROLLED: Final = (
    "(SELECT json_extract(entry, '$.body.container.product.drug.controlled') FROM ledger "
    "WHERE seq = NEW.entry)"
)

_BOOK: Final = [
    *kept("stock_book", "lines of the book"),
    refuse(
        "stock_book_next_line",
        "INSERT",
        "stock_book",
        f"NEW.line <> coalesce((SELECT line {_LAST_OF_LOT}), 0) + 1",
        "a line takes the next place of its lot",
    ),
    refuse(
        "stock_book_adds_up",
        "INSERT",
        "stock_book",
        f'NEW."left" <> coalesce((SELECT "left" {_LAST_OF_LOT}), 0) + {_MOVED}',
        "what is left is what came less what went",
    ),
    refuse(
        "stock_book_of_the_record",
        "INSERT",
        "stock_book",
        "NOT EXISTS (SELECT 1 FROM ledger AS said WHERE said.seq = NEW.entry AND said.by = NEW.person "
        "AND said.preparation = NEW.preparation)",
        "a line of the book stands in the record",
    ),
    refuse(
        "stock_book_on_one_sheet",
        "INSERT",
        "stock_book",
        f"EXISTS (SELECT 1 FROM (SELECT sheet, unit {_LAST_OF_LOT}) AS was "
        "WHERE was.sheet IS NOT NEW.sheet OR was.unit <> NEW.unit) "
        f"OR (NEW.move = 'received' AND {_CONTROLLED} IS NOT (NEW.sheet IS NOT NULL))",
        "a controlled lot is on one sheet of the register, any other on none",
    ),
    refuse(
        "stock_book_two_people",
        "INSERT",
        "stock_book",
        "NEW.sheet IS NOT NULL AND (trim(NEW.other) = '' OR NEW.other = NEW.person "
        f"OR NOT ({_SECOND_PERSON}))",
        "controlled stock moves before two people",
    ),
    refuse(
        "stock_book_sheet_adds_up",
        "INSERT",
        "stock_book",
        "NEW.sheet IS NOT NULL AND (NEW.sheet_line <> coalesce((SELECT sheet_line "
        f"{_LAST_OF_SHEET}), 0) + 1 "
        f"OR NEW.balance <> coalesce((SELECT balance {_LAST_OF_SHEET}), 0) + {_MOVED})",
        "a line of the register continues its balance",
    ),
]

_HANDOVERS: Final = [
    *kept("handovers", "counts"),
    refuse(
        "handovers_of_the_record",
        "INSERT",
        "handovers",
        "NOT EXISTS (SELECT 1 FROM ledger AS said WHERE said.seq = NEW.entry "
        "AND said.kind = 'ControlledCounted' AND said.by = NEW.person "
        "AND json_extract(said.entry, '$.body.witness') = NEW.other)",
        "a count stands in the record",
    ),
]

_CONTAINERS: Final = [
    refuse(
        "containers_stay_what_they_are",
        "UPDATE",
        "containers",
        "NEW.id <> OLD.id OR NEW.product <> OLD.product OR NEW.lot <> OLD.lot",
        "a container stays what it is",
    ),
]

STOCK_GUARDS: Final[tuple[str, ...]] = (*_BOOK, *_HANDOVERS, *_CONTAINERS)
