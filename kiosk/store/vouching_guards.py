"""The third lock of the two-person rule: what the database itself asks of a voucher and of a label.

A voucher needs its entry, of the form of check that the syringe is owed, and the person's own reading of
every matter for these very facts. A label needs such a voucher of the preparer, and of another person where a
second one is needed; or what the weaker form of check demands, where the site's policy asked for one when the
syringe was begun. Whatever is older than the last gap counts for nothing: a syringe that was left, and whose
label was not on its barrel by then, is read anew.
"""

from __future__ import annotations

from typing import Final

from kiosk.core.catalogue.check_forms import CheckForm
from kiosk.core.preparation.two_people import MATTERS
from kiosk.store.refusing import kept as _kept
from kiosk.store.refusing import refuse as _refuse
from kiosk.store.schema import SELDOM

# What the record last said of the policy that names the weaker forms a site asks for.
FORM_ASKED_FOR: Final = (
    "instr(coalesce("
    "(SELECT json_extract(entry, '$.body.now') FROM ledger "
    f"WHERE kind = 'PolicyChanged' AND {SELDOM} AND json_extract(entry, '$.body.name') = 'check_forms' "
    "ORDER BY seq DESC LIMIT 1), "
    "(SELECT json_extract(one.value, '$[1]') FROM ledger AS noted, "
    "json_each(json_extract(noted.entry, '$.body.policies')) AS one "
    f"WHERE noted.kind = 'PolicyNoted' AND noted.{SELDOM} "
    "AND json_extract(one.value, '$[0]') = 'check_forms' ORDER BY noted.seq DESC LIMIT 1), ''), NEW.form)"
)

# The last time somebody came back while no label was on the barrel; 0 for never.
_GAP: Final = (
    "(SELECT coalesce(max(gap.seq), 0) FROM ledger AS gap WHERE gap.preparation = NEW.preparation "
    "AND gap.kind = 'Resumed' AND 'LabelScannedBack' IS NOT (SELECT was.kind FROM ledger AS was "
    "WHERE was.preparation = NEW.preparation AND was.seq < gap.seq "
    "AND was.kind IN ('LabelRequested', 'LabelScannedBack') ORDER BY was.seq DESC LIMIT 1))"
)
_THE: Final = "(SELECT {} FROM preparations WHERE id = NEW.preparation)"
_PREPARER: Final = _THE.format("preparer")
_SECOND: Final = _THE.format("needs_second")
# A voucher of somebody for what the label says, made since the last gap.
_VOUCHED: Final = f"preparation = NEW.preparation AND facts = NEW.digest AND entry > {_GAP}"
_OWED: Final = _THE.format(
    f"CASE WHEN needs_second THEN '{CheckForm.INDEPENDENT.value}' "
    f"WHEN form = '' THEN '{CheckForm.ONE.value}' ELSE form END"
)
# Every matter read by the preparer, for what the label says, between the self-check and the voucher.
_ALL_READ: Final = (
    "(SELECT count(DISTINCT json_extract(own.entry, '$.body.matter')) FROM ledger AS own "
    "WHERE own.preparation = NEW.preparation AND own.kind = 'Stated' AND own.by = began.by "
    "AND own.seq > began.seq AND own.seq < vouchers.entry "
    f"AND json_extract(own.entry, '$.body.facts') = NEW.digest) = {len(MATTERS)}"
)
_PAUSE: Final = (
    "(SELECT json_extract(pause.entry, '$.body.until') FROM ledger AS pause "
    "WHERE pause.preparation = NEW.preparation AND pause.kind = 'PauseBegan' AND pause.by = began.by "
    f"AND pause.seq > {_GAP} AND pause.seq < began.seq ORDER BY pause.seq DESC LIMIT 1)"
)
_SELF_CHECKED: Final = (
    "SELECT 1 FROM ledger AS began WHERE began.preparation = NEW.preparation "
    f"AND began.kind = 'SelfCheckBegan' AND began.by = {_PREPARER} "
    f"AND julianday(began.at) >= julianday({_PAUSE}) "
    f"AND EXISTS (SELECT 1 FROM vouchers WHERE {_VOUCHED} AND person = began.by AND {_ALL_READ})"
)
_WITNESSED: Final = (
    "SELECT 1 FROM ledger AS saw JOIN roles ON roles.preparation = saw.preparation "
    "AND roles.person = saw.by AND roles.role = 'witness' WHERE saw.preparation = NEW.preparation "
    f"AND saw.kind = 'Witnessed' AND saw.by <> {_PREPARER} AND saw.seq > {_GAP} "
    f"AND EXISTS (SELECT 1 FROM vouchers WHERE {_VOUCHED} AND entry > saw.seq)"
)
_WEAKER: Final = (
    "EXISTS (SELECT 1 FROM preparations WHERE id = NEW.preparation AND NOT needs_second AND form = '{}')"
)

_VOUCHERS: Final = [
    *_kept("vouchers", "vouchers"),
    _refuse(
        "vouchers_of_the_record",
        "INSERT",
        "vouchers",
        "NOT EXISTS (SELECT 1 FROM ledger AS said, json_each(json_extract(said.entry, '$.body.people')) "
        "AS who WHERE said.seq = NEW.entry AND said.kind = 'Vouched' "
        "AND said.preparation = NEW.preparation AND who.value = NEW.person "
        "AND json_extract(said.entry, '$.body.facts') = NEW.facts)",
        "a voucher stands in the record",
    ),
    _refuse(
        "vouchers_of_the_form_owed",
        "INSERT",
        "vouchers",
        "(SELECT json_extract(said.entry, '$.body.form') FROM ledger AS said WHERE said.seq = NEW.entry) "
        f"IS NOT {_OWED}",
        "a voucher is of the form of check that is owed",
    ),
    _refuse(
        "vouchers_own_reading",
        "INSERT",
        "vouchers",
        "(SELECT count(DISTINCT json_extract(own.entry, '$.body.matter')) FROM ledger AS own "
        "WHERE own.preparation = NEW.preparation AND own.kind = 'Stated' AND own.by = NEW.person "
        f"AND own.seq > {_GAP} AND own.seq < NEW.entry "
        f"AND json_extract(own.entry, '$.body.facts') = NEW.facts) <> {len(MATTERS)}",
        "nobody vouches without a reading of their own of every matter, made since the last gap",
    ),
    _refuse(
        "vouchers_of_a_role",
        "INSERT",
        "vouchers",
        "NOT EXISTS (SELECT 1 FROM roles WHERE preparation = NEW.preparation AND person = NEW.person "
        "AND role IN ('preparer', 'checker'))",
        "only preparer and checker vouch",
    ),
]

_LABELS: Final = [
    _refuse("labels_no_delete", "DELETE", "labels", "", "labels are never deleted"),
    _refuse(
        "labels_no_replace",
        "INSERT",
        "labels",
        "EXISTS (SELECT 1 FROM labels WHERE preparation = NEW.preparation AND copy = NEW.copy)",
        "a copy is asked for once",
    ),
    _refuse(
        "labels_kept",
        "UPDATE",
        "labels",
        "NEW.preparation <> OLD.preparation OR NEW.copy <> OLD.copy OR NEW.digest <> OLD.digest "
        "OR NEW.entry <> OLD.entry",
        "only the outcome of a label is noted later",
    ),
    _refuse(
        "labels_of_the_record",
        "INSERT",
        "labels",
        "NOT EXISTS (SELECT 1 FROM ledger AS asked WHERE asked.seq = NEW.entry "
        "AND asked.kind = 'LabelRequested' AND asked.preparation = NEW.preparation "
        "AND json_extract(asked.entry, '$.body.digest') = NEW.digest "
        "AND json_extract(asked.entry, '$.body.copy') = NEW.copy)",
        "a label stands in the record before it is printed",
    ),
    _refuse(
        "labels_of_an_open_syringe",
        "INSERT",
        "labels",
        "NOT EXISTS (SELECT 1 FROM preparations WHERE id = NEW.preparation AND ended_at IS NULL)",
        "no label for a syringe that is closed or does not exist",
    ),
    _refuse(
        "labels_vouched_for",
        "INSERT",
        "labels",
        f"(SELECT count(DISTINCT person) FROM vouchers WHERE {_VOUCHED}) < 1 + {_SECOND} "
        f"OR NOT EXISTS (SELECT 1 FROM vouchers WHERE {_VOUCHED} AND person = {_PREPARER})",
        "a label needs its vouchers since the last gap, of two people where a second is needed",
    ),
    _refuse(
        "labels_after_a_self_check",
        "INSERT",
        "labels",
        f"{_WEAKER.format(CheckForm.SELF.value)} AND NOT EXISTS ({_SELF_CHECKED})",
        "a self-check is the same person reading everything again after the pause",
    ),
    _refuse(
        "labels_seen_by_a_witness",
        "INSERT",
        "labels",
        f"{_WEAKER.format(CheckForm.WITNESS.value)} AND NOT EXISTS ({_WITNESSED})",
        "a witness is another person, who saw it since the last gap",
    ),
]

VOUCHING_GUARDS: Final = (*_VOUCHERS, *_LABELS)
