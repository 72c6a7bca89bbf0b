"""Reads a rule of rounding in a text's own words: "adult over 1 mL: tenth", "2 decimals", "3 mL syringe
marks 0.1 mL". A rule is applied once, at the end, to the answer in the unit asked for; ties go up.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from kiosk.core.dose.rounding import BY_ID, RoundingPolicy, rounded, to_places, to_step
from kiosk.core.findings import Facts, Refusal
from kiosk.core.units import Measure, decimal_places, same_kind
from kiosk.feeds.spellings import Spelt
from kiosk.feeds.worksheet_figures import Figures
from kiosk.feeds.worksheet_read import BadInput

_STEPS: Final = (
    (re.compile(r"\bthousandths?\b|\bthree decimals?\b"), 3),
    (re.compile(r"\bhundredths?\b|\btwo decimals?\b"), 2),
    (re.compile(r"\btenths?\b|\bone decimal\b"), 1),
    (re.compile(r"\bwhole\b|\bnearest (?:unit|ml|mg|mcg|drop|n|integer)\b|\b(?:no|zero) decimals?\b"), 0),
)
_WHOLE: Final = re.compile(r"\b(?:whole|nearest)\s+(?:whole\s+)?([a-z]+)")
_PARTS: Final = (
    (re.compile(r"\bnearest (?:one[- ])?half\b(?! up| to| even)"), "nearest 0.5"),
    (re.compile(r"\bnearest (?:one[- ])?quarter\b"), "nearest 0.25"),
)
_AFTER_COLON: Final = re.compile(r":\s*([0-9.]+)\s*([a-z]+)\s*$")
_SIGNIFICANT: Final = re.compile(r"\b([1-9]) (?:significant|sig\.? ?fig|s\.?f\.?\b)")
_EVEN: Final = re.compile(
    r"\b(?:half|ties?|five|5)[ -](?:rounds? )?(?:to[ -])?even\b|\bbanker'?s'? rounding\b"
)
_TO_THE_LOWER: Final = re.compile(r"\b(?:half|ties?|five|5)[ -](?:rounds? )?down\b")
_ON_THE_WAY: Final = re.compile(r"\b(?:work|working|carry|carried|calculate|intermediate)\b")
_COUNT: Final = re.compile(
    r"\b(?:containers?|vials?|ampoules?|ampules?|bottles?|bags?|cartridges?|syringes)\b"
)
_DECIMALS: Final = re.compile(r"\b([0-9]) (?:decimals?|dp|d\.p\.|places|decimal places?)\b")
_UNDER: Final = ("under", "below", "less than", "up to", "smaller than")
_OVER: Final = ("over", "above", "more than", "greater than", "at least", "from")
_BOUND: Final = re.compile(rf"\b({'|'.join((*_UNDER, *_OVER))})\s+([0-9.]+)\s*([a-z]+)")
_BOUND_AFTER: Final = re.compile(r"\b([0-9.]+)\s*([a-z]+) (?:and|or) (under|below|less|over|above|more)\b")
_NEAREST: Final = re.compile(
    r"\b(?:nearest|marks?(?: of| every)?|graduated in|lines every|multiples? of)\s+([0-9.]+)\s*([a-z]*)"
)
_LEAVE: Final = re.compile(r"do not round|don't round|not rounded|no rounding|^\s*exact\b|unrounded")
_ROUNDS: Final = re.compile(r"\bround|nearest|decimal|tenth|hundredth|thousandth|whole\b|significant")
_REMARK: Final = re.compile(
    r"\bprint|source prints|trailing zero|leading zero|cap at|inclusive|divide by|multiply by|daily [0-9]"
)
_BY_SCALE: Final = re.compile(r"(?:mark|graduation|calibration|line|division)s?\b(?!\s*[0-9])")
_TENS: Final = {"ten": 10, "hundred": 100, "thousand": 1000}
_TIES: Final = re.compile(r"\b(?:half|ties?|five|5)[ -](?:rounds? )?up\b")
_DIVIDE: Final = re.compile(r"divide by ([0-9.]+)")
_SIGNS: Final = str.maketrans({"<": " under ", ">": " over ", "≥": " from ", "≤": " up to ", "=": " "})
_SPLIT: Final = re.compile(rf";|,(?=\s)|\band\b(?=\s+(?:{'|'.join((*_UNDER, *_OVER))})\s+[0-9])")


@dataclass(frozen=True, slots=True)
class Clause:
    """One part of a rule: ``step`` (or ``places``) where the condition holds; neither: leave as it is."""

    places: int | None = None
    step: Measure | None = None
    under: Measure | None = None
    over: Measure | None = None
    down: bool = False
    up: bool = False
    even: bool = False
    significant: int | None = None
    of: str = ""
    counts: bool = False

    @property
    def leaves(self) -> bool:
        """It says to leave the value as it is."""
        return self.step is None and self.places is None and self.significant is None

    def holds(self, value: Measure) -> bool:
        """Say whether this clause is for a value; one of another kind of unit never is."""
        for kind in (self.of, self.step.unit if self.step else ""):
            if kind not in ("", "1") and not _is_of(kind, value.unit):
                return False
        for bound, below in ((self.under, True), (self.over, False)):
            if bound is None:
                continue
            if not same_kind(bound.unit, value.unit) or (value < bound) is not below:
                return False
        return True

    def apply(self, value: Measure) -> Measure:
        """Return the value rounded by this clause, in its own unit."""
        step = self.step or Measure(Fraction(1, 10 ** (self.places or 0)), value.unit)
        if self.significant is not None:
            step = Measure(_last_digit(value.value, self.significant), value.unit)
        step = step if same_kind(step.unit, value.unit) else Measure(step.value, value.unit)
        nearest = to_step(value, step, down=self.down or self.up)
        if self.even and abs(nearest - value).scaled(2) == step.to(value.unit):
            return to_step(value, step.scaled(2))
        if self.up and nearest < value:
            return nearest + step.to(value.unit)
        return nearest


@dataclass(frozen=True, slots=True)
class WrittenRule:
    """A whole rule: the first clause that holds counts. ``policy`` is a named one of the house."""

    text: str = ""
    clauses: tuple[Clause, ...] = ()
    policy: RoundingPolicy | None = None
    decimals: int | None = None
    lb_per_kg: Fraction | None = None
    graduation: Measure | None = None

    def apply(self, value: Measure, spelt: Spelt) -> Measure | Refusal:
        """Return the value rounded, in the unit in which it is asked.

        Refusals: ``rounding_rule_not_for_this`` (no clause is for this value),
        ``rounding_contradicts_decimals`` (the words and the number of decimals ask for different things).
        """
        asked = Measure(spelt.back(value), "1") if spelt.factor != 1 else value
        made = self._rounded(asked)
        if isinstance(made, Refusal) or spelt.factor == 1:
            return made
        return spelt.measure(made.value)

    def _rounded(self, value: Measure) -> Measure | Refusal:
        """Return the value rounded as the words say and, where they say nothing, to the decimals."""
        if self.policy is not None:
            if same_kind(value.unit, self.graduation.unit if self.graduation else "mL"):
                return rounded(value, self.policy, self.graduation)
            return Refusal("rounding_rule_not_for_this", {"rule": self.text, "value": value})
        clauses = [one for one in self.clauses if not one.counts or value.unit == "1"]
        clause = next((clause for clause in clauses if clause.holds(value)), None)
        if clause is None and clauses:
            return Refusal("rounding_rule_not_for_this", {"rule": self.text, "value": value})
        if clause is None or clause.leaves:
            return value if self.decimals is None else to_places(value, self.decimals)
        return self._within_decimals(clause.apply(value))

    def _within_decimals(self, by_words: Measure) -> Measure | Refusal:
        """Return what the words made of it, unless it has more decimals than are asked for beside them."""
        places = decimal_places(by_words.value)
        if self.decimals is None or (places is not None and places <= self.decimals):
            return by_words
        facts: Facts = {"rule": self.text, "decimals": self.decimals, "value": by_words}
        return Refusal("rounding_contradicts_decimals", facts)


def written_rule(
    text: str, decimals: int | None, figures: Figures, path: str, graduation: Measure | None = None
) -> WrittenRule:
    """Return the rule that words and a number of decimals make. Raises ``BadInput``.

    ``graduation`` is how far apart the lines of the syringe are, for rules that go by its scale. Words
    that clearly ask for a rounding and are not understood are refused; other words are remarks.
    """
    if text in BY_ID:
        policy = BY_ID[text]
        if policy.by_scale and graduation is None:
            raise BadInput(path, "policy_needs_a_scale", policy=text)
        return WrittenRule(text, (), policy, decimals, graduation=graduation)
    folded = _TIES.sub(" ", text.casefold().translate(_SIGNS))
    if graduation is not None and _BY_SCALE.search(folded):
        return WrittenRule(text, (Clause(step=graduation),), None, decimals)
    for part, step in _PARTS:
        folded = part.sub(step, folded)
    even, folded = bool(_EVEN.search(folded)), _EVEN.sub(" ", folded)
    found = (_clause(part, decimals, figures, path) for part in _SPLIT.split(folded))
    clauses = tuple(replace(clause, even=even) for clause in found if clause is not None)
    unread = not clauses and decimals is None and not _REMARK.search(folded)
    asks = _ROUNDS.search(folded) or (path.startswith("given.") and folded.strip())
    if (unread and asks) or _TO_THE_LOWER.search(folded):
        raise BadInput(path, "rounding_not_understood", text=text[:60])
    divide = _DIVIDE.search(folded)
    pounds = _number(divide[1], path) if divide else None
    return WrittenRule(text, clauses, None, decimals, pounds)


def _clause(text: str, decimals: int | None, figures: Figures, path: str) -> Clause | None:
    """Return one clause, or None for a remark."""
    if _REMARK.search(text) or _ON_THE_WAY.search(text):
        return None
    under, over, text = _condition(text, figures, path)
    if _LEAVE.search(text):
        return Clause(under=under, over=over)
    significant = _SIGNIFICANT.search(text)
    if significant:
        return Clause(under=under, over=over, significant=int(significant[1]))
    places, step = _how_fine(text, figures, path)
    down, up = bool(re.search(r"\bdown\b|truncat", text)), bool(re.search(r"\bup\b", text))
    if places is None and step is None:
        if not (down or up) or decimals is None:
            return None
        places = decimals
    of = _unit_of_wholes(text, figures) if places == 0 else ""
    return Clause(places, step, under, over, down, up, False, None, of, bool(_COUNT.search(text)))


def _unit_of_wholes(text: str, figures: Figures) -> str:
    """Return the unit of which a clause wants wholes: "whole units"; nothing when it names none."""
    named = _WHOLE.search(text)
    spelt = figures.units.read(_volume(named[1])) if named else None
    return spelt.unit if spelt else ""


def _is_of(kind: str, unit: str) -> bool:
    """Say whether a rule for one kind of unit is for a figure in this one: drops are, of drops a minute."""
    return same_kind(kind, unit) or same_kind(kind, unit.split("/")[0])


def _last_digit(value: Fraction, digits: int) -> Fraction:
    """Return the size of the last of so many significant digits of a value."""
    size = Fraction(1)
    while abs(value) >= 10 * size:
        size *= 10
    while value and abs(value) < size:
        size /= 10
    return size / Fraction(10) ** (digits - 1)


def _condition(text: str, figures: Figures, path: str) -> tuple[Measure | None, Measure | None, str]:
    """Return the bounds of a clause (under, over) and the text without them."""
    after = _BOUND_AFTER.search(text)
    found = after or _BOUND.search(text)
    if found is None:
        return None, None, text
    number, unit, word = (after[1], after[2], after[3]) if after else (found[2], found[3], found[1])
    bound = figures.unit(_volume(unit), path).measure(_number(number, path))
    below = word in _UNDER or word == "less"
    return (bound, None, text.replace(found[0], " ")) if below else (None, bound, text.replace(found[0], " "))


def _volume(unit: str) -> str:
    """Return a unit whose capitals were folded away, as it is spelt."""
    return {"ml": "mL", "meq": "mEq", "l": "L"}.get(unit, unit)


def _number(text: str, path: str) -> Fraction:
    """Return a number out of a rule's words."""
    try:
        return Fraction(text)
    except ValueError as trouble:
        raise BadInput(path, "rounding_not_understood", text=text) from trouble


def _how_fine(text: str, figures: Figures, path: str) -> tuple[int | None, Measure | None]:
    """Return to how many decimals, or to which step, a clause rounds."""
    nearest = _NEAREST.search(text)
    if nearest and _number(nearest[1], path) > 0:
        spelt = figures.units.read(_volume(nearest[2])) if nearest[2] else None
        return None, spelt.measure(_number(nearest[1], path)) if spelt else Measure.of(nearest[1], "1")
    bare = _AFTER_COLON.search(text)
    if bare and _number(bare[1], path) > 0:
        spelt = figures.units.read(_volume(bare[2]))
        if spelt:
            return None, spelt.measure(_number(bare[1], path))
    tens = re.search(r"\bnearest (ten|hundred|thousand)\b", text)
    if tens:
        return None, Measure.of(_TENS[tens[1]], "1")
    decimals = _DECIMALS.search(text)
    if decimals:
        return int(decimals[1]), None
    return next((places for pattern, places in _STEPS if pattern.search(text)), None), None
