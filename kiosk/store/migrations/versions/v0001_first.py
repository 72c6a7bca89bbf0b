"""The first schema. Its statements are written out, so that it stays what it was for ever."""

from __future__ import annotations

from alembic import op

# fmt: off
# ruff: noqa: E501

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

CREATE = (
    'CREATE TABLE devices (id TEXT NOT NULL, kind TEXT NOT NULL, gtin TEXT NOT NULL, body TEXT NOT NULL, PRIMARY KEY (id)) STRICT',
    'CREATE INDEX devices_of_kind ON devices (kind, id)',
    'CREATE TABLE ledger (seq INTEGER NOT NULL, entry TEXT NOT NULL, hash TEXT NOT NULL, mark TEXT NOT NULL, at TEXT GENERATED ALWAYS AS (json_extract(entry, \'$.at\')) VIRTUAL, "by" TEXT GENERATED ALWAYS AS (json_extract(entry, \'$.by\')) VIRTUAL, kind TEXT GENERATED ALWAYS AS (json_extract(entry, \'$.kind\')) VIRTUAL, preparation TEXT GENERATED ALWAYS AS (json_extract(entry, \'$.preparation\')) VIRTUAL, "key" TEXT GENERATED ALWAYS AS (json_extract(entry, \'$.key\')) VIRTUAL, part INTEGER GENERATED ALWAYS AS (json_extract(entry, \'$.part\')) VIRTUAL, PRIMARY KEY (seq)) STRICT',
    'CREATE INDEX ledger_of_preparation ON ledger (preparation, seq)',
    "CREATE INDEX ledger_of_seldom_kinds ON ledger (kind, seq) WHERE kind IN ('TablesNoted', 'SealMade', 'RecordAccepted', 'PolicyNoted', 'PolicyChanged')",
    'CREATE UNIQUE INDEX ledger_written_once ON ledger ("key", part)',
    'CREATE TABLE patients (id TEXT NOT NULL, number TEXT NOT NULL, name TEXT NOT NULL, body TEXT NOT NULL, PRIMARY KEY (id)) STRICT',
    'CREATE INDEX patients_by_number ON patients (number)',
    'CREATE TABLE patients_seen (ref TEXT NOT NULL, salt TEXT NOT NULL, id TEXT NOT NULL, number TEXT NOT NULL, name TEXT NOT NULL, born TEXT NOT NULL, place TEXT NOT NULL, erased_at TEXT, PRIMARY KEY (ref)) STRICT',
    'CREATE INDEX patients_seen_by_id ON patients_seen (id)',
    'CREATE INDEX patients_seen_by_name ON patients_seen (name)',
    'CREATE INDEX patients_seen_by_number ON patients_seen (number)',
    'CREATE TABLE people (id TEXT NOT NULL, name TEXT NOT NULL, initials TEXT NOT NULL, roles TEXT NOT NULL, trainee INTEGER NOT NULL, left_at TEXT, mark TEXT NOT NULL, PRIMARY KEY (id)) STRICT',
    'CREATE TABLE products (id TEXT NOT NULL, gtin TEXT NOT NULL, drug TEXT NOT NULL, body TEXT NOT NULL, PRIMARY KEY (id)) STRICT',
    'CREATE UNIQUE INDEX a_gtin_names_one_product ON products (gtin)',
    'CREATE INDEX products_of_drug ON products (drug)',
    'CREATE TABLE tries (digest TEXT NOT NULL, failures INTEGER NOT NULL, last_at TEXT NOT NULL, locked_at TEXT, mark TEXT NOT NULL, PRIMARY KEY (digest)) STRICT',
    'CREATE TABLE badges (digest TEXT NOT NULL, person TEXT NOT NULL, issued_at TEXT NOT NULL, ended_at TEXT, mark TEXT NOT NULL, PRIMARY KEY (digest), FOREIGN KEY(person) REFERENCES people (id)) STRICT',
    'CREATE UNIQUE INDEX one_badge_a_person ON badges (person) WHERE ended_at IS NULL',
    'CREATE TABLE containers (id TEXT NOT NULL, product TEXT NOT NULL, lot TEXT NOT NULL, serial TEXT NOT NULL, expiry TEXT NOT NULL, body TEXT NOT NULL, held INTEGER, "left" TEXT, opened_at TEXT, discard_after TEXT, recalled INTEGER NOT NULL, used_up INTEGER NOT NULL, set_aside TEXT NOT NULL, PRIMARY KEY (id), CONSTRAINT no_fewer_than_none CHECK (held >= 0), CONSTRAINT no_less_than_nothing CHECK ("left" NOT LIKE \'-%\'), FOREIGN KEY(product) REFERENCES products (id)) STRICT',
    'CREATE INDEX containers_of_lot ON containers (lot)',
    'CREATE INDEX containers_of_product ON containers (product, lot, serial)',
    "CREATE TABLE handovers (product TEXT NOT NULL, entry INTEGER NOT NULL, at TEXT NOT NULL, person TEXT NOT NULL, other TEXT NOT NULL, sealed INTEGER NOT NULL, opened INTEGER NOT NULL, sealed_booked INTEGER NOT NULL, opened_booked INTEGER NOT NULL, PRIMARY KEY (product, entry), CONSTRAINT two_people_count CHECK (person <> other AND other <> ''), CONSTRAINT no_count_below_nothing CHECK (sealed >= 0 AND opened >= 0), FOREIGN KEY(entry) REFERENCES ledger (seq)) WITHOUT ROWID, STRICT",
    'CREATE TABLE orders (id TEXT NOT NULL, patient TEXT NOT NULL, drug TEXT NOT NULL, due TEXT NOT NULL, body TEXT NOT NULL, PRIMARY KEY (id), FOREIGN KEY(patient) REFERENCES patients (id)) STRICT',
    'CREATE INDEX orders_by_due ON orders (due)',
    'CREATE INDEX orders_of_patient ON orders (patient)',
    'CREATE TABLE pins (person TEXT NOT NULL, hash TEXT NOT NULL, changed_at TEXT NOT NULL, mark TEXT NOT NULL, PRIMARY KEY (person), FOREIGN KEY(person) REFERENCES people (id)) STRICT',
    "CREATE TABLE preparations (id TEXT NOT NULL, order_id TEXT NOT NULL, patient TEXT NOT NULL, drug TEXT NOT NULL, code TEXT NOT NULL, needs_second INTEGER NOT NULL, preparer TEXT NOT NULL, checker TEXT, witness TEXT, opened_at TEXT NOT NULL, ended_at TEXT, outcome TEXT, form TEXT NOT NULL, PRIMARY KEY (id), CONSTRAINT needs_second_is_yes_or_no CHECK (needs_second IN (0, 1)), CONSTRAINT form_of_check_is_known CHECK (form IN ('', 'self-check after a pause', 'seen by a witness')), CONSTRAINT checker_is_another_person CHECK (checker <> preparer), CONSTRAINT witness_is_another_person CHECK (witness <> preparer), CONSTRAINT witness_is_not_the_checker CHECK (witness <> checker), CONSTRAINT outcome_is_known CHECK (outcome IN ('finished', 'discarded')), CONSTRAINT ended_with_an_outcome CHECK ((ended_at IS NULL) = (outcome IS NULL)), FOREIGN KEY(patient) REFERENCES patients_seen (ref)) STRICT",
    'CREATE UNIQUE INDEX a_code_names_one_syringe ON preparations (code)',
    "CREATE UNIQUE INDEX an_order_is_prepared_once ON preparations (order_id) WHERE outcome IS NULL OR outcome = 'finished'",
    'CREATE UNIQUE INDEX one_open_syringe_a_preparer ON preparations (preparer) WHERE ended_at IS NULL',
    'CREATE INDEX preparations_of_day ON preparations (opened_at)',
    'CREATE INDEX preparations_of_drug ON preparations (drug, opened_at)',
    'CREATE INDEX preparations_of_patient ON preparations (patient, opened_at)',
    'CREATE TABLE stock_book (product TEXT NOT NULL, lot TEXT NOT NULL, line INTEGER NOT NULL, entry INTEGER NOT NULL, at TEXT NOT NULL, move TEXT NOT NULL, drug TEXT NOT NULL, unit TEXT NOT NULL, came INTEGER NOT NULL, used INTEGER NOT NULL, wasted INTEGER NOT NULL, sent INTEGER NOT NULL, "left" INTEGER NOT NULL, container TEXT NOT NULL, preparation TEXT NOT NULL, person TEXT NOT NULL, other TEXT NOT NULL, reason TEXT NOT NULL, sheet TEXT, sheet_line INTEGER, balance INTEGER, PRIMARY KEY (product, lot, line), CONSTRAINT never_below_nothing CHECK ("left" >= 0 AND coalesce(balance, 0) >= 0), CONSTRAINT nothing_comes_backwards CHECK (came >= 0 AND wasted >= 0 AND sent >= 0), CONSTRAINT only_a_discard_takes_use_back CHECK (used >= 0 OR wasted = -used), CONSTRAINT unit_is_known CHECK (unit IN (\'mL\', \'1\')), CONSTRAINT a_sheet_has_a_balance CHECK ((sheet IS NULL) = (sheet_line IS NULL) AND (sheet IS NULL) = (balance IS NULL)), FOREIGN KEY(entry) REFERENCES ledger (seq)) WITHOUT ROWID, STRICT',
    'CREATE INDEX book_of_preparation ON stock_book (preparation, container)',
    'CREATE UNIQUE INDEX book_of_sheet ON stock_book (sheet, sheet_line) WHERE sheet IS NOT NULL',
    'CREATE INDEX book_of_waste ON stock_book (at) WHERE wasted > 0',
    "CREATE TABLE labels (preparation TEXT NOT NULL, copy INTEGER NOT NULL, digest TEXT NOT NULL, outcome TEXT NOT NULL, entry INTEGER NOT NULL, PRIMARY KEY (preparation, copy), CONSTRAINT label_outcome_is_known CHECK (outcome IN ('requested', 'printed', 'failed', 'unknown', 'on paper', 'no paper')), FOREIGN KEY(preparation) REFERENCES preparations (id), FOREIGN KEY(entry) REFERENCES ledger (seq)) WITHOUT ROWID, STRICT",
    'CREATE TABLE lots_used (lot TEXT NOT NULL, entry INTEGER NOT NULL, at TEXT NOT NULL, preparation TEXT NOT NULL, container TEXT NOT NULL, patient TEXT NOT NULL, drug TEXT NOT NULL, product TEXT NOT NULL, had INTEGER NOT NULL, kept INTEGER NOT NULL, PRIMARY KEY (lot, entry), FOREIGN KEY(entry) REFERENCES ledger (seq), FOREIGN KEY(preparation) REFERENCES preparations (id)) WITHOUT ROWID, STRICT',
    'CREATE INDEX lots_of_preparation ON lots_used (preparation, container)',
    "CREATE TABLE roles (preparation TEXT NOT NULL, person TEXT NOT NULL, role TEXT NOT NULL, PRIMARY KEY (preparation, person), CONSTRAINT role_is_known CHECK (role IN ('preparer', 'checker', 'witness')), FOREIGN KEY(preparation) REFERENCES preparations (id)) WITHOUT ROWID, STRICT",
    'CREATE INDEX roles_of_person ON roles (person, preparation)',
    'CREATE TABLE vouchers (preparation TEXT NOT NULL, facts TEXT NOT NULL, person TEXT NOT NULL, entry INTEGER NOT NULL, round INTEGER NOT NULL, PRIMARY KEY (preparation, facts, person, entry), FOREIGN KEY(preparation) REFERENCES preparations (id), FOREIGN KEY(entry) REFERENCES ledger (seq)) WITHOUT ROWID, STRICT',
    "CREATE TRIGGER ledger_no_delete BEFORE DELETE ON ledger FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END",
    "CREATE TRIGGER ledger_no_change BEFORE UPDATE ON ledger FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END",
    "CREATE TRIGGER ledger_next_in_line BEFORE INSERT ON ledger FOR EACH ROW WHEN NEW.seq <> (SELECT coalesce(max(seq), 0) + 1 FROM ledger) OR NEW.seq <> json_extract(NEW.entry, '$.seq') BEGIN SELECT RAISE(ABORT, 'an entry takes the next place'); END",
    "CREATE TRIGGER ledger_chained BEFORE INSERT ON ledger FOR EACH ROW WHEN json_extract(NEW.entry, '$.prev') IS NOT coalesce((SELECT hash FROM ledger ORDER BY seq DESC LIMIT 1), printf('%064d', 0)) BEGIN SELECT RAISE(ABORT, 'an entry names the hash of the one before'); END",
    "CREATE TRIGGER ledger_once BEFORE INSERT ON ledger FOR EACH ROW WHEN EXISTS (SELECT 1 FROM ledger AS old WHERE old.key = json_extract(NEW.entry, '$.key') AND old.part = json_extract(NEW.entry, '$.part')) BEGIN SELECT RAISE(ABORT, 'an entry is written once'); END",
    "CREATE TRIGGER patients_seen_no_delete BEFORE DELETE ON patients_seen FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'a reference is never deleted'); END",
    "CREATE TRIGGER patients_seen_no_replace BEFORE INSERT ON patients_seen FOR EACH ROW WHEN EXISTS (SELECT 1 FROM patients_seen WHERE ref = NEW.ref) BEGIN SELECT RAISE(ABORT, 'a reference stands once'); END",
    "CREATE TRIGGER patients_seen_only_erased BEFORE UPDATE ON patients_seen FOR EACH ROW WHEN NEW.ref <> OLD.ref OR NEW.erased_at IS NULL OR NEW.salt || NEW.id || NEW.number || NEW.name || NEW.born || NEW.place <> '' BEGIN SELECT RAISE(ABORT, 'identifiers can only be erased'); END",
    "CREATE TRIGGER preparations_no_delete BEFORE DELETE ON preparations FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'preparations are never deleted'); END",
    "CREATE TRIGGER preparations_no_replace BEFORE INSERT ON preparations FOR EACH ROW WHEN EXISTS (SELECT 1 FROM preparations WHERE id = NEW.id OR code = NEW.code OR (preparer = NEW.preparer AND ended_at IS NULL) OR (order_id = NEW.order_id AND outcome IS NOT 'discarded')) BEGIN SELECT RAISE(ABORT, 'one open syringe a preparer, one syringe an order'); END",
    "CREATE TRIGGER preparations_kept BEFORE UPDATE ON preparations FOR EACH ROW WHEN NEW.id <> OLD.id OR NEW.order_id <> OLD.order_id OR NEW.patient <> OLD.patient OR NEW.drug <> OLD.drug OR NEW.code <> OLD.code OR NEW.opened_at <> OLD.opened_at OR NEW.needs_second < OLD.needs_second OR NEW.form <> OLD.form OR OLD.ended_at IS NOT NULL BEGIN SELECT RAISE(ABORT, 'what a preparation is does not change, and what ended stays ended'); END",
    "CREATE TRIGGER preparations_form_asked_for BEFORE INSERT ON preparations FOR EACH ROW WHEN NEW.form <> '' AND NOT (instr(coalesce((SELECT json_extract(entry, '$.body.now') FROM ledger WHERE kind = 'PolicyChanged' AND kind IN ('TablesNoted', 'SealMade', 'RecordAccepted', 'PolicyNoted', 'PolicyChanged') AND json_extract(entry, '$.body.name') = 'check_forms' ORDER BY seq DESC LIMIT 1), (SELECT json_extract(one.value, '$[1]') FROM ledger AS noted, json_each(json_extract(noted.entry, '$.body.policies')) AS one WHERE noted.kind = 'PolicyNoted' AND noted.kind IN ('TablesNoted', 'SealMade', 'RecordAccepted', 'PolicyNoted', 'PolicyChanged') AND json_extract(one.value, '$[0]') = 'check_forms' ORDER BY noted.seq DESC LIMIT 1), ''), NEW.form)) BEGIN SELECT RAISE(ABORT, 'a weaker form of check only where the policy on record asks for it'); END",
    "CREATE TRIGGER preparations_one_open BEFORE UPDATE ON preparations FOR EACH ROW WHEN NEW.ended_at IS NULL AND EXISTS (SELECT 1 FROM preparations WHERE preparer = NEW.preparer AND ended_at IS NULL AND id <> NEW.id) BEGIN SELECT RAISE(ABORT, 'one open syringe a preparer'); END",
    "CREATE TRIGGER preparations_finished_labelled BEFORE UPDATE ON preparations FOR EACH ROW WHEN NEW.outcome = 'finished' AND NOT EXISTS (SELECT 1 FROM labels WHERE preparation = NEW.id AND outcome IN ('printed', 'on paper')) BEGIN SELECT RAISE(ABORT, 'only a labelled syringe is finished'); END",
    "CREATE TRIGGER preparations_own_roles BEFORE UPDATE ON preparations FOR EACH ROW WHEN EXISTS (SELECT 1 FROM roles WHERE preparation = NEW.id AND ((person = NEW.checker AND role <> 'checker') OR (person = NEW.witness AND role <> 'witness') OR (person = NEW.preparer AND role <> 'preparer'))) BEGIN SELECT RAISE(ABORT, 'nobody holds two roles on one syringe'); END",
    "CREATE TRIGGER roles_no_delete BEFORE DELETE ON roles FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'roles are never deleted'); END",
    "CREATE TRIGGER roles_no_change BEFORE UPDATE ON roles FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'roles are never changed'); END",
    "CREATE TRIGGER roles_one_a_person BEFORE INSERT ON roles FOR EACH ROW WHEN EXISTS (SELECT 1 FROM roles WHERE preparation = NEW.preparation AND person = NEW.person AND role <> NEW.role) BEGIN SELECT RAISE(ABORT, 'nobody holds two roles on one syringe'); END",
    "CREATE TRIGGER roles_of_somebody BEFORE INSERT ON roles FOR EACH ROW WHEN trim(NEW.person) = '' BEGIN SELECT RAISE(ABORT, 'a role is held by somebody'); END",
    "CREATE TRIGGER vouchers_no_delete BEFORE DELETE ON vouchers FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'vouchers are never deleted'); END",
    "CREATE TRIGGER vouchers_no_change BEFORE UPDATE ON vouchers FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'vouchers are never changed'); END",
    "CREATE TRIGGER vouchers_of_the_record BEFORE INSERT ON vouchers FOR EACH ROW WHEN NOT EXISTS (SELECT 1 FROM ledger AS said, json_each(json_extract(said.entry, '$.body.people')) AS who WHERE said.seq = NEW.entry AND said.kind = 'Vouched' AND said.preparation = NEW.preparation AND who.value = NEW.person AND json_extract(said.entry, '$.body.facts') = NEW.facts) BEGIN SELECT RAISE(ABORT, 'a voucher stands in the record'); END",
    "CREATE TRIGGER vouchers_of_the_form_owed BEFORE INSERT ON vouchers FOR EACH ROW WHEN (SELECT json_extract(said.entry, '$.body.form') FROM ledger AS said WHERE said.seq = NEW.entry) IS NOT (SELECT CASE WHEN needs_second THEN 'independent second person' WHEN form = '' THEN 'one person' ELSE form END FROM preparations WHERE id = NEW.preparation) BEGIN SELECT RAISE(ABORT, 'a voucher is of the form of check that is owed'); END",
    "CREATE TRIGGER vouchers_own_reading BEFORE INSERT ON vouchers FOR EACH ROW WHEN (SELECT count(DISTINCT json_extract(own.entry, '$.body.matter')) FROM ledger AS own WHERE own.preparation = NEW.preparation AND own.kind = 'Stated' AND own.by = NEW.person AND own.seq > (SELECT coalesce(max(gap.seq), 0) FROM ledger AS gap WHERE gap.preparation = NEW.preparation AND gap.kind = 'Resumed' AND 'LabelScannedBack' IS NOT (SELECT was.kind FROM ledger AS was WHERE was.preparation = NEW.preparation AND was.seq < gap.seq AND was.kind IN ('LabelRequested', 'LabelScannedBack') ORDER BY was.seq DESC LIMIT 1)) AND own.seq < NEW.entry AND json_extract(own.entry, '$.body.facts') = NEW.facts) <> 4 BEGIN SELECT RAISE(ABORT, 'nobody vouches without a reading of their own of every matter, made since the last gap'); END",
    "CREATE TRIGGER vouchers_of_a_role BEFORE INSERT ON vouchers FOR EACH ROW WHEN NOT EXISTS (SELECT 1 FROM roles WHERE preparation = NEW.preparation AND person = NEW.person AND role IN ('preparer', 'checker')) BEGIN SELECT RAISE(ABORT, 'only preparer and checker vouch'); END",
    "CREATE TRIGGER labels_no_delete BEFORE DELETE ON labels FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'labels are never deleted'); END",
    "CREATE TRIGGER labels_no_replace BEFORE INSERT ON labels FOR EACH ROW WHEN EXISTS (SELECT 1 FROM labels WHERE preparation = NEW.preparation AND copy = NEW.copy) BEGIN SELECT RAISE(ABORT, 'a copy is asked for once'); END",
    "CREATE TRIGGER labels_kept BEFORE UPDATE ON labels FOR EACH ROW WHEN NEW.preparation <> OLD.preparation OR NEW.copy <> OLD.copy OR NEW.digest <> OLD.digest OR NEW.entry <> OLD.entry BEGIN SELECT RAISE(ABORT, 'only the outcome of a label is noted later'); END",
    "CREATE TRIGGER labels_of_the_record BEFORE INSERT ON labels FOR EACH ROW WHEN NOT EXISTS (SELECT 1 FROM ledger AS asked WHERE asked.seq = NEW.entry AND asked.kind = 'LabelRequested' AND asked.preparation = NEW.preparation AND json_extract(asked.entry, '$.body.digest') = NEW.digest AND json_extract(asked.entry, '$.body.copy') = NEW.copy) BEGIN SELECT RAISE(ABORT, 'a label stands in the record before it is printed'); END",
    "CREATE TRIGGER labels_of_an_open_syringe BEFORE INSERT ON labels FOR EACH ROW WHEN NOT EXISTS (SELECT 1 FROM preparations WHERE id = NEW.preparation AND ended_at IS NULL) BEGIN SELECT RAISE(ABORT, 'no label for a syringe that is closed or does not exist'); END",
    "CREATE TRIGGER labels_vouched_for BEFORE INSERT ON labels FOR EACH ROW WHEN (SELECT count(DISTINCT person) FROM vouchers WHERE preparation = NEW.preparation AND facts = NEW.digest AND entry > (SELECT coalesce(max(gap.seq), 0) FROM ledger AS gap WHERE gap.preparation = NEW.preparation AND gap.kind = 'Resumed' AND 'LabelScannedBack' IS NOT (SELECT was.kind FROM ledger AS was WHERE was.preparation = NEW.preparation AND was.seq < gap.seq AND was.kind IN ('LabelRequested', 'LabelScannedBack') ORDER BY was.seq DESC LIMIT 1))) < 1 + (SELECT needs_second FROM preparations WHERE id = NEW.preparation) OR NOT EXISTS (SELECT 1 FROM vouchers WHERE preparation = NEW.preparation AND facts = NEW.digest AND entry > (SELECT coalesce(max(gap.seq), 0) FROM ledger AS gap WHERE gap.preparation = NEW.preparation AND gap.kind = 'Resumed' AND 'LabelScannedBack' IS NOT (SELECT was.kind FROM ledger AS was WHERE was.preparation = NEW.preparation AND was.seq < gap.seq AND was.kind IN ('LabelRequested', 'LabelScannedBack') ORDER BY was.seq DESC LIMIT 1)) AND person = (SELECT preparer FROM preparations WHERE id = NEW.preparation)) BEGIN SELECT RAISE(ABORT, 'a label needs its vouchers since the last gap, of two people where a second is needed'); END",
    "CREATE TRIGGER labels_after_a_self_check BEFORE INSERT ON labels FOR EACH ROW WHEN EXISTS (SELECT 1 FROM preparations WHERE id = NEW.preparation AND NOT needs_second AND form = 'self-check after a pause') AND NOT EXISTS (SELECT 1 FROM ledger AS began WHERE began.preparation = NEW.preparation AND began.kind = 'SelfCheckBegan' AND began.by = (SELECT preparer FROM preparations WHERE id = NEW.preparation) AND julianday(began.at) >= julianday((SELECT json_extract(pause.entry, '$.body.until') FROM ledger AS pause WHERE pause.preparation = NEW.preparation AND pause.kind = 'PauseBegan' AND pause.by = began.by AND pause.seq > (SELECT coalesce(max(gap.seq), 0) FROM ledger AS gap WHERE gap.preparation = NEW.preparation AND gap.kind = 'Resumed' AND 'LabelScannedBack' IS NOT (SELECT was.kind FROM ledger AS was WHERE was.preparation = NEW.preparation AND was.seq < gap.seq AND was.kind IN ('LabelRequested', 'LabelScannedBack') ORDER BY was.seq DESC LIMIT 1)) AND pause.seq < began.seq ORDER BY pause.seq DESC LIMIT 1)) AND EXISTS (SELECT 1 FROM vouchers WHERE preparation = NEW.preparation AND facts = NEW.digest AND entry > (SELECT coalesce(max(gap.seq), 0) FROM ledger AS gap WHERE gap.preparation = NEW.preparation AND gap.kind = 'Resumed' AND 'LabelScannedBack' IS NOT (SELECT was.kind FROM ledger AS was WHERE was.preparation = NEW.preparation AND was.seq < gap.seq AND was.kind IN ('LabelRequested', 'LabelScannedBack') ORDER BY was.seq DESC LIMIT 1)) AND person = began.by AND (SELECT count(DISTINCT json_extract(own.entry, '$.body.matter')) FROM ledger AS own WHERE own.preparation = NEW.preparation AND own.kind = 'Stated' AND own.by = began.by AND own.seq > began.seq AND own.seq < vouchers.entry AND json_extract(own.entry, '$.body.facts') = NEW.digest) = 4)) BEGIN SELECT RAISE(ABORT, 'a self-check is the same person reading everything again after the pause'); END",
    "CREATE TRIGGER labels_seen_by_a_witness BEFORE INSERT ON labels FOR EACH ROW WHEN EXISTS (SELECT 1 FROM preparations WHERE id = NEW.preparation AND NOT needs_second AND form = 'seen by a witness') AND NOT EXISTS (SELECT 1 FROM ledger AS saw JOIN roles ON roles.preparation = saw.preparation AND roles.person = saw.by AND roles.role = 'witness' WHERE saw.preparation = NEW.preparation AND saw.kind = 'Witnessed' AND saw.by <> (SELECT preparer FROM preparations WHERE id = NEW.preparation) AND saw.seq > (SELECT coalesce(max(gap.seq), 0) FROM ledger AS gap WHERE gap.preparation = NEW.preparation AND gap.kind = 'Resumed' AND 'LabelScannedBack' IS NOT (SELECT was.kind FROM ledger AS was WHERE was.preparation = NEW.preparation AND was.seq < gap.seq AND was.kind IN ('LabelRequested', 'LabelScannedBack') ORDER BY was.seq DESC LIMIT 1)) AND EXISTS (SELECT 1 FROM vouchers WHERE preparation = NEW.preparation AND facts = NEW.digest AND entry > (SELECT coalesce(max(gap.seq), 0) FROM ledger AS gap WHERE gap.preparation = NEW.preparation AND gap.kind = 'Resumed' AND 'LabelScannedBack' IS NOT (SELECT was.kind FROM ledger AS was WHERE was.preparation = NEW.preparation AND was.seq < gap.seq AND was.kind IN ('LabelRequested', 'LabelScannedBack') ORDER BY was.seq DESC LIMIT 1)) AND entry > saw.seq)) BEGIN SELECT RAISE(ABORT, 'a witness is another person, who saw it since the last gap'); END",
    "CREATE TRIGGER lots_used_no_delete BEFORE DELETE ON lots_used FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'lots used are never deleted'); END",
    "CREATE TRIGGER lots_used_no_change BEFORE UPDATE ON lots_used FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'lots used are never changed'); END",
    "CREATE TRIGGER lots_used_no_replace BEFORE INSERT ON lots_used FOR EACH ROW WHEN EXISTS (SELECT 1 FROM lots_used WHERE lot = NEW.lot AND entry = NEW.entry) BEGIN SELECT RAISE(ABORT, 'a lot is booked once'); END",
    "CREATE TRIGGER tries_not_lost BEFORE DELETE ON tries FOR EACH ROW WHEN OLD.failures > 0 OR OLD.locked_at IS NOT NULL BEGIN SELECT RAISE(ABORT, 'wrong tries are counted until somebody is let in'); END",
    "CREATE TRIGGER products_no_delete BEFORE DELETE ON products FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'products are never deleted'); END",
    "CREATE TRIGGER devices_no_delete BEFORE DELETE ON devices FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'devices are never deleted'); END",
    "CREATE TRIGGER containers_no_delete BEFORE DELETE ON containers FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'containers are never deleted'); END",
    "CREATE TRIGGER stock_book_no_delete BEFORE DELETE ON stock_book FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'lines of the book are never deleted'); END",
    "CREATE TRIGGER stock_book_no_change BEFORE UPDATE ON stock_book FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'lines of the book are never changed'); END",
    "CREATE TRIGGER stock_book_next_line BEFORE INSERT ON stock_book FOR EACH ROW WHEN NEW.line <> coalesce((SELECT line FROM stock_book WHERE product = NEW.product AND lot = NEW.lot ORDER BY line DESC LIMIT 1), 0) + 1 BEGIN SELECT RAISE(ABORT, 'a line takes the next place of its lot'); END",
    'CREATE TRIGGER stock_book_adds_up BEFORE INSERT ON stock_book FOR EACH ROW WHEN NEW."left" <> coalesce((SELECT "left" FROM stock_book WHERE product = NEW.product AND lot = NEW.lot ORDER BY line DESC LIMIT 1), 0) + NEW.came - NEW.used - NEW.wasted - NEW.sent BEGIN SELECT RAISE(ABORT, \'what is left is what came less what went\'); END',
    "CREATE TRIGGER stock_book_of_the_record BEFORE INSERT ON stock_book FOR EACH ROW WHEN NOT EXISTS (SELECT 1 FROM ledger AS said WHERE said.seq = NEW.entry AND said.by = NEW.person AND said.preparation = NEW.preparation) BEGIN SELECT RAISE(ABORT, 'a line of the book stands in the record'); END",
    "CREATE TRIGGER stock_book_on_one_sheet BEFORE INSERT ON stock_book FOR EACH ROW WHEN EXISTS (SELECT 1 FROM (SELECT sheet, unit FROM stock_book WHERE product = NEW.product AND lot = NEW.lot ORDER BY line DESC LIMIT 1) AS was WHERE was.sheet IS NOT NEW.sheet OR was.unit <> NEW.unit) OR (NEW.move = 'received' AND (SELECT json_extract(entry, '$.body.container.product.drug.controlled') FROM ledger WHERE seq = NEW.entry) IS NOT (NEW.sheet IS NOT NULL)) BEGIN SELECT RAISE(ABORT, 'a controlled lot is on one sheet of the register, any other on none'); END",
    "CREATE TRIGGER stock_book_two_people BEFORE INSERT ON stock_book FOR EACH ROW WHEN NEW.sheet IS NOT NULL AND (trim(NEW.other) = '' OR NEW.other = NEW.person OR NOT (coalesce((SELECT json_extract(entry, '$.body.witness') FROM ledger WHERE seq = NEW.entry), '') = NEW.other OR EXISTS (SELECT 1 FROM roles WHERE preparation = NEW.preparation AND person = NEW.other AND role = 'checker'))) BEGIN SELECT RAISE(ABORT, 'controlled stock moves before two people'); END",
    "CREATE TRIGGER stock_book_sheet_adds_up BEFORE INSERT ON stock_book FOR EACH ROW WHEN NEW.sheet IS NOT NULL AND (NEW.sheet_line <> coalesce((SELECT sheet_line FROM stock_book WHERE sheet = NEW.sheet ORDER BY sheet_line DESC LIMIT 1), 0) + 1 OR NEW.balance <> coalesce((SELECT balance FROM stock_book WHERE sheet = NEW.sheet ORDER BY sheet_line DESC LIMIT 1), 0) + NEW.came - NEW.used - NEW.wasted - NEW.sent) BEGIN SELECT RAISE(ABORT, 'a line of the register continues its balance'); END",
    "CREATE TRIGGER handovers_no_delete BEFORE DELETE ON handovers FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'counts are never deleted'); END",
    "CREATE TRIGGER handovers_no_change BEFORE UPDATE ON handovers FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'counts are never changed'); END",
    "CREATE TRIGGER handovers_of_the_record BEFORE INSERT ON handovers FOR EACH ROW WHEN NOT EXISTS (SELECT 1 FROM ledger AS said WHERE said.seq = NEW.entry AND said.kind = 'ControlledCounted' AND said.by = NEW.person AND json_extract(said.entry, '$.body.witness') = NEW.other) BEGIN SELECT RAISE(ABORT, 'a count stands in the record'); END",
    "CREATE TRIGGER containers_stay_what_they_are BEFORE UPDATE ON containers FOR EACH ROW WHEN NEW.id <> OLD.id OR NEW.product <> OLD.product OR NEW.lot <> OLD.lot BEGIN SELECT RAISE(ABORT, 'a container stays what it is'); END",
)

TABLES = (
    "vouchers",
    "roles",
    "lots_used",
    "labels",
    "stock_book",
    "preparations",
    "pins",
    "orders",
    "handovers",
    "containers",
    "badges",
    "tries",
    "products",
    "people",
    "patients_seen",
    "patients",
    "ledger",
    "devices",
)


def upgrade() -> None:
    """Make the tables and their guards."""
    for statement in CREATE:
        op.get_bind().exec_driver_sql(statement)


def downgrade() -> None:
    """Take everything away; a table takes its indexes and guards with it."""
    for table in TABLES:
        op.get_bind().exec_driver_sql(f"DROP TABLE {table}")
