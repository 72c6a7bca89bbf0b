"""A drug list that comes in as a file: tried, shown, proposed, signed by two. All of it is real."""

from __future__ import annotations

import csv

import pytest
from openpyxl import Workbook  # type: ignore[import-untyped]

from kiosk.core.preparation.drug_list_events import DrugEntryProposed
from kiosk.feeds.drug_list_rows import DRUG_LIST, write_drug_list
from kiosk.pages.parts import Lines
from kiosk.wiring.home import Home
from tests.counter import NOW, ward
from tests.journeys.drug_desk import DAY, Counter, counter, in_force, lines, second_keeper
from tests.journeys.keeper import house, presses, rows, sign_on

__all__ = ["counter"]


def listed(**changes: dict[str, str]) -> list[dict[str, str]]:
    """The demo list as rows, the first row of some drugs changed; all from tomorrow on."""
    text = write_drug_list((drug, (NOW + DAY).date()) for drug in ward().drugs)
    found = list(csv.DictReader(text.splitlines()))
    for name, cells in changes.items():
        next(row for row in found if row["id"] == name).update(cells)
    return found


def put_csv(home: Home, content: list[dict[str, str]]) -> str:
    with (home.inbox / "drugs.csv").open("w", encoding="utf-8", newline="") as out:
        writer = csv.DictWriter(out, DRUG_LIST)
        writer.writeheader()
        writer.writerows(content)
    return "drugs.csv"


def put_xlsx(home: Home, content: list[dict[str, str]]) -> str:
    made = Workbook()
    made.active.append(DRUG_LIST)
    for row in content:
        made.active.append([row[column] for column in DRUG_LIST])
    made.save(home.inbox / "drugs.xlsx")
    return "drugs.xlsx"


@pytest.mark.parametrize("put", [put_csv, put_xlsx])
def test_a_file_is_tried_shown_proposed_and_signed_by_two(counter: Counter, put: object) -> None:
    home, store, hand = counter
    assert callable(put)
    name = put(home, listed(prochlorperazine={"high": "10"}, ketorolac={"high_alert": "yes"}))
    before = len(store.ledger.house_events())
    presses(hand, ["inbox", f"file:{name}"])
    page = hand.wait("keeping-tried")
    assert isinstance(page.control, Lines)
    assert {(line.at, line.text, line.detail) for line in page.control.lines} == {
        (
            "prochlorPERazine",
            "changed, from 17 Mar 2026",
            "Most in one dose, from 12 years on, into muscle: 12.5 mg → 10 mg",
        ),
        ("ketorolac", "changed, from 17 Mar 2026", "High-alert: no → yes"),
    }
    assert "changed 2" in page.help
    assert len(store.ledger.house_events()) == before
    hand.press("take-in")
    page = hand.wait("keeping-drugs")
    assert page.heard == f"{name}: 2 versions are proposed. Two keepers sign each before it is used."
    assert {one.source for one in house(store, DrugEntryProposed)[-2:]} == {name}
    assert not (home.inbox / name).exists()
    presses(hand, ["sign-first", "sign", "sign", "sign-second"])
    second_keeper(hand)
    presses(hand, ["sign", "sign"])
    hand.wait("keeping-drugs")
    assert [in_force(store), in_force(store, 1)] == [1, 2]


def test_a_version_that_a_keeper_leaves_unsigned_waits(counter: Counter) -> None:
    home, store, hand = counter
    put_csv(home, listed(prochlorperazine={"high": "10"}, ketorolac={"high_alert": "yes"}))
    presses(hand, ["inbox", "file:drugs.csv", "take-in", "sign-first", "skip", "sign"])
    hand.wait("keeping-drugs")
    assert [v.signed for v in store.drugs.versions("ketorolac")][-1] == ()
    assert [v.signed for v in store.drugs.versions("prochlorperazine")][-1] == ("K01",)


BAD = [
    ({"high": "4"}, "goes from 5 mg to 4 mg"),
    ({"unit": "spoon"}, "unit"),
    ({"strengths": ""}, "has no strength"),
    ({"effective_from": "2026-03-15"}, "a day that is past"),
    ({"controlled": "yes"}, "controlled of haloPERidol would change"),
    ({"measured_in": "spoon"}, "measured_in"),
    ({"allowed_error": "5"}, "allowed error"),
    ({"looks_like": "nothing-listed"}, "nothing-listed"),
]


@pytest.mark.parametrize(("cells", "says"), BAD, ids=[says for _, says in BAD])
def test_a_file_with_a_bad_row_says_where_and_proposes_nothing(
    counter: Counter, cells: dict[str, str], says: str
) -> None:
    home, store, hand = counter
    put_csv(home, listed(haloperidol=cells | {"name": "haloPERidol"}, ketorolac={"high_alert": "yes"}))
    if "high" in cells:
        put_csv(home, listed(prochlorperazine=cells))
    presses(hand, ["inbox", "file:drugs.csv"])
    page = hand.wait("keeping-tried")
    assert any(says in text for text in rows(hand)), rows(hand)
    assert isinstance(page.control, Lines)
    assert all(line.at.startswith("line ") for line in page.control.lines)
    assert [key.name for key in page.keys] == ["back"]
    assert len(store.drugs.everything()["ketorolac"]) == 1


def test_a_further_row_may_not_say_again_what_the_drug_is(counter: Counter) -> None:
    home, _, hand = counter
    content = listed()
    content[1]["name"] = "something else"
    put_csv(home, content)
    presses(hand, ["inbox", "file:drugs.csv"])
    assert list(rows(hand)) == [
        "Line 3 of drugs.csv: name says again what the drug is; line 2 says it already."
    ]


def test_a_list_given_out_and_taken_in_again_changes_nothing(counter: Counter) -> None:
    home, _, hand = counter
    hand.press("give-out")
    (given,) = home.outbox.glob("drug-list-*.csv")
    given.rename(home.inbox / given.name)
    hand.pass_time(24 * 60 * 60)
    hand.driver.tick()
    sign_on(hand, "K01")
    presses(hand, ["inbox", f"file:{given.name}"])
    page = hand.wait("keeping-tried")
    assert f"the same {len(ward().drugs)}" in page.help
    assert [key.name for key in page.keys] == ["back"]


def test_a_new_drug_comes_in_as_version_one_and_needs_its_two_signatures_too(counter: Counter) -> None:
    home, store, hand = counter
    content = [row | {"id": "tiapride"} for row in listed() if row["id"] == "haloperidol"]
    content[0] |= {"name": "tiapride", "looks_like": ""}
    put_csv(home, content)
    presses(hand, ["inbox", "file:drugs.csv", "take-in", "sign-first"])
    assert lines(hand)["Name"] == "tiapride"
    hand.press("sign")
    new = store.drugs.versions("tiapride")[0].drug
    assert in_force(store, 1, new) == 0
    hand.press("sign-second")
    second_keeper(hand)
    hand.press("sign")
    assert in_force(store, 1, new) == 1
