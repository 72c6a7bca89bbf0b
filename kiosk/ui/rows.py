"""A touchable row: a key drawn as a sheet across the bench, its text set by the list that owns it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import Key
from kiosk.ui.flow import Flow, rounded
from kiosk.ui.hands import Hands
from kiosk.ui.keys import LEAST_MM, RADIUS_MM, KeyButton
from kiosk.ui.look import Look

Setting: TypeAlias = Callable[[Flow], None]
"""Sets a row's text into a column, to measure or to paint."""

PAD_MM = 4.0


class RowButton(KeyButton):
    """A key as wide as the bench. ``setting`` writes its text; a chevron says that it leads on."""

    def __init__(
        self, key: Key, look: Look, hands: Hands, setting: Setting, parent: QWidget | None = None
    ) -> None:
        self.setting = setting
        super().__init__(key, look, hands, parent)

    def text_height(self, width: float) -> float:
        """Return the height of the text at a row's width."""
        flow = Flow(self.look, None, 0, 0, self._text_width(width))
        self.setting(flow)
        return flow.y

    def height_for(self, width: float) -> float:
        """Return the row's height: its text, at least what can be touched."""
        return max(self.look.mm(LEAST_MM), self.text_height(width) + self.look.mm(2 * PAD_MM))

    def _text_width(self, width: float) -> float:
        """Return the room for text: the chevron stands at the end."""
        return width - self.look.mm(2 * PAD_MM + (7 if self.key.enabled else 0))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the sheet, the text and the chevron."""
        painter = QPainter(self)
        self._plate(painter)
        rtl = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
        wide = self._text_width(self.width())
        left = self.look.mm(PAD_MM)
        x = self.width() - left - wide if rtl else left
        top = (self.height() - self.text_height(self.width())) / 2
        self.setting(Flow(self.look, painter, x, top, wide, rtl))
        if self.key.enabled:
            size = self.look.mm(5)
            at = self.look.mm(PAD_MM - 1) if rtl else self.width() - self.look.mm(PAD_MM - 1) - size
            name = "previous" if rtl else "next"
            self.look.icons.draw(painter, name, at, (self.height() - size) / 2, size, self.look.ink("accent"))
        painter.end()

    def _plate(self, painter: QPainter) -> None:
        """Draw the sheet; one that cannot be touched has no body, only a fine broken edge."""
        if self.key.enabled:
            super()._plate(painter)
            return
        pen_ink, hair = self.look.ink("edge"), max(1.0, self.look.mm(0.25))
        rounded(painter, QRectF(self.rect()), self.look.mm(RADIUS_MM), None, pen_ink, hair, dashed=True)
