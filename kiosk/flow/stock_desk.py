"""What of the stock leaves the counter on paper or as a file, and what waits in its inbox."""

from __future__ import annotations

from datetime import datetime
from typing import Protocol

from kiosk.core.findings import Refusal
from kiosk.flow.stock_keeping import Controlled


class StockDesk(Protocol):
    """Papers and lists of the stock. Slow by nature: call it off the interface thread."""

    def register_page(self, one: Controlled, now: datetime) -> str | Refusal:
        """Write a sheet of the register into the outbox as PDF and return its name."""
        ...

    def waste_report(self, year: int, month: int, now: datetime) -> str | Refusal:
        """Write the waste of one month, with what expires next, into the outbox as PDF; return its name."""
        ...
