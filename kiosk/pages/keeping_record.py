"""The record room: find a syringe again, prove the record, seal it, look at the checks."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.pages.keeping_place import Place, back_key
from kiosk.pages.parts import Ground, Page, Statement

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver


class Record(Place):
    """What is wanted of the record?"""

    def page(self, driver: Driver) -> Page:
        """Return a key for each way in."""
        say = driver.words.say
        return Page(
            "keeping-record",
            Ground.BENCH,
            say("keeping.record.question"),
            say("keeping.record.help"),
            Statement((), ()),
            keys=(back_key(driver),),
        )
