"""Gives a counter its window: what the interface needs besides a driver, and the first page to paint."""

from __future__ import annotations

from pathlib import Path
from typing import Final, TypeAlias

from kiosk.pages.parts import Foot, Ground, Page, Statement
from kiosk.ui.app import Outfit
from kiosk.ui.scanner_door import MakeScanner
from kiosk.ui.settings import Settings


def opening_page(spoken: dict[str, str]) -> Page:
    """Return the plain page that is painted while the heavy rooms come in."""
    return Page(
        id="opening",
        ground=Ground.DOOR,
        question=spoken["opening.question"],
        help=spoken["opening.help"],
        control=Statement((), ()),
        foot=Foot(spoken["foot.nobody"], "", "", (), None),
    )


def bug_page(spoken: dict[str, str], bug: BaseException) -> Page:
    """Return the page of a machine that stopped safely after a fault of its own."""
    return Page(
        id="stopped",
        ground=Ground.TROUBLE,
        question=spoken["stopped.question"],
        help=spoken["stopped.help"],
        control=Statement((f"{type(bug).__name__}: {bug}",), ()),
    )


Port: TypeAlias = tuple[str, int]
"""The port of a scanner of its own: its name, empty where there is none, and its speed in bits a second."""
NO_PORT: Final = ("", 0)


def outfit(
    resources: Path, spoken: dict[str, str], settings: Settings, *, may_close: bool, port: Port = NO_PORT
) -> Outfit:
    """Return what the window is given. ``may_close`` lets a demo on a desk be closed like any window."""
    from kiosk.hardware.wedge import Wedge

    return Outfit(
        resources=resources,
        say=spoken.__getitem__,
        make_burst=Wedge,
        trouble_page=lambda bug: bug_page(spoken, bug),
        settings=settings,
        may_close=lambda: may_close,
        scanner=scanner_at(*port) if port[0] else None,
    )


def scanner_at(name: str, speed: int) -> MakeScanner:
    """Return what makes the scanner at a port."""
    from kiosk.hardware.serial_port import SerialScanner

    return lambda on_scan, on_state: SerialScanner(name, on_scan, on_state, speed)
