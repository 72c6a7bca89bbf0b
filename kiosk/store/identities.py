"""Patients' identifiers, held apart from the ledger and referred to by a salted digest.

Before an entry is written the patient's id, number, name, birth date and place are taken out of it and
put, once, into ``patients_seen``; the entry keeps the reference. Free text that repeats the name or the
number has them replaced too. Reading puts them back, and proves by the digest that they are the ones.
After erasure the reference leads to ``ERASED`` and the chain still verifies.

Only ``Opened`` holds a patient; a test proves that no other event can.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from typing import Any, Final, TypeAlias

from kiosk.core.catalogue.people import Patient
from kiosk.flow.ports import RecordTrouble
from kiosk.store import codec, prepared
from kiosk.store.connection import Database
from kiosk.store.keys import new_key

APART: Final = ("id", "number", "name", "born", "place")
ERASED: Final = "erased"
ERASED_BORN: Final = date(1, 1, 1)
# Fields that hold what a person typed or a sentence was filled with: a name may have crept in.
FREE_TEXT: Final = frozenset({"reason", "detail", "facts", "as_written"})
ORDER: Final = "order"
SEEN: Final = "seen"
_LEAST_WORD: Final = 3
_OPEN, _SHUT = "\ue000", "\ue001"
_TOKEN: Final = re.compile(f"{_OPEN}([0-9a-f]*)\\.?([a-z0-9]*){_SHUT}")


@dataclass(frozen=True, slots=True)
class Identity:
    """Who a reference stands for. ``born`` is ISO text, as stored."""

    ref: str
    id: str
    number: str
    name: str
    born: str
    place: str

    def says(self) -> dict[str, str]:
        """Return what hides behind each token: the whole name, the number, each longer word of the name."""
        words = {f"name{n}": word for n, word in enumerate(self.name.split()) if len(word) >= _LEAST_WORD}
        return {"name": self.name, "number": self.number} | words


Find: TypeAlias = Callable[[str], Identity | None]


def digest(salt: str, values: dict[str, str]) -> str:
    """Return the reference of an identity: SHA-256 over its salt and its parts, in hex."""
    return sha256("\x1f".join((salt, *(values[name] for name in APART))).encode()).hexdigest()


class Identities:
    """Finds, keeps and proves identities. ``see`` must be called inside a transaction."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def see(self, patient: Patient) -> Identity:
        """Return the identity of a patient as now written, kept if it was not yet."""
        values = {name: str(codec.written(getattr(patient, name))) for name in APART}
        found = self._database.row(prepared.SEEN_BEFORE, values)
        ref = found["ref"] if found else self._keep(values)
        return Identity(ref=ref, **values)

    def _keep(self, values: dict[str, str]) -> str:
        """Keep a new identity and return its reference."""
        salt = new_key()
        ref = digest(salt, values)
        self._database.row(prepared.SEE_PATIENT, {"ref": ref, "salt": salt, "erased_at": None, **values})
        return ref

    def of_ref(self, ref: str) -> Identity | None:
        """Return who a reference stands for; None when erased. Raises ``RecordTrouble``."""
        row = self._database.row(prepared.SEEN_BY_REF, {"ref": ref})
        if row is None:
            raise RecordTrouble("damaged", f"the record refers to a patient it does not hold: {ref}")
        if row["erased_at"] is not None:
            return None
        values = {name: row[name] for name in APART}
        if digest(row["salt"], values) != ref:
            raise RecordTrouble("damaged", f"the identifiers of a patient were changed: {ref}")
        return Identity(ref=ref, **values)

    def of_preparation(self, preparation: str) -> Identity | None:
        """Return the patient a syringe, or an order (``order-<id>``), is for; None when not known."""
        row = self._database.row(prepared.SYRINGE_OF, {"preparation": preparation})
        if row is not None:
            return self.of_ref(row["patient"])
        listed = self._database.row(prepared.ORDER, {"id": preparation.removeprefix("order-")})
        return self.see(codec.read(Patient, codec.from_text(listed["patient"]))) if listed else None


def concerned(raw: Any) -> bool:
    """Say whether a body can hold a patient's identifiers at all."""
    return ORDER in raw or any(raw.get(name) for name in FREE_TEXT)


def take_apart(raw: Any, identity: Identity | None) -> Any:
    """Return a body with the patient by reference and without the patient's name or number in free text."""
    hide = _hider(identity)
    hidden = _free_text(raw, hide)
    if ORDER not in raw or identity is None:
        return hidden
    patient = {name: value for name, value in raw[ORDER]["patient"].items() if name not in APART}
    order = _free_text(raw[ORDER], hide) | {"patient": patient | {SEEN: identity.ref}}
    return hidden | {ORDER: order}


def put_together(raw: Any, find: Find) -> Any:
    """Return a body with the identifiers back in place, or ``ERASED`` in their stead."""

    def shown(text: str) -> str:
        return _TOKEN.sub(lambda found: _revealed(found, find), text)

    whole = _free_text(raw, shown)
    if ORDER not in raw:
        return whole
    patient = dict(raw[ORDER]["patient"])
    patient |= _apart_values(find(patient.pop(SEEN)))
    return whole | {ORDER: _free_text(raw[ORDER], shown) | {"patient": patient}}


def blanked(text: str, identity: Identity) -> str:
    """Return a text in which the patient's name and number read ``erased``."""
    return _TOKEN.sub(lambda found: ERASED if found[1] else _OPEN, _hider(identity)(text))


def _apart_values(identity: Identity | None) -> dict[str, str]:
    """Return the identifiers of a patient, or what stands for erased ones."""
    if identity is None:
        return dict.fromkeys(APART, ERASED) | {"born": ERASED_BORN.isoformat()}
    return {name: getattr(identity, name) for name in APART}


def _revealed(found: re.Match[str], find: Find) -> str:
    """Return what a token hides."""
    ref, name = found.groups()
    if not ref:
        return _OPEN
    identity = find(ref)
    return ERASED if identity is None else identity.says()[name]


def _hider(identity: Identity | None) -> Callable[[str], str]:
    """Return a function that replaces name and number by tokens, and guards the token mark itself."""
    if identity is None:
        return lambda text: text.replace(_OPEN, _OPEN + _SHUT)
    tokens = {text: f"{_OPEN}{identity.ref}.{name}{_SHUT}" for name, text in identity.says().items() if text}
    sought = (*tokens, _OPEN)

    def hide(text: str) -> str:
        # Most texts name nobody, and a pattern costs more than looking for each name.
        if not any(one in text for one in sought):
            return text
        longest_first = "|".join(re.escape(one) for one in sorted(tokens, key=len, reverse=True))
        pattern = rf"(?<!\w)(?:{longest_first})(?!\w)|{_OPEN}" if tokens else _OPEN
        return re.sub(pattern, lambda found: tokens.get(found.group(), _OPEN + _SHUT), text)

    return hide


def _free_text(raw: Any, change: Callable[[str], str]) -> Any:
    """Return an object with ``change`` made to every text of its free-text fields."""
    return {name: _each(value, change) if name in FREE_TEXT else value for name, value in raw.items()}


def _each(raw: Any, change: Callable[[str], str]) -> Any:
    """Return a text, or lists of texts, changed."""
    return change(raw) if isinstance(raw, str) else [_each(one, change) for one in raw]
