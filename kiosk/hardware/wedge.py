"""Tells a scanner that types from a person who types, by time alone.

A scanner in keyboard mode sends its symbol as keystrokes a few milliseconds apart and ends it with Enter.
A person's keystrokes are further apart: at 240 words a minute, faster than anyone keeps up, they are 50 ms
apart. So a stroke is held back until the next one comes or ``GAP_MS`` have passed, which nobody notices:

* a run of at least ``LEAST`` characters, each within ``GAP_MS`` of the one before, ended by Enter within
  the same time, is one scan;
* a run of at least ``BROKEN`` characters that no Enter ends is a scan that broke off: it is neither typed
  nor trusted, and reported as an empty scan;
* everything else is a person's, and is given back stroke for stroke, in order, once.

Pure: strokes come with their own time in milliseconds (of the keyboard event, not of its handling, so that
a busy moment of the program cannot squeeze typing into a burst), and nothing here reads a clock.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

GAP_MS = 50
LEAST = 4
BROKEN = 8
QUICKEST_REPEAT_MS = 10
ENDS = ("\r", "\n")
GROUP_SEPARATOR = "\x1d"
"""FNC1 within a GS1 symbol. A scanner sends it as this character, often by way of Ctrl and ]."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """One keystroke: its character, when it was made, and the caller's own mark of it.

    ``repeats`` is a key held down: always a person's.
    """

    text: str
    at_ms: int
    mark: object = None
    repeats: bool = False


class Wedge:
    """Sorts strokes into scans and typing, calling ``on_scan`` and ``on_typed`` in the order made."""

    def __init__(
        self, on_scan: Callable[[str], None], on_typed: Callable[[Stroke], None], gap_ms: int = GAP_MS
    ) -> None:
        self._on_scan, self._on_typed, self.gap_ms = on_scan, on_typed, gap_ms
        self._held: list[Stroke] = []

    @property
    def holding(self) -> bool:
        """Say whether strokes are held back; then ``settle`` must be called within ``gap_ms``."""
        return bool(self._held)

    def stroke(self, text: str, at_ms: int, mark: object = None, repeats: bool = False) -> None:
        """Take one keystroke that carries a character."""
        repeats = repeats and not self._too_quick_to_repeat(at_ms)
        now = Stroke(text, at_ms, mark, repeats)
        if repeats or not self._follows(at_ms):
            self.give_up()
        if repeats:
            self._on_typed(now)
        elif text in ENDS:
            self._end(now)
        else:
            self._held.append(now)

    def settle(self, at_ms: int) -> None:
        """Say that time has come to ``at_ms`` with no further stroke before it."""
        if self._held and at_ms - self._held[-1].at_ms > self.gap_ms:
            self.give_up()

    def give_up(self) -> None:
        """End the run without Enter: give it back as typing, or report a scan that broke off."""
        run, self._held = self._held, []
        if len(run) >= BROKEN:
            self._on_scan("")
            return
        for stroke in run:
            self._on_typed(stroke)

    def _too_quick_to_repeat(self, at_ms: int) -> bool:
        """Say whether a stroke called a repeat came sooner than any held key repeats.

        Two equal characters sent within one millisecond look to the window system like a key held down.
        """
        return bool(self._held) and 0 <= at_ms - self._held[-1].at_ms < QUICKEST_REPEAT_MS

    def _follows(self, at_ms: int) -> bool:
        """Say whether a stroke belongs to the run being held."""
        return not self._held or 0 <= at_ms - self._held[-1].at_ms <= self.gap_ms

    def _end(self, enter: Stroke) -> None:
        """Take an Enter: it ends a scan, or follows a person's typing."""
        if len(self._held) >= LEAST:
            run, self._held = self._held, []
            self._on_scan("".join(stroke.text for stroke in run))
            return
        self.give_up()
        self._on_typed(enter)
