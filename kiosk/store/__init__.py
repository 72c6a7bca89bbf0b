"""The record: an append-only ledger in SQLite, its projections, people and stock."""
