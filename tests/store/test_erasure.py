"""Forgetting: only whom nothing needs any more, all that is due, nothing else; and the chain still holds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest

from kiosk.core.catalogue.retention import Retention
from kiosk.core.findings import Refusal
from kiosk.core.preparation import events as e
from kiosk.core.preparation.house_events import PatientErased, RetentionApplied
from kiosk.core.units import Measure
from kiosk.flow.keeping import Asked
from kiosk.store.erasure import apply_retention, erase_patient, past_retention, past_tries
from kiosk.store.export import to_json
from kiosk.store.opening import Store
from kiosk.store.search import search
from kiosk.store.verify import verify
from tests.store import samples as s

DAY = 24 * 60 * s.MINUTE
FIGURES = Retention(
    identifiers=Measure.of("96", "month"),
    identifiers_child=Measure.of("300", "month"),
    tries=Measure.of("30", "day"),
    papers=Measure.of("30", "day"),
    record=Measure.of("96", "month"),
)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with s.a_store(tmp_path) as store:
        yield store


def given_up(store: Store, number: str, at: datetime, **more: object) -> None:
    """A syringe for a patient, given up at once."""
    order = s.an_order(f"o-{number}", s.a_patient(f"H-{number}", f"Patient{number} Invented", **more), due=at)
    begun = s.opened(order, by=f"p-{number}", code=f"A{number}")
    store.ledger.append(f"prep-{number}", [begun, e.Discarded(f"p-{number}", "x")], at, f"k{number}")


def years_ago(years: int) -> datetime:
    return s.NOW.replace(year=s.NOW.year - years)


def due(store: Store) -> list[str]:
    return [one.id for one in past_retention(store.database, FIGURES, s.NOW)]


def test_those_are_due_whose_last_syringe_is_eight_years_past(store: Store) -> None:
    given_up(store, "1", years_ago(8))
    given_up(store, "2", years_ago(8) + DAY)
    given_up(store, "3", years_ago(9), born=date(2010, 1, 1))  # still a child: until 2035
    assert due(store) == ["pt-H-1"]


def test_a_later_syringe_or_order_keeps_a_patient(store: Store) -> None:
    given_up(store, "1", years_ago(10))
    given_up(store, "2", years_ago(10))
    given_up(store, "3", years_ago(10))
    third = s.an_order("o-33", s.a_patient("H-3", "Patient3 Invented"))
    store.ledger.append("prep-33", [s.opened(third, by="p-33", code="A33")], s.NOW, "k33")
    with store.importing(s.KEEPER, s.NOW) as lists:
        lists.orders([s.an_order("o-22", s.a_patient("H-2", "Patient2 Invented"), due=s.NOW)])
    assert due(store) == ["pt-H-1"]


def test_a_patient_listed_and_never_prepared_for_is_due_after_the_last_order(store: Store) -> None:
    with store.importing(s.KEEPER, s.NOW) as lists:
        lists.orders([s.an_order("o-1", s.a_patient("H-1"), due=years_ago(9))])
        lists.orders([s.an_order("o-2", s.a_patient("H-2"), due=years_ago(7))])
    assert due(store) == ["pt-H-1"]


def test_what_is_due_goes_is_on_record_and_is_found_no_more(store: Store) -> None:
    given_up(store, "1", years_ago(9))
    given_up(store, "2", s.NOW)
    store.people.sign_on("PB1NOBODY", "0000", s.NOW - 31 * DAY)
    tries = past_tries(store.database, FIGURES, s.NOW)
    done = apply_retention(store.database, store.ledger, due(store), tries, 3, s.KEEPER, s.NOW)
    assert done == RetentionApplied(s.KEEPER, 1, 3, (tries[0][:12],))
    erased, applied = (one.event for one in store.ledger.house_events()[-2:])
    assert isinstance(erased, PatientErased)
    assert erased.reason == "kept long enough"
    assert applied == done
    assert due(store) == []
    assert past_tries(store.database, FIGURES, s.NOW) == []
    assert search(store.database, Asked(patient="Patient1")) == []
    assert search(store.database, Asked(patient="H-1")) == []
    everything = search(store.database, Asked())
    assert [one.patient for one in everything] == ["Patient2 Invented", "erased"]
    assert '"patient":"erased","patient_number":"erased"' in to_json(everything)
    assert verify(store.database.path, store.keys).whole


def test_wrong_tries_of_a_locked_badge_are_kept(store: Store) -> None:
    for n in range(5):
        store.people.sign_on("PB1LOCKED", "0000", s.NOW - 60 * DAY + n * DAY)
    store.people.sign_on("PB1ONCE", "0000", s.NOW - 29 * DAY)
    assert past_tries(store.database, FIGURES, s.NOW) == []


def test_an_open_order_keeps_a_patient_from_being_erased_until_it_is_a_day_old(store: Store) -> None:
    patient = s.a_patient("H-1")
    with store.importing(s.KEEPER, s.NOW) as lists:
        lists.orders([s.an_order("o-1", patient, due=s.NOW), s.an_order("o-2", patient, due=s.NOW + DAY)])

    def erased(now: datetime) -> object:
        return erase_patient(store.database, store.ledger, patient.id, s.KEEPER, "asked", now)

    assert erased(s.NOW) == Refusal("patient_has_open_order", {"count": 2})
    assert erased(s.NOW + DAY) == Refusal("patient_has_open_order", {"count": 1})
    assert isinstance(erased(s.NOW + 2 * DAY), PatientErased)
    assert store.orders.due(s.NOW) == []


def test_the_retention_of_a_site_is_what_is_asked(store: Store) -> None:
    given_up(store, "1", years_ago(3))
    assert due(store) == []
    shorter = replace(FIGURES, identifiers=Measure.of("24", "month"))
    assert [one.id for one in past_retention(store.database, shorter, s.NOW)] == ["pt-H-1"]
