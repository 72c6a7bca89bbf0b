"""The window: stages along the top, the order at the start, the bench, the object at the end, the foot.

On a standing screen the order lies across the head. The places do not move from page to page.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import Ground, Page, Statement
from kiosk.ui.bench import Bench
from kiosk.ui.door_art import draw_door
from kiosk.ui.findings import PLACES, FindingStack
from kiosk.ui.flow import Flow
from kiosk.ui.foot import FootBand
from kiosk.ui.hands import Hands, Say
from kiosk.ui.in_hand import ObjectColumn
from kiosk.ui.keys import KeyButton
from kiosk.ui.look import Look
from kiosk.ui.part import PartWidget
from kiosk.ui.rule import rule_along
from kiosk.ui.slip import SlipSheet
from kiosk.ui.stages import BAR_MM, StageRow

MARGIN_MM = 6.0
BANNER_MM = 8.0
BENCH_MM = 126.0


class Shell(PartWidget):
    """Shows one ``Page`` at a time."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.page: Page | None = None
        self.on_painted: Callable[[], None] = lambda: None
        self.stages = StageRow(look, hands, say, self)
        self.slip = SlipSheet(look, hands, say, self)
        self.bench = Bench(look, hands, say, self)
        self.in_hand = ObjectColumn(look, hands, say, self)
        self.notes = FindingStack(look, hands, say, self)
        self.foot = FootBand(look, hands, say, self)
        self.stages.margin = self.foot.margin = self.mm(MARGIN_MM)
        self.setPalette(look.palette())
        self.setAutoFillBackground(True)

    def show_page(self, page: Page) -> None:
        """Show a page; nothing is done when it is the page already shown."""
        if page == self.page:
            return
        before, self.page = self.page, page
        fresh = before is None or before.id != page.id
        reads = Qt.LayoutDirection.RightToLeft if page.right_to_left else Qt.LayoutDirection.LeftToRight
        if reads != self.layoutDirection():
            self.setLayoutDirection(reads)
        self._show_parts(page)
        if before is None or fresh or rest_of(page) != rest_of(before):
            self.arrange()
            self.update()
        self._order_focus()
        if fresh:
            self.setFocus()
            for key in self.findChildren(KeyButton):
                key.page_turned()

    def _show_parts(self, page: Page) -> None:
        """Hand each part of the page to its widget."""
        self.setWindowTitle(page.question)
        self.stages.show_part(page.stages)
        self.slip.show_part(page.slip)
        self.in_hand.show_part(page.in_hand)
        beside = tuple(f for f in page.findings if PLACES.get(f.level) == "beside")
        self.notes.show_cards(beside if page.in_hand is not None else ())
        self.bench.show_page(page, notes_here=page.in_hand is None)
        if page.foot is not None:
            self.foot.show_part(page.foot, page.heard, page.ground)

    @property
    def standing(self) -> bool:
        """Say whether the screen stands upright."""
        return self.height() > self.width()

    def arrange(self) -> None:
        """Place the parts for this page and this screen."""
        page = self.page
        if page is None:
            return
        width, margin = float(self.width()), self.mm(MARGIN_MM)
        top = self.mm(BANNER_MM) if page.banner else 0.0
        stages = self.stages.height_for(width)
        self.stages.setVisible(bool(stages))
        if stages:
            self.place(self.stages, 0, top, width, stages)
        foot = self.foot.height_for(width) if page.foot is not None else 0.0
        self.foot.setVisible(page.foot is not None)
        if foot:
            self.place(self.foot, 0, self.height() - foot, width, foot)
        body = QRectF(margin, top + stages + (self.mm(3.4) if stages else self.mm(11)), width - 2 * margin, 0)
        body.setBottom(self.height() - foot - self.mm(4))
        self.slip.setVisible(page.slip is not None)
        self.in_hand.setVisible(page.in_hand is not None)
        self._body(page, body)
        self._order_focus()

    def _order_focus(self) -> None:
        """Let the Tab key go down the page."""
        for before, after in pairwise(self.focus_chain()):
            self.setTabOrder(before, after)

    def focus_chain(self) -> list[QWidget]:
        """Return the bench, the notes, and the stop key last."""
        return [*self.bench.focus_chain(), *self.notes.focus_chain(), *self.foot.focus_chain()]

    def _body(self, page: Page, body: QRectF) -> None:
        """Place slip, bench and object within the body."""
        gap = self.mm(MARGIN_MM)
        left, top, right = body.left(), body.top(), body.right()
        if page.slip is not None and self.standing:
            high = self.slip.least_height(body.width())
            self.place(self.slip, left, top, body.width(), high)
            top += high + gap
        elif page.slip is not None:
            wide = self._slip_width(body.width(), body.height())
            self.place(self.slip, left, top, wide, body.bottom() - top)
            left += wide + gap
        if page.in_hand is not None:
            wide = self._hand_width(body.width(), left - body.left())
            right -= wide + gap
            self._object(right + gap, top, wide, body.bottom() - top)
        self._bench(page, left, top, right - left, body.bottom() - top)

    def _slip_width(self, room: float, high: float) -> float:
        """Return the slip's width: wider when the order is long, so that its lettering stays large."""
        usual = max(self.mm(78), room * 0.235)
        tries = (usual, *(self.mm(wide) for wide in (84, 92, 100, 108) if self.mm(wide) > usual))
        fits = (wide for wide in tries if self.slip.at_ease(wide, high))
        return next(fits, tries[-1])

    def _hand_width(self, room: float, slip: float) -> float:
        """Return the object column's width: it gives way to a slip that had to grow wide."""
        if self.standing:
            return max(self.mm(74), room * 0.36)
        usual = max(self.mm(96), room * 0.29)
        return max(self.mm(78), min(usual, room - slip - self.mm(MARGIN_MM + BENCH_MM)))

    def _object(self, x: float, top: float, wide: float, high: float) -> None:
        """Place the object column, notes at its foot."""
        notes = self.notes.height_for(wide) if self.notes.sheets else 0.0
        if notes:
            notes = min(notes, max(self.notes.least_height(wide), high * 0.4))
            self.place(self.notes, x, top + high - notes, wide, notes)
            self.notes.arrange()
            high -= notes + self.mm(4)
        self.place(self.in_hand, x, top, wide, high)

    def _bench(self, page: Page, left: float, top: float, wide: float, high: float) -> None:
        """Place the bench: it fills what is left, or stands in the middle of an empty page."""
        alone = page.slip is None and page.in_hand is None
        most = self.bench.most_width()
        if alone and wide > most:
            left += self.mm(28) if self._shows_door(page) else (wide - most) / 2
        self.place(self.bench, left, top, min(wide, most) if alone else wide, high)
        self.bench.arrange()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint, and say so."""
        super().paintEvent(event)
        self.on_painted()

    def paint(self, painter: QPainter) -> None:
        """Paint the ground of the place, and the banner where there is one."""
        if self.page is None:
            return
        painter.fillRect(self.rect(), self.look.ground(self.page.ground.value))
        if self._shows_door(self.page):
            draw_door(painter, self.look, QRectF(0, 0, self.width(), self.foot.y()), self.rtl)
        if not self.page.stages:
            top = self.mm(BANNER_MM) if self.page.banner else 0.0
            painter.fillRect(QRectF(0, top, self.width(), self.mm(BAR_MM)), self.look.ink("hair"))
            rule_along(painter, self.look, self.mm(MARGIN_MM), self.width() - self.mm(MARGIN_MM), top)
        if self.page.banner:
            self._banner(painter, self.page.banner)

    def _shows_door(self, page: Page) -> bool:
        """Say whether the page is the door with room beside it."""
        alone = page.slip is None and page.in_hand is None and page.foot is not None
        return page.ground is Ground.DOOR and alone and not self.standing

    def _banner(self, painter: QPainter, text: str) -> None:
        """Paint the banner: a hatched band, the words on a plain field."""
        band = QRectF(0, 0, self.width(), self.mm(BANNER_MM))
        painter.fillRect(band, self.look.ink("caution_wash"))
        painter.setPen(QPen(self.look.ink("caution"), self.mm(0.4)))
        step = self.mm(4)
        for n in range(int(self.width() / step) + 3):
            painter.drawLine(round(n * step), 0, round(n * step - band.height()), round(band.height()))
        flow = Flow(self.look, None, 0, 0, self.width())
        wide = flow.measure(text, "small_strong") + self.mm(12)
        field = QRectF((self.width() - wide) / 2, 0, wide, band.height())
        painter.fillRect(field, self.look.ink("caution_wash"))
        top = (band.height() - self.mm(3.1)) / 2
        Flow(self.look, painter, 0, top, self.width()).write(text, "small_strong", "middle", ink="caution")


def rest_of(page: Page) -> Page:
    """Return a page without what changes while one works on it: then nothing else need be laid out anew."""
    foot = replace(page.foot, clock="") if page.foot is not None else None
    return replace(page, control=Statement((), ()), foot=foot, heard="", sound="")
