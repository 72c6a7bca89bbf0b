"""The drug list at the keeper's desk: proposed, read, signed by two, used from its day. All of it is real.

Prochlorperazine is ordered at 12.5 mg (O01); its entry allows 12.5 mg in one dose and 37.5 mg in a day.
"""

from __future__ import annotations

from dataclasses import replace

from kiosk.core.preparation.drug_list_events import DrugEntryProposed, DrugEntrySigned, DrugListRefused
from kiosk.core.preparation.events import Opened
from kiosk.core.units import Measure
from kiosk.flow.keeping_drugs import Wanted
from kiosk.pages.parts import Ground
from kiosk.store.verify import verify
from tests.counter import NOW, order, ward
from tests.journeys.drug_desk import (
    DRUG,
    Counter,
    begin_the_order,
    counter,
    in_force,
    lines,
    lower_the_most_in_a_dose,
    second_keeper,
)
from tests.journeys.keeper import house, letters, presses, rows, said, sign_on, typed

__all__ = ["counter"]


def test_the_demo_list_is_version_one_of_every_entry_signed_by_its_two_keepers(counter: Counter) -> None:
    _, store, hand = counter
    everything = store.drugs.everything()
    assert set(everything) == {drug.id for drug in ward().drugs}
    assert {(v.number, v.signed) for versions in everything.values() for v in versions} == {
        (1, ("K01", "K02"))
    }
    assert rows(hand)[DRUG.name] == "Version 1: in use since 16 Mar 2026."
    assert {key.name for key in hand.page().keys} == {"back", "find", "inbox", "give-out"}


def test_a_change_is_used_once_two_keepers_have_read_and_signed_it(counter: Counter) -> None:
    home, store, hand = counter
    lower_the_most_in_a_dose(hand)
    hand.press("proposed")
    changed = {"Most in one dose, from 12 years on, into muscle": "12.5 mg → 6 mg"}
    assert lines(hand) == changed
    hand.press("sign")
    assert in_force(store) == 1
    hand.press("second")
    second_keeper(hand)
    page = hand.wait("keeping-drug-signing")
    assert page.ground is Ground.CHECKER
    assert "Bruno Tallowfield" in page.question
    assert lines(hand) == changed
    assert in_force(store) == 1
    hand.press("sign")
    assert in_force(store) == 2
    assert [(one.by, one.place) for one in house(store, DrugEntrySigned)][-2:] == [("K01", 1), ("K02", 2)]
    assert house(store, DrugEntryProposed)[-1].source == "screen"
    begin_the_order(hand)
    assert any("6 mg" in text for text in said(hand)), said(hand)
    assert verify(home.database, store.keys).whole


def test_a_syringe_says_by_which_version_it_was_made_and_keeps_to_it(counter: Counter) -> None:
    _, store, hand = counter
    begin_the_order(hand)
    hand.press("take-up")
    preparation = store.ledger.unfinished()[0]
    lower = replace(DRUG.limits[0], high=Measure.of(6, "mg"))
    changed = replace(DRUG, limits=(lower, *DRUG.limits[1:]))
    assert store.drugs.propose("K01", [Wanted(changed, NOW.date())], "screen", NOW) is None
    assert store.drugs.sign_all("K01", NOW) + store.drugs.sign_all("K02", NOW) == 2
    state = hand.driver.desk.state(preparation)
    assert state.order.drug == DRUG
    first = store.ledger.events(preparation)[0].event
    assert isinstance(first, Opened)
    assert (first.drug_version, first.order.drug) == (1, DRUG)


def test_the_first_signer_is_not_the_second(counter: Counter) -> None:
    _, store, hand = counter
    lower_the_most_in_a_dose(hand)
    presses(hand, ["proposed", "sign", "second"])
    second_keeper(hand, "K01")
    assert said(hand) == ["You have signed version 2 of prochlorPERazine already."]
    hand.wait("keeping-drug-proposal")
    assert in_force(store) == 1
    assert house(store, DrugListRefused)[-1].code == "entry_same_signer"


def test_somebody_who_keeps_nothing_cannot_be_the_second(counter: Counter) -> None:
    _, store, hand = counter
    lower_the_most_in_a_dose(hand)
    presses(hand, ["proposed", "sign", "second"])
    second_keeper(hand, "N02")
    assert said(hand) == ["Only a keeper may do this."]
    assert in_force(store) == 1
    assert house(store, DrugListRefused)[-1] == DrugListRefused("N02", "sign", "drug_list_keepers_only", ())


def test_the_second_keepers_turn_ends_when_the_screen_is_left(counter: Counter) -> None:
    _, store, hand = counter
    lower_the_most_in_a_dose(hand)
    presses(hand, ["proposed", "sign", "second"])
    second_keeper(hand)
    hand.wait("keeping-drug-signing")
    hand.pass_time(3600)
    hand.driver.tick()
    sign_on(hand, "K01")
    page = hand.wait("keeping-drug-signing")
    assert [key.enabled for key in page.keys if key.name == "sign"] == [False]
    hand.driver.press("sign")
    assert in_force(store) == 1


def test_a_version_signed_for_another_day_waits_for_it(counter: Counter) -> None:
    _, store, hand = counter
    lower_the_most_in_a_dose(hand, day="monday")
    presses(hand, ["proposed", "sign", "second"])
    second_keeper(hand)
    hand.press("sign")
    assert [in_force(store, days) for days in (0, 6, 7)] == [1, 1, 2]  # 16 March 2026 is a Monday


def test_a_proposal_taken_back_is_gone_and_the_next_one_may_come(counter: Counter) -> None:
    _, store, hand = counter
    lower_the_most_in_a_dose(hand)
    presses(hand, ["proposed", "take-back"])
    letters(hand, "Of another drug")
    hand.press("commit")
    hand.wait("keeping-drug")
    assert in_force(store) == 1
    hand.press("versions")
    assert any("Of another drug" in detail for detail in rows(hand).values())
    presses(hand, ["back", "change"])
    hand.wait("keeping-drug-draft")


def test_a_drug_taken_off_the_list_is_not_prepared(counter: Counter) -> None:
    _, store, hand = counter
    presses(hand, ["drug:prochlorperazine", "take-off"])
    letters(hand, "Recalled")
    hand.press("commit")
    assert hand.wait("keeping-drug").ground is Ground.TROUBLE
    assert in_force(store) == 0
    begin_the_order(hand)
    page = hand.wait("order")
    assert said(hand)[0] == "prochlorPERazine was taken off the drug list: Recalled"
    assert page.findings[0].now == "Do not prepare it here. Ask a keeper."
    assert "take-up" not in {key.name for key in page.keys}
    hand.driver.press("take-up")
    assert store.ledger.unfinished() == []


def test_what_was_taken_off_the_list_comes_back_as_it_was_by_two_signatures(counter: Counter) -> None:
    _, store, hand = counter
    presses(hand, ["drug:prochlorperazine", "take-off"])
    letters(hand, "Recalled")
    presses(hand, ["commit", "change", "propose", "from:today", "proposed", "sign", "second"])
    assert in_force(store) == 0
    second_keeper(hand)
    hand.press("sign")
    assert in_force(store) == 2


def test_what_cannot_be_meant_is_refused_while_it_is_typed(counter: Counter) -> None:
    _, store, hand = counter
    presses(hand, ["drug:prochlorperazine", "change", "limit:0"])
    typed(hand, "4")
    assert said(hand) == [
        "A limit of prochlorPERazine (dose) goes from 5 mg to 4 mg: the most is less than the least."
    ]
    presses(hand, ["erase"])
    typed(hand, "38")
    assert "only 37.5 mg in a whole day" in said(hand)[0]
    assert len(store.drugs.versions("prochlorperazine")) == 1


def test_every_figure_that_can_be_changed_by_touch_becomes_one_version(counter: Counter) -> None:
    _, store, hand = counter
    presses(hand, ["drug:prochlorperazine", "change", "alert", "error"])
    typed(hand, "5")
    hand.press("interval")
    typed(hand, "8")
    hand.press("limit:1")
    for digit in ("digit:2", "digit:5", "point", "digit:5", "commit"):
        hand.press(digit)
    presses(hand, ["propose", "from:tomorrow"])
    assert house(store, DrugEntryProposed)[-1].changes == (
        ("high_alert", "no", "yes"),
        ("least_interval", "6 h", "8 h"),
        ("allowed_error", "0.1", "0.05"),
        ("limit_high a day from 4383 days intramuscular", "37.5 mg", "25.5 mg"),
    )


def test_an_entry_is_found_by_a_part_of_its_name(counter: Counter) -> None:
    _, _, hand = counter
    hand.press("find")
    letters(hand, "promAZ")
    hand.press("commit")
    assert list(rows(hand)) == ["chlorproMAZINE"]


def test_what_an_entry_says_is_shown_whole(counter: Counter) -> None:
    _, _, hand = counter
    presses(hand, ["drug:adrenaline", "says"])
    shown = lines(hand)
    assert shown["Strengths kept"] == "1 in 1000, 1 in 10000"
    assert shown["Allowed error of the measured dose"] == "5%"
    assert shown["Most in one dose by weight, under 12 years, into muscle"] == "0.01 mg/kg"


def test_the_order_the_tests_speak_of_is_the_one_of_the_ward() -> None:
    assert order("O01").drug == DRUG
    assert (DRUG.limits[0].low, DRUG.limits[0].high) == (Measure.of(5, "mg"), Measure.of("12.5", "mg"))
