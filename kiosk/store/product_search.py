"""Finding a product while its name is typed: by the beginning, by any word, and past a slip of the finger.

An index of its own in memory, made from the products when somebody first searches and made anew when they
have changed: nothing of it is kept, so nothing can go stale. Nothing is ranked by a score, which would cost
most for the shortest text: names stand in alphabetical order, first those that begin as typed, then those
with such a word further on, or with all the words typed. From five letters on, when next to nothing fits,
words one slip away are offered apart; nothing is ever chosen by it.
"""

from __future__ import annotations

import re
import sqlite3
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from threading import RLock
from typing import Final, TypeAlias

from kiosk.core.stock.near_names import LEAST, LONGEST, folded, slips, within_one_slip, words_of
from kiosk.flow.stock_keeping import Match, ProductsFound
from kiosk.store import prepared
from kiosk.store.connection import Database

MOST: Final = 20
FEW: Final = 3
# How far is looked: names that begin with the first word typed, words near a slip, words a slip may mean.
LOOKED_THROUGH: Final = 120
NEAR_EACH: Final = 24
MEANT_WORDS: Final = 6
# A word in more names than this ("mg", "vial") tells nothing: it is found together with others only.
COMMON: Final = 2_000
_WORD: Final = re.compile(r"[^\W_]+")
_LAST: Final = "\U0010ffff"
Row: TypeAlias = tuple[str, str]

_MAKE: Final = (
    "CREATE TABLE names (place INTEGER PRIMARY KEY, folded TEXT, id TEXT, name TEXT)",
    "CREATE TABLE further (word TEXT, place INTEGER, id TEXT, name TEXT, PRIMARY KEY (word, place)) "
    "WITHOUT ROWID",
    "CREATE VIRTUAL TABLE words USING fts5(folded, content='', prefix='1 2 3 4', detail=none, "
    'tokenize="unicode61 remove_diacritics 2")',
    "CREATE TABLE slips (slip TEXT, word TEXT, PRIMARY KEY (slip, word)) WITHOUT ROWID",
)
_BEGINNING: Final = "SELECT id, name FROM names WHERE folded >= ? AND folded < ? ORDER BY folded LIMIT ?"
_LOOKED_THROUGH: Final = (
    "SELECT folded, id, name FROM names WHERE folded >= ? AND folded < ? ORDER BY folded LIMIT ?"
)
_FURTHER: Final = "SELECT id, name FROM further WHERE word >= ? AND word < ? ORDER BY word, place LIMIT ?"
_WITH_WORDS: Final = (
    "SELECT id, name FROM names WHERE place IN "
    "(SELECT rowid FROM words WHERE words MATCH ? ORDER BY rowid LIMIT ?) ORDER BY place"
)
_NEAR: Final = f"SELECT word FROM slips WHERE slip = ? LIMIT {NEAR_EACH}"


class ProductSearch:
    """The index of one counter's products. Safe to use from several threads."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._lock = RLock()
        self._made_of: tuple[int, ...] = ()
        self._index: sqlite3.Connection | None = None

    def make_ready(self) -> int:
        """Make the index anew if the products have changed, and return how many there are.

        Slow for a long list: call it off the interface thread. Raises ``RecordTrouble``.
        """
        row = self._database.row(prepared.PRODUCTS_PRINT)
        print_ = tuple(row) if row else ()
        with self._lock:
            if self._index is None or print_ != self._made_of:
                rows = self._database.rows(prepared.PRODUCT_NAMES)
                self._index = made((row["id"], row["name"]) for row in rows)
                self._made_of = print_
        return int(print_[0]) if print_ else 0

    def find(self, typed: str, most: int = MOST) -> ProductsFound:
        """Return the products that fit what was typed, and, where few do, those one slip away."""
        if self._index is None:
            self.make_ready()
        with self._lock:
            index = self._index
            assert index is not None
            return _found(index, folded(typed), most)


# -- making the index ---------------------------------------------------------------------------------


def made(products: Iterable[Row]) -> sqlite3.Connection:
    """Return the index of products, each ``(id, name)``."""
    index = sqlite3.connect(":memory:", check_same_thread=False, isolation_level=None)
    for statement in _MAKE:
        index.execute(statement)
    rows = sorted((folded(name), id, name) for id, name in products)
    numbered = [(place, *row) for place, row in enumerate(rows, start=1)]
    index.execute("BEGIN")
    index.executemany("INSERT INTO names VALUES (?, ?, ?, ?)", numbered)
    index.execute("CREATE INDEX names_in_order ON names (folded, id, name)")
    index.executemany("INSERT INTO words (rowid, folded) VALUES (?, ?)", ((n[0], n[1]) for n in numbered))
    counted = Counter(word for _, text, *_ in numbered for word in _WORD.findall(text))
    index.executemany("INSERT OR IGNORE INTO further VALUES (?, ?, ?, ?)", _further(numbered, counted))
    known = {long[:LONGEST] for long in counted if len(long) >= LEAST and long.isalpha()}
    index.executemany("INSERT OR IGNORE INTO slips VALUES (?, ?)", sorted(_slips_of(known)))
    index.execute("COMMIT")
    return index


def _further(
    numbered: Sequence[tuple[int, str, str, str]], counted: Counter[str]
) -> Iterator[tuple[str, int, str, str]]:
    """Yield every telling word that stands further on in a name."""
    for place, text, id, name in numbered:
        for word in _WORD.findall(text)[1:]:
            if counted[word] <= COMMON and not word.isdigit():
                yield word, place, id, name


def _slips_of(known: Iterable[str]) -> Iterator[tuple[str, str]]:
    """Yield every beginning of every word that is long enough, with each of its letters left out in turn."""
    for word in known:
        for long in range(LEAST - 1, len(word) + 1):
            for slip in slips(word[:long]):
                yield slip, word


# -- looking something up -----------------------------------------------------------------------------


def _found(index: sqlite3.Connection, text: str, most: int) -> ProductsFound:
    """Search the index for a folded text."""
    if not text:
        return ProductsFound(())
    rows = index.execute(_BEGINNING, (text, text + _LAST, most)).fetchall()
    if len(rows) < most:
        _add(rows, _others(index, text, most - len(rows), bool(rows)), most)
    matches = tuple(map(Match._make, rows))
    if len(rows) > FEW or len(text) < LEAST:
        return ProductsFound(matches)
    return ProductsFound(matches, tuple(map(Match._make, _meant(index, text, rows, most))))


def _others(index: sqlite3.Connection, text: str, most: int, some: bool) -> Sequence[Row]:
    """Return names in which the text is not the beginning: one word further on, or several in any order."""
    first, _, more = text.partition(" ")
    if not more:
        return index.execute(_FURTHER, (text, text + _LAST, most + 1)).fetchall()
    wanted = more.split()
    begun = index.execute(_LOOKED_THROUGH, (first, first + _LAST, LOOKED_THROUGH)).fetchall()
    fitting = [(id, name) for whole, id, name in begun if _has(whole, wanted)]
    if fitting or some:
        return fitting
    return index.execute(_WITH_WORDS, (_asked(text), most)).fetchall() if _asked(text) else ()


def _has(whole: str, wanted: Sequence[str]) -> bool:
    """Say whether each word wanted is the beginning of some word of a name."""
    return all(f" {word}" in whole for word in wanted)


def _add(rows: list[Row], others: Sequence[Row], most: int) -> None:
    """Add what is not there yet, up to so many."""
    there = set(rows)
    for row in others:
        if row not in there and len(rows) < most:
            rows.append(row)
            there.add(row)


def _asked(text: str) -> str:
    """Return the question to the word index: every word typed is the beginning of one, in any order."""
    return " ".join(f'"{word}"*' for word in _WORD.findall(text))


def _meant(index: sqlite3.Connection, text: str, but: Sequence[Row], most: int) -> Sequence[Row]:
    """Return products that would fit if one word typed had a slip in it; those that fit are left out."""
    found = list(but)
    for word in words_of(text):
        for near in _near_words(index, word)[:MEANT_WORDS]:
            mended = text.replace(word, near, 1)
            rows = index.execute(_BEGINNING, (mended, mended + _LAST, most)).fetchall()
            _add(found, rows or _others(index, mended, most, some=False), len(but) + most)
    return found[len(but) :]


def _near_words(index: sqlite3.Connection, word: str) -> list[str]:
    """Return beginnings of known words one slip away from a word, by the alphabet.

    Only the first letters of a long word are compared: what follows them may be wrong in any way.
    """
    found = {row[0] for slip in slips(word) for row in index.execute(_NEAR, (slip,))}
    return sorted(near for near in found if not near.startswith(word) and within_one_slip(word, near))
