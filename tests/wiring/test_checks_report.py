"""The keeper's report on second checks says what real entries amount to; every figure here is by hand."""

from __future__ import annotations

import csv
import json
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from kiosk.core.checks.independence import Pair
from kiosk.core.preparation import events as e
from kiosk.pages.words import Words
from kiosk.tables.words import words
from kiosk.wiring.home import Home
from kiosk.wiring.record_office import RecordDesk
from tests.store import samples as s

RIGHT = {"container": "gent-40|L77", "figure": "3/2 mL", "needle": "25 G 25 mm", "plunger": "3/2 mL"}
# Seconds for each matter: each just at the least of independence.csv, but a second more for the figure.
STEADY = {"container": 1, "figure": 6, "needle": 2, "plunger": 3}
WEEK = timedelta(weeks=1)


def readings(
    by: str, took: dict[str, int], said: dict[str, str] | None = None, round: int = 1
) -> list[e.Event]:
    values = RIGHT | (said or {})
    return [e.Stated(by, m, values[m], s.FACTS, round, seconds) for m, seconds in took.items()]


def check(
    store: s.Store, n: int, preparer: str, checker: str, *, took: dict[str, int] = STEADY, wrong: str = ""
) -> None:
    """One syringe checked and given up. ``wrong`` is a figure that both of them give in the first round."""
    first = {"figure": wrong} if wrong else {}
    events: list[e.Event] = [s.opened(s.an_order(f"o-{n}"), by=preparer, code=f"A{n}")]
    events += readings(preparer, STEADY, first)
    events += [e.CheckerCame(checker), *readings(checker, took, first)]
    if wrong:
        events.append(e.Differed(("figure",), 1))
        events += readings(preparer, {"figure": 6}, round=2)
        events += readings(checker, {"figure": 6}, round=2)
    events.append(e.Discarded(preparer, "x"))
    store.ledger.append(f"prep-{n}", events, s.NOW + n * s.MINUTE, f"k{n}")


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[RecordDesk]:
    """Twelve checks: nine of p-ines by p-olu, one by p-wim, two of p-two by p-wim; one long before."""
    with s.a_store(tmp_path) as store:
        check(store, 0, "p-ines", "p-wim")
        for n in range(1, 10):
            hasty = STEADY | {"figure": 4}
            check(
                store,
                n,
                "p-ines",
                "p-olu",
                took=hasty if n == 5 else STEADY,
                wrong="5/2 mL" if n == 3 else "",
            )
        check(store, 10, "p-two", "p-wim")
        check(store, 11, "p-two", "p-wim")
        yield RecordDesk(store, Home(tmp_path), Words(words("en"), "en"))


def test_the_report_says_what_the_entries_amount_to(desk: RecordDesk) -> None:
    report = desk.second_checks(s.NOW - WEEK)
    assert len(report.checks) == 12
    # p-olu: seven times 1 + 6 + 2 + 3 = 12 s, once 10 s (a figure in 4 s), once 18 s (a second round of 6 s):
    # the middle of nine is 12 s. One of the nine differed.
    assert report.pairs == (
        Pair("p-ines", "p-olu", 9, 10, 12, 1),
        Pair("p-two", "p-wim", 2, 2, 12, 0),
        Pair("p-ines", "p-wim", 1, 10, 12, 0),
    )
    signs = {sign.id: dict(sign.facts) for sign in report.signs}
    assert len(report.signs) == 3
    assert signs["same_mistake"] == {
        "preparation": "prep-3",
        "preparer": "p-ines",
        "checker": "p-olu",
        "matter": "figure",
        "value": "5/2 mL",
    }
    assert signs["checked_too_fast"] == {"preparation": "prep-5", "checker": "p-olu", "matters": ("figure",)}
    # 9 of 10 is at least 0.8, and ten checks are enough to speak of a habit (independence.csv).
    assert signs["always_the_same_pair"] == {"preparer": "p-ines", "checker": "p-olu", "times": 9, "of": 10}
    # p-wim never found anything in three; the others differ in 1 of 9: (8/9)^3 = 0.70, which is only luck.
    assert "checker_never_differs" not in signs


def test_only_checks_since_the_moment_count(desk: RecordDesk) -> None:
    report = desk.second_checks(s.NOW + 10 * s.MINUTE)
    assert report.pairs == (Pair("p-two", "p-wim", 2, 2, 12, 0),)
    assert report.signs == ()


def test_the_report_goes_out_as_csv_and_json_with_the_same_figures(desk: RecordDesk) -> None:
    names = desk.export_checks(desk.second_checks(s.NOW - WEEK), s.NOW)
    assert isinstance(names, str)
    table, whole = (desk.home.outbox / name for name in names.split(", "))
    rows = {row["preparation"]: row for row in csv.DictReader(table.read_text(encoding="utf-8").splitlines())}
    assert len(rows) == 12
    third = rows["prep-3"]
    assert (third["rounds"], third["checker_s"], third["figure_s"]) == ("2", "18", "12")
    assert (third["differed"], third["same_mistake"]) == ("figure", "figure")
    assert (rows["prep-5"]["checker_s"], rows["prep-5"]["figure_s"]) == ("10", "4")
    assert rows["prep-1"]["differed"] == rows["prep-1"]["same_mistake"] == ""
    said = json.loads(whole.read_text(encoding="utf-8"))
    assert said["pairs"][0] == {
        "preparer": "p-ines",
        "checker": "p-olu",
        "times": 9,
        "of": 10,
        "median_s": 12,
        "differed": 1,
    }
    assert [sign["id"] for sign in said["signs"]] == [
        "same_mistake",
        "checked_too_fast",
        "always_the_same_pair",
    ]
