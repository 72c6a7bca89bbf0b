"""The append-only record: events in, durable and chained, and the same events out again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any, Final, TypeAlias, cast

from kiosk.core.preparation.events import Event
from kiosk.core.preparation.house_events import ClockWentBack, HouseEvent
from kiosk.flow.ports import Recorded, RecordTrouble
from kiosk.store import codec, identities, prepared
from kiosk.store.codec import moment
from kiosk.store.connection import Database, Row, Writing
from kiosk.store.entry import (
    FIRST_PREV,
    HOUSE,
    Head,
    entry_text,
    event_of,
    hash_of,
    mark_of,
    moment_text,
    read_entry,
)
from kiosk.store.head import HeadFile
from kiosk.store.identities import Identities, Identity
from kiosk.store.keys import Keys, new_key
from kiosk.store.place import Place
from kiosk.store.projections import project
from kiosk.store.reserve import Reserve

# Threads read the clock before they write: a step back within this is only their order.
CLOCK_SLACK: Final = timedelta(seconds=1)


@dataclass(frozen=True, slots=True)
class HouseRecorded:
    """One durable entry that belongs to no syringe."""

    seq: int
    at: datetime
    event: HouseEvent


@dataclass(slots=True)
class Noting:
    """The inside of a transaction on lists or people, and what the record will say of it."""

    writing: Writing
    events: list[HouseEvent] = field(default_factory=list)


Written: TypeAlias = tuple[int, datetime, Event | HouseEvent]


@dataclass(slots=True)
class _Tail:
    """The end of the chain while an action is being written."""

    seq: int
    hash: str
    mark: str = ""
    written: list[Written] = field(default_factory=list)


class Ledger:
    """The record of one counter. Safe to use from several threads."""

    def __init__(self, database: Database, keys: Keys, head: HeadFile, reserve: Reserve) -> None:
        self._database = database
        self._keys = keys
        self._head = head
        self._reserve = reserve
        self._identities = Identities(database)

    def append(self, preparation: str, events: Sequence[Event], at: datetime, key: str) -> Sequence[Recorded]:
        """Write the events of one action durably, all or none, with their projections.

        ``key`` is made before the first try: writing it again is a no-op that answers what was
        written. Raises ``RecordTrouble``; then nothing was written. Raises ``RuleBroken`` when a lock of
        the database refuses what the rules let through.
        """
        written = self._write(preparation, events, at, key)
        return [Recorded(seq, when, cast(Event, event)) for seq, when, event in written]

    def note(self, events: Sequence[HouseEvent], at: datetime, key: str = "") -> Sequence[HouseRecorded]:
        """Write events that belong to no syringe; otherwise as ``append``. No key stands for a new one."""
        written = self._write(HOUSE, events, at, key or new_key())
        return [HouseRecorded(seq, when, cast(HouseEvent, event)) for seq, when, event in written]

    @contextmanager
    def noting(self, at: datetime, *, dry_run: bool = False) -> Iterator[Noting]:
        """Run a transaction that changes lists or people, and write the events it gathers with it.

        All of it is durable when the block ends, or none of it is; with ``dry_run`` none of it ever.
        """
        with self._database.undoing(dry_run) as writing:
            noted = Noting(writing)
            yield noted
            tail = self._write_in(writing, HOUSE, noted.events, at, new_key())
        if not dry_run:
            self._moved(tail)

    def events(self, preparation: str) -> Sequence[Recorded]:
        """Return every entry of one preparation, oldest first. Raises ``RecordTrouble``."""
        rows = self._database.rows(prepared.ENTRIES_OF, {"preparation": preparation})
        return [Recorded(seq, at, cast(Event, event)) for seq, at, event in map(self._read, rows)]

    def house_events(self) -> Sequence[HouseRecorded]:
        """Return every entry that belongs to no syringe, oldest first. Raises ``RecordTrouble``."""
        return self.read_house(self._database.rows(prepared.ENTRIES_OF, {"preparation": HOUSE}))

    def read_house(self, rows: Sequence[Row]) -> Sequence[HouseRecorded]:
        """Return what rows of entries that belong to no syringe say. Raises ``RecordTrouble``."""
        return [HouseRecorded(seq, at, cast(HouseEvent, event)) for seq, at, event in map(self._read, rows)]

    def last_of(self, kind: type[HouseEvent]) -> HouseRecorded | None:
        """Return the latest entry of one kind that belongs to no syringe."""
        row = self._database.row(prepared.LAST_OF_KIND, {"kind": kind.__name__})
        if row is None:
            return None
        seq, at, event = self._read(row)
        return HouseRecorded(seq, at, cast(HouseEvent, event))

    def unfinished(self) -> Sequence[str]:
        """Return the ids of preparations neither finished nor discarded, oldest first."""
        return [row["id"] for row in self._database.rows(prepared.UNFINISHED)]

    def last_moment(self) -> datetime | None:
        """Return the moment of the last entry; None for an empty record."""
        row = self._database.row(prepared.HEAD)
        return moment(row["at"]) if row else None

    def opened_ever(self) -> int:
        """Return how many syringes were ever opened here: the running number of the next."""
        row = self._database.row(prepared.OPENED_EVER)
        return int(row[0]) if row else 0

    def _write(
        self, preparation: str, events: Sequence[Event | HouseEvent], at: datetime, key: str
    ) -> list[Written]:
        """Write one action durably; a full disk costs the reserve, once, so that it still is written."""
        try:
            return self._write_once(preparation, events, at, key)
        except RecordTrouble as trouble:
            if trouble.code != "disk_full" or not self._reserve.give_up():
                raise
        return self._write_once(preparation, events, at, key)

    def _write_once(
        self, preparation: str, events: Sequence[Event | HouseEvent], at: datetime, key: str
    ) -> list[Written]:
        """Write one action in one transaction of its own and answer what stands in the ledger."""
        with self._database.writing() as writing:
            before = writing.execute(prepared.WRITTEN_BEFORE, {"key": key}).fetchall()
            if before:
                return [self._read(row) for row in before]
            tail = self._write_in(writing, preparation, events, at, key)
        self._moved(tail)
        return [one for one in tail.written if not isinstance(one[2], ClockWentBack)]

    def _write_in(
        self,
        writing: Writing,
        preparation: str,
        events: Sequence[Event | HouseEvent],
        at: datetime,
        key: str,
    ) -> _Tail:
        """Write entries in order after the end of the chain."""
        head = writing.execute(prepared.HEAD).fetchone()
        tail = _Tail(head["seq"], head["hash"]) if head else _Tail(0, FIRST_PREV)
        told = bool(events) and isinstance(events[0], ClockWentBack)
        if head and events and not told and at < (was := moment(head["at"])) - CLOCK_SLACK:
            self._add(writing, tail, HOUSE, ClockWentBack(was, at.astimezone(UTC)), at, f"{key}/clock", 0)
        for part, event in enumerate(events):
            self._add(writing, tail, preparation, event, at, key, part)
        return tail

    def _moved(self, tail: _Tail) -> None:
        """Note the new head outside the database, if there is one, now that it is durable."""
        if tail.written:
            self._head.move(tail.seq, tail.hash, tail.mark)

    def _add(
        self,
        writing: Writing,
        tail: _Tail,
        preparation: str,
        event: Event | HouseEvent,
        at: datetime,
        key: str,
        part: int,
    ) -> None:
        """Write one entry and its rows after the tail, which moves."""
        raw, patient = self._apart(preparation, event)
        head = Head(
            prev=tail.hash,
            seq=tail.seq + 1,
            at=moment_text(at),
            by=getattr(event, "by", ""),
            kind=type(event).__name__,
            preparation=preparation,
            key=key,
            part=part,
        )
        text = entry_text(head, codec.to_text(raw))
        tail.seq, tail.hash = head.seq, hash_of(text)
        tail.mark = mark_of(self._keys.counter, tail.hash)
        row = {"seq": tail.seq, "entry": text, "hash": tail.hash, "mark": tail.mark}
        writing.execute(prepared.WRITE_ENTRY, row)
        project(writing, Place(tail.seq, preparation, at, patient), event)
        tail.written.append((tail.seq, at, event))

    def _apart(self, preparation: str, event: Event | HouseEvent) -> tuple[Any, str]:
        """Return the body of an event without identifiers, and the reference of its patient if needed."""
        raw = codec.written(event)
        if not identities.concerned(raw):
            return raw, ""
        identity = self._patient(preparation, event)
        return identities.take_apart(raw, identity), identity.ref if identity else ""

    def _patient(self, preparation: str, event: Event | HouseEvent) -> Identity | None:
        """Return the identity an event may repeat."""
        order = getattr(event, identities.ORDER, None)
        if order is not None:
            return self._identities.see(order.patient)
        return self._identities.of_preparation(preparation) if preparation else None

    def _read(self, row: Row) -> Written:
        """Return the place, moment and event of a stored entry. Raises ``RecordTrouble``."""
        try:
            entry = read_entry(row["entry"])
            raw = entry.raw
            if identities.concerned(raw):
                raw = identities.put_together(raw, self._identities.of_ref)
            return row["seq"], entry.at, event_of(entry.kind, raw)
        except codec.Unreadable as trouble:
            raise RecordTrouble("damaged", f"entry {row['seq']}: {trouble}") from trouble
