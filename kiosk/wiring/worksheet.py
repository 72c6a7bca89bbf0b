"""Puts the worksheet door together: the published tables and the words of one language, nothing else."""

from __future__ import annotations

from functools import lru_cache

from kiosk.feeds.worksheet import WorksheetDoor
from kiosk.pages.words import Words
from kiosk.tables import csv_rows
from kiosk.tables.check_tables import order_tables
from kiosk.tables.device_tables import device_tables
from kiosk.tables.unsafe_forms import unsafe_forms
from kiosk.tables.words import words


@lru_cache(maxsize=2)
def worksheet_door(language: str) -> WorksheetDoor:
    """Return the door that answers descriptions and questions in one language; it keeps nothing of them."""
    return WorksheetDoor(
        csv_rows.rows("unit_spellings", ("spelling",)),
        csv_rows.rows("frequency_spellings", ("spelling",)),
        csv_rows.rows("worksheet_facts", ("name",)),
        device_tables(),
        order_tables(unsafe_forms()),
        Words(words(language), language),
    )
