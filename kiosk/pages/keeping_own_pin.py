"""Changing one's own PIN: the old one, then the new one twice. For anybody who is signed on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.pages.keeping_place import back, go, heard, keeper, work
from kiosk.pages.keeping_proof import PinWanted

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver


def change_own_pin(driver: Driver) -> None:
    """Ask for the old PIN and the new one; a wrong old one counts like a wrong one at the door."""
    person = driver.sitting.person
    if person is not None:
        go(driver, PinWanted(person.name, _change, turns=("old", "own", "own_again")))


def _change(driver: Driver, pins: tuple[str, ...]) -> None:
    """Put the new PIN on record."""
    who, now, (old, new) = keeper(driver), driver.desk.now(), pins
    work(driver, lambda: driver.offices.staff.change_pin(who, old, new, now), lambda _: _changed(driver))


def _changed(driver: Driver) -> None:
    """Back to the doses due, and say so."""
    back(driver)
    heard(driver, "keeping.done.own_pin")
