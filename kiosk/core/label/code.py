"""The codes that our own labels carry: short, of one case, with a check character.

A code printed on a label, typed by hand or scanned, reads ``PC1`` + what it names + one check character:

* ``PC1`` a syringe: two characters for the counter, five for its running number, and, from the second
  copy of the label on, one digit for the copy (so the first copy's code is void once a second is made);
* ``PV1`` an opened container: the kiosk's own key of it, one to eight digits and letters.

The ``1`` is the edition of this form. The check character is ISO/IEC 7064:2003, MOD 37,36 over all that
stands before it: every single wrong character and every swap of neighbours shows.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from kiosk.core.findings import Refusal

ALPHABET: Final = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
# Numbers are written without I, L, O and U, which are taken for 1, 1, 0 and V.
NUMBER_DIGITS: Final = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
SERIAL_PLACES: Final = 5
LAST_SERIAL: Final = len(NUMBER_DIGITS) ** SERIAL_PLACES - 1
LAST_COPY: Final = 9
SOURCE: Final = "ISO/IEC 7064:2003, MOD 37,36"


class Kind(StrEnum):
    """What a code is stuck on. The value is what the code begins with."""

    SYRINGE = "PC1"
    CONTAINER = "PV1"


_NAMES: Final = {
    Kind.SYRINGE: re.compile(rf"[{NUMBER_DIGITS}]{{{2 + SERIAL_PLACES}}}[2-{LAST_COPY}]?"),
    Kind.CONTAINER: re.compile(r"[0-9A-Z]{1,8}"),
}


@dataclass(frozen=True, slots=True)
class ReadCode:
    """What a label's code says: the kind of thing, and its name as the record writes it."""

    kind: Kind
    names: str


def check_character(text: str) -> str:
    """Return the ISO/IEC 7064 MOD 37,36 check character of digits and capital letters."""
    held = 36
    for character in text:
        held = (held + ALPHABET.index(character)) % 36 or 36
        held = held * 2 % 37
    return ALPHABET[(37 - held) % 36]


def make_code(counter: str, serial: int) -> str:
    """Return the name of one syringe: ``counter`` two characters, ``serial`` its running number from 0.

    Raises ``ValueError`` for a counter or a number that cannot be written.
    """
    if len(counter) != 2 or any(character not in NUMBER_DIGITS for character in counter):
        raise ValueError(f"a counter is two of {NUMBER_DIGITS}, not {counter!r}")
    if not 0 <= serial <= LAST_SERIAL:
        raise ValueError(f"a running number is 0 to {LAST_SERIAL}, not {serial}")
    base = len(NUMBER_DIGITS)
    places = (serial // base**place % base for place in reversed(range(SERIAL_PLACES)))
    return counter + "".join(NUMBER_DIGITS[value] for value in places)


def printed_code(kind: Kind, names: str) -> str:
    """Return what the label of that thing carries. Raises ``ValueError`` for a name no code can hold."""
    if not _NAMES[kind].fullmatch(names):
        raise ValueError(f"not the name of a {kind.name.lower()}: {names!r}")
    return kind + names + check_character(kind + names)


def is_ours(text: str) -> bool:
    """Say whether a scanned text claims to be a code of ours, right or wrong."""
    return _plain(text)[:3] in set(Kind)


def read_code(text: str) -> ReadCode | Refusal:
    """Return what a scanned or typed code says, or why it is not to be trusted.

    Spaces, hyphens and small letters are taken as writing habits; nothing else is mended.
    """
    plain = _plain(text)
    if plain[:3] not in set(Kind):
        return Refusal("code_not_ours", {"code": text})
    kind, names, check = Kind(plain[:3]), plain[3:-1], plain[-1]
    if any(character not in ALPHABET for character in plain) or check != check_character(plain[:-1]):
        return Refusal("code_misread", {"code": text}, SOURCE)
    if not _NAMES[kind].fullmatch(names):
        return Refusal("code_misread", {"code": text}, SOURCE)
    return ReadCode(kind, names)


def grouped(code: str) -> str:
    """Return a code for the eye, in sixes from the left: ``PC1A30 001KQ``."""
    return " ".join(code[start : start + 6] for start in range(0, len(code), 6))


def _plain(text: str) -> str:
    """Return the text in capitals, without spaces and hyphens."""
    return re.sub(r"[\s-]", "", text).upper()
