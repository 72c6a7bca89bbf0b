"""Where the bundled faces are, for the printing room."""

from __future__ import annotations

from kiosk.printing.faces import Fonts
from kiosk.tables.resources import resource


def bundled_fonts() -> Fonts:
    """Return the regular and the bold face that ship with the kiosk."""
    face = "PrepCounterSans-{}.ttf"
    regular, bold = (resource("fonts", face.format(weight)) for weight in ("Regular", "Bold"))
    return Fonts(regular, bold)
