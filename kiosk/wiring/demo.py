"""The demo: builds today's ward and opens its counter, in a window or as a walkthrough without one."""

from __future__ import annotations

import shutil
import tomllib
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from kiosk.pages.porter import Porter
from kiosk.tables.resources import demo_db, resources
from kiosk.tables.words import words as load_words
from kiosk.wiring.home import Home, demo_home

if TYPE_CHECKING:
    from kiosk.pages.driver import Background, Driver

SIZE = (1280, 800)
WALKTHROUGH_AT = "2026-03-16T08:00:00+00:00"


def spoken_in(language: str) -> dict[str, str]:
    """Return every sentence of a language."""
    return dict(load_words(language))


def opener(folder: Path | None, language: str) -> Callable[[Background], Porter]:
    """Return what puts a porter at the door and opens the counter behind it."""

    def opened(background: Background) -> Porter:
        porter = Porter(load_words(language))
        background(lambda: _behind(folder, language, background), porter.let_in)
        return porter

    return opened


def _behind(folder: Path | None, language: str, background: Background) -> Driver:
    """Build the ward if need be and open its counter: the slow part, off the interface thread."""
    from kiosk.hardware.clock import SystemClock
    from kiosk.store.opening import open_store
    from kiosk.wiring.counter import build_demo, open_driver

    clock = SystemClock()
    home = demo_home(folder, clock.now())
    if not home.database.exists():
        build_demo(home, clock.now())
    return open_driver(open_store(home.database, home.keys), home, language, clock, background)


def walk_through(pictures: Path, language: str, theme: str, size: tuple[int, int] = SIZE) -> tuple[Path, ...]:
    """Drive the real screens through the three journeys; leave numbered PNGs and the label PDFs.

    The day is a set one and the ward's database a temporary one, so that the pictures are the same on
    every machine. Returns the files made, in order.
    """
    pictures.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(prefix="prep-counter-") as held:
        _walk(Path(held), pictures, language, theme, size)
    return tuple(sorted(pictures.iterdir()))


def _walk(held: Path, pictures: Path, language: str, theme: str, size: tuple[int, int]) -> None:
    """Build a ward in a temporary folder and walk every journey through it in one window each."""
    from kiosk.hardware.clock import SetClock
    from kiosk.store.opening import open_store
    from kiosk.ui.settings import Settings
    from kiosk.ui.walk import Walk, offscreen
    from kiosk.walkthrough.journeys import JOURNEYS, cast
    from kiosk.walkthrough.window_hand import WindowHand
    from kiosk.wiring.counter import build_demo, open_driver
    from kiosk.wiring.window import outfit

    start = datetime.fromisoformat(WALKTHROUGH_AT)
    home = demo_home(held, start)
    ward = build_demo(home, start)
    given = tomllib.loads((demo_db() / "journeys.toml").read_text(encoding="utf-8"))
    settings = Settings(theme=theme, motion=False, sound=False, full_screen=False)
    dress = outfit(resources(), dict(load_words(language)), settings, may_close=True)
    clock = SetClock(start)
    walk = Walk(dress, size, offscreen(*size, held))
    store = open_store(home.database, home.keys)
    for journey in JOURNEYS:
        walk.begin(lambda background: open_driver(store, home, language, clock, background))
        journey.goes(WindowHand(walk, clock, home.labels, pictures, journey.name), cast(ward, given))
        _keep_labels(home, pictures, journey.name)
    walk.close()
    store.close()


def _keep_labels(home: Home, pictures: Path, name: str) -> None:
    """Move the labels of one journey beside its pictures."""
    for n, label in enumerate(sorted(home.labels.glob("*.pdf")), start=1):
        shutil.move(label, pictures / f"{name}-label-{n}.pdf")
