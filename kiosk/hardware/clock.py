"""The counter's clock, and one that stands where it is put."""

from __future__ import annotations

from datetime import datetime, timedelta


class SystemClock:
    """The machine's own time, in its own zone."""

    def now(self) -> datetime:
        """Return the present moment, aware of its zone."""
        return datetime.now().astimezone()


class SetClock:
    """A clock with a handle: it stands still until it is moved. For tests and the walkthrough."""

    def __init__(self, start: datetime) -> None:
        self._now = start

    def now(self) -> datetime:
        """Return where the hands stand."""
        return self._now

    def move(self, by: timedelta) -> None:
        """Move the hands, forwards or backwards."""
        self._now += by
