"""Turning keys and facts into sentences a nurse would say, in the language of the counter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from kiosk.core.findings import Fact, Finding, Refusal
from kiosk.core.notation import number, write
from kiosk.core.units import Measure
from kiosk.pages.parts import FindingCard


@dataclass(frozen=True, slots=True)
class Words:
    """Every sentence of one language by its dotted key. A missing key is a bug and raises KeyError."""

    entries: Mapping[str, str]
    language: str

    def say(self, key: str, **facts: Fact) -> str:
        """Return the sentence of ``key`` with its facts written in safe notation."""
        template = self.entries[key]
        return template.format_map({name: self.write(fact) for name, fact in facts.items()})

    def write(self, fact: Fact) -> str:
        """Return one fact as text for people."""
        if isinstance(fact, Measure):
            return write(fact, self.language)
        if isinstance(fact, datetime):
            return f"{self.day(fact.date())}, {self.time(fact)}"
        if isinstance(fact, date):
            return self.day(fact)
        if isinstance(fact, tuple):
            return ", ".join(self.write(one) for one in fact)
        if isinstance(fact, Decimal):
            return number(Measure.of(fact, "mL").value, self.language)
        return self._named(fact) if isinstance(fact, str) else str(fact)

    def short(self, measure: Measure) -> str:
        """Return a measure to three significant digits, for show beside a tolerance."""
        return write(measure, self.language, 3)

    def _named(self, fact: str) -> str:
        """Return the word for a form, route, site or matter of the check; any other text as it stands."""
        keys = (f"{table}.{fact}".replace(" ", "_") for table in ("name", "route", "site", "matter"))
        return next((self.entries[key] for key in keys if key in self.entries), fact)

    def day(self, day: date) -> str:
        """Return a date with its month in letters, so that no order of numbers can mislead."""
        return f"{day.day} {self.entries[f'month.{day.month}']} {day.year}"

    def time(self, moment: datetime) -> str:
        """Return the time of day on a 24 hour clock, in the moment's own zone."""
        return f"{moment:%H:%M}"

    def finding(self, finding: Finding) -> FindingCard:
        """Return the card of a finding."""
        key = f"finding.{finding.id}"
        level = finding.level.value
        return self._card(key, level, dict(finding.facts), finding.source)

    def refusal(self, refusal: Refusal) -> FindingCard:
        """Return the card of a refusal; a check's stop speaks with the words of its finding."""
        key = f"refusal.{refusal.code}"
        if f"{key}.what" not in self.entries:
            key = f"finding.{refusal.code}"
        return self._card(key, refusal.level.value, dict(refusal.facts), refusal.source)

    def _card(self, key: str, level: str, facts: dict[str, Fact], source: str) -> FindingCard:
        """Return a card from the three sentences under ``key``."""
        return FindingCard(
            level=level,
            level_word=self.entries[f"level.{level}".replace(" ", "_")],
            what=self.say(f"{key}.what", **facts),
            why=self.say(f"{key}.why", **facts),
            now=self.say(f"{key}.now", **facts),
            source=source,
        )
