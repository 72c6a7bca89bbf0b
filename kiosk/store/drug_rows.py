"""What the entries of the drug list do to its rows."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from kiosk.core.preparation import drug_list_events as e
from kiosk.store import prepared
from kiosk.store.connection import Writing
from kiosk.store.place import Place


def _proposed(writing: Writing, place: Place, event: e.DrugEntryProposed) -> None:
    row = {"drug": event.drug.id, "version": event.version, "effective": event.effective.isoformat()}
    writing.execute(prepared.PROPOSE_DRUG, row | {"person": event.by, "entry": place.seq})


def _signed(writing: Writing, place: Place, event: e.DrugEntrySigned) -> None:
    row = {"drug": event.drug, "version": event.version, "place": event.place}
    writing.execute(prepared.SIGN_DRUG, row | {"person": event.by, "entry": place.seq})


def _withdrawn(writing: Writing, place: Place, event: e.DrugEntryWithdrawn) -> None:
    row = {"drug": event.drug, "version": event.version, "person": event.by, "entry": place.seq}
    writing.execute(prepared.WITHDRAW_DRUG, row)


DRUG_ROWS: Final[dict[type[Any], Callable[[Writing, Place, Any], None]]] = {
    e.DrugEntryProposed: _proposed,
    e.DrugEntrySigned: _signed,
    e.DrugEntryWithdrawn: _withdrawn,
}
