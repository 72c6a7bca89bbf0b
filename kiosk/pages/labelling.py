"""The keys of the in-use label of a vial: print again, it came out or not, written by hand, one more."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from kiosk.core.preparation import actions as a
from kiosk.core.preparation.in_use_labels import newly_opened
from kiosk.pages.after import do, me, state_of

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver


def _again(driver: Driver, container: str) -> None:
    do(driver, a.AskInUseLabel(me(driver), container))


def _said(driver: Driver, what: str) -> None:
    outcome, _, container = what.partition(":")
    do(driver, a.SayInUseLabel(me(driver), container, outcome))


def _spoilt(driver: Driver, _: str) -> None:
    driver.sitting.showing, driver.sitting.cards = "in-use-copy", ()


def _copy(driver: Driver, reason: str) -> None:
    """Ask for a further copy of the label of each vial of this syringe that goes back."""
    state, driver.sitting.showing = state_of(driver), ""
    for vial in newly_opened(state.taken, state.rest):
        do(driver, a.AskInUseLabel(me(driver), vial.id, reason))


KEYS: Final[dict[str, Callable[[Driver, str], None]]] = {
    "in-use-again": _again,
    "in-use-said": _said,
    "in-use-spoilt": _spoilt,
    "in-use-copy": _copy,
}
