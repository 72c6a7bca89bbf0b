"""Controlled drugs: balances, the register, the count at hand-over, and settling what does not agree."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.core.preparation.stock_events import ControlledCounted
from kiosk.core.stock.expiry import may_be_kept_form
from kiosk.core.stock.holding import Holding
from kiosk.flow.stock_keeping import Controlled, LastCount, RegisterLine
from kiosk.pages.keeping_asking import Number, OneOf, SecondPerson
from kiosk.pages.keeping_found import exported
from kiosk.pages.keeping_place import Place, back, back_key, go, heard, keeper, work
from kiosk.pages.keeping_row import said
from kiosk.pages.parts import Choice, Choices, Ground, Key, Line, Lines, Page
from kiosk.pages.register_sheet import count_said, sheet_name

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

SETTLED_BECAUSE = ("found_again", "broken_unseen", "entered_twice", "not_entered", "unexplained")


class ControlledDrugs(Place):
    """The controlled products, each with how its last count went."""

    def page(self, driver: Driver) -> Page:
        """Return a row for each."""
        say = driver.words.say
        found = driver.offices.stock.controlled()
        rows = tuple(_row(driver, one) for one in found)
        return Page(
            "keeping-controlled",
            Ground.BENCH,
            say("keeping.controlled.question"),
            say("keeping.controlled.help"),
            Choices(rows) if rows else Lines((), say("keeping.controlled.empty")),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Look at one."""
        if verb == "product" and _controlled(driver, what) is not None:
            go(driver, ControlledProduct(what))


class ControlledProduct(Place):
    """One controlled product: count it, read its register, settle its last count."""

    def __init__(self, product: str) -> None:
        self._id = product

    def page(self, driver: Driver) -> Page:
        """Return how it stands and what can be done."""
        words, one = driver.words, _controlled(driver, self._id)
        assert one is not None
        off = one.last is not None and not one.last.said.agrees
        acts = ("hand-over", "register", *(("settle",) if off else ()))
        rows = tuple(
            Choice(
                Key(act, words.say(f"keeping.controlled.{act}"), words.say(f"keeping.controlled.{act}_hint"))
            )
            for act in acts
        )
        return Page(
            "keeping-controlled-product",
            Ground.TROUBLE if off else Ground.BENCH,
            one.product.label_name,
            _last(driver, one),
            Choices(rows),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Count, read or settle."""
        one = _controlled(driver, self._id)
        assert one is not None
        name = one.product.label_name
        if verb == "hand-over":
            go(driver, SecondPerson("hand-over-witness", self._sealed, name=name))
        elif verb == "register":
            room, sheet = driver.offices.stock, one.sheet.id
            go(driver, Register(one, tuple(room.register(sheet)), tuple(room.counts(sheet))))
        elif verb == "settle" and one.last is not None and not one.last.said.agrees:
            go(driver, SettledRow(self._id, one.last.said))

    # -- the count at hand-over ------------------------------------------------------------------

    def _sealed(self, driver: Driver, witness: str) -> None:
        """Two are here: how many sealed ones?"""
        one = _controlled(driver, self._id)
        assert one is not None
        name = one.product.label_name
        go(driver, Number("hand-over-sealed", lambda d, n: self._opened(d, witness, n), name=name))

    def _opened(self, driver: Driver, witness: str, sealed: int) -> None:
        """And how many opened ones, where they are kept once opened?"""
        one = _controlled(driver, self._id)
        assert one is not None
        back(driver)
        if may_be_kept_form(one.product):
            name = one.product.label_name
            go(
                driver,
                Number("hand-over-opened", lambda d, n: self._count(d, witness, sealed, n, 1), name=name),
            )
        else:
            self._count(driver, witness, sealed, 0, 0)

    def _count(self, driver: Driver, witness: str, sealed: int, opened: int, places: int) -> None:
        """Put the count on record and say whether it agrees."""
        if places:
            back(driver, places)
        room, by, now = driver.offices.stock, keeper(driver), driver.desk.now()
        work(
            driver,
            lambda: room.count_controlled(by, witness, self._id, sealed, opened, now),
            lambda counted: _told(driver, counted),
        )


class Register(Place):
    """A sheet of the register to read, newest entry first, with the counts where they were made."""

    def __init__(
        self, one: Controlled, lines: tuple[RegisterLine, ...], counts: tuple[LastCount, ...]
    ) -> None:
        self._one, self._lines, self._counts = one, lines, counts

    def page(self, driver: Driver) -> Page:
        """Return the sheet's lines."""
        say = driver.words.say
        moved = [((line.entry, line.number), _register_line(driver, line)) for line in self._lines]
        counted = [((count.entry, 0), _count_line(driver, count)) for count in self._counts]
        found = sorted((*moved, *counted), key=lambda one: one[0], reverse=True)
        return Page(
            "keeping-register",
            Ground.BENCH,
            sheet_name(self._one),
            say("keeping.register.help", balance=said(driver.words, self._one.balance)),
            Lines(tuple(line for _, line in found), say("keeping.register.empty")),
            keys=(back_key(driver), Key("print", say("keeping.register.print"))),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Write the sheet as PDF into the outbox."""
        if verb == "print":
            desk, now, one = driver.offices.stock_desk, driver.desk.now(), self._one
            work(driver, lambda: desk.register_page(one, now), lambda name: exported(driver, name))


class SettledRow(Place):
    """Which row of the product is it that does not agree? Then why, and before whom."""

    def __init__(self, product: str, counted: ControlledCounted) -> None:
        self._id, self._counted = product, counted

    def page(self, driver: Driver) -> Page:
        """Return what was counted and booked, and the rows of the product."""
        words, counted = driver.words, self._counted
        facts = {
            "sealed": counted.sealed,
            "opened": counted.opened,
            "sealed_booked": counted.sealed_booked,
            "opened_booked": counted.opened_booked,
        }
        rows = tuple(
            Choice(
                Key(
                    f"row:{held.container.id}",
                    words.say("in_hand.lot", lot=held.container.lot, expiry=held.container.expiry),
                    words.say("keeping.row.drawer", drawer=held.container.drawer),
                )
            )
            for held in driver.offices.stock.holdings(self._id)
            if self._off(held)
        )
        return Page(
            "keeping-settle",
            Ground.TROUBLE,
            words.say("keeping.settle.question"),
            words.say("keeping.settle.help", **facts),
            Choices(rows) if rows else Lines((), words.say("keeping.settle.empty")),
            keys=(back_key(driver),),
        )

    def _off(self, held: Holding) -> int:
        """Return by how much the count of this kind of row was off."""
        counted = self._counted
        if held.opened:
            return min(0, counted.opened - counted.opened_booked)
        return counted.sealed - counted.sealed_booked

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """A row was chosen: how many of it, why, and who else stands for it?"""
        held = driver.offices.stock.holding(what) if verb == "row" else None
        if held is None or not self._off(held):
            return
        if held.opened or abs(self._off(held)) == 1:
            self._why(driver, held, 1)
        else:
            name = held.container.product.label_name
            go(driver, Number("settle-count", lambda d, n: self._typed(d, held, n), 1, name=name))

    def _typed(self, driver: Driver, held: Holding, count: int) -> None:
        """A number was typed."""
        back(driver)
        self._why(driver, held, count)

    def _why(self, driver: Driver, held: Holding, count: int) -> None:
        """Ask why."""
        reasons = [(one.replace("_", " "), f"keeping.because.{one}") for one in SETTLED_BECAUSE]
        name = held.container.product.label_name
        go(driver, OneOf("settle-why", reasons, lambda d, why: self._before(d, held, count, why), name=name))

    def _before(self, driver: Driver, held: Holding, count: int, why: str) -> None:
        """Ask for another person, neither of those who counted."""
        back(driver)
        off = count if self._off(held) > 0 else -count
        name = held.container.product.label_name
        go(
            driver,
            SecondPerson("settle-witness", lambda d, who: self._settle(d, held, off, why, who), name=name),
        )

    def _settle(self, driver: Driver, held: Holding, off: int, why: str, witness: str) -> None:
        """Put it on record; the count then has to be made again."""
        room, by, now = driver.offices.stock, keeper(driver), driver.desk.now()

        def settled(_: Holding) -> None:
            back(driver)
            heard(driver, "keeping.settle.done")

        work(driver, lambda: room.settle(by, witness, held.container.id, off, why, now), settled)


def _controlled(driver: Driver, product: str) -> Controlled | None:
    """Return a controlled product as it now stands."""
    return next((one for one in driver.offices.stock.controlled() if one.product.id == product), None)


def _row(driver: Driver, one: Controlled) -> Choice:
    """Return one controlled product as a row to touch; no balance: whoever counts has not seen it."""
    off = one.last is not None and not one.last.said.agrees
    mark = driver.words.say("keeping.controlled.off") if off else ""
    return Choice(Key(f"product:{one.product.id}", one.product.label_name, _last(driver, one)), badge=mark)


def _last(driver: Driver, one: Controlled) -> str:
    """Return when a product was last counted, and whether it agreed."""
    if one.last is None:
        return driver.words.say("keeping.controlled.never")
    key = "agreed" if one.last.said.agrees else "differed"
    at = one.last.at.astimezone(driver.desk.now().tzinfo)
    return driver.words.say(f"keeping.controlled.{key}", at=at)


def _told(driver: Driver, counted: ControlledCounted) -> None:
    """Say whether the count agrees; by how much it does not is for the others to see."""
    if counted.agrees:
        heard(driver, "keeping.controlled.counted")
    else:
        driver.sitting.heard = driver.words.say("keeping.controlled.counted_off")
        driver.sitting.sound = "refused"


def _count_line(driver: Driver, count: LastCount) -> Line:
    """Return one count at hand-over as text."""
    people = (driver.people.person(count.said.by), driver.people.person(count.said.witness))
    names = ", ".join(person.name for person in people if person is not None)
    at = count.at.astimezone(driver.desk.now().tzinfo)
    return Line(driver.words.write(at), count_said(count, driver.words), names)


def _register_line(driver: Driver, line: RegisterLine) -> Line:
    """Return one line of the register as text."""
    words = driver.words
    moved = ", ".join(
        words.say(f"keeping.register.{name}", amount=said(words, amount))
        for name in ("came", "used", "wasted", "sent")
        if (amount := getattr(line, name)) is not None
    )
    people = (driver.people.person(line.person), driver.people.person(line.other))
    names = ", ".join(person.name for person in people if person is not None)
    at = line.at.astimezone(driver.desk.now().tzinfo)
    text = words.say(
        "keeping.register.line", moved=moved or words.say("keeping.register.nothing"), lot=line.lot
    )
    balance = words.say("keeping.register.balance", balance=said(words, line.balance))
    return Line(words.write(at), text, f"{balance} {names}")
