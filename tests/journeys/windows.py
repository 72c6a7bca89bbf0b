"""The real window without a display, for a hand to work in."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from kiosk.hardware.clock import SetClock
from kiosk.store.opening import Store
from kiosk.tables.resources import resources
from kiosk.tables.words import words
from kiosk.ui.settings import Settings
from kiosk.ui.walk import Walk, offscreen
from kiosk.wiring.counter import open_driver
from kiosk.wiring.home import Home
from kiosk.wiring.window import outfit

SIZE = (1280, 800)


@contextmanager
def a_window(
    home: Home, store: Store, clock: SetClock, language: str = "en", theme: str = "day"
) -> Iterator[Walk]:
    """Open a counter in a window of its own and close it after."""
    settings = Settings(theme=theme, motion=False, sound=False, full_screen=False)
    dress = outfit(resources(), dict(words(language)), settings, may_close=True)
    walk = Walk(dress, SIZE, offscreen(*SIZE, home.folder))
    walk.begin(lambda background: open_driver(store, home, language, clock, background))
    yield walk
    walk.close()
