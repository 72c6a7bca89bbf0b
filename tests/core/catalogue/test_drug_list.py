"""Which version of an entry is in force on a day, and what is said where none is."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from kiosk.core.catalogue.drug_list import (
    EntryVersion,
    Standing,
    Withdrawal,
    in_force,
    listed,
    open_version,
    standing,
)
from kiosk.core.findings import Refusal
from tests.core.catalogue.test_drug_sense import SOUND

TODAY = date(2026, 3, 16)
AT = datetime(2026, 3, 1, 8, tzinfo=UTC)
DAY = timedelta(days=1)


def version(number: int, effective: date, *signed: str, gone: date | None = None) -> EntryVersion:
    withdrawn = Withdrawal("K01", gone, "a slip of the pen") if gone else None
    return EntryVersion(SOUND, number, effective, "K01", AT, number, signed, withdrawn)


OLD = version(1, date(2026, 1, 1), "K01", "K02")


@pytest.mark.parametrize(
    ("new", "number", "stands"),
    [
        (version(2, TODAY, "K02", "K03"), 2, Standing.IN_FORCE),
        (version(2, TODAY), 1, Standing.UNSIGNED),
        (version(2, TODAY, "K01"), 1, Standing.HALF_SIGNED),
        (version(2, TODAY, "K01", "K01"), 1, Standing.HALF_SIGNED),
        (version(2, TODAY + DAY, "K01", "K02"), 1, Standing.TO_COME),
        (version(2, TODAY + DAY, "K01", "K02", gone=TODAY), 1, Standing.WITHDRAWN),
        (version(2, TODAY, "K01", gone=TODAY), 1, Standing.WITHDRAWN),
        (version(2, TODAY, "K01", "K02", gone=TODAY), None, Standing.WITHDRAWN),
    ],
    ids=lambda x: x.value if isinstance(x, Standing) else "",
)
def test_the_newest_that_two_signed_and_whose_day_has_come_is_in_force(
    new: EntryVersion, number: int | None, stands: Standing
) -> None:
    found = in_force((OLD, new), TODAY)
    assert (found.number if found else None) == number
    assert standing(new, (OLD, new), TODAY) is stands


def test_a_version_replaced_says_so() -> None:
    assert standing(OLD, (OLD, version(2, TODAY, "K01", "K02")), TODAY) is Standing.REPLACED


def test_a_new_version_ends_the_gap_that_a_withdrawal_left() -> None:
    gone, new = version(2, TODAY - DAY, "K01", "K02", gone=TODAY), version(3, TODAY, "K01", "K02")
    assert in_force((OLD, gone), TODAY) is None
    assert in_force((OLD, gone, new), TODAY) == new


def test_only_the_last_version_can_be_on_its_way() -> None:
    coming = version(2, TODAY + DAY, "K01", "K02")
    assert open_version((OLD,), TODAY) is None
    assert open_version((OLD, coming), TODAY) == coming
    assert open_version((OLD, coming), TODAY + DAY) is None


@pytest.mark.parametrize(
    ("versions", "code"),
    [
        ((), "drug_not_listed"),
        ((version(1, TODAY),), "drug_entry_unsigned"),
        ((version(1, TODAY, "K01"),), "drug_entry_unsigned"),
        ((version(1, TODAY + DAY, "K01", "K02"),), "drug_entry_to_come"),
        ((replace(OLD, withdrawn=Withdrawal("K01", TODAY, "recalled")),), "drug_entry_withdrawn"),
        ((version(1, TODAY, gone=TODAY),), "drug_not_listed"),
    ],
    ids=lambda x: x if isinstance(x, str) else "",
)
def test_without_one_it_is_said_why(versions: tuple[EntryVersion, ...], code: str) -> None:
    answer = listed("haloperidol", versions, TODAY)
    assert isinstance(answer, Refusal)
    assert answer.code == code


def test_how_many_signatures_are_missing_is_said() -> None:
    for signed, missing in (((), 2), (("K01",), 1)):
        answer = listed("haloperidol", (version(1, TODAY, *signed),), TODAY)
        assert isinstance(answer, Refusal)
        assert answer.facts["missing"] == missing
