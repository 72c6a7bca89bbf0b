"""The site's policy is what the record says it is: the fold of its entries, and what the files say besides.

Nothing else holds a policy: no table, no setting. A figure set by a keeper stands until a keeper sets
another, or until somebody writes another into the site's files: the last word counts. What the files say is
compared with what they said when they were last read. A difference is not refused, for a ward must not lose
its counter over an edit of its own files, and no file can take a figure past its published bound; it is put
on record as found changed, signed by nobody, before anybody works by it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Final

from kiosk.core.catalogue.policy import Policy, read, written
from kiosk.core.preparation.house_events import HouseEvent, PolicyChanged, PolicyNoted
from kiosk.core.units import Measure

PUBLISHED: Final = "published"
FILE: Final = "file"
KEEPER: Final = "keeper"


@dataclass(frozen=True, slots=True)
class Standing:
    """What the record says of one policy: its value as text, where it stands, since when, and how it came."""

    value: str
    source: str
    since: datetime
    change: PolicyChanged | None = None


@dataclass(slots=True)
class Book:
    """Every policy on record by its name; ``filed`` is what the site's files said when last read."""

    standing: dict[str, Standing] = field(default_factory=dict)
    filed: dict[str, str] = field(default_factory=dict)

    def take(self, at: datetime, event: HouseEvent) -> None:
        """Take one more entry on board."""
        if isinstance(event, PolicyNoted):
            for name, value, source in event.policies:
                self._stands(name, Standing(value, source, at), by="")
        elif isinstance(event, PolicyChanged):
            self._stands(event.name, Standing(event.now, event.source, at, event), event.by)

    def _stands(self, name: str, standing: Standing, by: str) -> None:
        self.standing[name] = standing
        if not by:
            self.filed[name] = standing.value if standing.source == FILE else ""

    def value(self, name: str) -> str | None:
        """Return what a policy is by the record; None where it was never noted."""
        standing = self.standing.get(name)
        return standing.value if standing is not None else None


def fold_policies(entries: Iterable[tuple[datetime, HouseEvent]]) -> Book:
    """Return the policies that these entries, oldest first, amount to."""
    book = Book()
    for at, event in entries:
        book.take(at, event)
    return book


def figure_in_force(policy: Policy, book: Book, filed: Measure | None) -> tuple[Measure, str]:
    """Return the value of a policy now, and where it stands.

    ``filed`` is what the site's files say, if anything. A value on record that the published one no longer
    allows, since a new edition is stricter, gives way to it.
    """
    on_record = book.standing.get(policy.name)
    in_file = written(filed) if filed is not None else ""
    if in_file != book.filed.get(policy.name, ""):
        value, source = (filed, FILE) if filed is not None else (policy.published, PUBLISHED)
    elif on_record is None or on_record.source == PUBLISHED:
        value, source = policy.published, PUBLISHED
    else:
        value, source = read(on_record.value), on_record.source
    return (value, source) if policy.allows(value) else (policy.published, PUBLISHED)


def found(book: Book, now: Mapping[str, tuple[str, str]]) -> tuple[HouseEvent, ...]:
    """Return the entries that bring the record to what is found now: name to value and source.

    A policy that is on record and found nowhere any more is no longer one: its value is nothing.
    """
    fresh = tuple((name, *said) for name, said in sorted(now.items()) if name not in book.standing)
    gone = {name: ("", PUBLISHED) for name, one in book.standing.items() if name not in now and one.value}
    changed = [
        PolicyChanged("", name, book.standing[name].value, value, source=source)
        for name, (value, source) in sorted((*now.items(), *gone.items()))
        if name in book.standing and book.standing[name].value != value
    ]
    return (*((PolicyNoted(fresh),) if fresh else ()), *changed)
