"""How this counter's screen is set up: kept in a small file, read once. No Qt here."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path
from typing import Any


@dataclass(frozen=True, slots=True)
class Settings:
    """``theme`` is day or night; ``dots_per_mm`` 0 until calibrated with a card; the rest is on or off.

    ``full_screen`` is the kiosk on its own panel; else a window, as in the demo on a desk.
    """

    theme: str = "day"
    dots_per_mm: float = 0.0
    motion: bool = True
    sound: bool = True
    full_screen: bool = True


@dataclass(frozen=True, slots=True)
class BadSettings:
    """The file cannot be used: ``what`` is wrong, in a few words."""

    what: str


def read_settings(path: Path) -> Settings | BadSettings:
    """Read the file; one that is not there means the defaults."""
    try:
        told = json.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return Settings()
    except (OSError, ValueError) as trouble:
        return BadSettings(str(trouble))
    return _checked(told)


def _checked(told: Any) -> Settings | BadSettings:
    """Return settings from what the file says, refusing unknown names and wrong kinds."""
    if not isinstance(told, dict):
        return BadSettings("not a table of settings")
    kinds = {field.name: type(getattr(Settings(), field.name)) for field in fields(Settings)}
    for name, value in told.items():
        kind = kinds.get(name)
        if kind is None:
            return BadSettings(f"unknown setting {name!r}")
        if type(value) is not kind and not (kind is float and type(value) is int):
            return BadSettings(f"{name} is not {kind.__name__}")
    if told.get("theme", "day") not in ("day", "night"):
        return BadSettings("theme is neither day nor night")
    return replace(Settings(), **told)


def write_settings(path: Path, settings: Settings) -> None:
    """Write the file whole or not at all. Raises ``OSError``."""
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(path.name + ".part")
    part.write_text(json.dumps(asdict(settings), indent=2) + "\n", encoding="utf-8")
    part.replace(path)
