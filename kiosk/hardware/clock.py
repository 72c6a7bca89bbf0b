"""The counter's clock, and one that stands where it is put."""

from __future__ import annotations

import time
from datetime import datetime, timedelta


class SystemClock:
    """The machine's own time, in its own zone."""

    def now(self) -> datetime:
        """Return the present moment, aware of its zone."""
        return datetime.now().astimezone()

    def steady(self) -> timedelta:
        """Return how long the machine has been on, sleep included, whatever its clock is set to."""
        which = getattr(time, "CLOCK_BOOTTIME", time.CLOCK_MONOTONIC)
        return timedelta(microseconds=time.clock_gettime_ns(which) // 1000)


class SetClock:
    """A clock with a handle: it stands still until it is moved. For tests and the walkthrough."""

    def __init__(self, start: datetime) -> None:
        self._now = start
        self._steady = timedelta()

    def now(self) -> datetime:
        """Return where the hands stand."""
        return self._now

    def steady(self) -> timedelta:
        """Return how much time has passed."""
        return self._steady

    def move(self, by: timedelta) -> None:
        """Let time pass; a negative ``by`` puts the hands back, and no time passes."""
        self._now += by
        self._steady += max(by, timedelta())

    def set_hands(self, by: timedelta) -> None:
        """Put the hands forwards or back; no time passes."""
        self._now += by
