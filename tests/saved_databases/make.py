"""Saves a small database of the present schema version, with every kind of entry in it.

``python -m tests.saved_databases.make`` once a release, before the release; what is saved is never made
again. The keys saved beside it are for these tests alone.

Until the first release the first schema may still change: ``--first`` writes ``v0001_first`` anew from the
prepared schema, then saves its database again. After that release never.
"""

from __future__ import annotations

import shutil
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path

from kiosk.core.catalogue.container import Container
from kiosk.core.dose.order import Order
from kiosk.core.preparation import events as e
from kiosk.core.preparation import house_events as h
from kiosk.core.preparation import stock_events as st
from kiosk.core.preparation.device_events import ScannerBack, ScannerGone
from kiosk.core.preparation.in_use_events import InUseLabelAsked, InUseLabelSaid
from kiosk.core.units import Measure
from kiosk.store.erasure import erase_patient
from kiosk.store.migrate import MIGRATIONS
from kiosk.store.prepared import SCHEMA, SCHEMA_VERSION
from tests.store import samples as s

FOLDER = Path(__file__).parent


def fill(store: s.Store) -> None:
    """Write a little of everything."""
    s.keepers(store)
    store.note_tables({"hazards": "ab" * 32}, "0.1.0", s.NOW)
    with store.importing(s.KEEPER, s.NOW) as lists:
        lists.people([(s.a_person(), "PB1INES", "2580"), (s.a_person("p-wim"), "PB1WIM", "8642")])
        lists.products([s.a_product(), s.a_controlled()])
        lists.stock([(s.a_container(), 1)])
        lists.orders([s.an_order(), s.an_order("o-2", s.a_patient("H-2", "Second Invented"))])
        lists.orders([_third()])
    with store.importing(s.KEEPER, s.NOW) as lists:
        lists.stock([(replace(s.a_container(), expiry=date(2027, 2, 28)), 1)])
    drugs(store)
    people(store)
    syringes(store)
    stock(store)
    house = [
        h.PolicyNoted((("second_check", "high alert", "published"),)),
        h.PolicyChanged(s.KEEPER, "second_check", "high alert", "always"),
        h.RetentionApplied(s.KEEPER, 0, 2),
        h.RecordAccepted(s.KEEPER, 1, "x", "y"),
    ]
    store.ledger.note([*house, h.ClockWentBack(s.NOW, s.NOW - s.MINUTE)], s.NOW, "house")
    store.recall_lot("L99", s.KEEPER, "glass seen", s.NOW)
    store.seal(s.NOW)


def drugs(store: s.Store) -> None:
    """List a drug; propose it with another interval, sign that once, twice by one hand, and take it back."""
    s.list_drug(store)
    s.list_drug(store, s.a_listed_drug(least_interval=Measure.of(6, "h")), signers=1)
    store.drugs.sign(s.KEEPER, "gentamicin", 2, s.NOW)
    store.drugs.withdraw(s.KEEPER, "gentamicin", 2, "the interval was of another drug", s.NOW)
    s.list_drug(store, s.a_listed_drug(high_alert=True), signers=1)


def _third() -> Order:
    """An order of two days ago, of a patient whom nothing else needs."""
    due = s.NOW - 2 * 24 * 60 * s.MINUTE
    return s.an_order("o-3", s.a_patient("H-3", "Third Invented"), due=due)


def people(store: s.Store) -> None:
    """Sign on and off, well and badly; change badges and PINs."""
    store.people.sign_on("PB1INES", "2580", s.NOW)
    store.people.sign_off(s.PREPARER, "asked", s.NOW)
    store.people.sign_on("PB1WIM", "0000", s.NOW)
    store.staff.release(s.KEEPER, "p-wim", s.NOW)
    store.staff.new_pin(s.KEEPER, "p-wim", "9517", s.NOW)
    store.staff.new_badge(s.KEEPER, "p-wim", "PB1WIM2", s.NOW)


def syringes(store: s.Store) -> None:
    """One syringe done the long way, one left open, one discarded and its patient erased."""
    long_way = [
        s.opened(),
        e.Acknowledged(s.PREPARER, "late", "Marja was away"),
        *s.drawn(),
        e.Refused(s.PREPARER, "TakeNeedle", "too_short", (("patient", "Marja Invented"),)),
        e.CheckerCame(s.CHECKER),
        e.Differed(("figure",), 1),
        e.Resumed(s.PREPARER),
        e.ContainerSeenAgain(s.PREPARER, "v1"),
        *s.drawn()[-5:],
        *s.checked(),
        e.LabelRequested(s.PREPARER, s.FACTS, 1),
        e.LabelEnded(s.FACTS, 1, "unknown"),
        e.LabelSeen(s.PREPARER, 1, "no paper"),
        *s.labelled(2),
        *s.ended()[:-1],
        InUseLabelAsked(s.PREPARER, "v1"),
        e.InUseLabelEnded("v1", "unknown"),
        InUseLabelSaid(s.PREPARER, "v1", "no paper"),
        InUseLabelAsked(s.PREPARER, "v1", 2),
        e.InUseLabelEnded("v1", "printed", "", "v1"),
        s.ended()[-1],
    ]
    store.ledger.append("prep-1", long_way, s.NOW, "k1")
    second = s.an_order("o-2", s.a_patient("H-2", "Second Invented"))
    store.ledger.append("prep-2", [s.opened(second, by="p-two", code="A30002")], s.NOW, "k2")
    third = _third()
    events = [s.opened(third, by="p-wim", code="A30003"), e.Discarded("p-wim", "dropped")]
    store.ledger.append("prep-3", events, s.NOW, "k3")
    erase_patient(store.database, store.ledger, third.patient.id, s.KEEPER, "asked for", s.NOW)


FIRST = MIGRATIONS / "versions" / "v0001_first.py"
HEADING = '''"""The first schema. Its statements are written out, so that it stays what it was for ever."""

from __future__ import annotations

from alembic import op

# fmt: off
# ruff: noqa: E501

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None
'''
STEPS = '''

def upgrade() -> None:
    """Make the tables and their guards."""
    for statement in CREATE:
        op.get_bind().exec_driver_sql(statement)


def downgrade() -> None:
    """Take everything away; a table takes its indexes and guards with it."""
    for table in TABLES:
        op.get_bind().exec_driver_sql(f"DROP TABLE {table}")
'''


def write_first() -> None:
    """Write the first migration from the prepared schema."""
    made = [statement for statement in SCHEMA if "alembic_version" not in statement]
    tables = [statement.split()[2] for statement in made if statement.startswith("CREATE TABLE")]
    lines = [HEADING, "CREATE = (", *(f"    {statement!r}," for statement in made), ")", ""]
    lines += ["TABLES = (", *(f'    "{table}",' for table in reversed(tables)), ")", STEPS]
    FIRST.write_text("\n".join(lines), encoding="utf-8")


def stock(store: s.Store) -> None:
    """Ten controlled ampoules come in and some go; one is missing at a count, which two others settle."""
    two, ml = (s.KEEPER, "p-wim"), Measure.of
    ampoule = Container("AMP", s.a_controlled(), "L90", date(2027, 1, 31), drawer="CD")
    events = [
        st.StockReceived(s.KEEPER, ampoule, 10, "p-wim"),
        st.StockReceived(s.KEEPER, s.a_container(id="v9", lot="L91", serial=""), 4),
        st.StockMoved(s.KEEPER, "v9", "", "B2", 1, "R1"),
        st.StockCounted(s.KEEPER, "v9", 3, 2, "one was broken"),
        st.StockSetAside(s.KEEPER, "v9", "left out of the cold"),
        st.StockReleased(s.KEEPER, "v9", "the maker says it may be used"),
        st.StockWasted(s.KEEPER, "AMP", ml("2", "mL"), 2, "broken", "p-wim"),
        st.StockSentBack(s.KEEPER, "AMP", 1, "too many", "p-wim"),
        st.ControlledCounted(*two, "morph-10", 6, 0, 7, 0),
        st.StockRefused(s.KEEPER, "waste", "stock_needs_witness", (("container", "morphine"),)),
    ]
    counted = store.ledger.note(events, s.NOW, "stock")[8].seq
    settled = st.DiscrepancySettled(
        "p-ines", "p-olu", "morph-10", counted, "AMP", -1, ml("-1", "mL"), "found broken under the drawer"
    )
    store.ledger.note([settled, st.ControlledCounted(*two, "morph-10", 6, 0, 6, 0)], s.NOW, "settled")
    store.ledger.note([ScannerGone(), ScannerBack()], s.NOW, "scanner")
    third = [s.opened(s.an_order("o-4"), by="p-kim", code="A30004"), e.ContainerTaken("p-kim", ampoule)]
    ended = [e.PutBack("p-kim", "AMP", "p-wim"), e.Discarded("p-kim", "order stopped", "p-wim")]
    store.ledger.append("prep-4", [*third, *ended], s.NOW, "k4")


def main() -> int:
    """Make the folder of this version, unless it is there."""
    folder = FOLDER / SCHEMA_VERSION
    if sys.argv[1:] == ["--first"] and SCHEMA_VERSION == "0001":
        write_first()
        shutil.rmtree(folder, ignore_errors=True)
    if folder.exists():
        print(f"version {SCHEMA_VERSION} is saved already")
        return 1
    folder.mkdir()
    with s.a_store(folder) as store:
        fill(store)
        kinds = sorted(row["kind"] for row in store.database.rows("SELECT DISTINCT kind FROM ledger"))
    (folder / "counter.db.reserve").unlink()
    (folder / "kinds.txt").write_text("\n".join(kinds) + "\n", encoding="ascii")
    return 0


if __name__ == "__main__":
    sys.exit(main())
