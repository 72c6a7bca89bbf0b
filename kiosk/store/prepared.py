"""Tables, guards and daily statements as SQL text. Made by ``prepare``: do not edit."""

from __future__ import annotations

from typing import Final

# fmt: off
# ruff: noqa: E501

SCHEMA_VERSION: Final = '0001'

SCHEMA: Final[tuple[str, ...]] = (
    'CREATE TABLE alembic_version (version_num VARCHAR(32) NOT NULL, CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num))',
    'CREATE TABLE devices (id TEXT NOT NULL, kind TEXT NOT NULL, gtin TEXT NOT NULL, body TEXT NOT NULL, PRIMARY KEY (id)) STRICT',
    'CREATE INDEX devices_of_kind ON devices (kind, id)',
    'CREATE TABLE ledger (seq INTEGER NOT NULL, entry TEXT NOT NULL, hash TEXT NOT NULL, mark TEXT NOT NULL, at TEXT GENERATED ALWAYS AS (json_extract(entry, \'$.at\')) VIRTUAL, "by" TEXT GENERATED ALWAYS AS (json_extract(entry, \'$.by\')) VIRTUAL, kind TEXT GENERATED ALWAYS AS (json_extract(entry, \'$.kind\')) VIRTUAL, preparation TEXT GENERATED ALWAYS AS (json_extract(entry, \'$.preparation\')) VIRTUAL, "key" TEXT GENERATED ALWAYS AS (json_extract(entry, \'$.key\')) VIRTUAL, part INTEGER GENERATED ALWAYS AS (json_extract(entry, \'$.part\')) VIRTUAL, PRIMARY KEY (seq)) STRICT',
    'CREATE INDEX ledger_of_preparation ON ledger (preparation, seq)',
    "CREATE INDEX ledger_of_seldom_kinds ON ledger (kind, seq) WHERE kind IN ('TablesNoted', 'SealMade', 'RecordAccepted')",
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
    'CREATE TABLE tries (digest TEXT NOT NULL, failures INTEGER NOT NULL, last_at TEXT NOT NULL, locked_at TEXT, PRIMARY KEY (digest)) STRICT',
    'CREATE TABLE badges (digest TEXT NOT NULL, person TEXT NOT NULL, issued_at TEXT NOT NULL, ended_at TEXT, mark TEXT NOT NULL, PRIMARY KEY (digest), FOREIGN KEY(person) REFERENCES people (id)) STRICT',
    'CREATE UNIQUE INDEX one_badge_a_person ON badges (person) WHERE ended_at IS NULL',
    'CREATE TABLE containers (id TEXT NOT NULL, product TEXT NOT NULL, lot TEXT NOT NULL, serial TEXT NOT NULL, expiry TEXT NOT NULL, body TEXT NOT NULL, held INTEGER, "left" TEXT, opened_at TEXT, discard_after TEXT, recalled INTEGER NOT NULL, used_up INTEGER NOT NULL, PRIMARY KEY (id), FOREIGN KEY(product) REFERENCES products (id)) STRICT',
    'CREATE INDEX containers_of_lot ON containers (lot)',
    'CREATE INDEX containers_of_product ON containers (product, lot, serial)',
    'CREATE TABLE orders (id TEXT NOT NULL, patient TEXT NOT NULL, drug TEXT NOT NULL, due TEXT NOT NULL, body TEXT NOT NULL, PRIMARY KEY (id), FOREIGN KEY(patient) REFERENCES patients (id)) STRICT',
    'CREATE INDEX orders_by_due ON orders (due)',
    'CREATE INDEX orders_of_patient ON orders (patient)',
    'CREATE TABLE pins (person TEXT NOT NULL, hash TEXT NOT NULL, changed_at TEXT NOT NULL, mark TEXT NOT NULL, PRIMARY KEY (person), FOREIGN KEY(person) REFERENCES people (id)) STRICT',
    "CREATE TABLE preparations (id TEXT NOT NULL, order_id TEXT NOT NULL, patient TEXT NOT NULL, drug TEXT NOT NULL, code TEXT NOT NULL, needs_second INTEGER NOT NULL, preparer TEXT NOT NULL, checker TEXT, witness TEXT, opened_at TEXT NOT NULL, ended_at TEXT, outcome TEXT, PRIMARY KEY (id), CONSTRAINT needs_second_is_yes_or_no CHECK (needs_second IN (0, 1)), CONSTRAINT checker_is_another_person CHECK (checker <> preparer), CONSTRAINT witness_is_another_person CHECK (witness <> preparer), CONSTRAINT witness_is_not_the_checker CHECK (witness <> checker), CONSTRAINT outcome_is_known CHECK (outcome IN ('finished', 'discarded')), CONSTRAINT ended_with_an_outcome CHECK ((ended_at IS NULL) = (outcome IS NULL)), FOREIGN KEY(patient) REFERENCES patients_seen (ref)) STRICT",
    'CREATE UNIQUE INDEX a_code_names_one_syringe ON preparations (code)',
    "CREATE UNIQUE INDEX an_order_is_prepared_once ON preparations (order_id) WHERE outcome IS NULL OR outcome = 'finished'",
    'CREATE UNIQUE INDEX one_open_syringe_a_preparer ON preparations (preparer) WHERE ended_at IS NULL',
    'CREATE INDEX preparations_of_day ON preparations (opened_at)',
    'CREATE INDEX preparations_of_drug ON preparations (drug, opened_at)',
    'CREATE INDEX preparations_of_patient ON preparations (patient, opened_at)',
    "CREATE TABLE labels (preparation TEXT NOT NULL, copy INTEGER NOT NULL, digest TEXT NOT NULL, outcome TEXT NOT NULL, entry INTEGER NOT NULL, PRIMARY KEY (preparation, copy), CONSTRAINT label_outcome_is_known CHECK (outcome IN ('requested', 'printed', 'failed', 'unknown', 'on paper', 'no paper')), FOREIGN KEY(preparation) REFERENCES preparations (id), FOREIGN KEY(entry) REFERENCES ledger (seq)) WITHOUT ROWID, STRICT",
    'CREATE TABLE lots_used (lot TEXT NOT NULL, at TEXT NOT NULL, preparation TEXT NOT NULL, container TEXT NOT NULL, patient TEXT NOT NULL, drug TEXT NOT NULL, product TEXT NOT NULL, PRIMARY KEY (lot, at, preparation, container), FOREIGN KEY(preparation) REFERENCES preparations (id)) WITHOUT ROWID, STRICT',
    'CREATE INDEX lots_of_preparation ON lots_used (preparation, lot)',
    "CREATE TABLE roles (preparation TEXT NOT NULL, person TEXT NOT NULL, role TEXT NOT NULL, PRIMARY KEY (preparation, person), CONSTRAINT role_is_known CHECK (role IN ('preparer', 'checker', 'witness')), FOREIGN KEY(preparation) REFERENCES preparations (id)) WITHOUT ROWID, STRICT",
    'CREATE INDEX roles_of_person ON roles (person, preparation)',
    'CREATE TABLE vouchers (preparation TEXT NOT NULL, facts TEXT NOT NULL, person TEXT NOT NULL, round INTEGER NOT NULL, entry INTEGER NOT NULL, PRIMARY KEY (preparation, facts, person, round), FOREIGN KEY(preparation) REFERENCES preparations (id), FOREIGN KEY(entry) REFERENCES ledger (seq)) WITHOUT ROWID, STRICT',
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
    "CREATE TRIGGER preparations_kept BEFORE UPDATE ON preparations FOR EACH ROW WHEN NEW.id <> OLD.id OR NEW.order_id <> OLD.order_id OR NEW.patient <> OLD.patient OR NEW.drug <> OLD.drug OR NEW.code <> OLD.code OR NEW.opened_at <> OLD.opened_at OR NEW.needs_second < OLD.needs_second OR OLD.ended_at IS NOT NULL BEGIN SELECT RAISE(ABORT, 'what a preparation is does not change, and what ended stays ended'); END",
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
    "CREATE TRIGGER vouchers_own_reading BEFORE INSERT ON vouchers FOR EACH ROW WHEN NOT EXISTS (SELECT 1 FROM ledger AS own WHERE own.preparation = NEW.preparation AND own.kind = 'Stated' AND own.by = NEW.person AND json_extract(own.entry, '$.body.facts') = NEW.facts) BEGIN SELECT RAISE(ABORT, 'nobody vouches without a reading of their own'); END",
    "CREATE TRIGGER vouchers_of_a_role BEFORE INSERT ON vouchers FOR EACH ROW WHEN NOT EXISTS (SELECT 1 FROM roles WHERE preparation = NEW.preparation AND person = NEW.person AND role IN ('preparer', 'checker')) BEGIN SELECT RAISE(ABORT, 'only preparer and checker vouch'); END",
    "CREATE TRIGGER labels_no_delete BEFORE DELETE ON labels FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'labels are never deleted'); END",
    "CREATE TRIGGER labels_no_replace BEFORE INSERT ON labels FOR EACH ROW WHEN EXISTS (SELECT 1 FROM labels WHERE preparation = NEW.preparation AND copy = NEW.copy) BEGIN SELECT RAISE(ABORT, 'a copy is asked for once'); END",
    "CREATE TRIGGER labels_kept BEFORE UPDATE ON labels FOR EACH ROW WHEN NEW.preparation <> OLD.preparation OR NEW.copy <> OLD.copy OR NEW.digest <> OLD.digest OR NEW.entry <> OLD.entry BEGIN SELECT RAISE(ABORT, 'only the outcome of a label is noted later'); END",
    "CREATE TRIGGER labels_of_the_record BEFORE INSERT ON labels FOR EACH ROW WHEN NOT EXISTS (SELECT 1 FROM ledger AS asked WHERE asked.seq = NEW.entry AND asked.kind = 'LabelRequested' AND asked.preparation = NEW.preparation AND json_extract(asked.entry, '$.body.digest') = NEW.digest AND json_extract(asked.entry, '$.body.copy') = NEW.copy) BEGIN SELECT RAISE(ABORT, 'a label stands in the record before it is printed'); END",
    "CREATE TRIGGER labels_of_an_open_syringe BEFORE INSERT ON labels FOR EACH ROW WHEN NOT EXISTS (SELECT 1 FROM preparations WHERE id = NEW.preparation AND ended_at IS NULL) BEGIN SELECT RAISE(ABORT, 'no label for a syringe that is closed or does not exist'); END",
    "CREATE TRIGGER labels_vouched_for BEFORE INSERT ON labels FOR EACH ROW WHEN (SELECT count(DISTINCT person) FROM vouchers WHERE preparation = NEW.preparation AND facts = NEW.digest) < 1 + (SELECT needs_second FROM preparations WHERE id = NEW.preparation) BEGIN SELECT RAISE(ABORT, 'a label needs its vouchers, of two people where a second is needed'); END",
    "CREATE TRIGGER lots_used_no_delete BEFORE DELETE ON lots_used FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'lots used are never deleted'); END",
    "CREATE TRIGGER lots_used_no_change BEFORE UPDATE ON lots_used FOR EACH ROW BEGIN SELECT RAISE(ABORT, 'lots used are never changed'); END",
    "CREATE TRIGGER lots_used_no_replace BEFORE INSERT ON lots_used FOR EACH ROW WHEN EXISTS (SELECT 1 FROM lots_used WHERE lot = NEW.lot AND at = NEW.at AND preparation = NEW.preparation AND container = NEW.container) BEGIN SELECT RAISE(ABORT, 'a lot is booked once'); END",
)

MADE: Final = 'SELECT sql FROM sqlite_master'
STAMP: Final = 'INSERT INTO alembic_version (version_num) VALUES (:version)'
ACCEPTANCES: Final = "SELECT json_extract(ledger.entry, '$.body.seq') AS seq, ledger.at FROM ledger WHERE ledger.kind = 'RecordAccepted' AND kind IN ('TablesNoted', 'SealMade', 'RecordAccepted')"
ALL_SEEN: Final = 'SELECT patients_seen.ref, patients_seen.salt, patients_seen.id, patients_seen.number, patients_seen.name, patients_seen.born, patients_seen.place, patients_seen.erased_at FROM patients_seen'
ASK_LABEL: Final = 'INSERT INTO labels (preparation, copy, digest, outcome, entry) VALUES (:preparation, :copy, :digest, :outcome, :entry)'
BADGE: Final = 'SELECT badges.digest, badges.person, badges.issued_at, badges.ended_at, badges.mark FROM badges WHERE badges.digest = :digest'
BADGES_OF: Final = 'SELECT badges.digest FROM badges WHERE badges.person = :person'
BADGE_OF: Final = 'SELECT badges.digest, badges.person, badges.issued_at, badges.ended_at, badges.mark FROM badges WHERE badges.person = :person AND badges.ended_at IS NULL'
CHAIN_FROM: Final = 'SELECT ledger.entry, ledger.hash FROM ledger WHERE ledger.seq >= :first ORDER BY ledger.seq'
CONTAINER: Final = 'SELECT containers.body, containers.held, containers."left", containers.opened_at, containers.discard_after, containers.recalled, containers.used_up, (SELECT preparations.order_id FROM lots_used JOIN preparations ON preparations.id = lots_used.preparation WHERE lots_used.lot = containers.lot AND lots_used.container = containers.id AND containers.serial != \'\' AND preparations.ended_at IS NULL LIMIT 1 OFFSET 0) AS reserved_for, products.body AS product FROM containers JOIN products ON products.id = containers.product WHERE containers.id = :id'
CONTAINERS_BY_ID: Final = 'SELECT containers.id, containers.product, containers.lot, containers.serial, containers.expiry, containers.body, containers.held, containers."left", containers.opened_at, containers.discard_after, containers.recalled, containers.used_up FROM containers WHERE containers.id = :id'
CONTAINERS_OF_DRUG: Final = 'SELECT containers.body, containers.held, containers."left", containers.opened_at, containers.discard_after, containers.recalled, containers.used_up, (SELECT preparations.order_id FROM lots_used JOIN preparations ON preparations.id = lots_used.preparation WHERE lots_used.lot = containers.lot AND lots_used.container = containers.id AND containers.serial != \'\' AND preparations.ended_at IS NULL LIMIT 1 OFFSET 0) AS reserved_for, products.body AS product FROM containers JOIN products ON products.id = containers.product WHERE products.drug = :drug ORDER BY containers.expiry, containers.id'
CONTAINERS_OF_PRODUCT: Final = 'SELECT containers.body, containers.held, containers."left", containers.opened_at, containers.discard_after, containers.recalled, containers.used_up, (SELECT preparations.order_id FROM lots_used JOIN preparations ON preparations.id = lots_used.preparation WHERE lots_used.lot = containers.lot AND lots_used.container = containers.id AND containers.serial != \'\' AND preparations.ended_at IS NULL LIMIT 1 OFFSET 0) AS reserved_for, products.body AS product FROM containers JOIN products ON products.id = containers.product WHERE containers.product = :product ORDER BY containers.expiry, containers.id'
COUNT_FROM: Final = 'SELECT count(*) AS count_1 FROM ledger WHERE ledger.seq >= :first'
DEVICES_BY_ID: Final = 'SELECT devices.id, devices.kind, devices.gtin, devices.body FROM devices WHERE devices.id = :id'
DEVICES_OF: Final = 'SELECT devices.body FROM devices WHERE devices.kind = :kind ORDER BY devices.id'
DROP_ORDER: Final = 'DELETE FROM orders WHERE orders.id = :id'
EMPTIED: Final = 'UPDATE containers SET "left"=\'0 mL\' WHERE containers.id = :container AND containers."left" IS NOT NULL'
END_LABEL: Final = 'UPDATE labels SET outcome=:how WHERE labels.preparation = :preparation AND labels.copy = :which'
END_PREPARATION: Final = 'UPDATE preparations SET ended_at=:ended_at, outcome=:outcome WHERE preparations.id = :preparation'
ENTRIES_FROM: Final = 'SELECT ledger.seq, ledger.entry, ledger.hash, ledger.mark FROM ledger WHERE ledger.seq >= :first ORDER BY ledger.seq'
ENTRIES_OF: Final = 'SELECT ledger.seq, ledger.entry FROM ledger WHERE ledger.preparation = :preparation ORDER BY ledger.seq'
ERASE_SEEN: Final = "UPDATE patients_seen SET salt='', id='', number='', name='', born='', place='', erased_at=:erased_at WHERE patients_seen.ref = :which"
EVERYBODY: Final = 'SELECT people.id, people.name, people.initials, people.roles, people.trainee, people.left_at, people.mark FROM people WHERE people.left_at IS NULL ORDER BY people.name'
EVERY_BADGE: Final = 'SELECT badges.digest, badges.person, badges.issued_at, badges.ended_at, badges.mark FROM badges'
EVERY_PERSON: Final = 'SELECT people.id, people.name, people.initials, people.roles, people.trainee, people.left_at, people.mark FROM people'
EVERY_PIN: Final = 'SELECT pins.person, pins.hash, pins.changed_at, pins.mark FROM pins'
FORGET_ORDERS: Final = 'DELETE FROM orders WHERE orders.patient = :id'
FORGET_PATIENT: Final = 'DELETE FROM patients WHERE patients.id = :id'
FORGET_TRIES: Final = 'DELETE FROM tries WHERE tries.digest = :which'
HASH_AT: Final = 'SELECT ledger.hash FROM ledger WHERE ledger.seq = :seq'
HEAD: Final = 'SELECT ledger.seq, ledger.hash, ledger.mark, ledger.at FROM ledger ORDER BY ledger.seq DESC LIMIT 1'
KEEP_REST: Final = 'UPDATE containers SET "left"=:volume, opened_at=coalesce(containers.opened_at, :at), discard_after=coalesce(containers.discard_after, :until) WHERE containers.id = :container'
LAST_OF_KIND: Final = "SELECT ledger.seq, ledger.entry FROM ledger WHERE ledger.kind = :kind AND kind IN ('TablesNoted', 'SealMade', 'RecordAccepted') ORDER BY ledger.seq DESC LIMIT 1"
LAST_PLACE: Final = 'SELECT max(ledger.seq) AS max_1 FROM ledger'
LAST_ROUND: Final = "SELECT max(json_extract(ledger.entry, '$.body.round')) AS max_1 FROM ledger WHERE ledger.preparation = :preparation AND ledger.kind = 'Stated' AND ledger.seq < :before"
LOCKED_BADGES: Final = 'SELECT tries.digest, tries.locked_at, badges.person FROM tries LEFT OUTER JOIN badges ON tries.digest = badges.digest WHERE tries.locked_at IS NOT NULL ORDER BY tries.locked_at'
NEED_SECOND: Final = 'UPDATE preparations SET needs_second=1 WHERE preparations.id = :preparation'
OPENED_EVER: Final = 'SELECT count(*) AS count_1 FROM preparations'
OPEN_OF_PATIENT: Final = 'SELECT preparations.id FROM preparations JOIN patients_seen ON patients_seen.ref = preparations.patient WHERE patients_seen.id = :id AND preparations.ended_at IS NULL'
OPEN_PREPARATION: Final = 'INSERT INTO preparations (id, order_id, patient, drug, code, needs_second, preparer, opened_at) VALUES (:id, :order_id, :patient, :drug, :code, :needs_second, :preparer, :opened_at)'
ORDER: Final = 'SELECT orders.body, patients.body AS patient FROM orders JOIN patients ON patients.id = orders.patient WHERE orders.id = :id'
ORDERS_BY_ID: Final = 'SELECT orders.id, orders.patient, orders.drug, orders.due, orders.body FROM orders WHERE orders.id = :id'
ORDERS_DUE: Final = "SELECT orders.body, patients.body AS patient FROM orders JOIN patients ON patients.id = orders.patient WHERE NOT (EXISTS (SELECT 1 FROM preparations WHERE preparations.order_id = orders.id AND (preparations.outcome IS NULL OR preparations.outcome = 'finished'))) ORDER BY orders.due, orders.id"
OTHER_KEEPERS: Final = 'SELECT count(*) AS count_1 FROM people WHERE people.left_at IS NULL AND (people.roles LIKE \'%\' || \'"keeper"\' || \'%\') AND people.id != :but'
PATIENTS_BY_ID: Final = 'SELECT patients.id, patients.number, patients.name, patients.body FROM patients WHERE patients.id = :id'
PERSON: Final = 'SELECT people.id, people.name, people.initials, people.roles, people.trainee, people.left_at, people.mark FROM people WHERE people.id = :id'
PERSON_OF_BADGE: Final = 'SELECT people.id, people.name, people.initials, people.roles, people.trainee, people.left_at, people.mark FROM people JOIN badges ON people.id = badges.person WHERE badges.digest = :digest AND badges.ended_at IS NULL AND people.left_at IS NULL'
PIN_OF: Final = 'SELECT pins.person, pins.hash, pins.changed_at, pins.mark FROM pins WHERE pins.person = :person'
PRODUCTS_BY_ID: Final = 'SELECT products.id, products.gtin, products.drug, products.body FROM products WHERE products.id = :id'
PRODUCT_OF_GTIN: Final = 'SELECT products.id, products.body FROM products WHERE products.gtin = :gtin'
PUT_BADGE: Final = 'INSERT INTO badges (digest, person, issued_at, ended_at, mark) VALUES (:digest, :person, :issued_at, :ended_at, :mark) ON CONFLICT (digest) DO UPDATE SET person = excluded.person, issued_at = excluded.issued_at, ended_at = excluded.ended_at, mark = excluded.mark'
PUT_CONTAINER: Final = 'INSERT INTO containers (id, product, lot, serial, expiry, body, held, "left", opened_at, discard_after, recalled, used_up) VALUES (:id, :product, :lot, :serial, :expiry, :body, :held, :left, :opened_at, :discard_after, :recalled, :used_up) ON CONFLICT (id) DO UPDATE SET product = excluded.product, lot = excluded.lot, serial = excluded.serial, expiry = excluded.expiry, body = excluded.body, recalled = max(containers.recalled, excluded.recalled)'
PUT_DEVICE: Final = 'INSERT INTO devices (id, kind, gtin, body) VALUES (:id, :kind, :gtin, :body) ON CONFLICT (id) DO UPDATE SET kind = excluded.kind, gtin = excluded.gtin, body = excluded.body'
PUT_ORDER: Final = 'INSERT INTO orders (id, patient, drug, due, body) VALUES (:id, :patient, :drug, :due, :body) ON CONFLICT (id) DO UPDATE SET patient = excluded.patient, drug = excluded.drug, due = excluded.due, body = excluded.body'
PUT_PATIENT: Final = 'INSERT INTO patients (id, number, name, body) VALUES (:id, :number, :name, :body) ON CONFLICT (id) DO UPDATE SET number = excluded.number, name = excluded.name, body = excluded.body'
PUT_PERSON: Final = 'INSERT INTO people (id, name, initials, roles, trainee, left_at, mark) VALUES (:id, :name, :initials, :roles, :trainee, :left_at, :mark) ON CONFLICT (id) DO UPDATE SET name = excluded.name, initials = excluded.initials, roles = excluded.roles, trainee = excluded.trainee, left_at = excluded.left_at, mark = excluded.mark'
PUT_PIN: Final = 'INSERT INTO pins (person, hash, changed_at, mark) VALUES (:person, :hash, :changed_at, :mark) ON CONFLICT (person) DO UPDATE SET hash = excluded.hash, changed_at = excluded.changed_at, mark = excluded.mark'
PUT_PRODUCT: Final = 'INSERT INTO products (id, gtin, drug, body) VALUES (:id, :gtin, :drug, :body) ON CONFLICT (id) DO UPDATE SET gtin = excluded.gtin, drug = excluded.drug, body = excluded.body'
PUT_TRIES: Final = 'INSERT INTO tries (digest, failures, last_at, locked_at) VALUES (:digest, :failures, :last_at, :locked_at) ON CONFLICT (digest) DO UPDATE SET failures = excluded.failures, last_at = excluded.last_at, locked_at = excluded.locked_at'
RECALL_LOT: Final = 'UPDATE containers SET recalled=1 WHERE containers.lot = :which'
ROLE_OF: Final = 'SELECT roles.role FROM roles WHERE roles.preparation = :preparation AND roles.person = :person'
SEEN_BEFORE: Final = 'SELECT patients_seen.ref FROM patients_seen WHERE patients_seen.id = :id AND patients_seen.number = :number AND patients_seen.name = :name AND patients_seen.born = :born AND patients_seen.place = :place'
SEEN_BY_REF: Final = 'SELECT patients_seen.ref, patients_seen.salt, patients_seen.id, patients_seen.number, patients_seen.name, patients_seen.born, patients_seen.place, patients_seen.erased_at FROM patients_seen WHERE patients_seen.ref = :ref'
SEEN_LAST_BEFORE: Final = "SELECT patients_seen.id FROM patients_seen JOIN preparations ON patients_seen.ref = preparations.patient WHERE patients_seen.erased_at IS NULL GROUP BY patients_seen.id HAVING max(coalesce(preparations.ended_at, '9999')) < :before"
SEEN_OF_ID: Final = 'SELECT patients_seen.ref FROM patients_seen WHERE patients_seen.id = :id'
SEE_PATIENT: Final = 'INSERT INTO patients_seen (ref, salt, id, number, name, born, place, erased_at) VALUES (:ref, :salt, :id, :number, :name, :born, :place, :erased_at)'
SEQS_FROM: Final = 'SELECT ledger.seq FROM ledger WHERE ledger.seq >= :first ORDER BY ledger.seq'
SET_CHECKER: Final = 'UPDATE preparations SET checker=:person WHERE preparations.id = :preparation'
SET_PREPARER: Final = 'UPDATE preparations SET preparer=:person WHERE preparations.id = :preparation'
SET_WITNESS: Final = 'UPDATE preparations SET witness=:person WHERE preparations.id = :preparation'
STAFF_ENTRIES: Final = "SELECT ledger.entry FROM ledger WHERE ledger.preparation = '' AND (ledger.kind = 'StaffChanged' OR ledger.kind = 'PinChanged' OR ledger.kind = 'BadgeIssued' OR ledger.kind = 'BadgeEnded') ORDER BY ledger.seq"
SYRINGE_OF: Final = 'SELECT preparations.patient, preparations.drug FROM preparations WHERE preparations.id = :preparation'
TAKE_ONE: Final = 'UPDATE containers SET held=(containers.held - 1), used_up=CASE WHEN (containers.held <= 1) THEN 1 ELSE containers.used_up END WHERE containers.id = :container AND containers.held > 0'
TAKE_ROLE: Final = 'INSERT INTO roles (preparation, person, role) VALUES (:preparation, :person, :role) ON CONFLICT DO NOTHING'
TRIES: Final = 'SELECT tries.digest, tries.failures, tries.last_at, tries.locked_at FROM tries WHERE tries.digest = :digest'
UNFINISHED: Final = 'SELECT preparations.id FROM preparations WHERE preparations.ended_at IS NULL ORDER BY +preparations.opened_at, preparations.id'
USE_LOT: Final = 'INSERT INTO lots_used (lot, at, preparation, container, patient, drug, product) VALUES (:lot, :at, :preparation, :container, :patient, :drug, :product)'
VOUCH: Final = 'INSERT INTO vouchers (preparation, facts, person, round, entry) VALUES (:preparation, :facts, :person, :round, :entry) ON CONFLICT DO NOTHING'
WRITE_ENTRY: Final = 'INSERT INTO ledger (seq, entry, hash, mark) VALUES (:seq, :entry, :hash, :mark)'
WRITTEN_BEFORE: Final = 'SELECT ledger.seq, ledger.entry FROM ledger WHERE ledger."key" = :key ORDER BY ledger.part'
