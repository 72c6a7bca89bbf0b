"""Drug lists as files: tried against the list in force, and the list in force given out to be changed."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Final

from kiosk.core.catalogue.drug_list import came_last, in_force
from kiosk.core.findings import Refusal
from kiosk.flow.keeping import ListTried, RowChange
from kiosk.flow.keeping_drugs import Wanted
from kiosk.wiring.home import Home

if TYPE_CHECKING:
    from kiosk.core.preparation.drug_list_events import DrugEntryProposed
    from kiosk.store.opening import Store

# What says that nothing would change: no trouble, and no proposal either.
_SAME: Final = "entry_same"


def is_a_drug_list(path: Path) -> bool:
    """Say whether a file of the inbox means to be a drug list, by its columns."""
    from kiosk.feeds.drug_list_rows import is_drug_list
    from kiosk.feeds.sheets import Sheet, open_sheet

    sheet = open_sheet(path)
    return isinstance(sheet, Sheet) and is_drug_list(sheet)


def try_drug_list(store: Store, path: Path, by: str, now: datetime) -> ListTried:
    """Read a drug list and say row by row what it would propose, or every trouble in it; write nothing."""
    from kiosk.feeds.drug_list_rows import read_drug_list

    present = store.drugs.everything()
    listed, troubles = read_drug_list(path, present)
    if troubles:
        return ListTried(path.name, troubles=troubles, kind="drugs")
    wanted = [Wanted(one.drug, one.effective, one.line) for one in listed]
    answers = store.drugs.would(by, wanted, path.name, now)
    both = list(zip(wanted, answers, strict=True))
    refused = tuple(
        _at(path.name, one, answer)
        for one, answer in both
        if isinstance(answer, Refusal) and answer.code != _SAME
    )
    left_out = sorted(
        drug for drug, versions in present.items() if in_force(versions, now.date()) is not None
    )
    missing = tuple(
        RowChange(drug, "missing from the list")
        for drug in left_out
        if drug not in {one.drug.id for one in wanted}
    )
    return ListTried(
        path.name,
        changes=(*(_change(store, one, answer, now) for one, answer in both), *missing),
        troubles=refused,
        kind="drugs",
        wanted=tuple(one for one, answer in both if not isinstance(answer, Refusal)),
    )


def _at(file: str, wanted: Wanted, why: Refusal) -> Refusal:
    """Return a refusal with the line that it is about."""
    return Refusal(why.code, {"file": file, "line": wanted.line, **why.facts})


def _change(store: Store, wanted: Wanted, answer: DrugEntryProposed | Refusal, now: datetime) -> RowChange:
    """Return what one drug of the list would do."""
    if isinstance(answer, Refusal):
        return RowChange(wanted.drug.id, "same")
    new = came_last(store.drugs.versions(wanted.drug.id), now.date()) is None
    return RowChange(wanted.drug.id, "added" if new else "changed", answer.changes)


def give_out(store: Store, home: Home, now: datetime) -> str | Refusal:
    """Write the drug list as it is in force into the outbox, in the form that the inbox takes."""
    from kiosk.feeds.drug_list_rows import write_drug_list

    found = (in_force(versions, now.date()) for versions in store.drugs.everything().values())
    text = write_drug_list((one.drug, one.effective) for one in found if one is not None)
    name = f"drug-list-{now:%Y-%m-%d-%H%M%S}.csv"
    try:
        home.outbox.mkdir(parents=True, exist_ok=True)
        (home.outbox / name).write_text(text, encoding="utf-8")
    except OSError as trouble:
        return Refusal("export_not_written", {"folder": home.outbox.name, "trouble": str(trouble.strerror)})
    return name
