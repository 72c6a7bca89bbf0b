"""The two themes as data: roles to colours, read once from ``resources/themes``. No Qt here.

A role says what a colour is for (``ink``, ``accent``, ``stop_wash``); which colour that is stands in
``day.toml`` or ``night.toml``. ``contrast`` is the WCAG 2.2 ratio, used by the test that measures both.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

LEVEL_INKS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "stop": ("stop", "stop_wash"),
        "second person": ("second", "second_wash"),
        "caution": ("caution", "caution_wash"),
        "note": ("note", "note_wash"),
    }
)
"""Ink and wash of a finding by its level; an unknown level is drawn as the heaviest."""


@dataclass(frozen=True, slots=True)
class Theme:
    """One theme: colours as ``#rrggbb`` by role, for the ground, the inks and the pictures."""

    name: str
    ground: Mapping[str, str]
    ink: Mapping[str, str]
    picture: Mapping[str, str]


def load_theme(folder: Path, name: str) -> Theme:
    """Read ``<folder>/<name>.toml``. Raises ``OSError`` or ``KeyError`` when the installation is broken."""
    with (folder / f"{name}.toml").open("rb") as file:
        tables = tomllib.load(file)
    return Theme(
        name=tables["name"],
        ground=MappingProxyType(tables["ground"]),
        ink=MappingProxyType(tables["ink"]),
        picture=MappingProxyType(tables["picture"]),
    )


def level_inks(level: str) -> tuple[str, str]:
    """Return the ink and wash roles of a finding's level."""
    return LEVEL_INKS.get(level, LEVEL_INKS["stop"])


def _linear(channel: int) -> float:
    """Return one sRGB channel (0 to 255) as linear light (WCAG 2.2, definition of relative luminance)."""
    share = channel / 255
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


def luminance(colour: str) -> float:
    """Return the relative luminance of ``#rrggbb``, 0 to 1."""
    red, green, blue = (int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return 0.2126 * _linear(red) + 0.7152 * _linear(green) + 0.0722 * _linear(blue)


def contrast(one: str, other: str) -> float:
    """Return the WCAG 2.2 contrast ratio of two colours, 1 to 21."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)
