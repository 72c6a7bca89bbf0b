"""A recalled lot: every syringe, open vial and patient it touched, and nothing else."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from kiosk.core.catalogue.people import Role
from kiosk.core.findings import Refusal
from kiosk.core.preparation import events as e
from kiosk.core.preparation import stock_events as st
from kiosk.core.preparation.house_events import LotRecalled
from kiosk.core.stock.recall import Use
from kiosk.core.units import Measure
from kiosk.flow.keeping import NewPerson
from kiosk.flow.stock_keeping import Whose
from kiosk.store.erasure import erase_patient
from tests.store import samples as s

VIALS = s.a_container(id="VIALS", serial="", lot="L80")
OTHER = replace(VIALS, id="OTHER", lot="L81")
SAME_LOT = replace(VIALS, id="SAME", product=s.a_product(id="gent-20"))


def filled(folder: Path) -> s.Store:
    """Three patients: one finished and one half done from lot L80, one finished from another lot."""
    store = s.open_store(folder / "counter.db", folder / "keys", s.CHEAP)
    store.staff.set_up(NewPerson(s.a_person(s.KEEPER, Role.KEEPER), "PB1KAY", "9731"), s.NOW)
    store.ledger.note([st.StockReceived(s.KEEPER, one, 4) for one in (VIALS, OTHER, SAME_LOT)], s.NOW)
    for n, container in enumerate((VIALS, OTHER)):
        order = s.an_order(f"o-{n}", s.a_patient(f"H-{n}", f"Invented Number{n}"))
        events = [s.opened(order, by=f"p-{n}", code=f"A{n}", second=False)]
        events += [e.ContainerTaken(f"p-{n}", container), *s.stated(f"p-{n}")]
        events += [e.Vouched(s.FACTS, (f"p-{n}",), "one person"), e.LabelRequested(f"p-{n}", s.FACTS)]
        events += [e.LabelEnded(s.FACTS, 1, "printed")]
        events += [
            e.RestAccounted(f"p-{n}", container.id, Measure.of(18, "mL"), "kept"),
            e.Finished(f"p-{n}"),
        ]
        store.ledger.append(f"prep-{n}", events, s.NOW + n * s.MINUTE, f"k{n}")
    half = s.an_order("o-9", s.a_patient("H-9", "Half Done"))
    taken = e.ContainerTaken("p-9", VIALS)
    store.ledger.append("prep-9", [s.opened(half, by="p-9", code="A9"), taken], s.NOW, "k9")
    given_up = s.an_order("o-8", s.a_patient("H-8", "Given Up"))
    events = [
        s.opened(given_up, by="p-8", code="A8"),
        replace(taken, by="p-8"),
        e.Discarded("p-8", "dropped"),
    ]
    store.ledger.append("prep-8", events, s.NOW, "k8")
    return store


def test_a_lot_reaches_its_stock_its_syringes_and_its_patients(tmp_path: Path) -> None:
    store = filled(tmp_path)
    reach = store.stock.reach("gent-40", "L80")
    (vial,) = reach.opened
    # four came in: one is open, one is in hand for the half-done syringe, two are left
    assert [(held.container.id, held.free) for held in reach.sealed] == [("VIALS", 2)]
    assert vial.container.left == Measure.of(18, "mL")
    (ref,) = {use.patient for use in reach.finished}
    assert reach.finished == (Use("prep-0", ref, "VIALS", "gent-40", "L80", s.NOW, "finished"),)
    assert [use.preparation for use in reach.unfinished] == ["prep-9"]
    assert reach.patients == (Whose(ref, "Invented Number0", "H-0"),)
    assert reach.codes == {"prep-0": "A0", "prep-8": "A8", "prep-9": "A9"}
    store.close()


def test_the_same_lot_number_of_another_product_is_another_lot(tmp_path: Path) -> None:
    store = filled(tmp_path)
    assert [one.id for one in store.stock.products_of_lot("L80")] == ["gent-20", "gent-40"]
    reach = store.stock.reach("gent-20", "L80")
    assert ([one.container.id for one in reach.sealed], reach.finished, reach.patients) == (["SAME"], (), ())
    answer = store.stock.recall_lot(s.KEEPER, "gent-20", "L80", "glass seen", s.NOW)
    assert not isinstance(answer, Refusal)
    marked = {one.container.id for one in store.stock.holdings() if one.container.recalled}
    assert marked == {"SAME"}
    store.close()


def test_a_recalled_lot_marks_the_open_vial_too_and_takes_nothing_more_in(tmp_path: Path) -> None:
    store = filled(tmp_path)
    reach = store.stock.recall_lot(s.KEEPER, "gent-40", "L80", " glass seen ", s.NOW)
    assert not isinstance(reach, Refusal)
    assert all(one.container.recalled for one in (*reach.sealed, *reach.opened))
    last = store.ledger.house_events()[-1].event
    assert last == LotRecalled(s.KEEPER, "L80", "glass seen", "gent-40")
    store.close()


def test_an_erased_patient_stays_erased(tmp_path: Path) -> None:
    store = filled(tmp_path)
    erase_patient(store.database, store.ledger, "pt-H-0", s.KEEPER, "asked for", s.NOW)
    (whose,) = store.stock.reach("gent-40", "L80").patients
    assert (whose.name, whose.number) == ("erased", "erased")
    store.close()


@pytest.mark.parametrize(
    ("by", "lot", "reason", "code"),
    [
        ("p-0", "L80", "glass seen", "may_not_keep_stock"),
        (s.KEEPER, " ", "glass seen", "recall_without_lot"),
        (s.KEEPER, "L80", " ", "stock_needs_reason"),
    ],
)
def test_a_recall_is_refused_and_the_refusal_is_on_record(
    tmp_path: Path, by: str, lot: str, reason: str, code: str
) -> None:
    store = filled(tmp_path)
    answer = store.stock.recall_lot(by, "gent-40", lot, reason, s.NOW)
    assert isinstance(answer, Refusal)
    assert answer.code == code
    noted = store.ledger.house_events()[-1].event
    assert isinstance(noted, st.StockRefused)
    assert (noted.act, noted.code) == ("recall", code)
    store.close()


def test_a_recall_reads_one_index_and_nothing_else(tmp_path: Path) -> None:
    from kiosk.store import prepared

    with s.a_store(tmp_path) as store:
        of_lot = {"lot": "L80", "product": "p"}
        rows = store.database.rows(f"EXPLAIN QUERY PLAN {prepared.USES_OF_LOT}", of_lot)
        assert [row["detail"] for row in rows] == ["SEARCH lots_used USING PRIMARY KEY (lot=?)"]
