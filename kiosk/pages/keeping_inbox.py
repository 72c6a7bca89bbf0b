"""Lists that wait in the counter's inbox: read, compared, shown, and only then taken in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from kiosk.core.catalogue.drug_differences import differences
from kiosk.core.catalogue.drug_list import came_last
from kiosk.core.findings import Refusal
from kiosk.flow.keeping import ListTried, RowChange
from kiosk.flow.keeping_drugs import Wanted
from kiosk.pages.drug_words import difference_text, field_name
from kiosk.pages.keeping_place import Place, back, back_key, go, heard, keeper, know_anew, primary, work
from kiosk.pages.parts import Choice, Choices, Ground, Key, Line, Lines, Page

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

DRUGS: Final = "drugs"
KINDS: Final = ("added", "changed", "same", "missing from the list")


class Inbox(Place):
    """Which of the files that wait?"""

    def page(self, driver: Driver) -> Page:
        """Return the files of the inbox folder."""
        say = driver.words.say
        files = driver.offices.lists.waiting()
        rows = tuple(Choice(Key(f"file:{name}", name)) for name in files)
        return Page(
            "keeping-inbox",
            Ground.BENCH,
            say("keeping.inbox.question"),
            say("keeping.inbox.help"),
            Choices(rows) if rows else Lines((), say("keeping.inbox.empty")),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Try a file."""
        if verb == "file" and what in driver.offices.lists.waiting():
            by, now, lists = keeper(driver), driver.desk.now(), driver.offices.lists
            work(driver, lambda: lists.dry_run(by, what, now), lambda tried: go(driver, Tried(tried)))


class Tried(Place):
    """What a list would change, or every trouble in it; nothing has been taken in."""

    def __init__(self, tried: ListTried) -> None:
        self._tried = tried

    @property
    def _useful(self) -> bool:
        """The list is sound and would change something."""
        tried = self._tried
        return not tried.troubles and bool(tried.how_many("added") + tried.how_many("changed"))

    def page(self, driver: Driver) -> Page:
        """Return the troubles, or the changes row by row."""
        say, tried = driver.words.say, self._tried
        bad = bool(tried.troubles)
        counts = {kind.split()[0]: tried.how_many(kind) for kind in KINDS}
        lines = [_trouble(driver, one) for one in tried.troubles] or _changes(driver, tried)
        help = "keeping.tried.help_drugs" if tried.kind == DRUGS else "keeping.tried.help"
        act = "keeping.tried.propose" if tried.kind == DRUGS else "keeping.tried.take_in"
        take_in = (primary(driver, "take-in", act),) if self._useful else ()
        return Page(
            "keeping-tried",
            Ground.TROUBLE if bad else Ground.BENCH,
            say("keeping.tried.troubled" if bad else "keeping.tried.question", file=tried.file),
            say("keeping.tried.troubled_help" if bad else help, **counts),
            Lines(tuple(lines), say("keeping.tried.nothing")),
            keys=(back_key(driver), *take_in),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Take the list in."""
        if verb == "take-in" and self._useful:
            by, now, tried = keeper(driver), driver.desk.now(), self._tried
            work(driver, lambda: driver.offices.lists.take_in(by, tried, now), lambda _: self._taken(driver))

    def _taken(self, driver: Driver) -> None:
        """It is taken in: back to where the inbox was opened."""
        tried = self._tried
        back(driver, 2)
        if tried.kind == DRUGS:
            heard(driver, "keeping.tried.proposed", file=tried.file, count=len(tried.wanted))
        else:
            heard(driver, "keeping.tried.taken", file=tried.file)
        know_anew(driver)


def _trouble(driver: Driver, trouble: Refusal) -> Line:
    """Return one trouble as a line: where, what, what to do."""
    card = driver.words.refusal(trouble)
    line = trouble.facts.get("line", "")
    at = driver.words.say("keeping.tried.line", line=str(line)) if line else ""
    return Line(at, card.what, card.now)


def _changes(driver: Driver, tried: ListTried) -> list[Line]:
    """Return what a sound list would change, a line for each row that would."""
    wanted = {one.drug.id: one for one in tried.wanted}
    return [
        _version(driver, one, wanted[one.id]) if one.id in wanted else _change(driver, one)
        for one in tried.changes
        if one.kind != "same"
    ]


def _version(driver: Driver, change: RowChange, wanted: Wanted) -> Line:
    """Return what one entry of a drug list would propose, field by field."""
    words, before = (
        driver.words,
        came_last(driver.offices.drugs.versions(change.id), driver.desk.now().date()),
    )
    changed = differences(before.drug, wanted.drug) if before is not None else ()
    fields = (
        f"{field_name(words, one.field)}: {difference_text(words, one, first=False)}" for one in changed
    )
    kind = words.say(f"keeping.change.{change.kind}")
    text = words.say("keeping.tried.from", change=kind, effective=wanted.effective)
    return Line(wanted.drug.name, text, "; ".join(fields))


def _change(driver: Driver, change: RowChange) -> Line:
    """Return what one row would do, cell by cell."""
    say = driver.words.say
    cells = (
        say("keeping.tried.cell", column=column, before=before or "–", after=after or "–")
        for column, before, after in change.cells
    )
    return Line(change.id, say(f"keeping.change.{change.kind.split()[0]}"), "  ".join(cells))
