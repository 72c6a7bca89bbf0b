"""One entry of the ledger as text: the whole of it is hashed, and it names the hash of the one before.

The text is one JSON object on one line, ASCII only, its head in this order::

    {"prev":"<64 hex>","seq":7,"at":"...","by":"...","kind":"...","preparation":"...","key":"...","part":0,
     "body":{...}}

``hash`` is the SHA-256 of the text, so a list of these lines proves itself with nothing but SHA-256.
``mark`` is the HMAC-SHA-256 of the hash under the counter's key: who has the database but not the key
cannot make an entry that passes.
"""

from __future__ import annotations

import hmac
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from hashlib import sha256
from json.encoder import encode_basestring_ascii as quoted
from typing import Any, Final, get_args

from kiosk.core.preparation.events import Event
from kiosk.core.preparation.house_events import HouseEvent
from kiosk.store import codec

FIRST_PREV: Final = "0" * 64
HOUSE: Final = ""
PREV: Final = slice(9, 73)
# Kinds under names they no longer have: their entries stay readable. None yet.
OLD_NAMES: Final[dict[str, str]] = {}


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry, read. ``raw`` is the body as plain JSON, patients by reference."""

    seq: int
    prev: str
    at: datetime
    by: str
    kind: str
    preparation: str
    key: str
    part: int
    raw: Any


@lru_cache(maxsize=1)
def kinds() -> dict[str, type[Event] | type[HouseEvent]]:
    """Return every kind of entry by its name."""
    return {kind.__name__: kind for kind in (*get_args(Event), *get_args(HouseEvent))}


def moment_text(at: datetime) -> str:
    """Return an aware moment in UTC with microseconds: all of one length, so they sort as text."""
    if at.utcoffset() is None:
        raise ValueError(f"a moment without its zone: {at}")
    return at.astimezone(UTC).isoformat(timespec="microseconds")


@dataclass(frozen=True, slots=True)
class Head:
    """What an entry says of itself before its body."""

    prev: str
    seq: int
    at: str
    by: str
    kind: str
    preparation: str
    key: str
    part: int


def entry_text(head: Head, body: str) -> str:
    """Return the text of an entry, ``body`` being canonical JSON already."""
    return (
        f'{{"prev":"{head.prev}","seq":{head.seq},"at":"{head.at}","by":{quoted(head.by)},'
        f'"kind":"{head.kind}","preparation":{quoted(head.preparation)},"key":{quoted(head.key)},'
        f'"part":{head.part},"body":{body}}}'
    )


def hash_of(text: str) -> str:
    """Return the SHA-256 of an entry's text, in hex."""
    return sha256(text.encode()).hexdigest()


def mark_of(key: bytes, hash_hex: str) -> str:
    """Return the counter's mark on a hash: its HMAC-SHA-256, in hex."""
    return hmac.digest(key, hash_hex.encode(), "sha256").hex()


def read_entry(text: str) -> Entry:
    """Return an entry from its text. Raises ``codec.Unreadable``."""
    raw = codec.from_text(text)
    try:
        return Entry(
            seq=raw["seq"],
            prev=raw["prev"],
            at=datetime.fromisoformat(raw["at"]),
            by=raw["by"],
            kind=OLD_NAMES.get(raw["kind"], raw["kind"]),
            preparation=raw["preparation"],
            key=raw["key"],
            part=raw["part"],
            raw=raw["body"],
        )
    except (KeyError, TypeError, ValueError) as trouble:
        raise codec.Unreadable(f"not an entry: {trouble!r}") from trouble


def event_of(kind: str, raw: Any) -> Event | HouseEvent:
    """Return the event of a kind from its body. Raises ``codec.Unreadable`` for an unknown kind."""
    known = kinds().get(kind)
    if known is None:
        raise codec.Unreadable(f"an entry of a kind this version does not know: {kind}")
    return codec.read(known, raw)
