"""The counter's two secrets, kept in a folder of their own outside the database.

``counter.key`` marks entries and seals; ``badge.key`` turns a badge into the digest it is looked up by.
Each is 32 random bytes in hex, in a file only its owner may read. They are made with a new database and
never again: an old record without its keys cannot be trusted, so it is not opened.
"""

from __future__ import annotations

import hmac
import os
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Final

from kiosk.flow.ports import RecordTrouble
from kiosk.store.durable import write_whole

_COUNTER: Final = "counter.key"
_BADGE: Final = "badge.key"
_BYTES: Final = 32


@dataclass(frozen=True, slots=True)
class Keys:
    """The secrets, and the folder they and the seals lie in."""

    folder: Path
    counter: bytes = field(repr=False)
    badge: bytes = field(repr=False)

    @property
    def counter_name(self) -> str:
        """A name of this counter that gives nothing away: eight hex digits of a digest of its key."""
        return sha256(b"name of the counter" + self.counter).hexdigest()[:8]

    def mark(self, *parts: str) -> str:
        """Return the counter's mark on some texts together: an HMAC-SHA-256 in hex."""
        return hmac.digest(self.counter, "\x1f".join(parts).encode(), "sha256").hex()

    def peppered(self, pin: str) -> bytes:
        """Return what is hashed of a PIN: without the key no copy of the database lets anybody guess it."""
        return hmac.digest(self.badge, b"pin\x1f" + pin.encode("utf-8", "surrogatepass"), "sha256")

    def badge_digest(self, badge: str) -> str:
        """Return what a badge is looked up by: its HMAC-SHA-256 under the badge key, in hex."""
        return hmac.digest(self.badge, badge.encode("utf-8", "surrogatepass"), "sha256").hex()


def new_key() -> str:
    """Return a key that was never used: 128 random bits in hex."""
    return os.urandom(16).hex()


def make_keys(folder: Path) -> Keys:
    """Return the keys of a folder, made where there are none yet. Raises ``RecordTrouble``."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        for name in (_COUNTER, _BADGE):
            if not (folder / name).exists():
                _make(folder / name)
    except OSError as trouble:
        raise RecordTrouble("other", f"the keys cannot be made: {trouble}") from trouble
    return read_keys(folder)


def read_keys(folder: Path) -> Keys:
    """Return the keys of a folder. Raises ``RecordTrouble`` for one missing, open to others or no key."""
    return Keys(folder, counter=_read(folder / _COUNTER), badge=_read(folder / _BADGE))


def _make(path: Path) -> None:
    """Write a new key, whole or not at all, readable by its owner alone."""
    path.with_name(f"{path.name}.new").touch(mode=0o600)
    write_whole(path, os.urandom(_BYTES).hex())


def _read(path: Path) -> bytes:
    """Return the bytes of a key file."""
    try:
        if path.stat().st_mode & 0o077:
            raise RecordTrouble("other", f"{path.name} can be read by others")
        key = bytes.fromhex(path.read_text(encoding="ascii").strip())
    except OSError as trouble:
        raise RecordTrouble("other", f"the key cannot be read: {trouble}") from trouble
    except ValueError as trouble:
        raise RecordTrouble("other", f"{path.name} does not hold a key") from trouble
    if len(key) != _BYTES:
        raise RecordTrouble("other", f"{path.name} does not hold a key")
    return key
