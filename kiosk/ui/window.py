"""The window on the screen: dresses the shell for its size and theme, and has no way out of its own."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QSize, QTimer
from PySide6.QtGui import QCloseEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import Page
from kiosk.ui.fonts import Faces
from kiosk.ui.hands import Hands, Say
from kiosk.ui.icons import Icons
from kiosk.ui.keys import KeyButton
from kiosk.ui.look import Look
from kiosk.ui.part import ControlWidget
from kiosk.ui.scale import MM_PER_INCH, scale_for
from kiosk.ui.settings import Settings
from kiosk.ui.shell import Shell
from kiosk.ui.theme import load_theme


class Window(QWidget):
    """Shows pages. A new size or theme makes a new shell: styles are set once, never set again."""

    def __init__(self, resources: Path, hands: Hands, say: Say, settings: Settings) -> None:
        super().__init__()
        self._resources, self._hands, self._say = resources, hands, say
        self._faces, self._icons = Faces(resources / "fonts"), Icons(resources / "icons")
        self.settings = settings
        self.may_close: Callable[[], bool] = lambda: False
        self.painted: Callable[[], None] = lambda: None
        self.shell: Shell | None = None
        self._page: Page | None = None
        self._dressed: tuple[QSize, Settings] | None = None

    def dots_per_mm(self) -> float:
        """Return true dots per mm: calibrated, else as the screen says."""
        if self.settings.dots_per_mm > 0:
            return self.settings.dots_per_mm
        screen = self.screen()
        return screen.physicalDotsPerInch() / MM_PER_INCH if screen is not None else 0.0

    def dress(self, settings: Settings) -> None:
        """Build the shell for this size and these settings, and show the page in it."""
        self.settings = settings
        if self._dressed == (self.size(), settings):
            return
        self._dressed = (QSize(self.size()), settings)
        scale = scale_for(self.width(), self.height(), self.dots_per_mm())
        theme = load_theme(self._resources / "themes", settings.theme)
        look = Look(theme, scale, self._faces, self._icons, settings.motion)
        if self.shell is not None:
            self.shell.hide()
            self.shell.deleteLater()
        self.shell = Shell(look, self._hands, self._say, self)
        self.shell.on_painted = self._shell_painted
        self.shell.resize(self.size())
        if self._page is not None:
            self.shell.show_page(self._page)
        self.shell.show()

    def show_page(self, page: Page) -> None:
        """Show a page."""
        self._page = page
        if self.shell is not None:
            self.shell.show_page(page)

    def control(self) -> ControlWidget | None:
        """Return the control on the bench."""
        return self.shell.bench.control if self.shell is not None else None

    def key(self, name: str) -> KeyButton | None:
        """Return the key of that name that can be seen, or nothing."""
        found = self.findChildren(KeyButton, name)
        return next((key for key in found if key.isVisible()), None)

    def grab_to(self, path: Path) -> None:
        """Save what the window shows as a PNG. Raises ``OSError`` when it cannot be written."""
        if not self.grab().save(str(path), "PNG"):
            raise OSError(f"cannot write {path}")

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Dress for the new size."""
        self.dress(self.settings)

    def _shell_painted(self) -> None:
        """Say once that a paint is done. The shell says so: it covers the window, which is never painted."""
        QTimer.singleShot(0, self.painted)
        self.painted = lambda: None

    def closeEvent(self, event: QCloseEvent) -> None:
        """Close only when it is allowed."""
        if self.may_close():
            event.accept()
        else:
            event.ignore()
