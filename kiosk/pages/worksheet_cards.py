"""Findings and refusals of a worksheet in words; the names of facts in them are translated first."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from kiosk.core.findings import Fact, Facts, Finding, Refusal
from kiosk.core.units import Measure
from kiosk.pages.parts import FindingCard
from kiosk.pages.words import Words

NAMING = frozenset({"fact", "facts", "missing", "or_else"})
"""Facts that hold the name of a fact, or several."""


def finding_card(finding: Finding, words: Words) -> FindingCard:
    """Return a finding's card."""
    return words.finding(replace(finding, facts=_named(finding.facts, words)))


def refusal_card(refusal: Refusal, words: Words) -> FindingCard:
    """Return a refusal's card."""
    return words.refusal(replace(refusal, facts=_named(refusal.facts, words)))


def _named(facts: Facts, words: Words) -> Facts:
    """Return facts with the names of facts in words and plain numbers as such."""
    return {name: name_of(value, words) if name in NAMING else _plain(value) for name, value in facts.items()}


def name_of(value: Fact, words: Words) -> str:
    """Return the name of a fact; several in one way joined by "and", several ways by "or"."""
    if isinstance(value, tuple):
        joined = "or" if any(isinstance(one, tuple) for one in value) else "and"
        return words.entries[f"worksheet.{joined}"].join(name_of(one, words) for one in value)
    key = f"fact.{value}"
    return words.entries.get(key, str(value))


def _plain(value: Fact) -> Fact:
    """Return a measure of nothing as the number it is."""
    return Decimal(value.decimal) if isinstance(value, Measure) and value.unit == "1" else value
