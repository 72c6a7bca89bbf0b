"""The stock room: what comes in, what stands in the drawers, what must go, the controlled drugs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from kiosk.core.catalogue.container import Product
from kiosk.core.stock.holding import Holding
from kiosk.flow.scans import Scan
from kiosk.pages.keeping_controlled import ControlledDrugs
from kiosk.pages.keeping_find import find, near_said
from kiosk.pages.keeping_place import Place, back_key, go
from kiosk.pages.keeping_recall import RecallOf
from kiosk.pages.keeping_receive import Receiving
from kiosk.pages.keeping_row import Row, find_row, mark_of
from kiosk.pages.keeping_waste import WasteReport
from kiosk.pages.parts import Choice, Choices, Ground, Key, Lines, Page

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

AT_ONCE: Final = 30
Chosen = Callable[["Driver", Holding], bool]


class Stock(Place):
    """What is to be done with the stock? A pack or an in-use label scanned here leads to its row."""

    def page(self, driver: Driver) -> Page:
        """Return a row for each way on."""
        say = driver.words.say
        rows = tuple(
            Choice(Key(name, say(f"keeping.stock.{name}"), say(f"keeping.stock.{name}_hint")))
            for name in ("find", *WAYS)
        )
        return Page(
            "keeping-stock",
            Ground.BENCH,
            say("keeping.stock.question"),
            say("keeping.stock.help"),
            Choices(rows),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Go on."""
        if verb == "find":
            find(driver, _rows_of)
        elif verb in WAYS:
            go(driver, WAYS[verb]())

    def scan(self, driver: Driver, found: Scan) -> None:
        """Find the row of what is held up."""
        find_row(driver, found)


class Drawers(Place):
    """Rows of stock, all or some, as a list to touch."""

    def __init__(self, key: str, chosen: Chosen) -> None:
        self._key, self._chosen = key, chosen
        self._shown = AT_ONCE

    def page(self, driver: Driver) -> Page:
        """Return the rows."""
        say = driver.words.say
        found = [held for held in driver.offices.stock.holdings() if self._chosen(driver, held)]
        rows = tuple(_row(driver, held) for held in found[: self._shown])
        more = Key("more", say("keeping.staff.more")) if len(found) > self._shown else None
        key = f"keeping.{self._key}"
        return Page(
            f"keeping-{self._key}",
            Ground.BENCH,
            say(f"{key}.question"),
            say(f"{key}.help", count=len(found)),
            Choices(rows, more) if rows else Lines((), say(f"{key}.empty")),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Show more, or look at one row."""
        if verb == "more":
            self._shown += AT_ONCE
        elif verb == "row" and driver.offices.stock.holding(what) is not None:
            go(driver, Row(what))

    def scan(self, driver: Driver, found: Scan) -> None:
        """Find the row of what is held up."""
        find_row(driver, found)


def _row(driver: Driver, held: Holding) -> Choice:
    """Return one row of stock as a row to touch."""
    words, one = driver.words, held.container
    lot = words.say("in_hand.lot", lot=one.lot, expiry=one.expiry)
    how_many = (
        words.say("keeping.row.left", left=one.left)
        if held.opened and one.left is not None
        else words.say("keeping.row.held", count=held.free)
    )
    drawer = words.say("keeping.row.drawer", drawer=one.drawer)
    title = Key(f"row:{one.id}", one.product.label_name, lot)
    return Choice(title, (f"{how_many} {drawer}",), badge=mark_of(driver, held))


def _rows_of(driver: Driver, product: Product) -> None:
    """Show what stands here of a product that was found by its name."""
    go(driver, OfProduct(product))


class OfProduct(Drawers):
    """The rows of one product, with a warning where a look-alike is kept here too."""

    def __init__(self, product: Product) -> None:
        super().__init__("of-product", lambda _, held: held.container.product.id == product.id)
        self._product = product

    def page(self, driver: Driver) -> Page:
        """Return the rows under the product's name."""
        near = near_said(driver, self._product)
        page = super().page(driver)
        return replace(page, question=self._product.label_name, help=near or page.help)


def _any(driver: Driver, held: Holding) -> bool:
    """Every row."""
    return True


def _must_go(driver: Driver, held: Holding) -> bool:
    """Out of date or soon to be, opened too long, recalled, in quarantine."""
    return mark_of(driver, held) not in ("", driver.words.say("keeping.row.is_open"))


WAYS: Final[dict[str, Callable[[], Place]]] = {
    "receive": Receiving,
    "drawers": lambda: Drawers("drawers", _any),
    "must-go": lambda: Drawers("must-go", _must_go),
    "controlled": ControlledDrugs,
    "recall": RecallOf,
    "waste-report": WasteReport,
}
