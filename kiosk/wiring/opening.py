"""Opens the demo counter's window: seen first, everything else after.

Nothing but the first paint is imported here; pages, tables and the record come in once the window shows.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from kiosk.tables.resources import resource, resources
from kiosk.ui.start import Frame, plain_table, start


def open_window(
    folder: Path | None, language: str, theme: str, *, full_screen: bool, port: tuple[str, int] = ("", 0)
) -> int:
    """Build today's demo ward if need be and work at its counter until the window is closed.

    ``port`` is that of a scanner of its own: its name and speed (``kiosk.wiring.window.Port``).
    """
    said = plain_table(resource("words", language, "opening.toml"))

    def frame() -> Frame:
        return Frame(resources(), theme, said["question"], said["help"])

    def work(window: Frame) -> Callable[[], None]:
        from kiosk.ui.app import occupy
        from kiosk.ui.settings import Settings
        from kiosk.wiring.demo import opener, spoken_in
        from kiosk.wiring.window import outfit

        settings = Settings(theme=theme, full_screen=full_screen)
        dress = outfit(resources(), spoken_in(language), settings, may_close=True, port=port)
        return occupy(window, dress, opener(folder, language))

    return start(frame, full_screen, work)
