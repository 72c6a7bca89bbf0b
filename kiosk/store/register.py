"""Controlled drugs: the register sheet by sheet, counts at hand-over, and settling what does not agree."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, tzinfo

from kiosk.core.catalogue.container import Product
from kiosk.core.findings import Refusal
from kiosk.core.preparation import controlled as rules
from kiosk.core.preparation import stock_events as e
from kiosk.core.stock.holding import Holding, Sheet, unit_of
from kiosk.core.stock.waste import Reason, Wasted
from kiosk.core.units import Measure
from kiosk.flow.stock_keeping import Controlled, LastCount, RegisterLine
from kiosk.store import prepared
from kiosk.store.codec import moment
from kiosk.store.connection import Row
from kiosk.store.entry import moment_text
from kiosk.store.identities import ERASED
from kiosk.store.stock import product_of
from kiosk.store.stock_book import measured
from kiosk.store.stock_office import Drawers, refusal_noted


class Registers(Drawers):
    """The drawers and the register of one counter."""

    def controlled(self) -> Sequence[Controlled]:
        """Return the controlled products that were ever booked, by sheet and product."""
        found = []
        for row in self._database.rows(prepared.CONTROLLED):
            product = product_of(row["product_body"])
            sheet = Sheet(row["sheet"], product.drug.id, unit_of(product))
            found.append(Controlled(product, sheet, self._balance(sheet), self._last_count(product.id)))
        return found

    def register(self, sheet: str) -> Sequence[RegisterLine]:
        """Return the lines of one sheet of the register, oldest first."""
        return [_line(row) for row in self._database.rows(prepared.REGISTER, {"sheet": sheet})]

    def counts(self, sheet: str) -> Sequence[LastCount]:
        """Return every count of the products of one sheet, oldest first."""
        mine = [one.product.id for one in self.controlled() if one.sheet.id == sheet]
        found = [row for id in mine for row in self._database.rows(prepared.COUNTS, {"product": id})]
        return [_count(row) for row in sorted(found, key=lambda row: int(row["entry"]))]

    def count_controlled(
        self, by: str, witness: str, product: str, sealed: int, opened: int, now: datetime
    ) -> e.ControlledCounted | Refusal:
        """Put on record what two people counted of a controlled product."""
        people, known = self.staff(), self.product(product)
        if known is None:
            return Refusal("unknown_product", {"code": product})
        with self._ledger.noting(now) as noted:
            booked = self._booked(product)
            answer = rules.count_controlled(by, witness, known, (sealed, opened), booked, people)
            event = refusal_noted(by, "count", answer) if isinstance(answer, Refusal) else answer
            noted.events.append(event)
        return answer

    def settle(
        self, by: str, witness: str, container: str, off: int, reason: str, now: datetime
    ) -> Holding | Refusal:
        """Make one row agree with the last count of its product, which did not."""
        people = self.staff()

        def decided(holding: Holding) -> e.DiscrepancySettled | Refusal:
            product = holding.container.product
            last = self._last_count(product.id)
            if last is None or last.said.agrees:
                return Refusal("not_what_was_counted", {"container": product.label_name, "off": 0})
            booked = self._booked(product.id)
            return rules.settle_count(
                by, witness, last.entry, last.said, booked, holding, off, reason, people, now
            )

        return self._act(by, "settle", container, now, decided)

    def wasted(self, year: int, month: int, now: datetime) -> Sequence[Wasted]:
        """Return what was thrown away in one month by the clock's own zone, oldest first."""
        since, until = _month(year, month, now.tzinfo or UTC)
        rows = self._database.rows(
            prepared.WASTED, {"since": moment_text(since), "until": moment_text(until)}
        )
        return [_wasted(row, now.tzinfo or UTC) for row in rows]

    def _booked(self, product: str) -> tuple[int, int]:
        """Return how many sealed and opened containers should stand in the drawers."""
        held = self.holdings(product)
        sealed = sum(one.free for one in held if not one.opened)
        return sealed, sum(one.free for one in held if one.opened)

    def _balance(self, sheet: Sheet) -> Measure:
        """Return the balance of a sheet."""
        row = self._database.row(prepared.LAST_OF_SHEET, {"sheet": sheet.id})
        return measured(row["balance"] if row else 0, sheet.unit)

    def _last_count(self, product: str) -> LastCount | None:
        """Return the last count of a product."""
        row = self._database.row(prepared.LAST_COUNT, {"product": product})
        return _count(row) if row is not None else None


def _count(row: Row) -> LastCount:
    """Return one count from its row."""
    counts = [row[name] for name in ("sealed", "opened", "sealed_booked", "opened_booked")]
    said = e.ControlledCounted(row["person"], row["other"], row["product"], *counts)
    return LastCount(row["entry"], moment(row["at"]), said)


def _line(row: Row) -> RegisterLine:
    """Return a line of the register from its row."""
    product: Product = product_of(row["product_body"])

    def moved(name: str) -> Measure | None:
        return measured(row[name], row["unit"]) if row[name] else None

    return RegisterLine(
        number=row["sheet_line"],
        entry=row["entry"],
        at=moment(row["at"]),
        move=row["move"],
        product=product.label_name,
        lot=row["lot"],
        came=moved("came"),
        used=moved("used"),
        wasted=moved("wasted"),
        sent=moved("sent"),
        balance=measured(row["balance"], row["unit"]),
        person=row["person"],
        other=row["other"],
        preparation=row["preparation"],
        reason=row["reason"],
        code=row["code"] or "",
        patient=ERASED if row["erased_at"] else row["patient"] or "",
    )


def _wasted(row: Row, zone: tzinfo) -> Wasted:
    """Return one thing thrown away from its line of the book."""
    return Wasted(
        product=product_of(row["body"]),
        volume=measured(row["wasted"], row["unit"]),
        reason=Reason(row["reason"]),
        at=moment(row["at"]).astimezone(zone),
        by=row["person"],
        witness=row["other"],
    )


def _month(year: int, month: int, zone: tzinfo) -> tuple[datetime, datetime]:
    """Return the first moment of a month and of the next."""
    after = (year + 1, 1) if month == 12 else (year, month + 1)
    return datetime(year, month, 1, tzinfo=zone), datetime(*after, 1, tzinfo=zone)
