"""The first paint: a window with one sentence, before anything else is loaded.

Only QtWidgets is imported here. The rest of the interface, the pages and the ledger come in after the window
has been seen; then they take its place. The moments are written to standard error when ``KIOSK_TIMING`` is
set (see ``kiosk.ui.app``).
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QPointF, QRectF, Qt, QTimer
from PySide6.QtGui import QCloseEvent, QColor, QFont, QFontDatabase, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.ui.scale import MM_PER_INCH, scale_for

DESK_SIZE = (1280, 800)
QUESTION_MM, HELP_MM = 9.5, 6.2
"""Type sizes, as those of a page's question and help."""


def plain_table(path: Path) -> dict[str, str]:
    """Return the lines ``name = "text"`` of a TOML file, the first of each name.

    Our own files keep to that form, and TOML's library takes longer to load than the window to paint.
    """
    table: dict[str, str] = {}
    for line in path.read_text(encoding="utf-8").splitlines():
        name, _, text = line.partition(" = ")
        if text.startswith('"') and text.endswith('"'):
            table.setdefault(name, text[1:-1])
    return table


def note_time(what: str) -> None:
    """Write a moment to standard error when asked to."""
    if os.environ.get("KIOSK_TIMING"):
        print("KIOSK_TIMING", what, time.monotonic_ns(), file=sys.stderr, flush=True)


class Frame(QWidget):
    """The window itself. It shows a sentence until it is given a body, and then only holds it."""

    def __init__(self, resources: Path, theme: str, question: str, help_text: str) -> None:
        super().__init__()
        self._inks = plain_table(resources / "themes" / f"{theme}.toml")
        self._question, self._help = question, help_text
        self._families = [_family(resources / "fonts" / name) for name in FACES]
        self.body: QWidget | None = None
        self.painted: Callable[[], None] = lambda: None
        self.may_close: Callable[[], bool] = lambda: True
        self.setWindowTitle("Prep Counter")
        self.setAccessibleName(question)
        self.setAccessibleDescription(help_text)

    def take(self, body: QWidget) -> None:
        """Hold a body from now on."""
        self.body = body
        body.setParent(self)
        body.setGeometry(self.rect())
        body.show()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the opening, and say so once."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(self._inks["door"]))
        if self.body is None:
            self._sentence(painter)
        painter.end()
        QTimer.singleShot(0, self.painted)
        self.painted = lambda: None

    def _sentence(self, painter: QPainter) -> None:
        """Paint question and help where the door's question will stand."""
        screen = self.screen()
        dots = screen.physicalDotsPerInch() / MM_PER_INCH if screen is not None else 0.0
        mm = scale_for(self.width(), self.height(), dots).bench
        painter.fillRect(QRectF(0, 0, self.width(), 1.6 * mm), QColor(self._inks["hair"]))
        left, top = 34 * mm, self.height() * 0.26
        lines = (
            (self._question, self._families[1], QUESTION_MM, "ink"),
            (self._help, self._families[0], HELP_MM, "soft"),
        )
        for text, family, size, ink in lines:
            font = QFont(family)
            font.setPixelSize(round(size * mm))
            painter.setFont(font)
            painter.setPen(QColor(self._inks[ink]))
            painter.drawText(QPointF(left, top), text)
            top += 11 * mm

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Let the body fill the window."""
        if self.body is not None:
            self.body.setGeometry(self.rect())

    def closeEvent(self, event: QCloseEvent) -> None:
        """Close only when it is allowed."""
        event.setAccepted(self.may_close())


FACES = ("PrepCounterSans-Regular.ttf", "PrepCounterSans-Semibold.ttf")


def _family(path: Path) -> str:
    """Load a face and return its family, or nothing: the faces proper are checked when they are needed."""
    families = QFontDatabase.applicationFontFamilies(QFontDatabase.addApplicationFont(str(path)))
    return families[0] if families else ""


def place(window: QWidget, full_screen: bool) -> None:
    """Put the window on the screen: all of it, with or without a window manager, or a desk's window."""
    screen = window.screen().geometry()
    if full_screen:
        window.setWindowFlag(Qt.WindowType.FramelessWindowHint)
        window.setGeometry(screen)
        window.showFullScreen()
        window.setGeometry(screen)  # with no window manager nothing else makes it so
    else:
        window.resize(min(DESK_SIZE[0], screen.width()), min(DESK_SIZE[1], screen.height()))
        window.show()


def start(frame: Callable[[], Frame], full_screen: bool, work: Callable[[Frame], Callable[[], None]]) -> int:
    """Show a frame, then do ``work`` in it, and return the exit code.

    ``frame`` builds it once there is an application. ``work`` imports what it needs, puts a body into the
    frame and returns what is to be done at the end. What it raises ends the program with code 3.
    """
    app = QApplication.instance() or QApplication(["kiosk"])
    window = frame()
    at_end: list[Callable[[], None]] = []

    def painted() -> None:
        note_time("painted")
        try:
            at_end.append(work(window))
        except Exception as bug:
            sys.excepthook(type(bug), bug, bug.__traceback__)
            QApplication.exit(3)

    window.painted = painted
    place(window, full_screen)
    code = app.exec()
    for end in at_end:
        end()
    return code
