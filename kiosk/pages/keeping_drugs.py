"""The room of the drug list: every entry and how it stands, what is to be signed, and one entry whole."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Final

from kiosk.core.catalogue.drug_differences import differences
from kiosk.core.catalogue.drug_list import (
    EntryVersion,
    Standing,
    came_last,
    in_force,
    latest,
    open_version,
    standing,
)
from kiosk.core.preparation.drug_versions import Versions
from kiosk.pages.drug_words import difference_line, mark_text, names, standing_text
from kiosk.pages.keeping_drug_draft import Draft
from kiosk.pages.keeping_drug_signing import Proposal, begin_signing, to_sign, withdraw
from kiosk.pages.keeping_found import exported
from kiosk.pages.keeping_inbox import Inbox
from kiosk.pages.keeping_letters import Letters
from kiosk.pages.keeping_place import Place, back, back_key, go, work
from kiosk.pages.parts import Choice, Choices, Ground, Key, Line, Lines, Page, Weight

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

_URGENT: Final = (Standing.HALF_SIGNED, Standing.UNSIGNED, Standing.TO_COME)


class Drugs(Place):
    """Every entry; those that somebody has something to do about come first. ``part`` is of the name."""

    def __init__(self, part: str = "") -> None:
        self._part = part

    def page(self, driver: Driver) -> Page:
        """Return a row for each entry, and the ways that changes come in."""
        say, everything = driver.words.say, driver.offices.drugs.everything()
        rows = tuple(
            _row(driver, last, versions)
            for last, versions in sorted(_entries(everything), key=lambda one: _order(driver, *one))
            if self._part.casefold() in last.drug.name.casefold()
        )
        return Page(
            "keeping-drugs",
            Ground.BENCH,
            say("keeping.drugs.question"),
            say("keeping.drugs.help", count=len(everything), waiting=_waiting(driver)),
            Choices(rows) if rows else Lines((), say("keeping.drugs.empty")),
            keys=(back_key(driver), *_ways(driver)),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Look at an entry, sign what waits, take a list in, give one out, or look for a name."""
        if verb == "drug" and driver.offices.drugs.versions(what):
            go(driver, DrugEntry(what))
        elif verb in ("sign-first", "sign-second") and to_sign(driver, verb == "sign-second"):
            begin_signing(driver, verb == "sign-second")
        elif verb == "inbox":
            go(driver, Inbox())
        elif verb == "give-out":
            lists, now = driver.offices.lists, driver.desk.now()
            work(driver, lambda: lists.give_out_drugs(now), lambda name: exported(driver, name))
        elif verb == "find":
            go(driver, Letters("drug-find", self._find))

    def _find(self, driver: Driver, part: str) -> None:
        """Show the entries whose name has this in it."""
        back(driver)
        go(driver, Drugs(part))


def _waiting(driver: Driver) -> int:
    """Return how many versions wait for a signature."""
    return len(to_sign(driver, second=False)) + len(to_sign(driver, second=True))


def _ways(driver: Driver) -> tuple[Key, ...]:
    """Return the keys below the list; signing stands out while something waits for it."""
    say = driver.words.say
    first, second = to_sign(driver, second=False), to_sign(driver, second=True)
    signing = []
    if first:
        weight = Weight.PLAIN if second else Weight.PRIMARY
        signing.append(Key("sign-first", say("keeping.drugs.sign-first", count=len(first)), weight=weight))
    if second:
        label = say("keeping.drugs.sign-second", count=len(second))
        signing.append(Key("sign-second", label, weight=Weight.PRIMARY))
    plain = (Key(name, say(f"keeping.drugs.{name}")) for name in ("find", "inbox", "give-out"))
    return (*plain, *signing)


def _entries(everything: Versions) -> Iterator[tuple[EntryVersion, Sequence[EntryVersion]]]:
    """Yield each entry: its last version, and all of them."""
    for versions in everything.values():
        last = latest(versions)
        if last is not None:
            yield last, versions


def _order(driver: Driver, last: EntryVersion, versions: Sequence[EntryVersion]) -> tuple[int, str]:
    """Return where an entry stands in the list: what is to be signed first, the rest by name."""
    how = standing(last, versions, driver.desk.now().date())
    return _URGENT.index(how) if how in _URGENT else len(_URGENT), last.drug.name.casefold()


def _row(driver: Driver, last: EntryVersion, versions: Sequence[EntryVersion]) -> Choice:
    """Return one entry's row: how its version in force stands, and the mark of one on its way."""
    words, today = driver.words, driver.desk.now().date()
    now = in_force(versions, today)
    shown = now if now is not None else last
    mark = mark_text(words, standing(last, versions, today))
    key = Key(f"drug:{last.drug.id}", last.drug.name, standing_text(words, shown, versions, today))
    coming = (standing_text(words, last, versions, today),) if mark and shown is not last else ()
    return Choice(key, coming, badge=mark)


class DrugEntry(Place):
    """One entry: what it says, what is proposed, and what can be done about it."""

    def __init__(self, drug: str) -> None:
        self._id = drug

    def page(self, driver: Driver) -> Page:
        """Return how it stands and a row for each act that fits."""
        words, versions = driver.words, driver.offices.drugs.versions(self._id)
        last, today = latest(versions), driver.desk.now().date()
        assert last is not None
        rows = tuple(
            Choice(Key(act, words.say(f"keeping.drug.{act}"), words.say(f"keeping.drug.{act}_hint")))
            for act in self._acts(driver)
        )
        off = in_force(versions, today) is None
        return Page(
            "keeping-drug",
            Ground.TROUBLE if off else Ground.BENCH,
            last.drug.name,
            words.say("keeping.drug.off") if off else _now(driver, versions),
            Choices(rows),
            keys=(back_key(driver),),
        )

    def _acts(self, driver: Driver) -> tuple[str, ...]:
        """Return what can be done."""
        versions, today = driver.offices.drugs.versions(self._id), driver.desk.now().date()
        coming, now = open_version(versions, today), in_force(versions, today)
        again = came_last(versions, today) is not None
        acts = ("proposed",) if coming is not None else ("change",) if again else ()
        return (*acts, *(("says", "take-off") if now is not None else ()), "versions")

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Go on to one of them."""
        if verb not in self._acts(driver):
            return
        versions, today = driver.offices.drugs.versions(self._id), driver.desk.now().date()
        coming, now = open_version(versions, today), in_force(versions, today)
        last = came_last(versions, today)
        if verb == "proposed" and coming is not None:
            go(driver, Proposal(self._id, coming.number))
        elif verb == "change" and last is not None:
            go(driver, Draft(last))
        elif verb == "says" and now is not None:
            go(driver, Says(now))
        elif verb == "versions":
            go(driver, History(self._id))
        elif verb == "take-off" and now is not None:
            go(driver, Letters("drug-take-off", lambda d, why: withdraw(d, now, why, 1)))


def _now(driver: Driver, versions: Sequence[EntryVersion]) -> str:
    """Return how the version in force stands, and who signed it."""
    today = driver.desk.now().date()
    now = in_force(versions, today)
    assert now is not None
    stands = standing_text(driver.words, now, versions, today)
    return f"{stands} {driver.words.say('keeping.drug.signed', names=names(driver, now.signed))}"


class Says(Place):
    """Everything a version says, field by field."""

    def __init__(self, version: EntryVersion) -> None:
        self._version = version

    def page(self, driver: Driver) -> Page:
        """Return a line for each field that says anything."""
        words, drug = driver.words, self._version.drug
        lines = tuple(difference_line(words, one, first=True) for one in differences(None, drug))
        question = words.say("keeping.drug-says.question", name=drug.name, version=self._version.number)
        help = words.say("keeping.drug-says.help")
        return Page("keeping-drug-says", Ground.BENCH, question, help, Lines(lines), keys=(back_key(driver),))


class History(Place):
    """All versions of an entry, newest first."""

    def __init__(self, drug: str) -> None:
        self._id = drug

    def page(self, driver: Driver) -> Page:
        """Return a line for each: how it stands, who proposed, signed or took it back."""
        words, versions = driver.words, driver.offices.drugs.versions(self._id)
        last = latest(versions)
        assert last is not None
        lines = tuple(_version_line(driver, version, versions) for version in reversed(versions))
        return Page(
            "keeping-drug-versions",
            Ground.BENCH,
            words.say("keeping.drug-versions.question", name=last.drug.name),
            words.say("keeping.drug-versions.help"),
            Lines(lines),
            keys=(back_key(driver),),
        )


def _version_line(driver: Driver, version: EntryVersion, versions: Sequence[EntryVersion]) -> Line:
    """Return one version as a line."""
    words, today = driver.words, driver.desk.now().date()
    said = words.say(
        f"keeping.drug-versions.{'people' if version.signed else 'by'}",
        by=names(driver, (version.proposed_by,)),
        signed=names(driver, version.signed),
    )
    gone = version.withdrawn
    if gone is not None:
        why = words.say(
            "keeping.drug-versions.taken_back", name=names(driver, (gone.by,)), on=gone.on, reason=gone.reason
        )
        said = f"{said} {why}"
    return Line("", standing_text(words, version, versions, today), said)
