"""Names that are near one another: one slip of the finger apart, or published as mistaken for each other."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from typing import Final

from kiosk.core.catalogue.drug import Drug

LEAST: Final = 5
LONGEST: Final = 9
_WORD: Final = re.compile(r"[^\W\d_]+")


def folded(text: str) -> str:
    """Return a text as it is compared: small letters, no accents, one space between words."""
    if text.isascii():
        return " ".join(text.lower().split())
    plain = unicodedata.normalize("NFKD", text)
    kept = "".join(c for c in plain if not unicodedata.combining(c))
    return " ".join(kept.casefold().split())


def words_of(text: str) -> tuple[str, ...]:
    """Return the words of a folded text that are long enough to be looked for past a slip."""
    return tuple(word for word in _WORD.findall(text) if len(word) >= LEAST)


def slips(word: str) -> frozenset[str]:
    """Return a word's first letters, and these with each left out: words one slip apart share one."""
    start = word[:LONGEST]
    return frozenset({start, *(start[:n] + start[n + 1 :] for n in range(len(start)))})


def within_one_slip(typed: str, word: str) -> bool:
    """Say whether ``typed`` is one slip away from the beginning of ``word``.

    A slip is a letter too many, one too few, a wrong one, or two neighbours exchanged.
    """
    typed = typed[:LONGEST]
    ends = range(max(0, len(typed) - 1), len(typed) + 2)
    return any(_one_apart(typed, word[:end]) for end in ends)


def _one_apart(one: str, other: str) -> bool:
    """Say whether two words are equal or one slip apart."""
    if one == other:
        return True
    if abs(len(one) - len(other)) > 1:
        return False
    start = next((n for n, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), len(one))
    if len(one) == len(other):
        swapped = one[start : start + 2][::-1] == other[start : start + 2]
        return one[start + 1 :] == other[start + 1 :] or (swapped and one[start + 2 :] == other[start + 2 :])
    longer, shorter = (one, other) if len(one) > len(other) else (other, one)
    return longer[start + 1 :] == shorter[start:]


def mistaken_for(drug: Drug, here: Iterable[Drug]) -> tuple[str, ...]:
    """Return the names of the drugs kept here that are published as easily mistaken for this one, by name."""
    return tuple(
        sorted({other.name for other in here if other.id in drug.looks_like and other.id != drug.id})
    )
