"""Ways to change what stands beside the record: lists, drawers, the book of stock, wrong tries at badges."""

from __future__ import annotations

import random
import sqlite3
from typing import Final, TypeAlias

Raw: TypeAlias = sqlite3.Connection
Chance: TypeAlias = random.Random

LISTS: Final = ("products", "devices", "patients", "orders", "containers")


def change_a_list(raw: Raw, chance: Chance) -> None:
    """Another text or number somewhere in a list, a row gone, or one more that looks like another."""
    table = chance.choice(LISTS)
    columns = [row[1] for row in raw.execute(f"PRAGMA table_info({table})")]
    rows = raw.execute(f"SELECT id FROM {table}").fetchall()
    (id,) = chance.choice(rows)
    column = chance.choice(columns)
    others = [name for name in columns if name != "id"]
    named, copied = ", ".join(f'"{name}"' for name in columns), ", ".join(f'"{name}"' for name in others)
    chance.choice(
        [
            lambda: raw.execute(f"""UPDATE {table} SET "{column}" = "{column}" || '1' WHERE id = ?""", (id,)),
            lambda: raw.execute(f"UPDATE {table} SET body = replace(body, '1', '2') WHERE id = ?", (id,)),
            lambda: raw.execute(f"DELETE FROM {table} WHERE id = ?", (id,)),
            lambda: raw.execute(
                f"INSERT INTO {table} ({named}) SELECT 'x-new', {copied} FROM {table} WHERE id = ?", (id,)
            ),
        ]
    )()


def forget_wrong_tries(raw: Raw, chance: Chance) -> None:
    chance.choice(
        [
            lambda: raw.execute("DELETE FROM tries"),
            lambda: raw.execute("UPDATE tries SET failures = ?, locked_at = NULL", (chance.randint(0, 2),)),
            lambda: raw.execute("UPDATE tries SET last_at = '2020-01-01T00:00:00.000000+00:00'"),
            lambda: raw.execute("UPDATE tries SET digest = 'x' || digest"),
            lambda: raw.execute("INSERT INTO tries VALUES ('other', 5, 'x', 'x', 'x')"),
        ]
    )()


def change_the_stock_book(raw: Raw, chance: Chance) -> None:
    table = chance.choice(["stock_book", "handovers"])
    column = chance.choice([row[1] for row in raw.execute(f"PRAGMA table_info({table})")])
    chance.choice(
        [
            lambda: raw.execute(f'UPDATE {table} SET "{column}" = ?', (chance.choice(["p-new", 7, None]),)),
            lambda: raw.execute(f"DELETE FROM {table}"),
        ]
    )()


ATTEMPTS_AT_LISTS: Final = (change_a_list, forget_wrong_tries, change_the_stock_book)
