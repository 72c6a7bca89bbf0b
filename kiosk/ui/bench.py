"""The bench: the question of this moment in one sentence, its help, and the one control that answers it.

Findings stand where their level belongs: stop over the question, caution before the control, second person
after it by the keys (``kiosk.ui.findings.PLACES``).
"""

from __future__ import annotations

from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import Control, Ground, Page
from kiosk.ui.controls import control_widget
from kiosk.ui.findings import PLACES, FindingStack
from kiosk.ui.hands import Hands, Say
from kiosk.ui.key_row import KeyRow
from kiosk.ui.look import Look
from kiosk.ui.part import ControlWidget, PartWidget, dismiss

AIR_MM = 5.0
SQUEEZES = (
    (0, False, False),
    (1, False, False),
    (1, True, False),
    (2, True, False),
    (2, True, True),
    (3, True, True),
)
"""How small the heading is (at last its help is only read out), findings set closer, findings one at a time:
tried in this order until there is room."""


class Heading(PartWidget):
    """Question and help."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.question, self.help, self.small = "", "", 0
        self.setObjectName("question")

    def show_words(self, question: str, help_text: str) -> None:
        """Show another question."""
        if (question, help_text) == (self.question, self.help):
            return
        self.question, self.help = question, help_text
        self.setAccessibleName(question)
        self.setAccessibleDescription(help_text)
        self.update()

    def set_words(self, painter: QPainter | None, width: float) -> float:
        """Set question and help; return their height."""
        flow = self.flow(painter, 0, self.mm(0.8), width)
        flow.write(self.question, "question_small" if self.small else "question")
        if self.help and self.small < 3:
            flow.gap((4.6, 4.2, 3.4)[self.small])
            flow.write(self.help, "small" if self.small == 2 else "help")
        return flow.y + self.mm(
            1.7 if self.help and self.small < 3 else 2.7
        )  # room for what hangs below the baseline

    def height_for(self, width: float) -> float:
        """Return the height of both."""
        return self.set_words(None, width) if self.question or self.help else 0.0

    def paint(self, painter: QPainter) -> None:
        """Paint both."""
        self.set_words(painter, self.width())


class Bench(PartWidget):
    """Holds the heading, the findings in their places, the control and the page's own keys."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.heading = Heading(look, hands, say, self)
        self.over, self.between, self.under = (FindingStack(look, hands, say, self) for _ in range(3))
        self.keys = KeyRow(look, hands, say, self, stretch=False)
        self.control: ControlWidget | None = None
        self.shown: tuple[str, type[Control]] | None = None
        self.ground = Ground.BENCH

    def show_page(self, page: Page, notes_here: bool) -> None:
        """Show a page's question, findings and control; ``notes_here`` when no column takes the notes."""
        self.ground = page.ground
        self.heading.show_words(page.question, page.help)
        places = {"over": self.over, "between": self.between, "under": self.under}
        for place, stack in places.items():
            cards = [f for f in page.findings if PLACES.get(f.level, "over") == place]
            if notes_here and place == "under":
                cards += [f for f in page.findings if PLACES.get(f.level) == "beside"]
            stack.show_cards(tuple(cards))
        self.keys.show_keys(page.keys)
        self._show_control(page)
        self.arrange()

    def _show_control(self, page: Page) -> None:
        """Show the control: the same widget while the page is the same, else a new one."""
        now = (page.id, type(page.control))
        if self.control is None or now != self.shown:
            if self.control is not None:
                dismiss(self.control)
            self.control = control_widget(page.control, self.look, self.hands, self.say, self)
            self.shown = now
        self.control.show_part(page.control)
        self.control.show()

    def focus_chain(self) -> list[QWidget]:
        """Return the turning keys of findings, the control and the page's keys, from the top down."""
        parts = (self.over, self.between, self.control, self.under, self.keys)
        return [widget for part in parts if part is not None for widget in part.focus_chain()]

    def most_width(self) -> float:
        """Return the width beyond which this page's control would only be stretched."""
        return self.mm(self.control.most_width_mm) if self.control is not None else 0.0

    def _heights(self, width: float, room: float) -> dict[PartWidget, float]:
        """Share the height: all as they like, else by the first squeeze that leaves room."""
        stacks = [self.over, self.between, self.under]
        wide = min(width, self.most_width())
        for small, compact, turned in SQUEEZES:
            self.heading.small = small
            high: dict[PartWidget, float] = {self.heading: self.heading.height_for(width)}
            high[self.keys] = self.keys.height_for(wide)
            for stack in stacks:
                stack.set_compact(compact)
                high[stack] = stack.least_height(width) if turned else stack.height_for(width)
            left = room - 2 - sum(high.values()) - self._gaps(high)  # two dots for rounding
            if self.control is None or left >= self.control.least_height(wide) - 1:
                break
        if self.control is not None:
            high[self.control] = min(max(left, self.mm(20)), self.control.height_for(wide) + 1)
        return high

    def _gaps(self, high: dict[PartWidget, float]) -> float:
        """Return the air between the parts that are there."""
        there = sum(1 for part in high if high[part] > 0)
        return self._air() * there

    def _air(self) -> float:
        """Return the air between parts, less where room is short."""
        return self.mm(AIR_MM if self.heading.small < 2 else 3.0)

    def arrange(self) -> None:
        """Place everything from the top down."""
        if self.control is None:
            return
        width, room = float(self.width()), float(self.height())
        high = self._heights(width, room)
        order = (self.over, self.heading, self.between, self.control, self.under, self.keys)
        used = sum(high.values()) + self._gaps(high)
        y = max(0.0, min((room - used) * 0.42, self.mm(34))) if self.ground is Ground.DOOR else 0.0
        for part in order:
            if high[part] <= 0:
                part.hide()
                continue
            wide = min(width, self.most_width()) if part in (self.control, self.keys) else width
            self.place(part, 0, y, wide, high[part])
            part.arrange()
            y += high[part] + self._air()
