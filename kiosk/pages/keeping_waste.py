"""The month's report of waste: which month, and where the report came out."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Final

from kiosk.pages.keeping_found import exported
from kiosk.pages.keeping_place import Place, back_key, work
from kiosk.pages.parts import Choice, Choices, Ground, Key, Page

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

MONTHS: Final = 12


class WasteReport(Place):
    """Which month? The present one first, then those before it."""

    def page(self, driver: Driver) -> Page:
        """Return a row for each month."""
        words = driver.words
        rows = tuple(
            Choice(Key(f"month:{year}-{month:02}", f"{words.entries[f'month.{month}']} {year}"))
            for year, month in months_back(driver.desk.now().date())
        )
        return Page(
            "keeping-waste-month",
            Ground.BENCH,
            words.say("keeping.waste-month.question"),
            words.say("keeping.waste-month.help"),
            Choices(rows),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Write the report of the month that was touched."""
        now, desk = driver.desk.now(), driver.offices.stock_desk
        known = {f"{year}-{month:02}": (year, month) for year, month in months_back(now.date())}
        if verb == "month" and what in known:
            year, month = known[what]
            work(driver, lambda: desk.waste_report(year, month, now), lambda name: exported(driver, name))


def months_back(today: date) -> tuple[tuple[int, int], ...]:
    """Return the year and month of today and of the months before, a year in all."""
    last = today.year * 12 + today.month - 1
    return tuple(((last - n) // 12, (last - n) % 12 + 1) for n in range(MONTHS))
