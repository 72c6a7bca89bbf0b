"""Setting the plunger: a blank syringe, life-size, a lens over its sealing edge, and keys to move it."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import PlungerSetter
from kiosk.ui.hands import Hands, Say
from kiosk.ui.keys import BETWEEN_MM, LEAST_MM, KeyButton
from kiosk.ui.look import Look
from kiosk.ui.part import ControlWidget
from kiosk.ui.plunger_views import Lens, LifeSize


class PlungerPage(ControlWidget):
    """Shows a ``PlungerSetter``: syringe, lens, the keys that move it, by number, commit."""

    most_width_mm = 280.0

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.part: PlungerSetter | None = None
        self.syringe = LifeSize(look, hands, say, self)
        self.lens = Lens(look, hands, say, self)
        self.steps: list[KeyButton] = []
        self.by_number: KeyButton | None = None
        self.commit: KeyButton | None = None

    def show_part(self, part: PlungerSetter) -> None:
        """Show where the plunger stands."""
        self.part = part
        self.setAccessibleName(part.reading or part.picture.title)
        self.setAccessibleDescription(part.words)
        self.steps = self.keys_for(self.steps, tuple(sorted(part.steps, key=lambda key: moves_by(key.name))))
        self.by_number = self.key_for(self.by_number, part.by_number)
        self.commit = self.key_for(self.commit, part.commit)
        self._shapes()
        self.syringe.show_part(part)
        self.lens.show_part(part)
        self.arrange()

    def _shapes(self) -> None:
        """Give the keys that move the plunger an arrow each: doubled for the larger steps."""
        lying = self.part is not None and self.part.axis == "x"
        names = ("previous", "next") if lying else ("up", "down")
        for button in self.steps:
            move = moves_by(button.key.name)
            coarse = abs(move) > min(abs(moves_by(b.key.name)) for b in self.steps)
            shape = names[0] if move < 0 else names[1]
            button.picture = f"{shape}_coarse" if coarse else shape

    def height_for(self, width: float) -> float:
        """Return four keys over one another and the row under them."""
        return self.mm(4 * 22 + 3 * BETWEEN_MM + BETWEEN_MM + 22)

    def least_height(self, width: float) -> float:
        """Return two rows of keys and the row under them."""
        return self.mm(3 * LEAST_MM + 2 * BETWEEN_MM)

    def arrange(self) -> None:
        """Put the syringe at the start, the lens and the keys beside it, commit under them."""
        if self.part is None or self.commit is None or self.by_number is None:
            return
        if self.part.axis == "x":
            self._lying()
        else:
            self._standing()

    def _standing(self) -> None:
        """Arrange an upright syringe."""
        gap, least = self.mm(BETWEEN_MM), self.mm(LEAST_MM)
        need = float(self.part.picture.width) * self.look.scale.life if self.part else 0.0
        syringe = min(max(need + self.mm(10), self.width() * 0.3), self.width() * 0.42)
        self.place(self.syringe, 0, 0, syringe, self.height())
        left = syringe + gap
        tall = self.height() >= self.mm(5 * LEAST_MM + 4 * BETWEEN_MM) - 1
        row = self.mm(22) if self.height() >= self.mm(113) else least
        upper = self.height() - row - gap
        columns = 1 if tall else 2
        keys = columns * self._step_width() + (columns - 1) * gap
        self.place(self.lens, left, 0, self.width() - left - gap - keys, upper)
        self._steps(self.width() - keys, 0, keys, upper, columns)
        self._under(left, upper + gap, self.width() - left, row)

    def _step_width(self) -> float:
        """Return the width of a key that moves the plunger: its hint stands on one line."""
        return max([self.mm(26), *(button.label_width() + self.mm(5.5) for button in self.steps)])

    def _lying(self) -> None:
        """Arrange a syringe that lies: over the lens, keys under it."""
        gap, least = self.mm(BETWEEN_MM), self.mm(LEAST_MM)
        need = float(self.part.picture.height) * self.look.scale.life if self.part else 0.0
        syringe = min(max(need + self.mm(6), self.mm(26)), self.height() * 0.4)
        self.place(self.syringe, 0, 0, self.width(), syringe)
        row = self.height() - least
        self._under(0, row, self.width(), least)
        self._steps(0, row - gap - least, self.width(), least, max(1, len(self.steps)))
        top = syringe + gap
        self.place(self.lens, 0, top, self.width(), row - 2 * gap - least - top)

    def _steps(self, x: float, y: float, width: float, height: float, columns: int) -> None:
        """Place the keys that move the plunger, in ``columns``, emptying ones first."""
        gap = self.mm(BETWEEN_MM)
        rows = -(-len(self.steps) // columns)
        wide, high = (width - (columns - 1) * gap) / columns, (height - (rows - 1) * gap) / rows
        for n, button in enumerate(self.steps):
            row, column = divmod(n, columns)
            self.place(button, x + column * (wide + gap), y + row * (high + gap), wide, high)

    def _under(self, x: float, y: float, width: float, height: float) -> None:
        """Place "by number" and commit side by side."""
        if self.commit is None or self.by_number is None:
            return
        gap = self.mm(BETWEEN_MM)
        side = min(max(self.mm(36), float(self.by_number.sizeHint().width())), width * 0.45)
        self.place(self.by_number, x, y, side, height)
        self.place(self.commit, x + side + gap, y, width - side - gap, height)

    def focus_chain(self) -> list[QWidget]:
        """Return the keys that move it, by number, commit."""
        return [*self.steps, *(key for key in (self.by_number, self.commit) if key is not None)]

    def entered(self) -> str:
        """Enter commits."""
        return self.commit.key.name if self.commit is not None and self.commit.key.enabled else ""

    def moved(self, key: Qt.Key) -> str:
        """Arrows move by the small step, page keys by the large one."""
        order = sorted(self.steps, key=lambda b: moves_by(b.key.name))
        if len(order) < 2:
            return ""
        ups, downs = (
            [b for b in order if moves_by(b.key.name) < 0],
            [b for b in order if moves_by(b.key.name) > 0],
        )
        wanted = {
            Qt.Key.Key_Up: ups[-1:],
            Qt.Key.Key_Left: ups[-1:],
            Qt.Key.Key_Down: downs[:1],
            Qt.Key.Key_Right: downs[:1],
            Qt.Key.Key_PageUp: ups[:1],
            Qt.Key.Key_PageDown: downs[-1:],
        }.get(key, [])
        return wanted[0].key.name if wanted and wanted[0].key.enabled else ""


def moves_by(name: str) -> int:
    """Return the number in a key's name such as ``plunger:-10``: how far, and which way."""
    return int(name.rpartition(":")[2])
