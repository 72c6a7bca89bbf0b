"""The one connection of a store: how it is set, how a transaction runs, what its troubles mean.

SQLite, write-ahead log, ``synchronous=FULL``: what COMMIT answered is on the disk. One connection a
process, shared by its threads under one lock. Reading never waits for another process; writing waits
``BUSY_S`` seconds at most. A file that was taken away or replaced under its name is not written on: the
system would go on taking entries for a file that nobody will ever find again.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager, suppress
from pathlib import Path
from threading import RLock
from typing import Any, Final, TypeAlias

from kiosk.flow.ports import RecordTrouble

BUSY_S: Final = 2.0
Values: TypeAlias = Mapping[str, Any]
Row: TypeAlias = sqlite3.Row

_PRAGMAS: Final = (
    "PRAGMA foreign_keys = ON",
    "PRAGMA synchronous = FULL",
    "PRAGMA cell_size_check = ON",
    "PRAGMA secure_delete = ON",
)

_CODES: Final = {
    sqlite3.SQLITE_FULL: "disk_full",
    sqlite3.SQLITE_READONLY: "read_only",
    sqlite3.SQLITE_PERM: "read_only",
    sqlite3.SQLITE_BUSY: "locked",
    sqlite3.SQLITE_LOCKED: "locked",
    sqlite3.SQLITE_CORRUPT: "damaged",
    sqlite3.SQLITE_NOTADB: "damaged",
    sqlite3.SQLITE_IOERR: "other",
    sqlite3.SQLITE_CANTOPEN: "other",
    sqlite3.SQLITE_PROTOCOL: "locked",
}
_NOT_TEXT: Final = "Could not decode to UTF-8"
"""How the module says, without a code of SQLite's, that bytes of a text were changed."""


class RuleBroken(RuntimeError):
    """A lock of the database refused a write that the rules should never have let through: a bug.

    Nothing was written.
    """


def trouble_of(error: sqlite3.Error) -> Exception:
    """Return what an error of SQLite means: the world's trouble, a broken rule, or a bug as it is."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code == sqlite3.SQLITE_CONSTRAINT:
        return RuleBroken(str(error))
    if code in _CODES:
        return RecordTrouble(_CODES[code], str(error))
    if str(error).startswith(_NOT_TEXT):
        return RecordTrouble("damaged", str(error))
    return error


def read_only(path: Path) -> sqlite3.Connection:
    """Return a connection of its own that can change nothing. Raises ``sqlite3.Error``."""
    return sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True, isolation_level=None)


def _refuse_read_only(path: Path) -> None:
    """Raise ``RecordTrouble`` for a file, or a folder, that this process may not write."""
    for place in (path, path.parent):
        if place.exists() and not os.access(place, os.W_OK):
            raise RecordTrouble("read_only", f"{place.name} may not be written")


def _identity(path: Path) -> tuple[int, int] | None:
    """Return which file stands under a name: its device and number there; None where there is none."""
    try:
        found = os.stat(path)
    except OSError:
        return None
    return found.st_dev, found.st_ino


class Database:
    """The connection to one database file."""

    def __init__(self, connection: sqlite3.Connection, path: Path) -> None:
        self.path = path
        self.lock = RLock()
        self._connection = connection
        self._files = tuple((one, _identity(one)) for one in (path, path.with_name(f"{path.name}-wal")))
        connection.row_factory = sqlite3.Row

    @classmethod
    def open(cls, path: Path) -> Database:
        """Open or create the file. Raises ``RecordTrouble``."""
        _refuse_read_only(path)
        try:
            connection = sqlite3.connect(
                path, timeout=BUSY_S, isolation_level=None, check_same_thread=False, cached_statements=256
            )
            connection.execute("PRAGMA journal_mode = WAL").fetchone()
            for pragma in _PRAGMAS:
                connection.execute(pragma)
            # The first read makes the log, whose place is noted beside that of the file.
            connection.execute("SELECT 1 FROM sqlite_master LIMIT 1").fetchone()
        except sqlite3.Error as error:
            raise trouble_of(error) from error
        return cls(connection, path)

    def rows(self, sql: str, values: Values | None = None) -> list[Row]:
        """Return every row of a query. Raises ``RecordTrouble``."""
        with self.lock:
            self._in_place()
            try:
                return self._connection.execute(sql, values or {}).fetchall()
            except sqlite3.Error as error:
                raise trouble_of(error) from error

    def row(self, sql: str, values: Values | None = None) -> Row | None:
        """Return the first row of a query, or None. Raises ``RecordTrouble``."""
        with self.lock:
            self._in_place()
            try:
                found: Row | None = self._connection.execute(sql, values or {}).fetchone()
            except sqlite3.Error as error:
                raise trouble_of(error) from error
            return found

    @contextmanager
    def looking(self) -> Iterator[sqlite3.Connection]:
        """Read on one state of the file throughout, whatever other processes write meanwhile.

        Raises ``RecordTrouble``.
        """
        with self.lock:
            self._in_place()
            try:
                self._connection.execute("BEGIN")
                yield self._connection
            except sqlite3.Error as error:
                raise trouble_of(error) from error
            finally:
                self._roll_back()

    def writing(self) -> AbstractContextManager[Writing]:
        """Run a transaction: all of the block is durable when it ends, or none of it is.

        Raises ``RecordTrouble`` or ``RuleBroken``; then nothing was written. Blocks do not nest.
        """
        return self.undoing(False)

    @contextmanager
    def undoing(self, undo: bool) -> Iterator[Writing]:
        """Run a transaction and, with ``undo``, take all of it back at the end: a dry run."""
        with self.lock:
            self._in_place()
            try:
                self._connection.execute("BEGIN IMMEDIATE")
                yield Writing(self._connection)
                self._connection.execute("ROLLBACK" if undo else "COMMIT")
            except sqlite3.Error as error:
                self._roll_back()
                raise trouble_of(error) from error
            except BaseException:
                self._roll_back()
                raise

    def _in_place(self) -> None:
        """Raise ``RecordTrouble`` where the file, or its log, is no longer the one that was opened.

        Inside a transaction this was asked when it began.
        """
        if self._connection.in_transaction:
            return
        for path, identity in self._files:
            if _identity(path) != identity:
                raise RecordTrouble("gone", f"{path.name} is not where it was opened")

    def _roll_back(self) -> None:
        """Leave the transaction, if SQLite has not left it already (it does so on a full disk)."""
        if self._connection.in_transaction:
            with suppress(sqlite3.Error):
                self._connection.execute("ROLLBACK")

    def close(self) -> None:
        """Close the connection; the write-ahead log is folded into the file."""
        with self.lock:
            self._connection.close()

    @property
    def raw(self) -> sqlite3.Connection:
        """The connection itself, for backup and verification."""
        return self._connection


class Writing:
    """The inside of a transaction."""

    __slots__ = ("execute",)

    def __init__(self, connection: sqlite3.Connection) -> None:
        self.execute = connection.execute
