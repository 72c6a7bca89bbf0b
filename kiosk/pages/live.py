"""Which keys of a page can be touched: only those mean anything, whoever sends their names."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass

from kiosk.core.apparatus.picture import Picture
from kiosk.pages.parts import Key, Page


def live(page: Page) -> frozenset[str]:
    """Return the names of the keys that can be touched on a page."""
    return frozenset(key.name for key in keys_of(page) if key.enabled)


def keys_of(part: object) -> Iterator[Key]:
    """Yield every key anywhere in a part, outside pictures."""
    if isinstance(part, Key):
        yield part
    elif isinstance(part, tuple):
        for one in part:
            yield from keys_of(one)
    elif is_dataclass(part) and not isinstance(part, Picture):
        for field in fields(part):
            yield from keys_of(getattr(part, field.name))
