"""Where a counter keeps its things."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

DEMO_COUNTER = "D1"


@dataclass(frozen=True, slots=True)
class Home:
    """Where one counter keeps its things, all below one folder of its own."""

    folder: Path

    @property
    def database(self) -> Path:
        """The record."""
        return self.folder / "counter.db"

    @property
    def keys(self) -> Path:
        """Keys kept apart from the record."""
        return self.folder / "keys"

    @property
    def tables(self) -> Path:
        """The site's own rows laid over the shipped device tables; need not exist."""
        return self.folder / "tables"

    @property
    def inbox(self) -> Path:
        """Where lists wait to be taken in by the keeper; need not exist."""
        return self.folder / "inbox"

    @property
    def outbox(self) -> Path:
        """Where exports, seals and sheets come out; made when first needed."""
        return self.folder / "outbox"

    @property
    def labels(self) -> Path:
        """Where the labels come out until a print queue is named."""
        return self.folder / "labels"


def demo_home(folder: Path | None, today: datetime) -> Home:
    """Return the home of today's demo ward: one a day, since its stock counts from the day it is built."""
    if folder is None:
        from platformdirs import user_data_path

        folder = user_data_path("prep-counter", appauthor=False)
    return Home(folder / f"demo-{today:%Y-%m-%d}")
