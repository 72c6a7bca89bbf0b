"""The report on second checks as files: a row for each check, and one JSON with checks, pairs and signs."""

from __future__ import annotations

import csv
from typing import Final, TextIO

from kiosk.core.checks.independence import took_s
from kiosk.core.preparation.two_people import MATTERS
from kiosk.flow.keeping import ChecksReport
from kiosk.flow.said import facts_said
from kiosk.store import codec

COLUMNS: Final = (
    *("preparation", "preparer", "checker", "rounds", "checker_s"),
    *(f"{matter}_s" for matter in MATTERS),
    *("differed", "same_mistake"),
)


def checks_to_csv(report: ChecksReport, out: TextIO) -> None:
    """Write each check in a row: seconds by matter of the checker, in all rounds; where anybody was wrong.

    ``same_mistake`` are the matters on which both gave the very same wrong answer. Several matters are parted
    by spaces.
    """
    lines = csv.writer(out)
    lines.writerow(COLUMNS)
    alike = _alike(report)
    for check in report.checks:
        own = [reading for reading in check.readings if reading.who == check.checker]
        seconds = [sum(one.took_s for one in own if one.matter == matter) for matter in MATTERS]
        wrong = dict.fromkeys(reading.matter for reading in check.readings if not reading.right)
        people = (check.preparation, check.preparer, check.checker)
        rounds = max((reading.round for reading in check.readings), default=0)
        same = " ".join(alike.get(check.preparation, ()))
        lines.writerow((*people, rounds, took_s(check), *seconds, " ".join(wrong), same))


def checks_to_json(report: ChecksReport) -> str:
    """Return the whole report as JSON."""
    return codec.to_text(
        {
            "since": report.since.isoformat(),
            "checks": [codec.written(check) for check in report.checks],
            "pairs": [codec.written(pair) for pair in report.pairs],
            "signs": [
                {"id": sign.id, "level": sign.level.value, "facts": dict(facts_said(sign.facts))}
                for sign in report.signs
            ],
        }
    )


def _alike(report: ChecksReport) -> dict[str, list[str]]:
    """Return the matters of each syringe on which both were wrong alike."""
    found = dict[str, list[str]]()
    for sign in report.signs:
        if sign.id == "same_mistake":
            found.setdefault(str(sign.facts["preparation"]), []).append(str(sign.facts["matter"]))
    return found
