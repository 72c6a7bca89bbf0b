"""Unit spellings at the door: UCUM codes and the trade's words become codes of the closed list, or nothing.

``resources/tables/unit_spellings.csv`` is the whole vocabulary; a compound unit is read part by part
(``mg/kg/day``, ``mg/5 mL``, ``mcg per kg per min``, UCUM ``mg/(kg.d)``). A spelling outside the table is
unknown: it is never guessed at, and UCUM's own ``ug/kg.min`` (a microgram-minute per kilogram) stays
unknown too. Unsafe spellings are understood and reported.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from kiosk.core.findings import Finding, Level
from kiosk.core.units import Measure

_NUMBERED: Final = re.compile(r"([0-9]+(?:\.[0-9]+)?)\s*(\D.*)")
_BRACKETED: Final = re.compile(r"(.*)/\(([^()]+)\)")
_MICRO: Final = str.maketrans({"μ": "µ"})
LONGEST: Final = 60


@dataclass(frozen=True, slots=True)
class Spelling:
    """One row: ``spelling`` means ``factor`` times ``unit``; an unsafe one has a ``level``."""

    unit: str
    factor: Fraction
    level: str
    write_instead: str
    source: str


@dataclass(frozen=True, slots=True)
class Spelt:
    """A unit as understood: a value times ``factor`` is in ``unit``.

    ``per_dose`` tells that the writer said "per dose" outright; ``findings`` are the unsafe forms in it.
    """

    written: str
    unit: str
    factor: Fraction = Fraction(1)
    per_dose: bool = False
    findings: tuple[Finding, ...] = ()

    def measure(self, value: Decimal | Fraction) -> Measure:
        """Return a value written with this unit as a measure in the closed unit."""
        return Measure.of(Fraction(value) * self.factor, self.unit)

    def back(self, measure: Measure) -> Fraction:
        """Return the number that stands before this unit as written, for a measure in the closed unit."""
        return measure.value / self.factor


class Spellings:
    """The vocabulary. ``rows`` are those of the table; a row of an unknown level is a bug."""

    def __init__(self, rows: Iterable[Mapping[str, str]]) -> None:
        self._exact = {row["spelling"]: _row(row) for row in rows}
        self._folded = {
            spelling.casefold(): row
            for spelling, row in self._exact.items()
            if len(spelling) >= 4 and "[" not in spelling
        }

    def read(self, text: str) -> Spelt | None:
        """Return what a unit text means, or None when it is not in the vocabulary."""
        written = " ".join(text.translate(_MICRO).replace("(s)", "s").split())
        if not written or len(written) > LONGEST:
            return None
        known = self._known(written)
        if known:
            return self._spelt(text, [(known, written, 1)], per_dose=known.unit == "dose")
        return self._compound(text, _slashed(written))

    def _known(self, part: str) -> Spelling | None:
        """Return the row of one part, exactly as written or, for whole words, whatever the capitals."""
        return self._exact.get(part) or self._folded.get(part.casefold())

    def _compound(self, text: str, parts: list[str]) -> Spelt | None:
        """Return a unit of several parts, the first above and the others below the line."""
        found: list[tuple[Spelling, str, Fraction | int]] = []
        for at, part in enumerate(parts):
            numbered = _NUMBERED.fullmatch(part) if at and not self._known(part) else None
            times, word = (Fraction(numbered[1]), numbered[2]) if numbered else (Fraction(1), part)
            row = self._known(word) if word or at else self._exact.get("1")
            if row is None or times == 0:
                return None
            found.append((row, word, times))
        per_dose = any(row.unit == "dose" for row, _, _ in found[1:])
        return self._spelt(text, found, per_dose=per_dose)

    def _spelt(
        self, text: str, found: list[tuple[Spelling, str, Fraction | int]], *, per_dose: bool
    ) -> Spelt:
        """Return the parts put together in closed codes."""
        factor, codes = Fraction(1), list[str]()
        for at, (row, _, times) in enumerate(found):
            factor = factor * row.factor if at == 0 else factor / (row.factor * times)
            code = "1" if row.unit == "dose" else row.unit
            codes += [code] if at == 0 or code != "1" else []
        findings = tuple(unsafe(row, word) for row, word, _ in found if row.level)
        return Spelt(text, "/".join(codes), factor, per_dose, findings)


def frequencies(rows: Iterable[Mapping[str, str]]) -> dict[str, Spelling]:
    """Return how often a day each phrase of ``frequency_spellings.csv`` means, as the row's factor."""
    return {row["spelling"]: _row({**row, "unit": "1/day", "factor": row["times_a_day"]}) for row in rows}


def _row(row: Mapping[str, str]) -> Spelling:
    """Return one row of the table, typed."""
    level = Level(row["level"]).value if row["level"] else ""
    return Spelling(row["unit"], Fraction(row["factor"]), level, row["write_instead"], row["source"])


def _slashed(written: str) -> list[str]:
    """Return the parts of a unit: "per", a bracket below the line and "a day" are written out as slashes."""
    text = re.sub(r"(?:^|\s+)(?:per|par)\s+|\s+(?:a|an|every|each)\s+", "/", written)
    bracket = _BRACKETED.fullmatch(text)
    if bracket:
        below = re.sub(r"^([0-9]+)[.]", r"\1 ", bracket[2])
        text = f"{bracket[1]}/{below.replace('.', '/')}"
    return [part.strip() for part in text.split("/")]


def unsafe(row: Spelling, word: str) -> Finding:
    """Return the finding for an unsafe spelling that was understood."""
    return Finding(
        "unsafe_unit", Level(row.level), {"form": word, "write_instead": row.write_instead}, row.source
    )
