"""Who may propose, sign and take back; and what is no next version. One case each way."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from kiosk.core.catalogue.drug import Drug
from kiosk.core.findings import Refusal
from kiosk.core.preparation import drug_keeping as rules
from kiosk.core.preparation import drug_list_events as e
from tests.core.catalogue.test_drug_list import DAY, OLD, TODAY, version
from tests.core.catalogue.test_drug_sense import SOUND
from tests.core.preparation.test_drug_list_in_any_order import PEOPLE


def code(answer: object) -> str:
    return answer.code if isinstance(answer, Refusal) else ""


@pytest.mark.parametrize(
    ("drug", "why"),
    [
        (replace(SOUND, measured_in="g"), "entry_changes_kind"),
        (replace(SOUND, is_insulin=True), "entry_changes_kind"),
        (replace(SOUND, controlled=True), "entry_changes_kind"),
        (SOUND, "entry_same"),
        (replace(SOUND, strengths=()), "entry_no_strength"),
        (replace(SOUND, high_alert=True), ""),
    ],
)
def test_what_may_be_the_next_version(drug: Drug, why: str) -> None:
    assert code(rules.propose("K01", drug, TODAY, (OLD,), PEOPLE, TODAY, "screen")) == why


def test_a_proposal_says_what_it_changes_and_comes_next() -> None:
    answer = rules.propose("K01", replace(SOUND, high_alert=True), TODAY, (OLD,), PEOPLE, TODAY, "screen")
    assert isinstance(answer, e.DrugEntryProposed)
    assert (answer.version, answer.changes) == (2, (("high_alert", "no", "yes"),))


def test_a_first_version_changes_nothing() -> None:
    answer = rules.propose("K01", SOUND, TODAY, (), PEOPLE, TODAY, "list.csv")
    assert isinstance(answer, e.DrugEntryProposed)
    assert (answer.version, answer.changes, answer.source) == (1, (), "list.csv")


def test_what_was_taken_off_the_list_may_come_back_as_it_was() -> None:
    off = version(1, TODAY - DAY, "K01", "K02", gone=TODAY)
    assert code(rules.propose("K02", SOUND, TODAY, (off,), PEOPLE, TODAY, "screen")) == ""


@pytest.mark.parametrize(
    ("coming", "why"),
    [
        (version(2, TODAY), "entry_still_open"),
        (version(2, TODAY, "K01"), "entry_still_open"),
        (version(2, TODAY + DAY, "K01", "K02"), "entry_still_open"),
        (version(2, TODAY, gone=TODAY), ""),
        (version(2, TODAY, "K01", "K02"), ""),
    ],
)
def test_only_one_version_is_on_its_way_at_a_time(coming: object, why: str) -> None:
    assert isinstance(coming, type(OLD))
    drug = replace(SOUND, high_alert=True)
    assert code(rules.propose("K01", drug, TODAY, (OLD, coming), PEOPLE, TODAY, "screen")) == why


def test_a_day_that_is_past_is_refused_and_today_is_not() -> None:
    for day, why in ((TODAY - timedelta(days=1), "entry_date_past"), (TODAY, "")):
        assert code(rules.propose("K01", SOUND, day, (), PEOPLE, TODAY, "screen")) == why


def test_only_keepers_propose_sign_and_take_back() -> None:
    for by in ("N01", "nobody"):
        assert code(rules.propose(by, SOUND, TODAY, (), PEOPLE, TODAY, "screen")) == "drug_list_keepers_only"
        assert code(rules.sign(by, version(1, TODAY), PEOPLE)) == "drug_list_keepers_only"
        gone = rules.withdraw(by, OLD, (OLD,), "why", PEOPLE, TODAY)
        assert code(gone) == "drug_list_keepers_only"


def test_whoever_proposed_may_sign_first_and_somebody_else_second() -> None:
    first = rules.sign("K01", version(1, TODAY), PEOPLE)
    assert isinstance(first, e.DrugEntrySigned)
    assert (first.by, first.place) == ("K01", 1)
    half = version(1, TODAY, "K01")
    assert code(rules.sign("K01", half, PEOPLE)) == "entry_same_signer"
    second = rules.sign("K02", half, PEOPLE)
    assert isinstance(second, e.DrugEntrySigned)
    assert (second.by, second.place, second.proposal) == ("K02", 2, half.entry)


def test_what_is_done_with_is_not_signed_or_taken_back_again() -> None:
    assert code(rules.sign("K03", OLD, PEOPLE)) == "entry_signed_before"
    gone, new = version(2, TODAY, gone=TODAY), version(3, TODAY, "K01", "K02")
    assert code(rules.sign("K03", gone, PEOPLE)) == "entry_withdrawn_before"
    assert code(rules.withdraw("K03", gone, (OLD, gone), "why", PEOPLE, TODAY)) == "entry_withdrawn_before"
    assert code(rules.withdraw("K03", OLD, (OLD, gone, new), "why", PEOPLE, TODAY)) == "entry_replaced"
    assert code(rules.withdraw("K03", new, (OLD, gone, new), " ", PEOPLE, TODAY)) == "entry_needs_reason"
