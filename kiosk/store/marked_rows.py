"""Rows under the counter's mark: one that another hand wrote or changed is not believed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from kiosk.flow.ports import RecordTrouble
from kiosk.store.connection import Row
from kiosk.store.keys import Keys

SHOWN_OF_BADGE: Final = 12
SHOWN_OF_MARK: Final = 16


def believe(keys: Keys, row: Row) -> None:
    """Raise ``RecordTrouble`` unless a row of people, badges, PINs or tries carries the counter's mark."""
    if not is_ours(keys, dict(row)):
        raise RecordTrouble("damaged", "the staff list was changed by another hand")


def is_ours(keys: Keys, row: Mapping[str, Any]) -> bool:
    """Say whether a row carries the counter's mark."""
    return bool(row["mark"] == _mark(keys, row))


def marked(keys: Keys, row: Mapping[str, Any]) -> dict[str, Any]:
    """Return a row with the counter's mark on it."""
    return dict(row) | {"mark": _mark(keys, row)}


def _mark(keys: Keys, row: Mapping[str, Any]) -> str:
    """Return the mark of a row: over the names and values of all its other columns."""
    return keys.mark(*(f"{name}={row[name]!r}" for name in sorted(row) if name != "mark"))
