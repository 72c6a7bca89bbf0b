"""A container is held up for the order, by scanner or from the list: taken, refused, or to be meant."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kiosk.core.catalogue.container import Container
from kiosk.core.preparation import actions as a
from kiosk.core.preparation.at_the_shelf import noted
from kiosk.flow.desk import Declined, Done
from kiosk.pages import splitting
from kiosk.pages.after import do, me, state_of

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver


def hold_up(driver: Driver, container: Container, read_by: str) -> None:
    """Hold a container up for the order; the same one again answers a caution it raised."""
    sitting = driver.sitting
    insisted = sitting.cautioned[1] if sitting.cautioned[0] == container.id else ()
    action = a.TakeContainer(me(driver), container, read_by, insisted, beside(driver))
    notes = noted(state_of(driver), action, driver.desk.rules, driver.desk.now())
    outcome = do(driver, action)
    code = outcome.refusal.code if isinstance(outcome, Declined) else ""
    sitting.cautioned = (container.id, (*insisted, code)) if code else ("", ())
    splitting.noted(driver, container, code)
    if isinstance(outcome, Done):
        sitting.cards = tuple(driver.words.finding(note) for note in notes)
        sitting.heard = driver.words.say(
            "heard.container", name=container.product.label_name, lot=container.lot
        )


def beside(driver: Driver) -> tuple[Container, ...]:
    """Return what else stands at the counter of this order's drug and of drugs that look like it."""
    drug, now = state_of(driver).order.drug, driver.desk.now()
    names = (drug.id, *sorted(drug.looks_like))
    return tuple(c for name in names for c in driver.shelf.containers_of(name, now))
