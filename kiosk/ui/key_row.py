"""A row of keys under a part: plain ones at the start, the primary at the end, grave ones apart."""

from __future__ import annotations

from itertools import pairwise

from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import Key, Weight
from kiosk.ui.hands import Hands, Say
from kiosk.ui.keys import BETWEEN_MM, KeyButton
from kiosk.ui.look import Look
from kiosk.ui.part import PartWidget

APART_MM = 12.0
"""Between a grave key and its neighbour: a slip of the finger cannot reach it."""


class KeyRow(PartWidget):
    """Lays keys in one row where they fit, else in several. ``stretch`` lets plain keys fill the row."""

    def __init__(
        self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None, stretch: bool = True
    ) -> None:
        super().__init__(look, hands, say, parent)
        self.buttons: list[KeyButton] = []
        self.stretch = stretch

    def show_keys(self, keys: tuple[Key, ...]) -> None:
        """Show keys: grave first (at the start, apart), then plain, the primary last."""
        order = {Weight.GRAVE: 0, Weight.PLAIN: 1, Weight.PRIMARY: 2}
        self.buttons = self.keys_for(self.buttons, tuple(sorted(keys, key=lambda k: order[k.weight])))
        self.arrange()

    def focus_chain(self) -> list[QWidget]:
        """Return the keys in their order."""
        return list(self.buttons)

    def rows(self, width: float) -> list[list[KeyButton]]:
        """Break the keys into rows that hold their labels on one line."""
        rows: list[list[KeyButton]] = []
        used = 0.0
        for button in self.buttons:
            need = self._least(button, width) + self._gap(rows[-1][-1], button) if rows else 0
            if rows and used + need <= width + 1:
                rows[-1].append(button)
                used += need
            else:
                rows.append([button])
                used = self._least(button, width)
        return rows

    def _least(self, button: KeyButton, width: float) -> float:
        """Return the width a key would like; no key asks for more than half the row when it has company."""
        most = width if len(self.buttons) == 1 else (width - self.mm(BETWEEN_MM)) / 2
        return min(float(button.sizeHint().width()), most)

    def _gap(self, before: KeyButton, after: KeyButton) -> float:
        """Return the distance between neighbours."""
        apart = (
            Weight.GRAVE in (before.key.weight, after.key.weight) and before.key.weight != after.key.weight
        )
        return self.mm(APART_MM if apart else BETWEEN_MM)

    def height_for(self, width: float) -> float:
        """Return the height of all rows."""
        rows = self.rows(width)
        high = sum(max(b.height_for(self._share(b, row, width)) for b in row) for row in rows)
        return high + self.mm(BETWEEN_MM) * max(0, len(rows) - 1)

    def _share(self, button: KeyButton, row: list[KeyButton], width: float) -> float:
        """Return a key's width: grave keys keep their least, the others share what is left."""
        if button.key.weight is Weight.GRAVE and len(row) > 1:
            return self._least(button, width)
        grave = [b for b in row if b.key.weight is Weight.GRAVE and len(row) > 1]
        taken = sum(self._least(b, width) for b in grave)
        taken += sum(self._gap(a, b) for a, b in pairwise(row))
        others = [b for b in row if b not in grave]
        spare = width - taken - sum(self._least(b, width) for b in others)
        if not self.stretch:
            leading = [b for b in others if b.key.weight is Weight.PRIMARY]
            if not leading:
                return min(
                    self._least(button, width) + self.mm(12), self._least(button, width) + spare / len(others)
                )
            others = leading if button in leading else []
            spare = spare if button in leading else 0
        if not others:
            return self._least(button, width)
        return self._least(button, width) + spare / len(others)

    def arrange(self) -> None:
        """Place the keys."""
        y = 0.0
        for row in self.rows(self.width()):
            x, high = 0.0, max(b.height_for(self._share(b, row, self.width())) for b in row)
            for n, button in enumerate(row):
                if n:
                    x += self._gap(row[n - 1], button)
                wide = self._share(button, row, self.width())
                self.place(button, x, y, wide, high)
                x += wide
            y += high + self.mm(BETWEEN_MM)
