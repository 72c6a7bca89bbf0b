"""Choices and the due list: rows to touch, best or earliest first, refused ones after with their reason."""

from __future__ import annotations

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import Choice, Choices, DueList, DueRow, Key
from kiosk.ui.flow import Flow, rounded
from kiosk.ui.hands import Hands, Say
from kiosk.ui.keys import BETWEEN_MM, LEAST_MM, RADIUS_MM, KeyButton
from kiosk.ui.look import Look, Type
from kiosk.ui.paged import Turner
from kiosk.ui.part import ControlWidget, dismiss
from kiosk.ui.rows import RowButton, Setting

TITLE = Type(4.6, "semibold", step=1.6)
BADGE = Type(3.1, "semibold", "accent")
TITLE_OFF = Type(4.0, "semibold", "soft", step=1.7)


def set_choice(choice: Choice) -> Setting:
    """Return how a choice's text is set: title with badge, reasons, details, why refused."""

    def setting(flow: Flow) -> None:
        refused = bool(choice.refused)
        if refused:
            _shape(flow, "cross", "stop")
        _titled(flow, choice, refused)
        for line in (choice.key.hint, *choice.details):
            flow.gap(3.2 if line else 0)
            flow.write(line, "small", indent=flow.look.mm(8) if refused else 0)
        if refused:
            flow.gap(3.2)
            flow.write(choice.refused, "small_strong", ink="stop", indent=flow.look.mm(8))

    return setting


def _shape(flow: Flow, name: str, ink: str) -> None:
    """Draw a small shape at the start of the row's title."""
    flow.icon(name, 4.6, ink, drop=-0.3)


def _titled(flow: Flow, choice: Choice, refused: bool) -> None:
    """Set the title with its badge at the end of the line, or over it where both do not fit on one."""
    kind, indent = (TITLE_OFF, flow.look.mm(8)) if refused else (TITLE, 0.0)
    if not choice.badge:
        flow.write(choice.key.label, kind, indent=indent)
        return
    if (
        flow.measure(choice.key.label, kind) + flow.measure(choice.badge, BADGE) + flow.look.mm(4)
        > flow.width
    ):
        flow.write(choice.badge, BADGE)
        flow.gap(3.0)
        flow.write(choice.key.label, kind, indent=indent)
        return
    top = flow.y
    flow.write(choice.key.label, kind, indent=indent)
    bottom, flow.y = flow.y, top + flow.look.mm(1.2)
    flow.write(choice.badge, BADGE, "end")
    flow.y = bottom


def set_due(row: DueRow) -> Setting:
    """Return how a due order is set: time, patient and place, drug and dose, note."""

    def setting(flow: Flow) -> None:
        top, x, full = flow.y, flow.x, flow.width
        first = max(0.13, flow.look.mm(29) / full)
        half = (1 - first) / 2
        columns = ((0.0, first), (first, half), (first + half, half))
        texts: tuple[tuple[tuple[str, str | Type], ...], ...] = (
            ((row.due, TITLE), (row.note, Type(3.1, "semibold", "caution", 1.6))),
            ((row.patient, TITLE), (row.place, "small")),
            ((row.drug, TITLE), (row.dose, "body")),
        )
        bottom = top
        for (start, share), lines in zip(columns, texts, strict=True):
            flow.width = full * share - flow.look.mm(2)
            flow.x = x + full * (1 - start - share) if flow.rtl else x + full * start
            flow.y = top
            for text, kind in lines:
                flow.gap(3.4 if flow.y > top and text else 0)
                flow.write(text, kind)
            bottom = max(bottom, flow.y)
        flow.x, flow.width, flow.y = x, full, bottom

    return setting


class RowList(ControlWidget):
    """Rows over one another, as many as fit, the others by turning."""

    most_width_mm = 420.0

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.rows: list[RowButton] = []
        self.turner = Turner(look, hands, say, self)

    def show_rows(self, rows: tuple[tuple[Key, Setting], ...]) -> None:
        """Show rows, keeping those whose key is still there."""
        there = {row.key.name: row for row in self.rows}
        self.rows = [self._row(there.pop(key.name, None), key, setting) for key, setting in rows]
        for row in there.values():
            dismiss(row)
        self.arrange()

    def _row(self, old: RowButton | None, key: Key, setting: Setting) -> RowButton:
        """Return a row showing a key."""
        if old is None:
            return RowButton(key, self.look, self.hands, setting, self)
        old.setting = setting
        old.show_key(key)
        return old

    def lay(self, top: float, room: float) -> None:
        """Place the rows between ``top`` and ``top + room``."""
        full = float(self.width())
        heights = [row.height_for(full) for row in self.rows]
        first, end, many = self.turner.pages(heights, room)
        wide = full - (self.turner.wide() + self.mm(BETWEEN_MM)) if many else full
        if many:
            heights = [row.height_for(wide) for row in self.rows]
            first, end, _ = self.turner.pages(heights, room)
            self.place(self.turner, wide + self.mm(BETWEEN_MM), top, self.turner.wide(), room)
            self.turner.arrange()
        self.turner.setVisible(many)
        y = top
        for n, row in enumerate(self.rows):
            row.setVisible(first <= n < end)
            if first <= n < end:
                self.place(row, 0, y, wide, heights[n])
                y += heights[n] + self.mm(BETWEEN_MM)

    def focus_chain(self) -> list[QWidget]:
        """Return the rows, then the turning keys."""
        return [*self.rows, *self.turner.focus_chain()]

    def rows_height(self, width: float) -> float:
        """Return the height of all rows."""
        high = sum(row.height_for(width) for row in self.rows)
        return high + self.mm(BETWEEN_MM) * max(0, len(self.rows) - 1)


class ChoiceList(RowList):
    """Shows ``Choices``."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.more: KeyButton | None = None

    def show_part(self, part: Choices) -> None:
        """Show the ranked rows; a refused one cannot be touched."""
        if part.more is not None:
            self.more = self.key_for(self.more, part.more)
        elif self.more is not None:
            dismiss(self.more)
            self.more = None
        self.show_rows(tuple((_key_of(choice), set_choice(choice)) for choice in part.choices))

    def focus_chain(self) -> list[QWidget]:
        """Return the rows, the turning keys and the key for more."""
        return [*super().focus_chain(), *([self.more] if self.more is not None else [])]

    def _more_height(self) -> float:
        """Return the room of the "more" key."""
        return self.more.height_for(self.width()) + self.mm(BETWEEN_MM) if self.more is not None else 0.0

    def height_for(self, width: float) -> float:
        """Return all rows and the key for more."""
        return self.rows_height(width) + self._more_height()

    def least_height(self, width: float) -> float:
        """Return two touchable rows and the key for more."""
        return min(self.height_for(width), self.mm(2 * LEAST_MM + BETWEEN_MM) + self._more_height())

    def arrange(self) -> None:
        """Put the rows over the key for more."""
        self.lay(0, self.height() - self._more_height())
        if self.more is not None:
            shown = [row for row in self.rows if row.isVisibleTo(self)]
            bottom = shown[-1].geometry().bottom() + self.mm(BETWEEN_MM) if shown else 0
            high = self.more.height_for(self.width())
            self.place(self.more, 0, min(bottom, self.height() - high), self.width() * 0.5, high)


def _key_of(choice: Choice) -> Key:
    """Return the row's key: a refused choice cannot be touched and says why when spoken."""
    spoken = choice.key.spoken or choice.key.label
    if not choice.refused:
        return choice.key
    return Key(choice.key.name, choice.key.label, choice.refused, enabled=False, spoken=spoken)


class DuePage(RowList):
    """Shows the ``DueList`` with its keys for earlier and later orders."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.part: DueList | None = None
        self.turns: list[KeyButton] = []

    def show_part(self, part: DueList) -> None:
        """Show the due orders."""
        self.part = part
        self.setAccessibleName(part.position or part.empty)
        self.turns = self.keys_for(self.turns, tuple(k for k in (part.earlier, part.later) if k is not None))
        self.show_rows(tuple((row.key, set_due(row)) for row in part.rows))
        self.update()

    def focus_chain(self) -> list[QWidget]:
        """Return the rows, the turning keys, then earlier and later."""
        return [*super().focus_chain(), *self.turns]

    def _foot(self) -> float:
        """Return the room under the rows."""
        if self.turns:
            return self.mm(LEAST_MM + BETWEEN_MM)
        return self.mm(9) if self.part is not None and self.part.position else 0.0

    def height_for(self, width: float) -> float:
        """Return all rows and the turning keys."""
        return max(self.rows_height(width), self.mm(30)) + self._foot()

    def least_height(self, width: float) -> float:
        """Return two touchable rows and the turning keys."""
        return min(self.height_for(width), self.mm(2 * LEAST_MM + BETWEEN_MM) + self._foot())

    def arrange(self) -> None:
        """Put the rows over the turning keys."""
        self.lay(0, self.height() - self._foot())
        wide = self.mm(48)
        y = self.height() - self.mm(LEAST_MM)
        for button in self.turns:
            later = self.part is not None and button.key == self.part.later
            self.place(button, self.width() - wide if later else 0, y, wide, self.mm(LEAST_MM))

    def paint(self, painter: QPainter) -> None:
        """Paint the position between the turning keys, or that nothing is due."""
        if self.part is None:
            return
        middle = self.height() - self._foot() / 2 if not self.turns else self.height() - self.mm(LEAST_MM / 2)
        self.flow(painter, 0, middle - self.mm(1.5), self.width()).write(
            self.part.position, "small", "middle"
        )
        if not self.part.rows:
            sheet = QRectF(0, 0, self.width(), self.mm(30))
            rounded(
                painter, sheet, self.mm(RADIUS_MM), None, self.look.ink("edge"), self.mm(0.3), dashed=True
            )
            self.flow(painter, 0, self.mm(13), self.width()).write(self.part.empty, "soft", "middle")
