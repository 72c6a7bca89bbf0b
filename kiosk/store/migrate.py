"""Bringing an older database up to this version, or back. Loads the migration tool; start-up does not.

Before anything is changed the file is copied beside itself. A step that fails leaves the file as it was.
"""

from __future__ import annotations

from pathlib import Path
from typing import Final

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from alembic.util import CommandError
from sqlalchemy import Connection, create_engine, event
from sqlalchemy.pool import NullPool

from kiosk.flow.ports import RecordTrouble
from kiosk.store.backup import copy_as_it_is
from kiosk.store.prepared import SCHEMA_VERSION

MIGRATIONS: Final = Path(__file__).with_name("migrations")


def versions() -> list[str]:
    """Return every schema version there was, oldest first."""
    found = ScriptDirectory.from_config(_config()).walk_revisions()
    return [script.revision for script in found][::-1]


def upgrade(database: Path, to: str = SCHEMA_VERSION) -> Path:
    """Bring a database up to a version and return the copy made before. Raises ``RecordTrouble``."""
    return _move(database, to, command.upgrade)


def downgrade(database: Path, to: str) -> Path:
    """Bring a database back to a version (``base`` is none at all) and return the copy made before."""
    return _move(database, to, command.downgrade)


def _move(database: Path, to: str, step: object) -> Path:
    """Copy the database, then run the steps in one transaction."""
    copy = database.with_name(f"{database.name}.before-{to}")
    copy_as_it_is(database, copy)
    engine = create_engine(f"sqlite:///{database}", poolclass=NullPool)
    event.listen(engine, "connect", _leave_transactions_alone)
    event.listen(engine, "begin", _begin)
    try:
        with engine.begin() as connection:
            assert callable(step)
            step(_config(connection), to)
    except CommandError as trouble:
        raise RecordTrouble("other", f"no way to version {to}: {trouble}") from trouble
    finally:
        engine.dispose()
    return copy


def _leave_transactions_alone(connection: object, record: object) -> None:
    """Let the driver open no transactions of its own: they would leave table changes outside."""
    connection.isolation_level = None  # type: ignore[attr-defined]


def _begin(connection: Connection) -> None:
    """Begin in earnest."""
    connection.exec_driver_sql("BEGIN IMMEDIATE")


def _config(connection: Connection | None = None) -> Config:
    """Return the tool's settings, without a file."""
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.attributes["connection"] = connection
    return config
