"""Room for the record: how much the disk still has, and a reserve to finish the syringe in hand with.

When the disk is full the reserve is given up, once, so that what is half done can still be ended and
written. New work waits until there is room again and the reserve is back.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path
from typing import Final

RESERVE_BYTES: Final = 1024 * 1024
# New work wants this much: the reserve again, and a day's entries several times over.
ENOUGH_BYTES: Final = 16 * 1024 * 1024
_BLOCK: Final = bytes(64 * 1024)


class Reserve:
    """The reserve file beside a database."""

    def __init__(self, database: Path) -> None:
        self.path = database.with_name(f"{database.name}.reserve")

    def fill(self) -> bool:
        """Set the reserve aside; say whether it is whole."""
        if self.whole:
            return True
        try:
            with self.path.open("wb") as handle:
                for _ in range(RESERVE_BYTES // len(_BLOCK)):
                    handle.write(_BLOCK)
                handle.flush()
                os.fsync(handle.fileno())
        except OSError:
            self.give_up()
        return self.whole

    @property
    def whole(self) -> bool:
        """The reserve is set aside."""
        try:
            return self.path.stat().st_size == RESERVE_BYTES
        except OSError:
            return False

    def give_up(self) -> bool:
        """Free the reserve; say whether there was one."""
        was = self.path.exists()
        with suppress(OSError):
            self.path.unlink()
        return was and not self.path.exists()

    def room_for_new_work(self) -> bool:
        """Say whether a new syringe may be begun: the disk has room and the reserve is set aside."""
        try:
            disk = os.statvfs(self.path.parent)
        except OSError:
            return False
        return disk.f_bavail * disk.f_frsize >= ENOUGH_BYTES and self.fill()
