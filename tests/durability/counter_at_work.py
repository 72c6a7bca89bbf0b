"""One of eight counters at one stock: random acts, and in plain numbers what is known to be on record."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta
from fractions import Fraction
from typing import TypeVar

from kiosk.core.catalogue.container import Container, Form
from kiosk.core.findings import Refusal
from kiosk.core.preparation import events as e
from kiosk.core.preparation.two_people import MATTERS
from kiosk.core.stock.holding import Holding
from kiosk.core.units import Measure
from kiosk.flow.ports import Overtaken, RecordTrouble
from kiosk.flow.stock_keeping import Delivered
from tests.store import samples as s

COUNTERS = 8
EXPIRY = date(2027, 1, 31)
AMPOULES, VIALS, CONTROLLED = (
    s.a_product(form=Form.GLASS_AMPOULE, id="amp"),
    s.a_product(),
    s.a_controlled(),
)
PRODUCTS = (AMPOULES, VIALS, CONTROLLED)
T = TypeVar("T")


@dataclass(slots=True)
class Noted:
    """What one counter knows is on record, by lot: in, used, wasted, sent back, in hundredths of a mL."""

    sums: dict[str, Counter[str]] = field(default_factory=dict)
    acts: Counter[str] = field(default_factory=Counter)

    def add(self, product: str, lot: str, **amounts: int) -> None:
        """Note some amounts."""
        self.sums.setdefault(f"{product} {lot}", Counter()).update(amounts)


def ml(hundredths: int) -> Measure:
    """Return hundredths of a mL as a measure."""
    return Measure(Fraction(hundredths, 100), "mL")


def hundredths(measure: Measure | None) -> int:
    """Return a volume in whole hundredths of a mL; anything finer would be a bug of this proof."""
    assert measure is not None
    value = measure.to("mL").value * 100
    assert value.denominator == 1
    return int(value)


def tried(act: Callable[[], T]) -> T:
    """Do something again while the record is busy with another counter."""
    while True:
        try:
            return act()
        except RecordTrouble as trouble:
            if trouble.code != "locked":
                raise


class Worker:
    """One counter and its two people; a keeper and a witness are shared by all."""

    def __init__(self, store: s.Store, number: int, seed: int) -> None:
        self.store, self.number = store, number
        self.chance = random.Random(seed * 100 + number)
        self.noted = Noted()
        self.syringes = 0

    def work(self, rounds: int) -> None:
        """Do so many acts."""
        acts = [self.syringe] * 6 + [self.receive] * 3 + [self.waste, self.send_back, self.count, self.move]
        for _ in range(rounds):
            act = self.chance.choice(acts)
            self.noted.acts[act.__name__ if act() else f"{act.__name__} refused"] += 1

    def pick(self) -> Holding | None:
        """Choose a row of which something is free; by the time it is used it may be gone."""
        rows = [row for row in tried(self.store.stock.holdings) if row.free]
        return self.chance.choice(rows) if rows else None

    # -- syringes --------------------------------------------------------------------------------

    def syringe(self) -> bool:
        """Take a container, draw some of it, and finish the syringe or give it up."""
        row = self.pick()
        if row is None:
            return False
        container, name = row.container, f"p{self.number}-{self.syringes}"
        self.syringes += 1
        before = self._taken(name, container)
        if before is None:
            return False
        if self.chance.random() < 0.15:
            witness = f"wit-{self.number}"
            back = e.PutBack(self.me, container.id, witness)
            self._append(name, [back, e.Discarded(self.me, "order stopped", witness)], "end")
            return True
        self._drawn(name, container, before)
        return True

    @property
    def me(self) -> str:
        """The preparer of this counter."""
        return f"prep-{self.number}"

    def _taken(self, name: str, container: Container) -> int | None:
        """Open a syringe and take the container; None when somebody was faster, the syringe then given up."""
        order = s.an_order(f"o-{name}")
        self._append(name, [s.opened(order, by=self.me, code=name, second=True)], "open")
        try:
            self._append(name, [e.ContainerTaken(self.me, container)], "take")
        except Overtaken:
            self._append(name, [e.Discarded(self.me, "left alone")], "end")
            return None
        return hundredths(container.left or container.product.contents)

    def _drawn(self, name: str, container: Container, before: int) -> None:
        """Draw, have it checked, label it, account for the rest; now and then it is dropped at the end."""
        drawn = self.chance.randint(1, before)
        rest, checker, witness = before - drawn, f"check-{self.number}", f"wit-{self.number}"
        keeps = container.product.form is Form.MULTI_DOSE_VIAL and rest > 10 and self.chance.random() < 0.8
        facts, people = "f" * 64, (self.me, checker)
        stated = [e.Stated(who, matter, "x", facts, 1) for who in people for matter in MATTERS]
        until = s.NOW + timedelta(days=28)
        fate = "kept" if keeps else "wasted"
        events: list[e.Event] = [
            e.CheckerCame(checker),
            *stated,
            e.Vouched(facts, people, "independent second person"),
            e.LabelRequested(self.me, facts),
            e.LabelEnded(facts, 1, "printed"),
            e.RestAccounted(self.me, container.id, ml(rest), fate, witness, until if keeps else None),
        ]
        self._append(name, events, "work")
        dropped = self.chance.random() < 0.2
        end = e.Discarded(self.me, "dropped", witness) if dropped else e.Finished(self.me)
        self._append(name, [end], "end")
        wasted = (drawn if dropped else 0) + (0 if keeps else rest)
        self.noted.add(container.product.id, container.lot, used=0 if dropped else drawn, wasted=wasted)

    def _append(self, name: str, events: list[e.Event], step: str) -> None:
        """Write events under a key of their own, so that trying again is never twice."""
        tried(lambda: self.store.ledger.append(name, events, s.NOW, f"{name}-{step}"))

    # -- the drawers -----------------------------------------------------------------------------

    def receive(self) -> bool:
        """A few containers of some lot come in."""
        product, lot = self.chance.choice(PRODUCTS), f"L{self.chance.randint(1, 3)}"
        line = Delivered(product, lot, EXPIRY, count=self.chance.randint(1, 4), drawer="A1")
        answer = tried(lambda: self.store.stock.receive(s.KEEPER, s.WITNESS, [line], s.NOW))
        if isinstance(answer, Refusal):
            return False
        self.noted.add(product.id, lot, came=line.count * hundredths(product.contents))
        return True

    def waste(self) -> bool:
        """Some of a row is thrown away. What an opened vial holds may change until the very moment."""
        row = self.pick()
        if row is None:
            return False
        witness = f"wit-{self.number}"
        answer = tried(
            lambda: self.store.stock.waste(s.KEEPER, witness, row.container.id, 1, "broken", s.NOW)
        )
        if isinstance(answer, Refusal):
            return False
        value, _, unit = str(self._own_entry("StockWasted", "witness", witness, "amount")).partition(" ")
        gone = hundredths(Measure(Fraction(value), unit))
        self.noted.add(row.container.product.id, row.container.lot, wasted=gone)
        return True

    def _own_entry(self, kind: str, field: str, mine: str, wanted: str) -> object:
        """Return one field of this counter's own last entry of a kind: it alone writes ``mine`` there."""
        sql = (
            f"SELECT json_extract(entry, '$.body.{wanted}') AS wanted FROM ledger WHERE kind = :kind "
            f"AND json_extract(entry, '$.body.{field}') = :mine ORDER BY seq DESC LIMIT 1"
        )
        return self.store.database.rows(sql, {"kind": kind, "mine": mine})[0]["wanted"]

    def send_back(self) -> bool:
        """Some sealed containers go back."""
        row = self.pick()
        if row is None or row.opened:
            return False
        count = self.chance.randint(1, 2)
        answer = tried(
            lambda: self.store.stock.send_back(s.KEEPER, s.WITNESS, row.container.id, count, "x", s.NOW)
        )
        if isinstance(answer, Refusal):
            return False
        self.noted.add(row.container.product.id, row.container.lot, sent=hundredths(row.amount(count)))
        return True

    def move(self) -> bool:
        """Some of a row goes to another drawer: the book does not move."""
        row = self.pick()
        if row is None:
            return False
        drawer = self.chance.choice(["A1", "B2"])
        answer = tried(lambda: self.store.stock.move(s.KEEPER, row.container.id, 1, drawer, s.NOW))
        return not isinstance(answer, Refusal)

    def count(self) -> bool:
        """A row is found to hold one more or fewer than when it was looked at, and the book says so."""
        row = self.pick()
        if row is None or row.opened:
            return False
        counted = max(0, row.free + self.chance.choice([-1, 0, 1]))
        why = f"miscounted {self.number}-{self.noted.acts.total()}"
        answer = tried(
            lambda: self.store.stock.correct(s.KEEPER, s.WITNESS, row.container.id, counted, why, s.NOW)
        )
        if isinstance(answer, Refusal):
            return False
        off = counted - int(str(self._own_entry("StockCounted", "reason", why, "booked")))
        each = hundredths(row.container.product.contents)
        more, fewer = max(off, 0) * each, max(-off, 0) * each
        self.noted.add(row.container.product.id, row.container.lot, came=more, wasted=fewer)
        return True
