"""A window for each test: the real fonts, icons, themes and words; hands that remember."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication

from kiosk.pages.parts import Page
from kiosk.tables.resources import resources
from kiosk.tables.words import words
from kiosk.ui.fonts import Faces
from kiosk.ui.hands import Say
from kiosk.ui.icons import Icons
from kiosk.ui.look import Look
from kiosk.ui.scale import scale_for
from kiosk.ui.shell import Shell
from kiosk.ui.theme import load_theme

DPI_96 = 96 / 25.4
DPI_141 = 141.2 / 25.4
"""A 15.6-inch panel of 1920x1080: 1920 dots over 345.4 mm."""

SCREENS = {
    "1280x800": (1280, 800, DPI_96),
    "1920x1080": (1920, 1080, DPI_141),
    "800x1280": (800, 1280, DPI_96),
}


class Remembering:
    """Hands that remember what they were handed."""

    def __init__(self) -> None:
        self.pressed: list[str] = []
        self.typed: list[str] = []

    def press(self, name: str) -> None:
        self.pressed.append(name)

    def type(self, text: str) -> None:
        self.typed.append(text)


@pytest.fixture(scope="session")
def shipped() -> Path:
    return resources()


@pytest.fixture(scope="session")
def say() -> Say:
    return words("en").__getitem__


@pytest.fixture(scope="session")
def make_look(qapp: QApplication, shipped: Path) -> Callable[..., Look]:
    faces, icons = Faces(shipped / "fonts"), Icons(shipped / "icons")

    def make(screen: str = "1280x800", theme: str = "day") -> Look:
        width, height, dots = SCREENS[screen]
        return Look(load_theme(shipped / "themes", theme), scale_for(width, height, dots), faces, icons)

    return make


@pytest.fixture
def look(make_look: Callable[..., Look]) -> Look:
    return make_look()


@pytest.fixture
def hands() -> Remembering:
    return Remembering()


@pytest.fixture
def make_shell(
    make_look: Callable[..., Look], hands: Remembering, say: Say, qapp: QApplication
) -> Iterator[Callable[..., Shell]]:
    made: list[Shell] = []

    def make(page: Page, screen: str = "1280x800", theme: str = "day") -> Shell:
        shell = Shell(make_look(screen, theme), hands, say)
        width, height, _ = SCREENS[screen]
        shell.resize(width, height)
        shell.show_page(page)
        shell.show()
        qapp.processEvents()
        made.append(shell)
        return shell

    yield make
    for shell in made:
        shell.close()
        shell.deleteLater()
    # Without a running loop Qt keeps what is to be deleted later: hundreds of windows at the end.
    qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    qapp.processEvents()
