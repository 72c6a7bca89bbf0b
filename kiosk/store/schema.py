"""The tables of a counter's database, declared once. Guards (triggers) are in ``guards``.

Every table is STRICT. The ledger is the truth; the projections beside it serve search, the due list and
the locks, and can be built anew from it at any time. Measures, decimals, dates and moments are exact
text, never numbers SQLite would round; moments are UTC with microseconds, so they sort as text.

The patient's identifiers stand in ``patients_seen`` alone. Ledger and projections refer to them by a
salted digest, so that they can be erased without breaking the chain.
"""

from __future__ import annotations

from typing import Final

from sqlalchemy import (
    CheckConstraint,
    Column,
    Computed,
    ForeignKey,
    Index,
    Integer,
    PrimaryKeyConstraint,
    text,
)

from kiosk.store.columns import metadata
from kiosk.store.columns import number as _number
from kiosk.store.columns import only_one as _only_one
from kiosk.store.columns import said as _said
from kiosk.store.columns import table as _table
from kiosk.store.columns import words as _text
from kiosk.store.drug_schema import drug_entries, drug_signatures, drug_withdrawals
from kiosk.store.stock_schema import handovers, stock_book

__all__ = [
    "drug_entries",
    "drug_signatures",
    "drug_withdrawals",
    "handovers",
    "metadata",
    "stock_book",
]

SCHEMA_VERSION: Final = "0001"

# Kinds of entry that are few and looked for by kind.
SELDOM: Final = "kind IN ('TablesNoted', 'SealMade', 'RecordAccepted', 'PolicyNoted', 'PolicyChanged')"

# The record -----------------------------------------------------------------------------------------

ledger = _table(
    "ledger",
    Column("seq", Integer, primary_key=True),
    _text("entry"),
    _text("hash"),
    _text("mark"),
    _said("at"),
    _said("by"),
    _said("kind"),
    _said("preparation"),
    _said("key"),
    Column("part", Integer, Computed("json_extract(entry, '$.part')", persisted=False)),
    _only_one("ledger_written_once", "key", "part"),
    Index("ledger_of_preparation", "preparation", "seq"),
    Index("ledger_of_seldom_kinds", "kind", "seq", sqlite_where=text(SELDOM)),
)

patients_seen = _table(
    "patients_seen",
    _text("ref", primary_key=True),
    _text("salt"),
    _text("id"),
    _text("number"),
    _text("name"),
    _text("born"),
    _text("place"),
    _text("erased_at", null=True),
    Index("patients_seen_by_id", "id"),
    Index("patients_seen_by_number", "number"),
    Index("patients_seen_by_name", "name"),
)

# Projections of the record --------------------------------------------------------------------------

preparations = _table(
    "preparations",
    _text("id", primary_key=True),
    _text("order_id"),
    _text("patient", ForeignKey("patients_seen.ref")),
    _text("drug"),
    _text("code"),
    _number("needs_second"),
    _text("preparer"),
    _text("checker", null=True),
    _text("witness", null=True),
    _text("opened_at"),
    _text("ended_at", null=True),
    _text("outcome", null=True),
    _text("form"),
    CheckConstraint("needs_second IN (0, 1)", name="needs_second_is_yes_or_no"),
    CheckConstraint(
        "form IN ('', 'self-check after a pause', 'seen by a witness')", name="form_of_check_is_known"
    ),
    CheckConstraint("checker <> preparer", name="checker_is_another_person"),
    CheckConstraint("witness <> preparer", name="witness_is_another_person"),
    CheckConstraint("witness <> checker", name="witness_is_not_the_checker"),
    CheckConstraint("outcome IN ('finished', 'discarded')", name="outcome_is_known"),
    CheckConstraint("(ended_at IS NULL) = (outcome IS NULL)", name="ended_with_an_outcome"),
    _only_one("one_open_syringe_a_preparer", "preparer", where="ended_at IS NULL"),
    _only_one("an_order_is_prepared_once", "order_id", where="outcome IS NULL OR outcome = 'finished'"),
    _only_one("a_code_names_one_syringe", "code"),
    Index("preparations_of_patient", "patient", "opened_at"),
    Index("preparations_of_drug", "drug", "opened_at"),
    Index("preparations_of_day", "opened_at"),
)

roles = _table(
    "roles",
    _text("preparation", ForeignKey("preparations.id")),
    _text("person"),
    _text("role"),
    PrimaryKeyConstraint("preparation", "person"),
    CheckConstraint("role IN ('preparer', 'checker', 'witness')", name="role_is_known"),
    Index("roles_of_person", "person", "preparation"),
    rowid=False,
)

vouchers = _table(
    "vouchers",
    _text("preparation", ForeignKey("preparations.id")),
    _text("facts"),
    _text("person"),
    Column("entry", Integer, ForeignKey("ledger.seq"), nullable=False),
    _number("round"),
    PrimaryKeyConstraint("preparation", "facts", "person", "entry"),
    rowid=False,
)

labels = _table(
    "labels",
    _text("preparation", ForeignKey("preparations.id")),
    _number("copy"),
    _text("digest"),
    _text("outcome"),
    Column("entry", Integer, ForeignKey("ledger.seq"), nullable=False),
    PrimaryKeyConstraint("preparation", "copy"),
    CheckConstraint(
        "outcome IN ('requested', 'printed', 'failed', 'unknown', 'on paper', 'no paper')",
        name="label_outcome_is_known",
    ),
    rowid=False,
)

# Clustered by lot and complete in itself: a recall reads nothing else. ``entry`` is the taking's own, so that
# one lot taken twice in one instant is two rows. ``had`` is what the container held, in thousandths of a mL
# or of a container, nothing where it was never booked; ``kept`` says that its rest may be kept. The columns
# of the key stand first, as in every table without rowids: SQLite 3.40 otherwise takes the others for NULL
# in its integrity check.
lots_used = _table(
    "lots_used",
    _text("lot"),
    Column("entry", Integer, ForeignKey("ledger.seq"), nullable=False),
    _text("at"),
    _text("preparation", ForeignKey("preparations.id")),
    _text("container"),
    _text("patient"),
    _text("drug"),
    _text("product"),
    _number("had"),
    _number("kept"),
    PrimaryKeyConstraint("lot", "entry"),
    Index("lots_of_preparation", "preparation", "container"),
    rowid=False,
)

# Lists the counter keeps ----------------------------------------------------------------------------

patients = _table(
    "patients",
    _text("id", primary_key=True),
    _text("number"),
    _text("name"),
    _text("body"),
    Index("patients_by_number", "number"),
)

orders = _table(
    "orders",
    _text("id", primary_key=True),
    _text("patient", ForeignKey("patients.id")),
    _text("drug"),
    _text("due"),
    _text("body"),
    Index("orders_by_due", "due"),
    Index("orders_of_patient", "patient"),
)

products = _table(
    "products",
    _text("id", primary_key=True),
    _text("gtin"),
    _text("drug"),
    _text("body"),
    _only_one("a_gtin_names_one_product", "gtin"),
    Index("products_of_drug", "drug"),
)

containers = _table(
    "containers",
    _text("id", primary_key=True),
    _text("product", ForeignKey("products.id")),
    _text("lot"),
    _text("serial"),
    _text("expiry"),
    _text("body"),
    Column("held", Integer, nullable=True),
    _text("left", null=True),
    _text("opened_at", null=True),
    _text("discard_after", null=True),
    _number("recalled"),
    _number("used_up"),
    _text("set_aside"),
    CheckConstraint("held >= 0", name="no_fewer_than_none"),
    CheckConstraint("\"left\" NOT LIKE '-%'", name="no_less_than_nothing"),
    Index("containers_of_product", "product", "lot", "serial"),
    Index("containers_of_lot", "lot"),
)

devices = _table(
    "devices",
    _text("id", primary_key=True),
    _text("kind"),
    _text("gtin"),
    _text("body"),
    Index("devices_of_kind", "kind", "id"),
)

# People. Each row carries the counter's mark: one written by another hand is not believed. -----------

people = _table(
    "people",
    _text("id", primary_key=True),
    _text("name"),
    _text("initials"),
    _text("roles"),
    _number("trainee"),
    _text("left_at", null=True),
    _text("mark"),
)

badges = _table(
    "badges",
    _text("digest", primary_key=True),
    _text("person", ForeignKey("people.id")),
    _text("issued_at"),
    _text("ended_at", null=True),
    _text("mark"),
    _only_one("one_badge_a_person", "person", where="ended_at IS NULL"),
)

pins = _table(
    "pins",
    _text("person", ForeignKey("people.id"), primary_key=True),
    _text("hash"),
    _text("changed_at"),
    _text("mark"),
)

tries = _table(
    "tries",
    _text("digest", primary_key=True),
    _number("failures"),
    _text("last_at"),
    _text("locked_at", null=True),
    _text("mark"),
)
