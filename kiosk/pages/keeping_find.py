"""Finding a product by typing its name, as often as a letter is typed; nothing is chosen but by a touch."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final, TypeAlias

from kiosk.core.catalogue.container import Product
from kiosk.flow.scans import ProductScan, Scan
from kiosk.flow.stock_keeping import Match, ProductsFound
from kiosk.pages.keeping_letters import Letters
from kiosk.pages.keeping_place import Place, back_key, go, work
from kiosk.pages.parts import Choice, Choices, Ground, Key, LetterEntry, Lines, Page, Weight

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

Chosen: TypeAlias = Callable[["Driver", Product], None]
BESIDE: Final = 2
NOTHING: Final = ProductsFound(())


class FindProduct(Letters):
    """Asks for a product's name. ``chosen`` gets the product that was touched."""

    def __init__(self, chosen: Chosen) -> None:
        super().__init__("find", self._show_all)
        self._chosen = chosen
        self._shown = ("", NOTHING)

    def _found(self, driver: Driver) -> ProductsFound:
        """Return what fits what was typed so far."""
        if self._shown[0] != self._typed:
            self._shown = (self._typed, driver.offices.stock.find(self._typed))
        return self._shown[1]

    def page(self, driver: Driver) -> Page:
        """Return the keyboard, with the first that fit beside what was typed."""
        page, found = super().page(driver), self._found(driver)
        say, fits = driver.words.say, len(found.matches) + len(found.meant)
        help_key = (
            "help" if not self._typed else "fits" if found.matches else "meant" if found.meant else "none"
        )
        entry = page.control
        assert isinstance(entry, LetterEntry)
        control = LetterEntry(
            caption=entry.caption,
            typed=entry.typed,
            letters=entry.letters,
            others=entry.others,
            space=entry.space,
            erase=entry.erase,
            commit=Key("commit", say("keeping.find.all"), weight=Weight.PRIMARY, enabled=fits > 0),
            matches=tuple(_key(match) for match in (*found.matches, *found.meant)[:BESIDE]),
        )
        return Page(
            page.id,
            page.ground,
            page.question,
            say(f"keeping.find.{help_key}", count=fits),
            control,
            keys=page.keys,
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Take a letter, or a product that was touched."""
        if verb == "product":
            take(driver, what, self._chosen)
        else:
            super().press(driver, verb, what)

    def scan(self, driver: Driver, found: Scan) -> None:
        """A pack scanned instead names its product."""
        room = driver.offices.stock
        product = room.product_of_gtin(found.gtin) if isinstance(found, ProductScan) else None
        if product is None:
            super().scan(driver, found)
        else:
            self._chosen(driver, product)

    def _show_all(self, driver: Driver, _: str) -> None:
        """Show everything that fits."""
        found = self._found(driver)
        if found.matches or found.meant:
            go(driver, FoundProducts(self._typed, found, self._chosen))


class FoundProducts(Place):
    """All that fits, and apart from it what may have been meant."""

    def __init__(self, typed: str, found: ProductsFound, chosen: Chosen) -> None:
        self._typed, self._found, self._chosen = typed, found, chosen

    def page(self, driver: Driver) -> Page:
        """Return a row for each product, with a warning where a look-alike is kept here too."""
        say, found = driver.words.say, self._found
        rows = [_row(driver, match, "") for match in found.matches]
        rows += [_row(driver, match, say("keeping.found-products.meant")) for match in found.meant]
        return Page(
            "keeping-found-products",
            Ground.BENCH,
            say("keeping.found-products.question", typed=self._typed),
            say("keeping.found-products.help"),
            Choices(tuple(rows)) if rows else Lines((), say("keeping.find.none")),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Take the product that was touched."""
        if verb == "product":
            take(driver, what, self._chosen)


def find(driver: Driver, chosen: Chosen) -> None:
    """Make ready, then ask for a product by typing."""
    room = driver.offices.stock
    work(driver, room.ready_to_find, lambda _: go(driver, FindProduct(chosen)))


def take(driver: Driver, product_id: str, chosen: Chosen) -> None:
    """Hand on a product that was touched."""
    product = driver.offices.stock.product(product_id)
    if product is not None:
        chosen(driver, product)


def near_said(driver: Driver, product: Product) -> str:
    """Return the warning that a look-alike is kept here too; nothing where there is none."""
    near = driver.offices.stock.mistaken_for(product)
    return driver.words.say("keeping.find.near", near=tuple(near)) if near else ""


def _key(match: Match) -> Key:
    """Return the key of a product."""
    return Key(f"product:{match.product}", match.name)


def _row(driver: Driver, match: Match, mark: str) -> Choice:
    """Return a product as a row to touch."""
    product = driver.offices.stock.product(match.product)
    near = near_said(driver, product) if product is not None else ""
    return Choice(_key(match), (near,) if near else (), badge=mark)
