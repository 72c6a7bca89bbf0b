"""Is the patient allergic to this drug, its class, or a class that may cross with it?"""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from kiosk.core.catalogue.check_tables import AllergyName, CrossReaction, OrderTables
from kiosk.core.catalogue.drug import Drug
from kiosk.core.checks.asking import saw
from kiosk.core.checks.check import OrderCase
from kiosk.core.findings import Finding, Level

NO_ALLERGY: Final = "none"
_NOT_A_WORD: Final = re.compile(r"[^a-z0-9]+")
_CROSSING_IDS: Final = {
    Level.STOP: "allergy_crosses",
    Level.SECOND_PERSON: "allergy_may_cross",
    Level.CAUTION: "allergy_seldom_crosses",
    Level.NOTE: "allergy_related",
}


def plain(text: str) -> str:
    """Return text without accents, capitals and punctuation, one space between words."""
    bare = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    return _NOT_A_WORD.sub(" ", bare.casefold().replace("œ", "oe")).strip()


def groups_of(allergy: str, names: tuple[AllergyName, ...]) -> frozenset[str]:
    """Return the classes an allergy as written may mean: every known name among its words."""
    text = f" {plain(allergy)} "
    return frozenset(name.group for name in names if f" {plain(name.written)} " in text)


def names_drug(allergy: str, drug: Drug) -> bool:
    """Say whether an allergy as written names this very drug."""
    text = f" {plain(allergy)} "
    return any(f" {plain(name)} " in text for name in (drug.name, drug.id))


def allergic_to_drug(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop: the patient is allergic to the drug or its class."""
    drug = case.order.drug
    for allergy in case.order.patient.allergies:
        hit = groups_of(allergy, tables.allergy_names) & drug.allergy_classes
        if hit or names_drug(allergy, drug):
            return saw("allergic_to_drug", Level.STOP, drug=drug.name, allergy=allergy)
    return None


def allergy_crossing(tables: OrderTables, case: OrderCase) -> Finding | None:
    """The gravest of the published cross-reactions between an allergy and this drug's classes."""
    if allergic_to_drug(tables, case):
        return None
    drug, found = case.order.drug, []
    for allergy in case.order.patient.allergies:
        groups = groups_of(allergy, tables.allergy_names)
        found += [(cross, allergy) for cross in tables.cross_reactions if _crosses(cross, groups, drug)]
    if not found:
        return None
    cross, allergy = min(found, key=lambda pair: list(Level).index(pair[0].level))
    kind = _CROSSING_IDS[cross.level]
    return saw(kind, cross.level, cross.source, drug=drug.name, allergy=allergy, share=cross.share)


def _crosses(cross: CrossReaction, groups: frozenset[str], drug: Drug) -> bool:
    """Say whether a row is about one of these allergies and this drug."""
    return cross.allergic_to in groups and cross.given in drug.allergy_classes


def allergy_not_understood(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Caution: an allergy that no table knows can only be compared by a person."""
    drug = case.order.drug
    unknown = tuple(
        allergy
        for allergy in case.order.patient.allergies
        if plain(allergy) and not groups_of(allergy, tables.allergy_names) and not names_drug(allergy, drug)
    )
    if not unknown:
        return None
    return saw("allergy_not_understood", Level.CAUTION, allergies=unknown, drug=drug.name)


def allergies_contradict(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop: the list says both that there is no allergy and that there is one."""
    said = case.order.patient.allergies
    denied = [allergy for allergy in said if NO_ALLERGY in groups_of(allergy, tables.allergy_names)]
    if not denied or len(denied) == len(said):
        return None
    return saw("allergies_contradict", Level.STOP, allergies=said)
