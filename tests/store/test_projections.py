"""What events leave beside the ledger, and that the same locks hold for the kiosk itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.core.preparation import events as e
from kiosk.core.units import Measure
from kiosk.store.agreement import PROJECTIONS, disagreements
from kiosk.store.connection import RuleBroken
from tests.store import samples as s


def rows(store: s.Store, table: str) -> list[tuple[object, ...]]:
    return [tuple(row) for row in store.database.rows(f"SELECT * FROM {table}")]


def test_a_whole_syringe_leaves_its_rows(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", s.whole(), s.NOW, "k")
        ref = store.database.rows("SELECT ref FROM patients_seen")[0]["ref"]
        at = "2026-03-15T03:00:00.000000+00:00"
        assert rows(store, "preparations") == [
            (
                "prep-1",
                "o-1",
                ref,
                "gentamicin",
                "A30001",
                1,
                s.PREPARER,
                s.CHECKER,
                s.WITNESS,
                at,
                at,
                "finished",
                "",
            )
        ]
        assert set(rows(store, "roles")) == {
            ("prep-1", s.PREPARER, "preparer"),
            ("prep-1", s.CHECKER, "checker"),
            ("prep-1", s.WITNESS, "witness"),
        }
        assert {(*row[1:3], row[4]) for row in rows(store, "vouchers")} == {
            (s.FACTS, s.PREPARER, 1),
            (s.FACTS, s.CHECKER, 1),
        }
        assert [row[:4] for row in rows(store, "labels")] == [("prep-1", 1, s.FACTS, "printed")]
        assert [row[:2] + row[2:8] for row in rows(store, "lots_used")] == [
            ("L77", 2, at, "prep-1", "v1", ref, "gentamicin", "gent-40")
        ]


def test_projections_built_anew_from_the_ledger_are_the_same(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", s.whole(), s.NOW, "k1")
        again = [s.opened(s.an_order("o-2"), code="A30002"), *s.drawn(), e.Differed(("figure",), 1)]
        again += [e.Resumed(s.PREPARER), *s.stated(s.PREPARER, "g" * 64, 2), e.Discarded(s.PREPARER, "twice")]
        store.ledger.append("prep-2", again, s.NOW, "k2")
    assert list(disagreements(tmp_path / "counter.db")) == []


@pytest.mark.parametrize("table", PROJECTIONS)
def test_a_projection_that_lacks_a_row_is_told(tmp_path: Path, table: str) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.note(s.stocked(), s.NOW)
        store.ledger.append("prep-1", s.whole(), s.NOW, "k1")
        s.keepers(store)
        s.list_drug(store)
        store.drugs.withdraw(s.KEEPER, "gentamicin", 1, "none is left in the world", s.NOW)
        store.database.raw.execute(f"DROP TRIGGER {table}_no_delete")
        store.database.raw.execute("PRAGMA foreign_keys = OFF")
        store.database.raw.execute(f"DELETE FROM {table}")
    assert any(table in one.detail for one in disagreements(tmp_path / "counter.db"))


def test_the_round_of_a_voucher_is_the_round_it_was_given_in(tmp_path: Path) -> None:
    first, second = "a" * 64, "b" * 64
    events = [s.opened(), *s.drawn(), *s.checked(), e.Resumed(s.PREPARER)]
    events += [*s.stated(s.PREPARER, first, 1), e.Differed(("figure",), 1)]
    events += [*s.stated(s.PREPARER, second, 2), *s.checked(s.CHECKER, second)[1:]]
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", events, s.NOW, "k1")
        assert {(row[1], row[4]) for row in rows(store, "vouchers")} == {(s.FACTS, 1), (second, 2)}
    assert list(disagreements(tmp_path / "counter.db")) == []


def refused(store: s.Store, events: list[e.Event], why: str) -> None:
    before = store.database.rows("SELECT count(*) FROM ledger")[0][0]
    with pytest.raises(RuleBroken, match=why):
        store.ledger.append("prep-1", events, s.NOW, "again")
    assert store.database.rows("SELECT count(*) FROM ledger")[0][0] == before


def test_the_kiosk_itself_cannot_record_a_preparer_who_checks(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", [s.opened(), *s.drawn()], s.NOW, "k1")
        refused(store, [e.CheckerCame(s.PREPARER)], "two roles")


def test_the_kiosk_itself_cannot_record_a_checker_who_witnesses(tmp_path: Path) -> None:
    rest = e.RestAccounted(s.PREPARER, "v1", Measure.of("1", "mL"), "wasted", s.CHECKER)
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", [s.opened(), *s.drawn(), *s.checked()], s.NOW, "k1")
        refused(store, [rest], "two roles")


def test_the_kiosk_itself_cannot_record_a_label_nobody_vouched_for(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", [s.opened(), *s.drawn()], s.NOW, "k1")
        refused(store, s.labelled(), "needs its vouchers")


def test_a_need_for_a_second_person_found_later_is_kept(tmp_path: Path) -> None:
    taken = e.ContainerTaken(s.PREPARER, s.a_container(), second_reasons=("look_alike",))
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", [s.opened(second=False), taken], s.NOW, "k1")
        assert rows(store, "preparations")[0][5] == 1


def test_whoever_takes_over_a_syringe_is_its_preparer_and_can_no_longer_check_it(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", [s.opened(), e.Resumed("p-two")], s.NOW, "k1")
        assert rows(store, "preparations")[0][6] == "p-two"
        refused(store, [e.CheckerCame("p-two")], "two roles")
        refused(store, [e.CheckerCame(s.PREPARER)], "two roles")


def test_what_became_of_a_label_is_noted(tmp_path: Path) -> None:
    asked = [s.opened(), *s.drawn(), *s.checked(), e.LabelRequested(s.PREPARER, s.FACTS, 1)]
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", asked, s.NOW, "k1")
        assert rows(store, "labels")[0][3] == "requested"
        store.ledger.append("prep-1", [e.LabelEnded(s.FACTS, 1, "unknown")], s.NOW, "k2")
        store.ledger.append("prep-1", [e.LabelSeen(s.PREPARER, 1, "no paper")], s.NOW, "k3")
        assert rows(store, "labels")[0][3] == "no paper"
        store.ledger.append("prep-1", [e.LabelRequested(s.PREPARER, s.FACTS, 2)], s.NOW, "k4")
        assert [row[3] for row in rows(store, "labels")] == ["no paper", "requested"]
