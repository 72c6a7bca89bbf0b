"""A recall: which lot, what it has touched, and setting it aside for good."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from kiosk.core.catalogue.container import Product
from kiosk.core.findings import Refusal
from kiosk.core.stock.holding import Holding
from kiosk.core.stock.recall import Use
from kiosk.flow.keeping import Asked
from kiosk.flow.scans import ProductScan, Scan
from kiosk.flow.stock_keeping import Reach
from kiosk.pages.keeping_asking import OneOf
from kiosk.pages.keeping_found import look
from kiosk.pages.keeping_letters import Case, Letters
from kiosk.pages.keeping_place import Place, back, back_key, go, heard, keeper, work
from kiosk.pages.parts import Choice, Choices, Ground, Key, Line, Lines, Page, ScanWanted, Weight

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

RECALLED_BECAUSE: Final = ("maker", "authority", "own_finding")


class RecallOf(Place):
    """Which lot? Scanned from a pack, or typed."""

    def page(self, driver: Driver) -> Page:
        """Return what is to be scanned."""
        say = driver.words.say
        instead = (Key("type-lot", say("keeping.recall.type")),)
        return Page(
            "keeping-recall",
            Ground.BENCH,
            say("keeping.recall.question"),
            say("keeping.recall.help"),
            ScanWanted(say("keeping.recall.scan"), say("keeping.recall.how"), instead),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Type the lot instead."""
        if verb == "type-lot":
            go(driver, Letters("recall-lot", self._typed, Case.CAPITALS, most=20))

    def scan(self, driver: Driver, found: Scan) -> None:
        """Take a pack that says its lot."""
        room = driver.offices.stock
        product = room.product_of_gtin(found.gtin) if isinstance(found, ProductScan) else None
        if not isinstance(found, ProductScan):
            driver.refuse(Refusal("scan_not_wanted_here"))
        elif product is None:
            driver.refuse(Refusal("unknown_product", {"code": found.gtin}))
        elif not found.lot:
            driver.refuse(Refusal("recall_without_lot"))
        else:
            reached(driver, product.id, found.lot)

    def _typed(self, driver: Driver, lot: str) -> None:
        """A lot was typed: of which product, where several carry it?"""
        found = driver.offices.stock.products_of_lot(lot)
        if not found:
            driver.refuse(Refusal("recall_of_nothing", {"lot": lot}))
        elif len(found) == 1:
            back(driver)
            reached(driver, found[0].id, lot)
        else:
            back(driver)
            go(driver, WhichProduct(lot, tuple(found)))


class WhichProduct(Place):
    """Two makers may use the same lot number: which product is it?"""

    def __init__(self, lot: str, products: tuple[Product, ...]) -> None:
        self._lot, self._products = lot, products

    def page(self, driver: Driver) -> Page:
        """Return a row for each product."""
        say = driver.words.say
        rows = tuple(Choice(Key(f"product:{one.id}", one.label_name)) for one in self._products)
        return Page(
            "keeping-recall-product",
            Ground.BENCH,
            say("keeping.recall.which", lot=self._lot),
            say("keeping.recall.which_help"),
            Choices(rows),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Take one."""
        if verb == "product" and what in {one.id for one in self._products}:
            back(driver)
            reached(driver, what, self._lot)


def reached(driver: Driver, product: str, lot: str) -> None:
    """Look up what a lot has touched, and show it."""
    room = driver.offices.stock
    work(driver, lambda: room.reach(product, lot), lambda reach: go(driver, Reached(reach)))


class Reached(Place):
    """Everything a lot has touched; from here it is set aside."""

    def __init__(self, reach: Reach) -> None:
        self._reach = reach

    @property
    def _all(self) -> tuple[Holding, ...]:
        """Everything of the lot that stands here."""
        return (*self._reach.sealed, *self._reach.opened)

    def page(self, driver: Driver) -> Page:
        """Return every container, syringe and patient, and the key that recalls the lot."""
        words, reach = driver.words, self._reach
        product = driver.offices.stock.product(reach.product)
        name = product.label_name if product else reach.product
        done = bool(self._all) and all(one.container.recalled for one in self._all)
        counts = {
            "sealed": sum(one.free for one in reach.sealed),
            "opened": len(reach.opened),
            "syringes": len({use.preparation for use in (*reach.unfinished, *reach.finished)}),
            "patients": len(reach.patients),
        }
        recall = Key("recall", words.say("keeping.reached.recall"), weight=Weight.GRAVE, enabled=not done)
        return Page(
            "keeping-reached",
            Ground.TROUBLE,
            words.say(
                "keeping.reached.done" if done else "keeping.reached.question", name=name, lot=reach.lot
            ),
            words.say("keeping.reached.help", **counts),
            Lines(tuple(self._lines(driver)), words.say("keeping.reached.nothing")),
            keys=(recall, back_key(driver), Key("syringes", words.say("keeping.reached.syringes"))),
        )

    def _lines(self, driver: Driver) -> Iterator[Line]:
        """Yield what is here, then syringes under way, then those finished, each with its patient."""
        words, reach = driver.words, self._reach
        for held in self._all:
            kind = "opened" if held.opened else "sealed"
            text = words.say(f"keeping.reached.{kind}", count=held.free, drawer=held.container.drawer)
            yield Line("", text, held.container.id if held.opened else "")
        for use in (*reach.unfinished, *reach.finished):
            yield self._syringe(driver, use)

    def _syringe(self, driver: Driver, use: Use) -> Line:
        """Return one syringe: when, its label, how it ended, for whom."""
        words, at = driver.words, use.at.astimezone(driver.desk.now().tzinfo)
        outcome = words.say(f"keeping.reached.{use.outcome or 'under_way'}")
        text = words.say(
            "keeping.reached.syringe", code=self._reach.codes.get(use.preparation, ""), outcome=outcome
        )
        patient = next((one for one in self._reach.patients if one.ref == use.patient), None)
        detail = (
            words.say("keeping.reached.patient", name=patient.name, number=patient.number) if patient else ""
        )
        return Line(words.write(at), text, detail)

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Recall the lot, or find its syringes in the record to export them."""
        reach = self._reach
        if verb == "recall":
            reasons = [(one.replace("_", " "), f"keeping.because.{one}") for one in RECALLED_BECAUSE]
            go(driver, OneOf("recall-why", reasons, self._recall, lot=reach.lot))
        elif verb == "syringes":
            look(driver, Asked(lot=reach.lot), driver.words.say("keeping.reached.heading", lot=reach.lot))

    def _recall(self, driver: Driver, why: str) -> None:
        """Put the recall on record: from now on nothing of the lot is used."""
        room, by, now, reach = driver.offices.stock, keeper(driver), driver.desk.now(), self._reach
        back(driver)

        def recalled(after: Reach) -> None:
            self._reach = after
            heard(driver, "keeping.reached.recalled", lot=after.lot)

        work(driver, lambda: room.recall_lot(by, reach.product, reach.lot, why, now), recalled)
