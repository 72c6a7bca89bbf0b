"""The allergy tables against what was published of cross-reactions, and against common sense."""

from __future__ import annotations

import re

from kiosk.core.checks.order_checks_allergy import plain
from kiosk.core.findings import Level
from kiosk.tables.check_tables import allergy_names, cross_reactions

NAMES = allergy_names()
CROSSINGS = {(row.allergic_to, row.given): row for row in cross_reactions()}


def test_the_larger_the_published_share_the_graver_the_level() -> None:
    """Picard 2019, J Allergy Clin Immunol Pract 7:2722; the carbapenem figure from memory."""
    shares = {
        given: float(re.match(r"[\d.]+", CROSSINGS["penicillin", given].share)[0])  # type: ignore[index]
        for given in ("aminocephalosporin", "cephalosporin", "carbapenem")
    }
    assert shares == {"aminocephalosporin": 16.45, "cephalosporin": 2.11, "carbapenem": 0.87}
    levels = [CROSSINGS["penicillin", given].level for given in shares]
    assert levels == [Level.STOP, Level.SECOND_PERSON, Level.CAUTION]


def test_heparins_stop_each_other() -> None:
    """Most antibodies of heparin-induced thrombocytopenia react with low molecular weight heparin as well."""
    assert CROSSINGS["heparin", "low molecular weight heparin"].level is Level.STOP
    assert CROSSINGS["low molecular weight heparin", "heparin"].level is Level.STOP


def test_esters_and_amides_do_not_cross() -> None:
    """Local anaesthetics of the two families: no cross-reaction known; from memory."""
    assert ("ester local anaesthetic", "amide local anaesthetic") not in CROSSINGS


def test_every_crossing_is_between_classes_that_somebody_can_write() -> None:
    groups = {name.group for name in NAMES}
    assert {row.allergic_to for row in CROSSINGS.values()} <= groups
    assert {row.given for row in CROSSINGS.values()} <= groups


def test_no_class_crosses_with_itself() -> None:
    assert all(allergic_to != given for allergic_to, given in CROSSINGS)


def test_names_are_already_plain_but_for_hyphens_and_apostrophes() -> None:
    for name in NAMES:
        assert plain(name.written) == re.sub(r"[-']", " ", name.written)


def test_no_name_means_a_drug_class_and_no_drug_at_once() -> None:
    by_name: dict[str, set[str]] = {}
    for name in NAMES:
        by_name.setdefault(name.written, set()).add(name.group)
    assert all(len(groups) == 1 for groups in by_name.values())
