"""After a stop, planned or not: fold the ledger and open on what was half done."""

from __future__ import annotations

from kiosk.core.preparation.state import Preparation, fold
from kiosk.flow.ports import Ledger


def unfinished(ledger: Ledger) -> tuple[Preparation, ...]:
    """Return every syringe neither finished nor discarded, as the ledger knows it."""
    states = (
        fold(preparation, (entry.event for entry in ledger.events(preparation)))
        for preparation in ledger.unfinished()
    )
    return tuple(state for state in states if state is not None and not state.ended)
