"""Taking a delivery in: packs scanned one after another, counted, and taken in together."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from kiosk.core.catalogue.container import Product
from kiosk.core.findings import Finding, Level, Refusal
from kiosk.core.stock.expiry import read_expiry
from kiosk.core.stock.holding import Holding
from kiosk.flow.scans import ProductScan, Scan
from kiosk.flow.stock_keeping import Delivered
from kiosk.pages.keeping_asking import Number, with_witness
from kiosk.pages.keeping_find import find, near_said
from kiosk.pages.keeping_letters import Case, Letters
from kiosk.pages.keeping_place import Place, back, back_key, back_to, clear, go, heard, keeper, primary, work
from kiosk.pages.parts import Choice, Choices, Ground, Key, Page, ScanWanted

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

# GS1 application identifiers of a number of items in a pack: 30 (variable count), 37 (of a box's contents).
NOT_TO_BE_TRUSTED: Final = ("scan_separator_lost", "scan_expiry_out_of_question")
"""What a reading may leave so doubtful that the pack is read by eye and typed instead."""
COUNTS: Final = ("30", "37")


class Receiving(Place):
    """What was scanned so far of a delivery. Nothing is in the drawers before it is taken in."""

    def __init__(self) -> None:
        self._lines: list[Delivered] = []

    def page(self, driver: Driver) -> Page:
        """Return what is to be scanned, or what was scanned so far."""
        say = driver.words.say
        rows = tuple(_row(driver, n, line) for n, line in enumerate(self._lines))
        by_hand = Key("by-hand", say("keeping.receive.by_hand"))
        wanted = ScanWanted(say("keeping.receive.scan"), say("keeping.receive.how"), (by_hand,))
        take_in = primary(driver, "take-in", "keeping.receive.take_in")
        return Page(
            "keeping-receive",
            Ground.BENCH,
            say("keeping.receive.more" if rows else "keeping.receive.question"),
            say("keeping.receive.more_help" if rows else "keeping.receive.help"),
            Choices(rows) if rows else wanted,
            keys=(back_key(driver), by_hand, take_in) if rows else (back_key(driver),),
        )

    def scan(self, driver: Driver, found: Scan) -> None:
        """Add a pack: the same lot again is one more of it, a numbered one stands alone."""
        if not isinstance(found, ProductScan):
            driver.refuse(Refusal("scan_not_wanted_here"))
            return
        product = driver.offices.stock.product_of_gtin(found.gtin)
        line = _line(found, product) if product else Refusal("unknown_product", {"code": found.gtin})
        if isinstance(line, Refusal):
            driver.refuse(line)
            return
        driver.sitting.sound = "accepted"
        driver.sitting.cards = tuple(driver.words.finding(Finding(flag, Level.NOTE)) for flag in found.flags)
        self._add(driver, line)

    def _add(self, driver: Driver, line: Delivered) -> None:
        """Add a line, or its number to an alike one."""
        for n, one in enumerate(self._lines):
            if replace(one, count=line.count) == line:
                if line.serial:
                    driver.refuse(
                        Refusal(
                            "serial_already_here",
                            {"container": line.product.label_name, "serial": line.serial},
                        )
                    )
                else:
                    self._lines[n] = replace(one, count=one.count + line.count)
                return
        self._lines.append(line)

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Change the number of a line, type one instead of scanning it, or take all in."""
        if verb == "line" and what.isdecimal() and int(what) < len(self._lines):
            place, name = int(what), self._lines[int(what)].product.label_name
            go(driver, Number("receive-count", lambda d, n: self._so_many(d, place, n), name=name))
        elif verb == "by-hand":
            find(driver, self._product)
        elif verb == "take-in" and self._lines:
            names = ", ".join(line.product.label_name for line in self._lines if _controlled(line.product))
            with_witness(driver, bool(names), "receive-witness", self._take_in, name=names)

    # -- by hand ---------------------------------------------------------------------------------

    def _product(self, driver: Driver, product: Product) -> None:
        """A product was found by its name: which lot of it?"""
        back_to(driver, self)
        go(driver, Letters("lot", lambda d, lot: self._lot(d, product, lot), Case.CAPITALS, most=20))

    def _lot(self, driver: Driver, product: Product, lot: str) -> None:
        """A lot was typed: until when is it good?"""
        back_to(driver, self)
        go(
            driver,
            Letters("expiry", lambda d, text: self._expiry(d, product, lot, text), Case.CAPITALS, most=10),
        )

    def _expiry(self, driver: Driver, product: Product, lot: str, text: str) -> None:
        """An expiry was typed: how many are there?"""
        expiry = read_expiry(text)
        if isinstance(expiry, Refusal):
            driver.refuse(expiry)
            return
        back_to(driver, self)
        line = Delivered(product, lot, expiry)
        name = product.label_name
        go(driver, Number("receive-count", lambda d, n: self._typed_line(d, line, n), 1, name=name))

    def _typed_line(self, driver: Driver, line: Delivered, count: int) -> None:
        """A line is whole."""
        back_to(driver, self)
        self._add(driver, replace(line, count=count))

    # -- taking in -------------------------------------------------------------------------------

    def _so_many(self, driver: Driver, place: int, count: int) -> None:
        """Another number was typed; none of them takes the line away."""
        back(driver)
        if count:
            self._lines[place] = replace(self._lines[place], count=count)
        else:
            del self._lines[place]

    def _take_in(self, driver: Driver, witness: str) -> None:
        """Take everything in, or nothing."""
        room, by, now, lines = driver.offices.stock, keeper(driver), driver.desk.now(), tuple(self._lines)
        clear(driver)
        work(driver, lambda: room.receive(by, witness, lines, now), lambda rows: self._taken(driver, rows))

    def _taken(self, driver: Driver, rows: tuple[Holding, ...]) -> None:
        """It stands in the drawers now."""
        count = sum(line.count for line in self._lines)
        back(driver)
        heard(driver, "keeping.receive.taken", count=count, lots=len(rows))


def _line(found: ProductScan, product: Product) -> Delivered | Refusal:
    """Return the line a scanned pack makes: its number where the symbol says it, else one."""
    name = product.label_name
    if doubt := next((flag for flag in found.flags if flag in NOT_TO_BE_TRUSTED), ""):
        return Refusal(doubt)
    if not found.lot:
        return Refusal("received_without_lot", {"container": name})
    if found.expiry is None:
        return Refusal("received_without_expiry", {"container": name})
    said = [value for ai, value in found.more if ai in COUNTS and value.isdecimal() and int(value) > 0]
    count = int(said[0]) if said and not found.serial else 1
    return Delivered(product, found.lot, found.expiry, found.serial, count)


def _row(driver: Driver, number: int, line: Delivered) -> Choice:
    """Return a line as a row to touch."""
    say = driver.words.say
    hint = say("in_hand.lot", lot=line.lot, expiry=line.expiry or "")
    near = near_said(driver, line.product)
    return Choice(
        Key(f"line:{number}", line.product.label_name, hint),
        (near,) if near else (),
        badge=say("keeping.receive.count", count=line.count),
    )


def _controlled(product: Product) -> bool:
    """Say whether a product is of a controlled drug."""
    return product.drug.controlled
