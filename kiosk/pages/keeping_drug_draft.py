"""Changing an entry by touch: upper limits, least interval, allowed error, whether it is high-alert.

Whatever else an entry says is changed by a file. Several changes become one version.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Final, TypeAlias

from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.drug_differences import Field, Said, differences, field_of
from kiosk.core.catalogue.drug_list import EntryVersion
from kiosk.core.catalogue.drug_sense import entry_nonsense
from kiosk.core.findings import Refusal
from kiosk.core.notation import read_figure
from kiosk.core.units import Measure
from kiosk.flow.keeping_drugs import Wanted
from kiosk.pages.controls import figure_pad, press_number
from kiosk.pages.drug_words import difference_text, field_name, said_text
from kiosk.pages.keeping_place import Place, back, back_key, go, heard, keeper, primary, work
from kiosk.pages.parts import Choice, Choices, Ground, Key, Page

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

Changed: TypeAlias = Callable[[Measure], Drug]
ERROR: Final = Field("allowed_error")
INTERVAL: Final = Field("least_interval")
ALERT: Final = Field("high_alert")
SCREEN: Final = "screen"


class Draft(Place):
    """The next version of an entry as it is being put together."""

    def __init__(self, version: EntryVersion) -> None:
        self._was, self._drug = version, version.drug

    def page(self, driver: Driver) -> Page:
        """Return a row for each figure that can be changed here, changed ones with what they were."""
        words, was = driver.words, self._was.drug
        changed = {one.field: one for one in differences(was, self._drug)}
        rows = []
        for name, field, said in self._fields():
            text = (
                difference_text(words, changed[field], first=False)
                if field in changed
                else said_text(words, field, said)
            )
            mark = words.say("keeping.drug-draft.changed") if field in changed else ""
            rows.append(Choice(Key(name, field_name(words, field), text), badge=mark))
        return Page(
            "keeping-drug-draft",
            Ground.BENCH,
            words.say("keeping.drug-draft.question", name=was.name),
            words.say("keeping.drug-draft.help"),
            Choices(tuple(rows)),
            keys=(
                back_key(driver),
                primary(driver, "propose", "keeping.drug-draft.propose", enabled=self._useful),
            ),
        )

    @property
    def _useful(self) -> bool:
        """Something was changed; or the entry is off the list, and the same again brings it back."""
        return self._drug != self._was.drug or self._was.withdrawn is not None

    def _fields(self) -> list[tuple[str, Field, Said]]:
        """Return the key, the field and the present value of what can be changed."""
        drug = self._drug
        error = Measure.of(drug.allowed_error * 100, "%")
        limits: list[tuple[str, Field, Said]] = [
            (f"limit:{n}", field_of(limit, "high"), limit.high)
            for n, limit in enumerate(drug.limits)
            if limit.high is not None
        ]
        alert = "yes" if drug.high_alert else "no"
        others = [
            ("interval", INTERVAL, drug.least_interval),
            ("error", ERROR, error),
            ("alert", ALERT, alert),
        ]
        return [*limits, *others]

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Ask for a new figure, turn high-alert, or propose what was changed."""
        known = {name: (field, said) for name, field, said in self._fields()}
        name = f"{verb}:{what}" if what else verb
        if name == "alert":
            self._drug = replace(self._drug, high_alert=not self._drug.high_alert)
        elif name in known:
            field, said = known[name]
            unit = said.unit if isinstance(said, Measure) else "h"
            go(driver, NewFigure(field, self._drug, unit, self._changer(verb, what), self._take))
        elif verb == "propose" and self._useful:
            go(driver, FromWhen(self._propose))

    def _changer(self, verb: str, what: str) -> Changed:
        """Return what makes the drug with another figure."""
        drug = self._drug
        if verb == "interval":
            return lambda figure: replace(drug, least_interval=figure)
        if verb == "error":
            return lambda figure: replace(drug, allowed_error=figure.decimal / 100)
        limits, place = drug.limits, int(what)
        return lambda figure: replace(
            drug,
            limits=(*limits[:place], replace(limits[place], high=figure), *limits[place + 1 :]),
        )

    def _take(self, driver: Driver, drug: Drug) -> None:
        """Take a changed figure into the draft."""
        self._drug = drug
        back(driver)

    def _propose(self, driver: Driver, day: date) -> None:
        """Propose the draft from a day on, and go back to the entry."""
        drugs, by, now = driver.offices.drugs, keeper(driver), driver.desk.now()
        wanted = (Wanted(self._drug, day),)

        def proposed() -> bool | Refusal:
            return drugs.propose(by, wanted, SCREEN, now) or True

        def said(_: bool) -> None:
            back(driver, 2)
            heard(driver, "keeping.drug-draft.proposed", name=self._drug.name)

        work(driver, proposed, said)


class NewFigure(Place):
    """Asks for one figure of an entry; what cannot be meant is refused here."""

    def __init__(
        self, field: Field, drug: Drug, unit: str, change: Changed, take: Callable[[Driver, Drug], None]
    ) -> None:
        self._field, self._drug, self._unit = field, drug, unit
        self._change, self._take, self._typed = change, take, ""

    def page(self, driver: Driver) -> Page:
        """Return the number pad."""
        words = driver.words
        return Page(
            "keeping-drug-figure",
            Ground.BENCH,
            field_name(words, self._field),
            words.say("keeping.drug-figure.help", name=self._drug.name),
            figure_pad(driver.view(), self._typed, self._unit),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Take a digit, the point, the eraser, or the end."""
        if verb in ("digit", "point", "erase"):
            self._typed = press_number(self._typed, f"digit:{what}" if verb == "digit" else verb)
        elif verb == "commit":
            figure = read_figure(self._typed, self._unit)
            if isinstance(figure, Refusal):
                driver.refuse(figure)
                return
            drug = self._change(figure)
            if nonsense := entry_nonsense(drug):
                driver.refuse(nonsense.why)
            else:
                self._take(driver, drug)


class FromWhen(Place):
    """From which day? A day that is not among these comes by a file."""

    def __init__(self, then: Callable[[Driver, date], None]) -> None:
        self._then = then

    def page(self, driver: Driver) -> Page:
        """Return the days to choose from."""
        words = driver.words
        rows = tuple(
            Choice(Key(f"from:{name}", words.say(f"keeping.drug-from.{name}"), words.day(day)))
            for name, day in _days(driver.desk.now().date()).items()
        )
        return Page(
            "keeping-drug-from",
            Ground.BENCH,
            words.say("keeping.drug-from.question"),
            words.say("keeping.drug-from.help"),
            Choices(rows),
            keys=(back_key(driver),),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Take a day."""
        days = _days(driver.desk.now().date())
        if verb == "from" and what in days:
            self._then(driver, days[what])


def _days(today: date) -> dict[str, date]:
    """Return the days from which a change is usually wanted."""
    next_month = (today.replace(day=1) + timedelta(days=32)).replace(day=1)
    monday = today + timedelta(days=7 - today.weekday())
    return {"today": today, "tomorrow": today + timedelta(days=1), "monday": monday, "month": next_month}
