"""A real demo counter in a folder: real SQLite, real labels, a clock that is set."""

from __future__ import annotations

import shutil
import tomllib
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from kiosk.hardware.clock import SetClock
from kiosk.pages.driver import Driver
from kiosk.store.opening import Store, open_store
from kiosk.tables.resources import demo_db
from kiosk.walkthrough.journeys import Cast, cast
from kiosk.wiring.counter import build_demo, open_driver
from kiosk.wiring.home import Home, demo_home
from tests.counter import NOW, ward


@cache
def built() -> Home:
    """A freshly built demo counter, made once a run and only ever copied."""
    home = demo_home(Path(mkdtemp(prefix="prep-counter-")), NOW)
    build_demo(home, NOW)
    return home


def fresh(folder: Path) -> Home:
    """A copy of it of one's own."""
    home = demo_home(folder, NOW)
    shutil.copytree(built().folder, home.folder)
    return home


def opened_store(home: Home) -> Store:
    """The store of that home, open."""
    return open_store(home.database, home.keys)


def opened(home: Home, clock: SetClock, language: str = "en") -> tuple[Store, Driver]:
    """The counter of that home, open."""
    store = opened_store(home)
    return store, open_driver(store, home, language, clock)


def the_cast() -> Cast:
    """Who and what the demo's journeys use."""
    return cast(ward(), tomllib.loads((demo_db() / "journeys.toml").read_text(encoding="utf-8")))
