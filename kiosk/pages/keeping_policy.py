"""The keeper's room of policies: each figure with its source, and the way to change one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from kiosk.core.findings import Fact, Refusal
from kiosk.core.notation import read_figure
from kiosk.core.units import Measure
from kiosk.flow.keeping_policy import NowInForce, PolicyLine, SiteRow
from kiosk.pages.controls import figure_pad, press_number
from kiosk.pages.keeping_asking import SecondPerson
from kiosk.pages.keeping_letters import Letters
from kiosk.pages.keeping_place import (
    Place,
    back,
    back_key,
    clear,
    go,
    heard,
    keeper,
    know_anew,
    primary,
    work,
)
from kiosk.pages.parts import Choice, Choices, Ground, Key, Line, Lines, Page
from kiosk.pages.record_words import policy_name, teller_of

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

AT_ONCE: Final = 30


class Policies(Place):
    """Every figure the site decides, and the way to the rows of its own files."""

    def page(self, driver: Driver) -> Page:
        """Return a row for each figure."""
        words, office = driver.words, driver.offices.policies
        rows = [_row(driver, line) for line in office.figures()]
        count = len(office.site_rows())
        files = Key(
            "files",
            words.say("keeping.policies.files"),
            words.say("keeping.policies.files_hint", count=count),
        )
        return Page(
            "keeping-policies",
            Ground.BENCH,
            words.say("keeping.policies.question"),
            words.say("keeping.policies.help"),
            Choices((*rows, Choice(files))),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Look at one figure, or at the files."""
        if verb == "files":
            go(driver, SiteRows())
        elif verb == "policy" and any(line.policy.name == what for line in driver.offices.policies.figures()):
            go(driver, OnePolicy(what))


def _row(driver: Driver, line: PolicyLine) -> Choice:
    """Return one figure's row."""
    say, name = driver.words.say, line.policy.name
    change = line.standing.change
    mark = "found" if change is not None and not change.by else line.standing.source
    key = Key(f"policy:{name}", say(f"policy.{name}.text"), say(f"keeping.policies.{mark}"))
    return Choice(key, badge=driver.words.write(line.value))


def _line_of(driver: Driver, name: str) -> PolicyLine:
    """Return one figure as it now stands."""
    return next(line for line in driver.offices.policies.figures() if line.policy.name == name)


class OnePolicy(Place):
    """One figure: what it is for, what is published and by whom, who changed it last and why."""

    def __init__(self, name: str) -> None:
        self._name = name

    def page(self, driver: Driver) -> Page:
        """Return what is known of it, and the key that changes it."""
        say, line = driver.words.say, _line_of(driver, self._name)
        policy = line.policy
        bound: dict[str, Fact] = {"least": policy.least} if policy.least is not None else {}
        lines = (
            Line(
                "",
                say("keeping.policy.published", value=policy.published),
                say("keeping.policy.source", source=policy.source),
            ),
            Line("", say(f"keeping.policy.bound_{policy.stricter}", **bound)),
            Line("", _last_change(driver, line)),
        )
        return Page(
            "keeping-policy",
            Ground.BENCH,
            say(f"policy.{self._name}.text"),
            say("keeping.policy.help", means=say(f"policy.{self._name}.means"), value=line.value),
            Lines(lines),
            keys=(back_key(driver), primary(driver, "change", "keeping.policy.change")),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Begin a change."""
        if verb == "change":
            go(driver, NewValue(self._name))


def _last_change(driver: Driver, line: PolicyLine) -> str:
    """Return who changed it last, when and why."""
    say, change = driver.words.say, line.standing.change
    if change is None:
        return say("keeping.policy.never")
    tells = teller_of(driver, (change,))
    at = line.standing.since.astimezone(driver.desk.now().tzinfo)
    return say("keeping.policy.changed", at=at, sentence=tells.sentence(change))


class NewValue(Place):
    """Asks for the new value in the policy's own unit."""

    def __init__(self, name: str) -> None:
        self._name, self._typed = name, ""

    def page(self, driver: Driver) -> Page:
        """Return the number pad."""
        say, line = driver.words.say, _line_of(driver, self._name)
        return Page(
            "keeping-policy-value",
            Ground.BENCH,
            say("keeping.policy-value.question", text=say(f"policy.{self._name}.text")),
            say("keeping.policy-value.help", value=line.value, published=line.policy.published),
            figure_pad(driver.view(), self._typed, line.policy.published.unit),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Take a digit, the point, the eraser, or the end."""
        line = _line_of(driver, self._name)
        if verb in ("digit", "point", "erase"):
            self._typed = press_number(self._typed, f"digit:{what}" if verb == "digit" else verb)
        elif verb == "commit":
            value = read_figure(self._typed, line.policy.published.unit)
            if isinstance(value, Refusal):
                driver.refuse(value)
            elif refusal := _out_of_bounds(line, value):
                driver.refuse(refusal)
            else:
                go(driver, Letters("policy-why", lambda on, why: _signed(on, self._name, value, why)))


def _out_of_bounds(line: PolicyLine, value: Measure) -> Refusal | None:
    """Say before anybody is asked for a reason that a value will not do."""
    policy = line.policy
    if value == line.value:
        return Refusal("policy_is_so_already", {"value": value})
    if not policy.allows(value):
        bound = policy.least if policy.least is not None else policy.published
        return Refusal("policy_not_that_loose", {"bound": bound, "source": policy.source})
    return None


def _signed(driver: Driver, name: str, value: Measure, why: str) -> None:
    """Put a change on record; before a second keeper where it weakens something."""
    if not driver.offices.policies.needs_second(name, value):
        _change(driver, "", name, value, why)
        return
    was, text = _line_of(driver, name).value, driver.words.say(f"policy.{name}.text")
    asked = SecondPerson(
        "policy-second",
        lambda on, second: _change(on, second, name, value, why),
        text=text,
        was=was,
        now=value,
    )
    go(driver, asked)


def _change(driver: Driver, second: str, name: str, value: Measure, why: str) -> None:
    """Put a change on record and in force, and go back to the figure."""
    office, by, now = driver.offices.policies, keeper(driver), driver.desk.now()

    def changed(in_force: NowInForce) -> None:
        driver.desk.rules, driver.figures = in_force.rules, in_force.figures
        know_anew(driver)
        back(driver, 2)
        clear(driver)
        heard(
            driver,
            "keeping.done.policy",
            text=driver.words.say(f"policy.{name}.text"),
            value=driver.words.write(value),
        )

    work(driver, lambda: office.change(by, second, name, value, why, now), changed)


class SiteRows(Place):
    """The rows of the site's own files, as the record knows them."""

    def __init__(self) -> None:
        self._shown = AT_ONCE

    def page(self, driver: Driver) -> Page:
        """Return a line for each row."""
        say, rows = driver.words.say, driver.offices.policies.site_rows()
        lines = tuple(_told(driver, row) for row in rows)
        return Page(
            "keeping-site-rows",
            Ground.BENCH,
            say("keeping.site-rows.question"),
            say("keeping.site-rows.help"),
            Lines(lines, say("keeping.site-rows.empty")),
            keys=(back_key(driver),),
        )


def _told(driver: Driver, row: SiteRow) -> Line:
    """Return one row: when it was read first or changed, its name, what it says."""
    since = row.standing.since.astimezone(driver.desk.now().tzinfo)
    return Line(driver.words.day(since.date()), policy_name(driver.words, row.name), row.standing.value)
