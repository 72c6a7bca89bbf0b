"""Fits the screen's millimetres once: a rectangle is made as large as a bank card laid on the glass."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import QEventLoop, QRectF, Qt
from PySide6.QtGui import QKeyEvent, QPainter
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import Key, Weight
from kiosk.ui.flow import rounded
from kiosk.ui.hands import Hands, Say
from kiosk.ui.key_row import KeyRow
from kiosk.ui.keys import LEAST_MM
from kiosk.ui.look import Look, load_look
from kiosk.ui.part import PartWidget
from kiosk.ui.scale import CARD_HEIGHT_MM, CARD_WIDTH_MM, believable, dots_from_card, scale_for
from kiosk.ui.settings import Settings
from kiosk.ui.theme import load_theme

CORNER_MM = 3.18
"""The corner radius of a card, ISO/IEC 7810 (from memory); only looks depend on it."""

STEPS = {"card:-10": -10, "card:-1": -1, "card:1": 1, "card:10": 10}


class CardFit(PartWidget):
    """A card-sized rectangle, four keys to change it, one to keep it and one to leave."""

    def __init__(self, look: Look, say: Say, dots_per_mm: float, parent: QWidget | None = None) -> None:
        hands: Hands = self
        super().__init__(look, hands, say, parent)
        self.card_width = round(believable(dots_per_mm) * CARD_WIDTH_MM)
        self.kept: float | None = None
        self.over = False
        self.sizes = KeyRow(look, self, say, self)
        self.ends = KeyRow(look, self, say, self)
        self.sizes.show_keys(self._size_keys())
        self.ends.show_keys(
            (
                Key("card:leave", say("ui.card.leave")),
                Key("card:keep", say("ui.card.keep"), weight=Weight.PRIMARY),
            )
        )
        self.setAccessibleName(say("ui.card.question"))
        self.setAccessibleDescription(say("ui.card.help"))
        self.setPalette(look.palette())
        self.setAutoFillBackground(True)

    def _size_keys(self) -> tuple[Key, ...]:
        """Return the keys that change the size: by ten dots and by one."""
        keys = []
        for name, step in STEPS.items():
            label = self.say("ui.card.smaller" if step < 0 else "ui.card.larger")
            keys.append(Key(name, label, self.say("ui.card.coarser" if abs(step) > 1 else "ui.card.finer")))
        return tuple(keys)

    def press(self, name: str) -> None:
        """Change the rectangle, keep it or leave."""
        if name in STEPS:
            self.card_width = max(20, self.card_width + STEPS[name])
            self.update()
            return
        if name == "card:keep":
            self.kept = dots_from_card(self.card_width)
        self.over = True

    def type(self, text: str) -> None:
        """Nothing is typed here."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Let arrows fit, Enter keep and Escape leave."""
        names = {Qt.Key.Key_Left: "card:-1", Qt.Key.Key_Right: "card:1", Qt.Key.Key_Down: "card:-10"}
        names |= {Qt.Key.Key_Up: "card:10", Qt.Key.Key_Return: "card:keep", Qt.Key.Key_Enter: "card:keep"}
        names |= {Qt.Key.Key_Escape: "card:leave"}
        name = names.get(Qt.Key(event.key()))
        if name is not None:
            self.press(name)

    def card(self) -> QRectF:
        """Return the rectangle, in dots."""
        high = self.card_width * CARD_HEIGHT_MM / CARD_WIDTH_MM
        keys = self.mm(2 * LEAST_MM + 14)
        top = max(self.mm(34), (self.mm(34) + self.height() - keys - high) / 2)
        return QRectF((self.width() - self.card_width) / 2, top, self.card_width, high)

    def arrange(self) -> None:
        """Put both rows of keys at the foot."""
        wide, high = min(self.width() - self.mm(12), self.mm(220)), self.mm(LEAST_MM)
        left = (self.width() - wide) / 2
        self.place(self.ends, left, self.height() - high - self.mm(5), wide, high)
        self.place(self.sizes, left, self.height() - 2 * high - self.mm(9), wide, high)

    def paint(self, painter: QPainter) -> None:
        """Paint the words and the card."""
        flow = self.flow(painter, self.mm(8), self.mm(8), self.width() - self.mm(16))
        flow.write(self.say("ui.card.question"), "question", "middle")
        flow.gap(5)
        flow.write(self.say("ui.card.help"), "help", "middle")
        corner = CORNER_MM * self.card_width / CARD_WIDTH_MM
        rounded(painter, self.card(), corner, self.look.ink("wash"), self.look.ink("accent"), 1.0)


def calibrate(resources: Path, say: Say, settings: Settings, screen_dots: float, size: QRectF) -> CardFit:
    """Return the page that fits the screen, sized and shown; ``fitted`` waits for its answer."""
    dots = settings.dots_per_mm or screen_dots
    scale = scale_for(round(size.width()), round(size.height()), dots)
    look = load_look(resources, load_theme(resources / "themes", settings.theme), scale, settings.motion)
    page = CardFit(look, say, dots)
    page.setGeometry(size.toRect())
    page.show()
    return page


def fitted(page: CardFit, settings: Settings) -> Settings:
    """Wait until the page is done with and return the settings, changed if the fit was kept."""
    loop = QEventLoop()
    while not page.over and page.isVisible():
        loop.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents)
    page.hide()
    return settings if page.kept is None else replace(settings, dots_per_mm=page.kept)
