"""An entry of the drug list in words: what its fields are called, what they say, how a version stands."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from kiosk.core.catalogue.drug_differences import Difference, Field, Said
from kiosk.core.catalogue.drug_list import EntryVersion, Standing, standing
from kiosk.core.findings import Fact
from kiosk.core.units import Measure
from kiosk.pages.parts import Line
from kiosk.pages.words import Words

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

# A year of the calendar's mean length, in quarters of a day.
_YEAR: Final = 1461


def field_name(words: Words, field: Field) -> str:
    """Return what a field is called; of a limit with what it goes by, by which routes and at which ages."""
    if not field.per:
        return words.say(f"drug_field.{field.name}")
    per = words.say(f"drug_per.{field.per.replace('/', '_')}")
    more = [_age(words, *field.ages), words.write(field.routes) if field.routes else ""]
    return ", ".join([words.say(f"drug_field.{field.name}", per=per), *filter(None, more)])


def _age(words: Words, youngest: int | None, oldest: int | None) -> str:
    """Return the ages, in days, that a limit is for; whole years as years."""
    low = _years(words, youngest) if youngest else ""
    high = _years(words, oldest + 1) if oldest is not None else ""
    if low and high:
        return words.say("drug_field.ages", low=low, high=high)
    if low:
        return words.say("drug_field.from_age", low=low)
    return words.say("drug_field.under_age", high=high) if high else ""


def _years(words: Words, days: int) -> str:
    """Return an age; one just past a birthday counts as it."""
    years = Fraction(4 * days, _YEAR)
    whole = round(years)
    near = whole > 0 and abs(years - whole) * _YEAR <= 4
    count = whole if near else days
    return words.say("drug_field.years" if near else "drug_field.days", count=count)


def said_text(words: Words, field: Field, said: Said) -> str:
    """Return what a field says as people write it; nothing is a dash."""
    if said is None:
        return "–"
    if field.name == "allowed_error" and isinstance(said, Decimal):
        return words.write(Measure.of(said * 100, "%"))
    if isinstance(said, tuple):
        return ", ".join(_part(words, one) for one in said)
    return words.say(f"drug_field.{said}") if said in ("yes", "no") else words.write(said)


def _part(words: Words, said: Fact) -> str:
    """Return one of several: a strength as on a pack, anything else as it is."""
    if not isinstance(said, tuple):
        return words.write(said)
    amount, other = said
    if other == "powder":
        return words.say("drug_field.powder", amount=amount)
    return words.say("drug_field.in_volume", amount=amount, volume=other)


def difference_line(words: Words, one: Difference, *, first: bool) -> Line:
    """Return a difference as a line, the figures large; of a first version only what it says."""
    return Line(field_name(words, one.field), difference_text(words, one, first=first))


def difference_text(words: Words, one: Difference, *, first: bool) -> str:
    """Return what a field said and says; of a first version only what it says."""
    after = said_text(words, one.field, one.after)
    return after if first else f"{said_text(words, one.field, one.before)} → {after}"


def standing_text(words: Words, version: EntryVersion, versions: Sequence[EntryVersion], day: date) -> str:
    """Return how a version stands, with its number and its day."""
    how = standing(version, versions, day).value.replace(" ", "_")
    return words.say(f"drug_standing.{how}", version=version.number, effective=version.effective)


def mark_text(words: Words, how: Standing) -> str:
    """Return the mark of an entry that somebody has something to do about; nothing for the others."""
    slug = how.value.replace(" ", "_")
    return words.entries.get(f"drug_mark.{slug}", "")


def names(driver: Driver, people: Sequence[str]) -> str:
    """Return the names of people by id, in order; a word for nobody."""
    found = [driver.people.person(one) for one in people]
    known = [one.name if one is not None else id for one, id in zip(found, people, strict=True)]
    return ", ".join(known) or driver.words.say("drug_field.nobody")
