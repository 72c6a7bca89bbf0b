"""How a lock of the database is written: a trigger that refuses."""

from __future__ import annotations


def refuse(name: str, when: str, table: str, unless: str, why: str) -> str:
    """Return a trigger that refuses ``when`` on ``table`` where the condition ``unless`` holds."""
    condition = f" WHEN {unless}" if unless else ""
    return (
        f"CREATE TRIGGER {name} BEFORE {when} ON {table} FOR EACH ROW{condition} "
        f"BEGIN SELECT RAISE(ABORT, '{why}'); END"
    )


def kept(table: str, rows: str) -> list[str]:
    """Return the guards of a table whose rows are never deleted or changed."""
    return [
        refuse(f"{table}_no_delete", "DELETE", table, "", f"{rows} are never deleted"),
        refuse(f"{table}_no_change", "UPDATE", table, "", f"{rows} are never changed"),
    ]
