"""How the migration tool runs here: on the connection it is handed, nothing else."""

from __future__ import annotations

from alembic import context

from kiosk.store.schema import metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=metadata,
    transaction_per_migration=False,
)
with context.begin_transaction():
    context.run_migrations()
