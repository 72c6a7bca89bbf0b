"""The foot: who is signed on as what, the clock, the devices, what a scan was taken for, and the stop key."""

from __future__ import annotations

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import Foot, Ground
from kiosk.ui.flow import Flow, rounded
from kiosk.ui.hands import Hands, Say
from kiosk.ui.keys import LEAST_MM, KeyButton
from kiosk.ui.look import Look, Type
from kiosk.ui.part import PartWidget, dismiss

FOOT_MM = 23.0
CLOCK = Type(5.0, "semibold")
WHO = Type(4.4, "semibold", step=1.4)
WHO_LARGE = Type(6.6, "bold", step=1.4)
HEARD = Type(3.6, "semibold", "accent", step=1.6)


class FootBand(PartWidget):
    """Draws a ``Foot``; the stop key stands alone at its end."""

    def __init__(self, look: Look, hands: Hands, say: Say, parent: QWidget | None = None) -> None:
        super().__init__(look, hands, say, parent)
        self.foot = Foot("", "", "", (), None)
        self.heard = ""
        self.ground = Ground.BENCH
        self.margin = self.mm(6)
        self.stop: KeyButton | None = None
        self.setObjectName("foot")

    def show_part(self, foot: Foot, heard: str, ground: Ground) -> None:
        """Show who, when, the devices and what was heard."""
        if (foot, heard, ground) == (self.foot, self.heard, self.ground):
            return
        self.foot, self.heard, self.ground = foot, heard, ground
        said = (foot.signed_on_as, foot.signed_on, foot.clock, *foot.devices, heard)
        self.setAccessibleName("\n".join(text for text in said if text))
        if foot.stop is not None:
            self.stop = self.key_for(self.stop, foot.stop)
        elif self.stop is not None:
            dismiss(self.stop)
            self.stop = None
        self.arrange()
        self.update()

    def height_for(self, width: float) -> float:
        """Return the band's height: the stop key with a little air."""
        return self.mm(FOOT_MM)

    def focus_chain(self) -> list[QWidget]:
        """Return the stop key."""
        return [self.stop] if self.stop is not None else []

    def _stop_width(self) -> float:
        """Return the stop key's width."""
        if self.stop is None:
            return 0.0
        return min(float(self.stop.sizeHint().width()), self.width() * 0.28)

    def arrange(self) -> None:
        """Put the stop key at the end."""
        if self.stop is not None:
            wide, high = self._stop_width(), self.mm(LEAST_MM)
            left = self.width() - self.margin - wide
            self.place(self.stop, left, (self.height() - high) / 2, wide, high)

    def paint(self, painter: QPainter) -> None:
        """Paint the band and its words."""
        painter.fillRect(self.rect(), self.look.ink("foot"))
        who = self._who_width()
        self._block(painter, self.margin, who, self._set_who)
        left = self.margin + (who + self.mm(8) if self.foot.signed_on or self.foot.signed_on_as else 0)
        now = self._now_width()
        self._block(painter, left, now, self._set_now)
        if self.heard:
            start = left + now + self.mm(8)
            room = self.width() - self.margin - self._stop_width() - self.mm(8) - start
            if room > self.mm(25):
                self._heard(painter, start, room)

    def _block(self, painter: QPainter, left: float, width: float, setting: object) -> None:
        """Set a block of words, centred in the band's height."""
        if not callable(setting):
            return
        flow = self.flow(None, left, 0, width)
        setting(flow)
        setting(self.flow(painter, left, (self.height() - flow.y) / 2, width))

    def _who_type(self) -> Type:
        """Return the name's lettering: the checker's stands large."""
        large = self.ground is Ground.CHECKER
        return WHO_LARGE if large and self._name_width(WHO_LARGE) <= self._who_room() else WHO

    def _name_width(self, kind: Type) -> float:
        """Return the room the name needs."""
        return self.flow(None, 0, 0, 0).measure(self.foot.signed_on, kind) + self.mm(1)

    def _who_room(self) -> float:
        """Return what clock, devices and the stop key leave for the name."""
        taken = 2 * self.margin + self._now_width() + self._stop_width() + self.mm(16)
        return max(self.width() * 0.2, self.width() - taken)

    def _who_width(self) -> float:
        """Return the room for the name."""
        role = self.flow(None, 0, 0, 0).measure(self.foot.signed_on_as, "small") + self.mm(1)
        return min(max(role, self._name_width(self._who_type())), self._who_room())

    def _now_width(self) -> float:
        """Return the room for clock and devices."""
        flow = self.flow(None, 0, 0, 0)
        longest = max((flow.measure(d, "small") for d in self.foot.devices), default=0.0)
        return min(
            flow.measure(self.foot.clock, CLOCK) + self.mm(5) + longest + self.mm(1), self.width() * 0.34
        )

    def _set_who(self, flow: Flow) -> None:
        """Set role over name."""
        flow.write(self.foot.signed_on_as, "small")
        flow.gap(3.6 if self.foot.signed_on_as else 0)
        flow.write(self.foot.signed_on, self._who_type())

    def _set_now(self, flow: Flow) -> None:
        """Set the clock with the devices beside it."""
        clock = flow.measure(self.foot.clock, CLOCK) + self.mm(5)
        count = len(self.foot.devices)
        high = count * self.mm(3.1) + max(0, count - 1) * self.mm(3)
        side = Flow(self.look, flow.painter, flow.x if self.rtl else flow.x + clock, flow.y, 0, self.rtl)
        side.width = flow.width - clock
        for n, device in enumerate(self.foot.devices):
            side.gap(3 if n else 0)
            side.write(device, "small")
        flow.y += max(0.0, (high - self.mm(CLOCK.cap)) / 2)
        flow.write(self.foot.clock, CLOCK)
        flow.y = max(flow.y, side.y)

    def _heard(self, painter: QPainter, left: float, room: float) -> None:
        """Paint what the last scan was taken for, with the scanner's shape."""
        icon = self.mm(7)
        flow = self.flow(None, 0, 0, room - icon - self.mm(9))
        text = flow.write(self.heard, HEARD)
        high = max(text + self.mm(7), self.mm(14))
        top = (self.height() - high) / 2
        wide = min(room, icon + self.mm(11) + flow.measure(self.heard, HEARD))
        x = self.width() - left - wide if self.rtl else left
        plate = QRectF(x, top, wide, high)
        rounded(painter, plate, self.mm(2), self.look.ink("wash"), None, 0)
        at = x + wide - self.mm(3.5) - icon if self.rtl else x + self.mm(3.5)
        self.look.icons.draw(painter, "scan", at, (self.height() - icon) / 2, icon, self.look.ink("accent"))
        inner = self.flow(
            painter, left + icon + self.mm(6.5), (self.height() - text) / 2, room - icon - self.mm(9)
        )
        inner.write(self.heard, HEARD)
