"""What an event means for search, the due list and the locks: its rows, in the entry's own transaction.

The fold of the events is the state; nothing here is asked for it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from kiosk.core.dose.parts import part_id
from kiosk.core.preparation import events as e
from kiosk.core.preparation.dose_events import SplitTaken
from kiosk.core.preparation.form_events import Witnessed
from kiosk.core.preparation.house_events import HouseEvent
from kiosk.core.stock.expiry import may_be_kept
from kiosk.store import codec, prepared, stock, stock_book
from kiosk.store.connection import Writing
from kiosk.store.drug_rows import DRUG_ROWS
from kiosk.store.entry import moment_text
from kiosk.store.place import Place
from kiosk.store.stock_moves import STOCK_ROWS

PREPARER: Final = "preparer"
CHECKER: Final = "checker"
WITNESS: Final = "witness"


def project(writing: Writing, place: Place, event: e.Event | HouseEvent) -> None:
    """Write the rows of one event. An event without rows writes none."""
    rows = _ROWS.get(type(event))
    if rows is not None:
        rows(writing, place, event)


def _opened(writing: Writing, place: Place, event: e.Opened) -> None:
    writing.execute(
        prepared.OPEN_PREPARATION,
        {
            "id": place.preparation,
            "order_id": event.order.id,
            "patient": place.patient,
            "drug": event.order.drug.id,
            "code": event.syringe_code,
            "needs_second": int(event.needs_second or bool(event.second_reasons)),
            "form": event.form,
            "preparer": event.by,
            "opened_at": moment_text(place.at),
        },
    )
    _take_role(writing, place, event.by, PREPARER)


def _take_role(writing: Writing, place: Place, person: str, role: str) -> None:
    values = {"preparation": place.preparation, "person": person, "role": role}
    writing.execute(prepared.TAKE_ROLE, values)


def _container_taken(writing: Writing, place: Place, event: e.ContainerTaken) -> None:
    row = writing.execute(prepared.SYRINGE_OF, {"preparation": place.preparation}).fetchone()
    had = stock.take(writing, event.container)
    writing.execute(
        prepared.USE_LOT,
        {
            "lot": event.container.lot,
            "entry": place.seq,
            "at": moment_text(place.at),
            "patient": row["patient"],
            "drug": row["drug"],
            "preparation": place.preparation,
            "product": event.container.product.id,
            "container": event.container.id,
            "had": had,
            "kept": int(may_be_kept(event.container)),
        },
    )
    if event.second_reasons:
        writing.execute(prepared.NEED_SECOND, {"preparation": place.preparation})


def _split_taken(writing: Writing, place: Place, event: SplitTaken) -> None:
    """Put every part of the shared dose on the order list: the order itself is its first part."""
    row = writing.execute(prepared.ORDER_OF, {"preparation": place.preparation}).fetchone()
    if row is None:
        return
    whole = codec.from_text(row["body"])
    for part in range(1, event.parts + 1):
        name = part_id(row["id"], part)
        body = codec.to_text(whole | {"id": name, "part": part, "parts": event.parts})
        listed = {column: row[column] for column in ("patient", "drug", "due")}
        writing.execute(prepared.PUT_ORDER, {**listed, "id": name, "body": body})


def _checker_came(writing: Writing, place: Place, event: e.CheckerCame) -> None:
    _take_role(writing, place, event.by, CHECKER)
    writing.execute(prepared.SET_CHECKER, {"preparation": place.preparation, "person": event.by})


def _vouched(writing: Writing, place: Place, event: e.Vouched) -> None:
    values = {"preparation": place.preparation, "before": place.seq}
    found = writing.execute(prepared.LAST_ROUND, values).fetchone()
    for person in event.people:
        writing.execute(
            prepared.VOUCH,
            {
                "preparation": place.preparation,
                "person": person,
                "facts": event.facts,
                "round": found[0] or 1,
                "entry": place.seq,
            },
        )


def _label_requested(writing: Writing, place: Place, event: e.LabelRequested) -> None:
    values = {"preparation": place.preparation, "copy": event.copy, "digest": event.digest}
    writing.execute(prepared.ASK_LABEL, values | {"outcome": "requested", "entry": place.seq})


def _label_ended(writing: Writing, place: Place, event: e.LabelEnded | e.LabelSeen) -> None:
    values = {"preparation": place.preparation, "which": event.copy, "how": event.outcome}
    writing.execute(prepared.END_LABEL, values)


def _seen_by(writing: Writing, place: Place, witness: str) -> None:
    if witness:
        _take_role(writing, place, witness, WITNESS)
        writing.execute(prepared.SET_WITNESS, {"preparation": place.preparation, "person": witness})


def _seen(writing: Writing, place: Place, event: Witnessed) -> None:
    _seen_by(writing, place, event.by)


def _rest_accounted(writing: Writing, place: Place, event: e.RestAccounted) -> None:
    _seen_by(writing, place, event.witness)
    stock_book.rest_accounted(writing, place, event)
    stock.account_rest(writing, event, place.seq, place.at)


def _put_back(writing: Writing, place: Place, event: e.PutBack) -> None:
    _seen_by(writing, place, event.witness)
    stock_book.put_back(writing, place, event)


def _discarded(writing: Writing, place: Place, event: e.Discarded) -> None:
    _seen_by(writing, place, event.witness)
    stock_book.discarded(writing, place, event)
    _ended(writing, place, event)


def _ended(writing: Writing, place: Place, event: e.Finished | e.Discarded) -> None:
    outcome = "finished" if isinstance(event, e.Finished) else "discarded"
    values = {"preparation": place.preparation, "ended_at": moment_text(place.at), "outcome": outcome}
    writing.execute(prepared.END_PREPARATION, values)


def _resumed(writing: Writing, place: Place, event: e.Resumed) -> None:
    """Whoever goes on with a syringe without a role on it yet has taken it over as its preparer."""
    values = {"preparation": place.preparation, "person": event.by}
    if writing.execute(prepared.ROLE_OF, values).fetchone() is None:
        _take_role(writing, place, event.by, PREPARER)
        writing.execute(prepared.SET_PREPARER, values)


_ROWS: Final[dict[type[Any], Callable[[Writing, Place, Any], None]]] = {
    **STOCK_ROWS,
    **DRUG_ROWS,
    e.Opened: _opened,
    e.ContainerTaken: _container_taken,
    SplitTaken: _split_taken,
    e.CheckerCame: _checker_came,
    e.Vouched: _vouched,
    Witnessed: _seen,
    e.LabelRequested: _label_requested,
    e.LabelEnded: _label_ended,
    e.LabelSeen: _label_ended,
    e.RestAccounted: _rest_accounted,
    e.PutBack: _put_back,
    e.Finished: _ended,
    e.Discarded: _discarded,
    e.Resumed: _resumed,
}
