"""Patients' identifiers stand apart: nowhere in the ledger, back again on reading, gone after erasure."""

from __future__ import annotations

from datetime import date
from itertools import count
from pathlib import Path
from types import UnionType
from typing import Any, get_args, get_origin, get_type_hints

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.core.catalogue.people import Patient
from kiosk.core.preparation import events as e
from kiosk.core.preparation.house_events import PatientErased
from kiosk.flow.ports import RecordTrouble
from kiosk.store import identities
from kiosk.store.erasure import erase_patient
from kiosk.store.identities import ERASED, ERASED_BORN, Identity
from tests.store import samples as s
from tests.store.event_strategies import KINDS

MARJA = Identity("a1" * 32, "pt-1", "H-4711", "Marja Invented", "1950-02-28", "Bay 2, bed 4")


def reaches(hint: Any, wanted: type, seen: frozenset[Any] = frozenset()) -> bool:
    """Whether a value of type ``hint`` can hold a value of type ``wanted``."""
    if hint is wanted:
        return True
    if hint in seen:
        return False
    if get_origin(hint) is not None or isinstance(hint, UnionType):
        return any(reaches(part, wanted, seen) for part in get_args(hint))
    fields = get_type_hints(hint) if hasattr(hint, "__dataclass_fields__") else {}
    return any(reaches(part, wanted, seen | {hint}) for part in fields.values())


def test_no_event_but_the_opening_can_hold_a_patient() -> None:
    assert [kind for kind in KINDS if reaches(kind, Patient)] == [e.Opened]


def test_every_identifying_field_of_a_patient_is_held_apart() -> None:
    clinical = {"sex", "weighed", "earlier", "height", "allergies"}
    assert set(Patient.__dataclass_fields__) == set(identities.APART) | clinical


@given(
    text=st.text()
    | st.lists(st.sampled_from(["Marja", "H-4711", " ", "Invented", "\ue000", "\ue001", "."])).map("".join)
)
def test_free_text_comes_back_as_it_was_typed(text: str) -> None:
    apart = identities.take_apart({"reason": text}, MARJA)
    assert identities.put_together(apart, lambda ref: MARJA) == {"reason": text}


def test_free_text_hides_name_number_and_parts_of_the_name_but_not_words_they_occur_in() -> None:
    apart = identities.take_apart({"reason": "Marja (H-4711), Mrs Invented, marjaram, Marjatta"}, MARJA)
    for hidden in ("Marja ", "H-4711", "Invented"):
        assert hidden not in apart["reason"]
    assert "marjaram, Marjatta" in apart["reason"]
    shown = identities.put_together(apart, lambda ref: None)["reason"]
    assert shown == f"{ERASED} ({ERASED}), Mrs {ERASED}, marjaram, Marjatta"


def test_any_name_survives_the_way_to_the_record_and_back(tmp_path: Path) -> None:
    numbers = count()
    with s.a_store(tmp_path) as store:

        @settings(max_examples=50, deadline=None, database=None)
        @given(name=st.text(min_size=1, max_size=30), place=st.text(max_size=20))
        def comes_back(name: str, place: str) -> None:
            one = f"{next(numbers)}"
            order = s.an_order(f"o-{one}", s.a_patient(name=name, place=place))
            event = s.opened(order, by=f"p-{one}", code=f"A{one}")
            store.ledger.append(f"prep-{one}", [event], s.NOW, one)
            assert store.ledger.events(f"prep-{one}")[0].event == event

        comes_back()


def texts_of_ledger(store: s.Store) -> str:
    return "".join(row["entry"] for row in store.database.rows("SELECT entry FROM ledger"))


def test_the_ledger_never_holds_an_identifier(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", [s.opened()], s.NOW, "k1")
        store.ledger.append(
            "prep-1", [e.Discarded(s.PREPARER, "Marja Invented said no, H-4711")], s.NOW, "k2"
        )
        said = texts_of_ledger(store)
        assert not any(word in said for word in ("Marja", "Invented", "H-4711", "1950-02-28", "Bay 2"))
        assert store.ledger.events("prep-1")[1].event == e.Discarded(
            s.PREPARER, "Marja Invented said no, H-4711"
        )


def test_a_refusal_on_an_order_not_yet_taken_up_hides_the_patient_too(tmp_path: Path) -> None:
    refused = e.Refused(s.PREPARER, "TakeUp", "allergy", (("patient", "Marja Invented"),))
    with s.a_store(tmp_path) as store:
        with store.importing("p-kay", s.NOW) as lists:
            lists.orders([s.an_order()])
        store.ledger.append("order-o-1", [refused], s.NOW, "k1")
        assert "Marja" not in texts_of_ledger(store)
        assert store.ledger.events("order-o-1")[0].event == refused


def test_one_patient_unchanged_is_referred_to_once_and_a_move_makes_a_new_reference(tmp_path: Path) -> None:
    moved = s.a_patient(place="Bay 9")
    with s.a_store(tmp_path) as store:
        for number, patient in enumerate((s.a_patient(), s.a_patient(), moved)):
            order = s.an_order(f"o-{number}", patient)
            event = s.opened(order, by=f"p-{number}", code=f"A{number}")
            store.ledger.append(f"prep-{number}", [event], s.NOW, f"k{number}")
        refs = [row["patient"] for row in store.database.rows("SELECT patient FROM preparations ORDER BY id")]
        assert refs[0] == refs[1] != refs[2]


def test_two_counters_refer_to_one_patient_differently(tmp_path: Path) -> None:
    refs = set()
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        with s.a_store(tmp_path / name) as store:
            store.ledger.append("prep-1", [s.opened()], s.NOW, "k1")
            refs.add(store.database.rows("SELECT ref FROM patients_seen")[0]["ref"])
    assert len(refs) == 2


def test_identifiers_changed_behind_the_kiosks_back_are_seen_on_reading(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", [s.opened()], s.NOW, "k1")
        store.database.raw.execute("DROP TRIGGER patients_seen_only_erased")
        store.database.raw.execute("UPDATE patients_seen SET name = 'Somebody Else'")
        with pytest.raises(RecordTrouble, match="identifiers of a patient were changed"):
            store.ledger.events("prep-1")


def test_an_erased_patient_reads_erased_everywhere_and_in_no_file(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        with store.importing(s.KEEPER, s.NOW) as lists:
            lists.orders([s.an_order(), s.an_order("o-2")])
        store.ledger.append("prep-1", [s.opened()], s.NOW, "k1")
        store.ledger.append("prep-1", [e.Discarded(s.PREPARER, "Marja refused it")], s.NOW, "k2")
        patient = s.a_patient().id
        later = s.NOW + 2 * 24 * 60 * s.MINUTE  # the other order is waited for no longer
        done = erase_patient(
            store.database, store.ledger, patient, s.KEEPER, "asked by Marja Invented", later
        )
        assert isinstance(done, PatientErased)
        assert done.reason == "asked by erased"
        opened, discarded = (one.event for one in store.ledger.events("prep-1"))
        assert isinstance(opened, e.Opened)
        assert (opened.order.patient.name, opened.order.patient.born) == (ERASED, ERASED_BORN)
        assert opened.order.patient.weighed == s.a_patient().weighed
        assert discarded == e.Discarded(s.PREPARER, f"{ERASED} refused it")
        assert store.orders.due(s.NOW) == []
    for file in tmp_path.rglob("*"):
        if file.is_file():
            held = file.read_bytes()
            assert not any(word in held for word in (b"Marja", b"Invented", b"H-4711", b"1950-02-28")), file


def test_a_patient_with_an_open_syringe_is_not_erased(tmp_path: Path) -> None:
    with s.a_store(tmp_path) as store:
        store.ledger.append("prep-1", [s.opened()], s.NOW, "k1")
        answer = erase_patient(store.database, store.ledger, s.a_patient().id, s.KEEPER, "", s.NOW)
        assert getattr(answer, "code", "") == "patient_has_open_syringe"
        nobody = erase_patient(store.database, store.ledger, "pt-0", s.KEEPER, "", s.NOW)
        assert getattr(nobody, "code", "") == "unknown_patient"


def test_the_erased_birth_date_is_no_date_anybody_was_born_on() -> None:
    assert date.min == ERASED_BORN
