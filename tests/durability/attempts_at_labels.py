"""Ways to get a label by SQL after a gap, or under a weaker form of check, with entries forged.

Who does this has the file and no key: the guards let an unmarked entry pass where it is in line, and proving
the record tells of it. What matters here is that no label row stands afterwards without a word.
"""

from __future__ import annotations

import json
import random
import sqlite3
from collections.abc import Callable
from datetime import timedelta
from functools import wraps
from hashlib import sha256
from typing import Any, Final, TypeAlias

from kiosk.core.preparation.two_people import MATTERS
from tests.store import samples as s

Attempt: TypeAlias = Callable[[sqlite3.Connection, random.Random], None]
FORMS: Final = {"prep-7": "self-check after a pause", "prep-6": "seen by a witness"}
FACTS: Final = "f" * 64


def forge(raw: sqlite3.Connection, preparation: str, kind: str, at: str = "", **body: Any) -> int:
    """Append an entry without a mark, in line and linked."""
    seq, prev = raw.execute("SELECT seq, hash FROM ledger ORDER BY seq DESC LIMIT 1").fetchone()
    said = {
        "prev": prev,
        "seq": seq + 1,
        "at": at or s.NOW.isoformat(timespec="microseconds"),
        "by": str(body.get("by", "")),
        "kind": kind,
        "preparation": preparation,
        "key": f"forged-{seq}",
        "part": 0,
        "body": body,
    }
    text = json.dumps(said, separators=(",", ":"))
    row = (seq + 1, text, sha256(text.encode()).hexdigest(), "0" * 64)
    raw.execute("INSERT INTO ledger (seq, entry, hash, mark) VALUES (?, ?, ?, ?)", row)
    return int(seq) + 1


def _read(raw: sqlite3.Connection, preparation: str, by: str, matters: tuple[str, ...]) -> None:
    for matter in matters:
        forge(raw, preparation, "Stated", by=by, facts=FACTS, matter=matter, round=1, value="x", took_s=3)


def _vouch(raw: sqlite3.Connection, preparation: str, people: list[str], form: str) -> None:
    seq = forge(raw, preparation, "Vouched", facts=FACTS, people=people, form=form)
    for person in people:
        raw.execute("INSERT INTO vouchers VALUES (?, ?, ?, ?, 1)", (preparation, FACTS, person, seq))


def _label(raw: sqlite3.Connection, preparation: str, by: str) -> None:
    seq = forge(raw, preparation, "LabelRequested", by=by, digest=FACTS, copy=1, reason="")
    raw.execute("INSERT INTO labels VALUES (?, 1, ?, 'printed', ?)", (preparation, FACTS, seq))


def label_on_vouchers_of_before_a_gap(raw: sqlite3.Connection, chance: random.Random) -> None:
    """Two people vouched, then the syringe was left: ask for its label, some of the check forged anew."""
    people = chance.sample(["p-five", "p-olu"], chance.randint(0, 1))
    for person in people:
        _read(raw, "prep-5", person, MATTERS)
    if people:
        _vouch(raw, "prep-5", people, "independent second person")
    _label(raw, "prep-5", "p-five")


def label_after_no_self_check(raw: sqlite3.Connection, chance: random.Random) -> None:
    """A self-check that began too soon, by another, or left a matter out."""
    soon = (s.NOW + timedelta(minutes=chance.randint(0, 1))).isoformat(timespec="microseconds")
    late = (s.NOW + timedelta(minutes=3)).isoformat(timespec="microseconds")
    by, at, matters = chance.choice(
        [
            ("p-prep-7", soon, MATTERS),
            ("p-olu", late, MATTERS),
            ("p-prep-7", late, MATTERS[: chance.randint(0, 3)]),
        ]
    )
    if chance.random() < 0.8:
        forge(raw, "prep-7", "SelfCheckBegan", at, by=by)
    _read(raw, "prep-7", "p-prep-7", matters)
    _vouch(raw, "prep-7", ["p-prep-7"], FORMS["prep-7"])
    _label(raw, "prep-7", "p-prep-7")


def label_that_nobody_witnessed(raw: sqlite3.Connection, chance: random.Random) -> None:
    """The preparer as their own witness, or somebody without the role, or a witness who came too late."""
    way = chance.randrange(4)
    if way < 2:
        forge(raw, "prep-6", "Witnessed", by=("p-prep-6", "p-wim")[way])
    if way == 0 and chance.random() < 0.5:
        raw.execute("INSERT INTO roles VALUES ('prep-6', 'p-prep-6', 'witness')")
    _vouch(raw, "prep-6", ["p-prep-6"], FORMS["prep-6"])
    if way == 3:
        forge(raw, "prep-6", "Witnessed", by="p-wim")
        raw.execute("INSERT INTO roles VALUES ('prep-6', 'p-wim', 'witness')")
    _label(raw, "prep-6", "p-prep-6")


def turn_into_a_weaker_form(raw: sqlite3.Connection, chance: random.Random) -> None:
    """Make a syringe that two people must check one that a glance will do for; or vouch in another form."""
    which, form = (
        chance.choice(["prep-5", "prep-9", "prep-6", "prep-7"]),
        chance.choice(["", *FORMS.values()]),
    )
    chance.choice(
        [
            lambda: raw.execute("UPDATE preparations SET form = ? WHERE id = ?", (form, which)),
            lambda: raw.execute(
                "UPDATE preparations SET needs_second = 0, form = ? WHERE id = ?", (form, which)
            ),
            lambda: _vouch(raw, which, [f"p-{which}"], chance.choice(["one person", *FORMS.values()])),
        ]
    )()


def ask_for_weaker_forms_in_the_record(raw: sqlite3.Connection, chance: random.Random) -> None:
    """Forge the policy, then begin a syringe under it."""
    forms = chance.choice(list(FORMS.values()))
    forge(raw, "", "PolicyChanged", by="", name="check_forms", was="", now=forms, source="file")
    columns = "id, order_id, patient, drug, code, needs_second, preparer, opened_at, form"
    ref = raw.execute("SELECT min(ref) FROM patients_seen").fetchone()[0]
    row = ("new", "o-new", ref, "gentamicin", "A-new", 0, "p-new", s.NOW.isoformat(), forms)
    raw.execute(f"INSERT INTO preparations ({columns}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", row)


def all_or_nothing(attempt: Attempt) -> Attempt:
    """An attempt of several steps, taken back whole where one of them is refused."""

    @wraps(attempt)
    def tried(raw: sqlite3.Connection, chance: random.Random) -> None:
        raw.execute("BEGIN")
        try:
            attempt(raw, chance)
        except sqlite3.Error:
            raw.execute("ROLLBACK")
            raise
        raw.execute("COMMIT")

    return tried


ATTEMPTS_AT_LABELS: Final = tuple(
    all_or_nothing(attempt)
    for attempt in (
        label_on_vouchers_of_before_a_gap,
        label_after_no_self_check,
        label_that_nobody_witnessed,
        turn_into_a_weaker_form,
        ask_for_weaker_forms_in_the_record,
    )
)
