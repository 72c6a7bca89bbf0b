"""A record that cannot be read: a calm page that says so, and the way back to the work.

Whatever was under way stays as it is in the sitting. The page looks again at every tick, so that it goes by
itself when the world is right again; a key does the same for whoever does not want to wait.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from kiosk.core.findings import Refusal
from kiosk.flow.ports import RecordTrouble
from kiosk.pages import devices
from kiosk.pages.parts import Ground, Key, Page, Statement, Weight
from kiosk.pages.slip import foot
from kiosk.pages.view import View

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

KNOWN: Final = ("read_only", "locked", "damaged", "gone")
LOOK_AGAIN: Final = "look-again"


def unread(driver: Driver, trouble: RecordTrouble) -> Page:
    """Return the page of a record that does not let itself be read. Reads nothing but words."""
    words, sitting = driver.words, driver.sitting
    code = trouble.code if trouble.code in KNOWN else "other"
    view = View(words, driver.desk.now(), driver.desk.rules, sitting, devices=devices.said(driver))
    key = Key(LOOK_AGAIN, words.say("key.look_again"), weight=Weight.PRIMARY)
    return Page(
        "unread",
        Ground.TROUBLE,
        words.say("unread.question"),
        words.say(f"unread.{code}"),
        Statement((words.say("unread.kept"), words.say("unread.comes_back")), (key,)),
        foot=replace(foot(view), stop=None),
        heard=sitting.heard,
        sound=sitting.sound,
    )


@contextmanager
def told(driver: Driver) -> Iterator[None]:
    """Let what a person did end calmly where the record could not be read on the way: say what to do."""
    try:
        yield
    except RecordTrouble as trouble:
        code = trouble.code if trouble.code in KNOWN else "other"
        driver.refuse(Refusal("record_not_read", {"trouble": driver.words.say(f"unread.{code}")}))


def looked_again(driver: Driver) -> None:
    """Somebody asked to look again: say when that was, for it may have changed nothing."""
    now = driver.words.time(driver.desk.now())
    driver.sitting.heard = driver.words.say("heard.looked_again", now=now)


def not_taken(driver: Driver) -> None:
    """A scan came while nothing can be looked up: say that it counts for nothing."""
    driver.sitting.heard = driver.words.say("heard.not_taken")
    driver.sitting.sound = "refused"
