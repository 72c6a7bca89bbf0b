"""The ward: opens the counter kept in a folder, for real; an empty folder begins with its first keeper."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final, TypeAlias

from kiosk.tables.resources import resource, resources
from kiosk.ui.start import Frame, plain_table, start
from kiosk.wiring.home import Home

if TYPE_CHECKING:
    from kiosk.flow.ports import Clock
    from kiosk.pages.closed import ClosedCounter
    from kiosk.pages.driver import Background, Driver
    from kiosk.pages.porter import Porter
    from kiosk.store.opening import Store
    from kiosk.ui.app import Outfit

    Behind: TypeAlias = Driver | ClosedCounter

COUNTER: Final = "W1"


def open_ward(
    home: Home,
    language: str,
    theme: str,
    counter: str,
    *,
    full_screen: bool,
    port: tuple[str, int] = ("", 0),
) -> int:
    """Work at the counter of ``home`` until a keeper closes it.

    ``port`` is that of a scanner of its own: its name and speed (``kiosk.wiring.window.Port``).
    """
    said = plain_table(resource("words", language, "opening.toml"))

    def frame() -> Frame:
        return Frame(resources(), theme, said["question"], said["help"])

    def work(window: Frame) -> Callable[[], None]:
        from kiosk.ui.app import occupy

        ward = Ward(home, language, counter)
        return occupy(window, ward.outfit(theme, full_screen, port), ward.open)

    return start(frame, full_screen, work)


class Ward:
    """One counter being opened: what stands behind its door once it is there."""

    def __init__(self, home: Home, language: str, counter: str) -> None:
        self._home, self._language, self._counter = home, language, counter
        self.behind: Behind | None = None

    def open(self, background: Background) -> Porter:
        """Put a porter at the door and open the counter behind it, off the interface thread."""
        from kiosk.hardware.clock import SystemClock
        from kiosk.pages.porter import Porter
        from kiosk.tables.words import words

        porter = Porter(words(self._language))

        def let_in(behind: Behind) -> None:
            self.behind = behind
            porter.let_in(behind)

        background(
            lambda: ward_driver(self._home, self._language, SystemClock(), self._counter, background), let_in
        )
        return porter

    def outfit(self, theme: str, full_screen: bool, port: tuple[str, int] = ("", 0)) -> Outfit:
        """Return what the window is given; it cannot be closed but from the keeper's desk."""
        from kiosk.ui.settings import Settings
        from kiosk.wiring.demo import spoken_in
        from kiosk.wiring.window import outfit

        settings = Settings(theme=theme, full_screen=full_screen)
        dress = outfit(resources(), spoken_in(self._language), settings, may_close=False, port=port)
        return replace(dress, ended=self._over)

    def _over(self) -> bool:
        """Say whether a keeper closed the counter."""
        return self.behind is not None and self.behind.over


def ward_driver(
    home: Home,
    language: str,
    clock: Clock,
    counter: str = COUNTER,
    background: Background | None = None,
) -> Behind:
    """Return the driver of the counter in ``home``, made anew in an empty folder; or why it stays closed."""
    from kiosk.flow.ports import RecordTrouble
    from kiosk.pages.closed import ClosedCounter
    from kiosk.pages.keeping_taking_on import SetUp
    from kiosk.store.opening import open_store
    from kiosk.wiring.counter import open_driver, words
    from kiosk.wiring.offices import sign_on_policy

    try:
        make_folders(home)
        store = open_store(home.database, home.keys, sign_on_policy(home))
        driver = open_driver(store, home, language, clock, background, counter)
        begin_day(store, home, clock.now())
        first = store.staff.needs_first_keeper()
    except RecordTrouble as trouble:
        return ClosedCounter(words(language), trouble.code, trouble.detail)
    except OSError as trouble:
        return ClosedCounter(words(language), "read_only", str(trouble))
    driver.closable = True
    if first:
        driver.sitting.keeping.append(SetUp())
    return driver


def begin_day(store: Store, home: Home, now: datetime) -> None:
    """Record which figures are in use and seal what earlier days left. Raises ``RecordTrouble``."""
    from kiosk import __version__
    from kiosk.tables.csv_rows import digest_of_tables
    from kiosk.wiring.policies import site_of

    store.seal_if_due(now)
    store.note_tables(digest_of_tables(site_of(home)), __version__, now)


def make_folders(home: Home) -> None:
    """Make the folders a counter needs. Raises ``OSError``."""
    for folder in (home.folder, home.labels, home.inbox, home.outbox):
        folder.mkdir(parents=True, exist_ok=True)


def policy_trouble(folder: Path) -> str:
    """Return what is wrong with the site's own figures in a home, or nothing."""
    from kiosk.tables.check_tables import check_policy
    from kiosk.tables.csv_rows import BadTable
    from kiosk.tables.policies import filed_figures, filed_rows
    from kiosk.tables.sign_on import sign_on_figures
    from kiosk.wiring.policies import site_of

    site = site_of(Home(folder))
    try:
        sign_on_figures(site)
        check_policy(site)
        filed_figures(site)
        filed_rows(site)
    except BadTable as trouble:
        return str(trouble)
    return ""
