"""Where an event stands: what its rows need to know beside it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Place:
    """Where an event stands: its entry, its syringe, its moment, the reference of its patient."""

    seq: int
    preparation: str
    at: datetime
    patient: str = ""
