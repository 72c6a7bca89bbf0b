"""Reads the figures of a description: numbers, measures, strengths, ratios, how often a day.

A figure is a JSON number or its text; a measure is ``{"value": 8, "unit": "mg"}`` or ``"8 mg"``. Every
reader raises ``BadInput`` with the field's path. Unsafe spellings are collected as findings.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Any, Final

from kiosk.core.findings import Finding
from kiosk.core.units import Measure
from kiosk.feeds.spellings import Spelling, Spellings, Spelt, unsafe
from kiosk.feeds.worksheet_read import BadInput, wrong_type

LARGEST: Final = Decimal("1e15")
SMALLEST: Final = Decimal("1e-15")
LONGEST_TEXT: Final = 400

_NUMBER: Final = r"[+-]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,2})?"
_FRACTION: Final = r"(?:[0-9]{1,4}[ ]+)?[0-9]{1,4}/[1-9][0-9]{0,3}"
_SIGNS: Final = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅓": " 1/3", "⅔": " 2/3", "⅛": " 1/8"}
_GROUPED: Final = re.compile(r"[0-9]{1,3}(?:,[0-9]{3}){2,}(?:\.[0-9]+)?")
_MEASURE: Final = re.compile(rf"({_GROUPED.pattern}|{_FRACTION}(?![0-9])|{_NUMBER})\s*(\D.*)?", re.DOTALL)
_RANGE: Final = re.compile(rf"({_NUMBER})\s*(\D*?)\s*(?:-|–|—|to)\s*({_NUMBER})\s*(\D.*)", re.DOTALL)
_RATIO: Final = re.compile(r"([0-9.]+)\s*(?::|in|to)\s*([0-9][0-9.,]*)")
_EVERY: Final = re.compile(
    r"(?:every|each|q|toutes les)\s*([0-9.]+)\s*(?:h|hr|hrs|hour|hours|heures|hourly)|([0-9.]+)[\s-]*hourly"
)
_EVERY_DAYS: Final = re.compile(r"(?:every|each|tous les)\s*([0-9]+)\s*(?:days|jours)")
_DIVIDED: Final = re.compile(
    r"(?:in |divided into |divided in )?([0-9]+) (?:equal(?:ly)? )?(?:divided )?doses"
    r"(?: (?:a|per) day| daily)?"
)
_COUNTED: Final = re.compile(r"\b(two|three|four|five|six|eight)\b")
_COUNTS: Final = {"two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "eight": "8"}
_TIMES: Final = re.compile(r"([0-9.]+)\s*(?:x|times|fois|doses?)?\s*(?:a|per|/|par)?\s*(?:day|daily|d|jour)")


@dataclass(slots=True)
class Figures:
    """The readers, with the vocabulary of units and of times a day. ``findings`` are the unsafe forms met."""

    units: Spellings
    times_a_day: Mapping[str, Spelling]
    findings: list[Finding] = field(default_factory=list)

    def text(self, node: Any, path: str) -> str:
        """Return a text that is not blank."""
        if not isinstance(node, str):
            wrong_type(path, "text")
        if not node.strip():
            raise BadInput(path, "blank")
        if len(node) > LONGEST_TEXT:
            raise BadInput(path, "text_too_long", most=LONGEST_TEXT)
        return node.strip()

    def number(self, node: Any, path: str) -> Fraction:
        """Return an exact number, finite and of a sensible size."""
        if isinstance(node, str):
            node = written = plain(node)
            if re.fullmatch(_FRACTION, written):
                return self._fraction(written, path)
            node = self._number_of_text(written, path)
        if isinstance(node, bool) or not isinstance(node, int | Decimal):
            wrong_type(path, "number")
        figure = Decimal(node)
        if not figure.is_finite():
            raise BadInput(path, "not_finite")
        if figure and not SMALLEST <= abs(figure) <= LARGEST:
            raise BadInput(path, "beyond_bounds")
        return Fraction(figure)

    def _number_of_text(self, text: str, path: str) -> Decimal:
        """Return the number a text is; two groups of thousands and more cannot be mistaken for decimals."""
        if _GROUPED.fullmatch(text):
            return Decimal(text.replace(",", ""))
        if re.fullmatch(_NUMBER, text):
            return Decimal(text)
        raise BadInput(path, "comma_in_number" if "," in text else "not_a_number", text=text[:40])

    def _fraction(self, text: str, path: str) -> Fraction:
        """Return ``1/150`` or ``1 1/2``; a fraction of one or more is no way to write a figure."""
        *whole, part = text.split()
        fraction = Fraction(part)
        if fraction >= 1 or (whole and not fraction):
            raise BadInput(path, "not_a_number", text=text[:40])
        return Fraction(whole[0] if whole else 0) + fraction

    def positive(self, node: Any, path: str) -> Fraction:
        """Return a number above zero."""
        value = self.number(node, path)
        if value <= 0:
            raise BadInput(path, "not_above_zero")
        return value

    def whole(self, node: Any, path: str, most: int) -> int:
        """Return a whole number from 0 to ``most``."""
        value = self.number(node, path)
        if value.denominator != 1 or not 0 <= value <= most:
            raise BadInput(path, "not_a_whole_number", most=most)
        return int(value)

    def unit(self, node: Any, path: str) -> Spelt:
        """Return a unit as spelt."""
        text = self.text(node, path)
        spelt = self.units.read(text)
        if spelt is None:
            raise BadInput(path, "unknown_unit", unit=text[:40])
        for finding in spelt.findings:
            self.note(finding)
        return spelt

    def note(self, finding: Finding | None) -> None:
        """Keep a finding, once."""
        if finding is not None and finding not in self.findings:
            self.findings.append(finding)

    def quantity(self, node: Any, path: str, default: str = "") -> tuple[Fraction, Spelt]:
        """Return number and unit of a measure. A bare number takes the ``default`` unit, if there is one."""
        if isinstance(node, str) and not re.fullmatch(rf"{_NUMBER}|{_FRACTION}", plain(node)):
            return self._of_text(plain(node), path, default)
        if isinstance(node, str | int | Decimal) and not isinstance(node, bool):
            if not default:
                raise BadInput(path, "unit_missing")
            return self.number(node, path), self.unit(default, path)
        if not isinstance(node, dict):
            wrong_type(path, "measure")
        self.only(node, ("value", "unit"), path)
        for key in ("value", *(() if default else ("unit",))):
            if key not in node:
                raise BadInput(f"{path}.{key}", "missing")
        return self.number(node["value"], f"{path}.value"), self.unit(
            node.get("unit", default), f"{path}.unit"
        )

    def _of_text(self, text: str, path: str, default: str) -> tuple[Fraction, Spelt]:
        """Return number and unit of a text such as ``8 mg``."""
        found = _MEASURE.fullmatch(text)
        if _RANGE.fullmatch(text):
            raise BadInput(path, "range_for_one_figure", text=text[:40])
        if not found:
            raise BadInput(path, "comma_in_number" if "," in text else "not_a_measure", text=text[:40])
        if (found[2] or "").startswith(","):
            raise BadInput(path, "comma_in_number", text=text[:40])
        unit = (found[2] or default).strip()
        if not unit:
            raise BadInput(path, "unit_missing")
        return self.number(found[1], path), self.unit(unit, path)

    def range_of_text(self, node: str, path: str) -> tuple[str, str]:
        """Return both ends of ``10-15 mg/kg`` or ``10 mg to 15 mg``, each with its unit."""
        found = _RANGE.fullmatch(plain(node))
        if not found:
            raise BadInput(path, "not_a_range")
        return f"{found[1]} {found[2] or found[4]}", f"{found[3]} {found[4]}"

    def measure(self, node: Any, path: str, default: str = "", *, zero: bool = False) -> Measure:
        """Return a measure above zero (or at least zero) in the closed unit."""
        value, spelt = self.quantity(node, path, default)
        if value < 0 or (value == 0 and not zero):
            raise BadInput(path, "below_zero" if zero else "not_above_zero")
        return spelt.measure(value)

    def ratio(self, node: Any, path: str) -> Measure:
        """Return a ratio strength as g/mL: ``{"parts": 1, "in": 1000}`` or ``1:1000`` or ``1 in 1000``."""
        if isinstance(node, str):
            found = _RATIO.fullmatch(node.strip())
            if not found:
                raise BadInput(path, "not_a_ratio", text=node[:40])
            return _grams_in(self._ratio_number(found[1], path), self._ratio_number(found[2], path))
        if not isinstance(node, dict):
            wrong_type(path, "ratio")
        self.only(node, ("parts", "in", "meaning"), path)
        if "meaning" in node and not re.match(
            r"\s*[0-9]*\s*g\b", self.text(node["meaning"], f"{path}.meaning")
        ):
            raise BadInput(f"{path}.meaning", "not_a_weight_ratio")
        if "in" not in node:
            raise BadInput(f"{path}.in", "missing")
        parts = self.positive(node.get("parts", 1), f"{path}.parts")
        return _grams_in(parts, self.positive(node["in"], f"{path}.in"))

    def _ratio_number(self, text: str, path: str) -> Fraction:
        """Return one side of a written ratio; its thousands may be grouped, it has no decimal comma."""
        plain = text.replace(",", "") if re.fullmatch(r"[0-9]{1,3}(,[0-9]{3})+", text) else text
        return self.positive(plain, path)

    def often(self, node: Any, path: str) -> Fraction:
        """Return how many times a day a text says: ``every 6 h``, ``twice daily``, ``3 times a day``."""
        text = " ".join(self.text(node, path).lower().replace(".", "").split())
        if text in self.times_a_day:
            row = self.times_a_day[text]
            self.note(unsafe(row, text) if row.level else None)
            return row.factor
        text = _COUNTED.sub(lambda word: _COUNTS[word[0]], text)
        divided = _DIVIDED.fullmatch(text)
        if divided:
            return self.positive(divided[1], path)
        text = text.removeprefix("divided ")
        days = _EVERY_DAYS.fullmatch(text)
        if days:
            return 1 / self.positive(days[1], path)
        every = _EVERY.fullmatch(text)
        if every:
            return Fraction(24) / self.positive(every[1] or every[2], path)
        times = _TIMES.fullmatch(text)
        if times:
            return self.positive(times[1], path)
        raise BadInput(path, "unknown_frequency", text=text[:40])

    def only(self, node: Mapping[str, Any], known: tuple[str, ...], path: str) -> None:
        """Refuse a table with a field that is not known there."""
        for key in node:
            if key not in known:
                raise BadInput(f"{path}.{key[:60]}" if path else key[:60], "unknown_field")


def plain(text: str) -> str:
    """Return a text without blanks around it, a sign such as ½ written out."""
    for sign, written in _SIGNS.items():
        text = text.replace(sign, written)
    return text.strip()


def _grams_in(parts: Fraction, within: Fraction) -> Measure:
    """Return ``parts`` grams in ``within`` millilitres."""
    return Measure(parts / within, "g/mL")
