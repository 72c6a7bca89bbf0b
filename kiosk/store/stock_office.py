"""The stock room: what the keeper and others do with the drawers, decided and written in one transaction."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from typing import Final

from kiosk.core.catalogue.container import Container, Product
from kiosk.core.catalogue.people import Person
from kiosk.core.findings import Refusal
from kiosk.core.preparation import stock_events as e
from kiosk.core.preparation import stock_keeping as rules
from kiosk.core.stock.agreement import disagreement
from kiosk.core.stock.holding import Holding
from kiosk.flow.said import facts_said
from kiosk.flow.stock_keeping import Delivered
from kiosk.store import prepared
from kiosk.store.connection import Database, Row, Writing
from kiosk.store.ledger import Ledger
from kiosk.store.people import People
from kiosk.store.stock import holding_of, product_of

NO_EXPIRY: Final = date.min


class Drawers:
    """Reads what stands in the drawers, and changes it by entries of the record."""

    def __init__(self, database: Database, ledger: Ledger, people: People) -> None:
        self._database = database
        self._ledger = ledger
        self._people = people

    # -- looking -------------------------------------------------------------------------------

    def holdings(self, product: str = "") -> Sequence[Holding]:
        """Return what stands in the drawers, of one product or of all."""
        if product:
            rows = self._database.rows(prepared.CONTAINERS_OF_PRODUCT, {"product": product})
        else:
            rows = self._database.rows(prepared.ALL_CONTAINERS)
        return [holding for holding in map(holding_of, rows) if not holding.container.used_up]

    def holding(self, container: str) -> Holding | None:
        """Return one row by its key, used up or not."""
        row = self._database.row(prepared.CONTAINER, {"id": container})
        return holding_of(row) if row else None

    def products(self) -> Sequence[Product]:
        """Return every product of the list, by id."""
        return [product_of(row["body"]) for row in self._database.rows(prepared.EVERY_PRODUCT)]

    def product(self, product_id: str) -> Product | None:
        """Return a product by its id."""
        row = self._database.row(prepared.PRODUCTS_BY_ID, {"id": product_id})
        return product_of(row["body"]) if row else None

    def product_of_gtin(self, gtin: str) -> Product | None:
        """Return the product with this trade item number."""
        row = self._database.row(prepared.PRODUCT_OF_GTIN, {"gtin": gtin})
        return product_of(row["body"]) if row else None

    # -- what comes in -------------------------------------------------------------------------

    def receive(
        self, by: str, witness: str, lines: Sequence[Delivered], now: datetime
    ) -> tuple[Holding, ...] | Refusal:
        """Take a delivery in, all of it or none; return its rows as they then stand."""
        people, came = self.staff(), list[str]()
        with self._ledger.noting(now) as noted:
            answers: list[e.StockReceived | Refusal] = []
            for place, line in enumerate(lines):
                answers.append(self._coming(noted.writing, place, by, witness, line, people, now))
            refused = next((one for one in answers if isinstance(one, Refusal)), None)
            if refused is not None:
                noted.events.append(refusal_noted(by, "receive", refused))
                return refused
            received = [one for one in answers if isinstance(one, e.StockReceived)]
            noted.events += received
            came = [one.container.id for one in received]
        found = (self.holding(container) for container in dict.fromkeys(came))
        return tuple(one for one in found if one is not None)

    def _coming(
        self,
        writing: Writing,
        place: int,
        by: str,
        witness: str,
        line: Delivered,
        people: Mapping[str, Person],
        now: datetime,
    ) -> e.StockReceived | Refusal:
        """Decide about one line of a delivery against what of its lot is here already."""
        name = line.product.label_name
        if line.expiry is None:
            return Refusal("received_without_expiry", {"container": name})
        values = {"product": line.product.id, "lot": line.lot, "serial": line.serial}
        if line.serial and writing.execute(prepared.NUMBERED, values).fetchone() is not None:
            return Refusal("serial_already_here", {"container": name, "serial": line.serial})
        of_product = _holdings(writing, prepared.CONTAINERS_OF_PRODUCT, {"product": line.product.id})
        of_lot = [one for one in of_product if one.container.lot == line.lot]
        if any(one.container.recalled for one in of_lot):
            return Refusal("received_recalled", {"container": name, "lot": line.lot})
        for one in of_lot:
            if wrong := disagreement(one.container, line.lot, line.expiry, ""):
                return wrong
        container = self._place_for(writing, place, line, of_product)
        return rules.receive(by, witness, container, line.count, people, now)

    def _place_for(
        self, writing: Writing, place: int, line: Delivered, of_product: Sequence[Holding]
    ) -> Container:
        """Return the row a line goes into: the one of alike ones in the same drawer, or one of its own."""
        usual = next((one.container.drawer for one in of_product), line.product.store)
        drawer = line.drawer or usual
        values = {"product": line.product.id, "lot": line.lot, "drawer": drawer}
        alike = writing.execute(prepared.ALIKE, values).fetchone()
        if alike is not None and not line.serial:
            return holding_of(alike).container
        key = f"R{_next_entry(writing) + place}"
        expiry = line.expiry or NO_EXPIRY
        return Container(key, line.product, line.lot, expiry, line.serial, drawer)

    # -- what happens to a row -----------------------------------------------------------------

    def correct(
        self, by: str, witness: str, container: str, counted: int, reason: str, now: datetime
    ) -> Holding | Refusal:
        """Make a row say what was counted."""
        people = self.staff()
        return self._act(
            by, "correct", container, now, lambda h: rules.correct(by, witness, h, counted, reason, people)
        )

    def move(self, by: str, container: str, count: int, drawer: str, now: datetime) -> Holding | Refusal:
        """Move some or all of a row to another drawer; return the row that is there now."""
        people, made = self.staff(), list[str]()

        def decided(holding: Holding) -> e.StockMoved | Refusal:
            row = self._database.row(prepared.LAST_PLACE)
            own = f"R{(row[0] or 0) + 1 if row else 1}"
            answer = rules.move(by, holding, count, drawer, own, people)
            made.append("" if isinstance(answer, Refusal) else answer.own)
            return answer

        answer = self._act(by, "move", container, now, decided)
        there = self.holding(made[-1]) if made and made[-1] else None
        return there if there is not None and not isinstance(answer, Refusal) else answer

    def send_back(
        self, by: str, witness: str, container: str, count: int, reason: str, now: datetime
    ) -> Holding | Refusal:
        """Send sealed containers back to whoever sent them."""
        people = self.staff()
        return self._act(
            by, "send_back", container, now, lambda h: rules.send_back(by, witness, h, count, reason, people)
        )

    def waste(
        self, by: str, witness: str, container: str, count: int, reason: str, now: datetime
    ) -> Holding | Refusal:
        """Throw away sealed containers or what is left in an opened one."""
        people = self.staff()
        return self._act(
            by, "waste", container, now, lambda h: rules.waste(by, witness, h, count, reason, people)
        )

    def set_aside(self, by: str, container: str, reason: str, now: datetime) -> Holding | Refusal:
        """Put a row in quarantine."""
        people = self.staff()
        return self._act(by, "set_aside", container, now, lambda h: rules.set_aside(by, h, reason, people))

    def release(self, by: str, container: str, reason: str, now: datetime) -> Holding | Refusal:
        """Let a row out of quarantine."""
        people = self.staff()
        return self._act(by, "release", container, now, lambda h: rules.release(by, h, reason, people))

    def staff(self) -> Mapping[str, Person]:
        """Return all who work here, by id."""
        return {person.id: person for person in self._people.everybody()}

    def _act(
        self,
        by: str,
        act: str,
        container: str,
        now: datetime,
        decide: Callable[[Holding], e.StockEvent | Refusal],
    ) -> Holding | Refusal:
        """Decide about a row as it stands inside the transaction, and write the answer, refusals too."""
        with self._ledger.noting(now) as noted:
            row = noted.writing.execute(prepared.CONTAINER, {"id": container}).fetchone()
            answer = decide(holding_of(row)) if row else Refusal("unknown_container", {"code": container})
            event = refusal_noted(by, act, answer) if isinstance(answer, Refusal) else answer
            noted.events.append(event)
        if isinstance(answer, Refusal):
            return answer
        after = self.holding(container)
        assert after is not None
        return after


def refusal_noted(by: str, act: str, why: Refusal) -> e.StockRefused:
    """Return the entry of a refusal."""
    return e.StockRefused(by, act, why.code, facts_said(why.facts))


def _holdings(writing: Writing, sql: str, values: dict[str, str]) -> list[Holding]:
    """Return rows of stock inside a transaction."""
    found: list[Row] = writing.execute(sql, values).fetchall()
    return [holding_of(row) for row in found]


def _next_entry(writing: Writing) -> int:
    """Return the place the next entry takes."""
    row = writing.execute(prepared.LAST_PLACE).fetchone()
    return (row[0] or 0) + 1
