"""Ways to tamper with a record by SQL, each with chance's choice of where and what."""

from __future__ import annotations

import json
import random
import sqlite3
from collections.abc import Callable
from hashlib import sha256
from typing import Any, Final, TypeAlias

from tests.durability.attempts_at_labels import ATTEMPTS_AT_LABELS
from tests.durability.attempts_at_lists import ATTEMPTS_AT_LISTS
from tests.store.tampering import rechain

Raw: TypeAlias = sqlite3.Connection
Chance: TypeAlias = random.Random
Attempt: TypeAlias = Callable[[Raw, Chance], object]
DRUGS: Final = ("drug_entries", "drug_signatures", "drug_withdrawals")


def a_place(raw: Raw, chance: Chance) -> int:
    """The place of some entry."""
    return chance.randint(1, int(raw.execute("SELECT max(seq) FROM ledger").fetchone()[0]))


def last(raw: Raw) -> int:
    """The last place."""
    return int(raw.execute("SELECT max(seq) FROM ledger").fetchone()[0])


def text_of(raw: Raw, seq: int) -> str:
    """The text of an entry."""
    return str(raw.execute("SELECT entry FROM ledger WHERE seq = ?", (seq,)).fetchone()[0])


def altered(text: str, chance: Chance) -> str:
    """The text of an entry, with one value in it altered and still JSON."""
    said: dict[str, Any] = json.loads(text)
    where = chance.choice([said, said["body"]])
    name = chance.choice(sorted(where))
    old = where[name]
    if isinstance(old, bool):
        where[name] = not old
    elif isinstance(old, int):
        where[name] = old + chance.choice([-1, 1, 9])
    else:
        where[name] = chance.choice(["p-ines", "p-olu", "1/1 mL", "", "x", 3])
    return json.dumps(said, separators=(",", ":"))


def alter_an_entry(raw: Raw, chance: Chance) -> None:
    seq = a_place(raw, chance)
    raw.execute("UPDATE ledger SET entry = ? WHERE seq = ?", (altered(text_of(raw, seq), chance), seq))


def alter_an_entry_and_its_hash(raw: Raw, chance: Chance) -> None:
    seq = a_place(raw, chance)
    text = altered(text_of(raw, seq), chance)
    values = (text, sha256(text.encode()).hexdigest(), seq)
    raw.execute("UPDATE ledger SET entry = ?, hash = ? WHERE seq = ?", values)


def alter_an_entry_and_chain_all_again(raw: Raw, chance: Chance) -> None:
    seq = a_place(raw, chance)
    raw.execute("UPDATE ledger SET entry = ? WHERE seq = ?", (altered(text_of(raw, seq), chance), seq))
    rechain(raw, seq)


def alter_one_character(raw: Raw, chance: Chance) -> None:
    seq = a_place(raw, chance)
    text = text_of(raw, seq)
    at = chance.randrange(len(text))
    text = text[:at] + chance.choice('0123456789abcdef{}",: ') + text[at + 1 :]
    raw.execute("UPDATE ledger SET entry = ? WHERE seq = ?", (text, seq))


def alter_a_hash_or_mark(raw: Raw, chance: Chance) -> None:
    column, other = chance.sample(["hash", "mark", "'0'"], 2)
    if column != "'0'":
        raw.execute(f"UPDATE ledger SET {column} = {other} WHERE seq = ?", (a_place(raw, chance),))


def remove_entries(raw: Raw, chance: Chance) -> None:
    first = a_place(raw, chance)
    raw.execute("DELETE FROM ledger WHERE seq BETWEEN ? AND ?", (first, first + chance.randint(0, 3)))


def remove_an_entry_and_close_up(raw: Raw, chance: Chance) -> None:
    seq, end = a_place(raw, chance), last(raw)
    raw.execute("DELETE FROM ledger WHERE seq = ?", (seq,))
    for place in range(seq + 1, end + 1):
        raw.execute("UPDATE ledger SET seq = seq - 1 WHERE seq = ?", (place,))


def remove_an_entry_and_chain_all_again(raw: Raw, chance: Chance) -> None:
    seq, end = a_place(raw, chance), last(raw)
    raw.execute("DELETE FROM ledger WHERE seq = ?", (seq,))
    for place in range(seq + 1, end + 1):
        text = text_of(raw, place).replace(f'"seq":{place},', f'"seq":{place - 1},')
        raw.execute("UPDATE ledger SET seq = seq - 1, entry = ? WHERE seq = ?", (text, place))
    rechain(raw, seq)


def cut_the_tail(raw: Raw, chance: Chance) -> None:
    raw.execute("DELETE FROM ledger WHERE seq > ?", (last(raw) - chance.randint(1, 10),))


def swap_entries(raw: Raw, chance: Chance) -> None:
    one, other = a_place(raw, chance), a_place(raw, chance)
    raw.execute("UPDATE ledger SET seq = -1 WHERE seq = ?", (one,))
    raw.execute("UPDATE ledger SET seq = ? WHERE seq = ?", (one, other))
    raw.execute("UPDATE ledger SET seq = ? WHERE seq = -1", (other,))


def forged(raw: Raw, chance: Chance, seq: int) -> tuple[int, str, str, str]:
    """A row for a place, made from another entry, linked to the one before."""
    said: dict[str, Any] = json.loads(text_of(raw, a_place(raw, chance)))
    row = raw.execute("SELECT hash FROM ledger WHERE seq < ? ORDER BY seq DESC LIMIT 1", (seq,)).fetchone()
    said |= {"prev": row[0] if row else "0" * 64, "seq": seq, "key": f"forged-{chance.random()}"}
    text = json.dumps(said, separators=(",", ":"))
    return seq, text, sha256(text.encode()).hexdigest(), chance.choice(["", "0" * 64])


def append_a_forged_entry(raw: Raw, chance: Chance) -> None:
    row = forged(raw, chance, last(raw) + 1)
    raw.execute("INSERT INTO ledger (seq, entry, hash, mark) VALUES (?, ?, ?, ?)", row)


def insert_a_forged_entry(raw: Raw, chance: Chance) -> None:
    seq = a_place(raw, chance)
    row = forged(raw, chance, seq)
    for place in range(last(raw), seq - 1, -1):
        text = text_of(raw, place).replace(f'"seq":{place},', f'"seq":{place + 1},')
        raw.execute("UPDATE ledger SET seq = seq + 1, entry = ? WHERE seq = ?", (text, place))
    raw.execute("INSERT INTO ledger (seq, entry, hash, mark) VALUES (?, ?, ?, ?)", row)
    rechain(raw, seq)


def replace_an_entry(raw: Raw, chance: Chance) -> None:
    row = forged(raw, chance, a_place(raw, chance))
    raw.execute("INSERT OR REPLACE INTO ledger (seq, entry, hash, mark) VALUES (?, ?, ?, ?)", row)


def put_a_drug_entry_into_force(raw: Raw, chance: Chance) -> None:
    """An entry has one signature: sign it again, let another hand or day count, or forge the rest."""
    seq = chance.choice([a_place(raw, chance), last(raw)])
    signature = "INSERT OR REPLACE INTO drug_signatures VALUES ('gentamicin', 3, 2, ?, ?)"
    chance.choice(
        [
            lambda: raw.execute(signature, (chance.choice(["p-kay", "p-rob", "p-ines"]), seq)),
            lambda: raw.execute("UPDATE drug_signatures SET version = 3 WHERE version = 1 AND place = 2"),
            lambda: raw.execute("UPDATE drug_entries SET effective = '2020-01-01'"),
            lambda: raw.execute("UPDATE drug_entries SET entry = ? WHERE version = 1", (seq,)),
            lambda: raw.execute("DELETE FROM drug_withdrawals"),
            lambda: raw.execute(
                "INSERT OR REPLACE INTO drug_withdrawals VALUES ('gentamicin', 1, 'p-kay', ?)", (seq,)
            ),
            lambda: raw.execute(
                "INSERT OR REPLACE INTO drug_entries VALUES ('gentamicin', ?, '2026-03-15', 'p-kay', ?)",
                (chance.randint(1, 5), seq),
            ),
        ]
    )()


def let_one_person_check_their_own(raw: Raw, chance: Chance) -> None:
    """Self-check: the preparer as checker or witness, in the roles, in the preparation, or by a voucher."""
    where = "WHERE id IN ('prep-1', 'prep-2', 'prep-9')"
    chance.choice(
        [
            lambda: raw.execute(f"UPDATE preparations SET checker = preparer {where}"),
            lambda: raw.execute(f"UPDATE preparations SET witness = preparer {where}"),
            lambda: raw.execute(f"UPDATE preparations SET preparer = checker {where} AND checker NOT NULL"),
            lambda: raw.execute("INSERT INTO roles VALUES ('prep-9', 'p-nine', 'checker')"),
            lambda: raw.execute("UPDATE roles SET person = 'p-ines' WHERE role = 'checker'"),
            lambda: raw.execute("UPDATE OR REPLACE vouchers SET person = 'p-ines'"),
            lambda: raw.execute("INSERT INTO vouchers VALUES ('prep-9', ?, 'p-nine', 5, 1)", ("f" * 64,)),
        ]
    )()


def get_a_label_nobody_owes(raw: Raw, chance: Chance) -> None:
    """A label for a syringe that was not checked, with vouchers and entries forged as far as one can."""
    people = chance.sample(["p-nine", "p-olu", "p-wim"], chance.randint(0, 2))
    seq = last(raw) + 1
    if chance.random() < 0.5:
        raw.execute("UPDATE preparations SET needs_second = 0 WHERE id = 'prep-9'")
    for person in people:
        raw.execute("INSERT OR IGNORE INTO roles VALUES ('prep-9', ?, 'checker')", (person,))
        raw.execute("INSERT INTO vouchers VALUES ('prep-9', ?, ?, ?, 1)", ("f" * 64, person, seq))
    raw.execute("INSERT INTO labels VALUES ('prep-9', ?, ?, 'printed', ?)", (1, "f" * 64, seq))


def change_a_projection(raw: Raw, chance: Chance) -> None:
    table = chance.choice(["preparations", "roles", "vouchers", "labels", "lots_used", *DRUGS])
    columns = [row[1] for row in raw.execute(f"PRAGMA table_info({table})")]
    column = chance.choice(columns)
    value = chance.choice(
        ["p-olu", "p-new", "finished", "L1", 1, 2, None, "2026-01-01T00:00:00.000000+00:00"]
    )
    rows = raw.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
    keys = [row[1] for row in raw.execute(f"PRAGMA table_info({table})") if row[5]]
    row = raw.execute(
        f"SELECT {', '.join(keys)} FROM {table} LIMIT 1 OFFSET {chance.randrange(rows)}"
    ).fetchone()
    where = " AND ".join(f"{key} = ?" for key in keys)
    raw.execute(f'UPDATE OR REPLACE {table} SET "{column}" = ? WHERE {where}', (value, *row))


def remove_from_a_projection(raw: Raw, chance: Chance) -> None:
    beside = ["preparations", "roles", "vouchers", "labels", "lots_used", "patients_seen", *DRUGS]
    table = chance.choice(beside)
    raw.execute(f"DELETE FROM {table} WHERE {chance.choice(['1', 'abs(random()) % 2'])}")


def change_a_patient(raw: Raw, chance: Chance) -> None:
    column = chance.choice(["id", "number", "name", "born", "place", "salt", "ref", "erased_at"])
    value = chance.choice(["H-1", "Somebody Else", "1999-09-09", "", "x"])
    raw.execute(f"UPDATE patients_seen SET {column} = ? WHERE erased_at IS NULL", (value,))


def forget_a_patient_without_a_word(raw: Raw, chance: Chance) -> None:
    erase = "salt = '', id = '', number = '', name = '', born = '', place = '', erased_at = 'x'"
    raw.execute(
        f"UPDATE patients_seen SET {erase} "
        "WHERE ref = (SELECT min(ref) FROM patients_seen WHERE erased_at IS NULL)"
    )


def become_somebody_else(raw: Raw, chance: Chance) -> None:
    """Staff rows: another's badge, another's PIN, more roles, back after leaving, gone altogether."""
    chance.choice(
        [
            lambda: raw.execute(
                "UPDATE people SET roles = '[\"keeper\",\"second checker\"]' WHERE id = 'p-ines'"
            ),
            lambda: raw.execute("UPDATE badges SET person = 'p-kay' WHERE person = 'p-ines'"),
            lambda: raw.execute("UPDATE badges SET ended_at = NULL WHERE ended_at NOT NULL"),
            lambda: raw.execute("UPDATE pins SET hash = (SELECT max(hash) FROM pins)"),
            lambda: raw.execute("UPDATE people SET name = 'Nobody', trainee = 1 - trainee"),
            lambda: raw.execute(f"DELETE FROM {chance.choice(['people', 'badges', 'pins'])}"),
            lambda: raw.execute(
                "INSERT INTO people SELECT 'p-new', name, initials, roles, 0, NULL, mark FROM people LIMIT 1"
            ),
            lambda: raw.execute(f"UPDATE {chance.choice(['people', 'badges', 'pins'])} SET mark = 'x'"),
        ]
    )()


def take_a_lock_off(raw: Raw, chance: Chance) -> None:
    kind = chance.choice(["trigger", "index", "table"])
    names = [
        row[0]
        for row in raw.execute("SELECT name FROM sqlite_master WHERE type = ? AND sql NOT NULL", (kind,))
        if kind != "table" or row[0] in ("roles", "vouchers", "labels", "lots_used", "pins", "badges", *DRUGS)
    ]
    if names:
        raw.execute(f"DROP {kind.upper()} {chance.choice(sorted(names))}")


def slip_something_in(raw: Raw, chance: Chance) -> None:
    chance.choice(
        [
            lambda: raw.execute("CREATE TRIGGER quiet AFTER INSERT ON labels BEGIN DELETE FROM tries; END"),
            lambda: raw.execute("CREATE VIEW more AS SELECT * FROM ledger"),
            lambda: raw.execute("CREATE TABLE more (x)"),
            lambda: raw.execute("ALTER TABLE ledger ADD COLUMN more TEXT"),
            lambda: raw.execute("ALTER TABLE labels RENAME COLUMN outcome TO was"),
        ]
    )()


ATTEMPTS: Final[tuple[Attempt, ...]] = (
    alter_an_entry,
    alter_an_entry_and_its_hash,
    alter_an_entry_and_chain_all_again,
    alter_one_character,
    alter_a_hash_or_mark,
    remove_entries,
    remove_an_entry_and_close_up,
    remove_an_entry_and_chain_all_again,
    cut_the_tail,
    swap_entries,
    append_a_forged_entry,
    insert_a_forged_entry,
    replace_an_entry,
    put_a_drug_entry_into_force,
    let_one_person_check_their_own,
    get_a_label_nobody_owes,
    change_a_projection,
    remove_from_a_projection,
    change_a_patient,
    forget_a_patient_without_a_word,
    become_somebody_else,
    take_a_lock_off,
    slip_something_in,
    *ATTEMPTS_AT_LABELS,
    *ATTEMPTS_AT_LISTS,
)
