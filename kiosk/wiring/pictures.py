"""Makes the pictures of the commands and writes them to files: the planned syringe, the page of gauges."""

from __future__ import annotations

from pathlib import Path

from kiosk.core.apparatus.drawing import gauge_page
from kiosk.core.apparatus.picture import Picture
from kiosk.core.findings import Refusal
from kiosk.pages.words import Words
from kiosk.pages.worksheet_picture import worksheet_picture
from kiosk.pages.worksheet_values import Worksheet
from kiosk.tables.device_tables import device_tables
from kiosk.tables.words import words as load_words


def spoken(language: str) -> Words:
    """Return the sentences of one language."""
    return Words(load_words(language), language)


def sentence(refusal: Refusal, language: str) -> str:
    """Return a refusal of a picture as the one sentence that the command prints."""
    return spoken(language).refusal(refusal).what


def ending_trouble(path: Path) -> Refusal | None:
    """Say that no picture can be written under this name, before anything is worked out."""
    from kiosk.printing.picture import KINDS, can_write

    if can_write(path):
        return None
    return Refusal("picture_ending_unknown", {"file": path.name, "endings": KINDS})


def draw_worksheet(sheet: Worksheet, path: Path, language: str) -> Refusal | None:
    """Write the picture of a worksheet; say why where there is none, or it cannot be written."""
    drawn = worksheet_picture(sheet, device_tables(), spoken(language))
    return drawn if isinstance(drawn, Refusal) else _written(drawn, path)


def draw_gauges(path: Path, language: str) -> Refusal | None:
    """Write the page that teaches gauge and length; say why where it cannot be written."""
    page = gauge_page(device_tables(), load_words(language), language)
    return ending_trouble(path) or _written(page, path)


def _written(picture: Picture, path: Path) -> Refusal | None:
    """Write a picture with the bundled faces."""
    from kiosk.printing.picture import write
    from kiosk.wiring.fonts import bundled_fonts

    try:
        write(picture, path, bundled_fonts())
    except OSError as trouble:
        return Refusal(
            "picture_not_written", {"file": str(path), "trouble": trouble.strerror or str(trouble)}
        )
    return None
