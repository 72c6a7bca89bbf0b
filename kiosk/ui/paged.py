"""Shows as many things of a list as fit, with two keys to turn to the others. No rule of the trade here."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import Key
from kiosk.ui.hands import Hands, Say
from kiosk.ui.keys import BETWEEN_MM, LEAST_MM, KeyButton
from kiosk.ui.look import Look
from kiosk.ui.part import PartWidget

BACK, ON = "turn:back", "turn:on"


class Turner(PartWidget):
    """Two keys, back and on, that turn the pages of a list on this screen only."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: PartWidget) -> None:
        super().__init__(look, hands, say, parent)
        self.first = 0
        self.back = KeyButton(
            Key(BACK, say("ui.turn_back"), spoken=say("ui.turn_back")), look, self, self, "up"
        )
        self.on = KeyButton(Key(ON, say("ui.turn_on"), spoken=say("ui.turn_on")), look, self, self, "down")
        self.owner = parent
        self.starts: list[int] = [0]

    def press(self, name: str) -> None:
        """Turn the page: these two keys never reach the driver."""
        place = self.starts.index(self.first)
        step = 1 if name == ON else -1
        self.first = self.starts[max(0, min(len(self.starts) - 1, place + step))]
        self.owner.arrange()
        self.owner.update()

    def type(self, text: str) -> None:
        """Nothing is typed here."""

    def wide(self) -> float:
        """Return the column the keys need beside the list."""
        return self.mm(LEAST_MM)

    def pages(self, heights: list[float], room: float) -> tuple[int, int, bool]:
        """Return the first and the end of the things to show, and whether pages must be turned."""
        gap = self.mm(BETWEEN_MM)
        self.starts = [0]
        used = 0.0
        for n, high in enumerate(heights):
            if used and used + gap + high > room + 1:
                self.starts.append(n)
                used = high
            else:
                used += high + (gap if used else 0)
        if self.first not in self.starts:
            self.first = max(s for s in self.starts if s <= self.first)
        after = [s for s in self.starts if s > self.first]
        return self.first, (after[0] if after else len(heights)), len(self.starts) > 1

    def focus_chain(self) -> list[QWidget]:
        """Return both keys."""
        return [self.back, self.on]

    def arrange(self) -> None:
        """Put the keys one over the other, as high as a key must be."""
        high = self.mm(LEAST_MM)
        self.place(self.back, 0, 0, self.width(), high)
        self.place(self.on, 0, self.height() - high, self.width(), high)
        self.back.show_key(replace(self.back.key, enabled=self.first > self.starts[0]))
        self.on.show_key(replace(self.on.key, enabled=self.first < self.starts[-1]))
