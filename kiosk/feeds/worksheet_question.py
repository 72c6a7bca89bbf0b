"""A question: ``{"ask": "volume", "given": {...}}``. What is asked follows from what is given, or is refused.

The words ``kind``, ``id``, ``source`` and the like are remarks: carried through, never read. An ``answer``
that comes along gives the unit to answer in and is compared with ours afterwards; it is no input to it.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any, Final, TypeVar

import msgspec

from kiosk.core.dose.follow import Followed, Stated, follow
from kiosk.core.dose.follow_answer import Answer, answer
from kiosk.core.dose.follow_asks import ASKS, Ask
from kiosk.core.dose.follow_rules import all_rules
from kiosk.core.dose.rounding import to_places
from kiosk.core.findings import Facts, Finding, Level, Refusal
from kiosk.core.units import Measure, decimal_places, same_kind
from kiosk.feeds.spellings import Spelt
from kiosk.feeds.worksheet_facts import Vocabulary, stated
from kiosk.feeds.worksheet_given import Given
from kiosk.feeds.worksheet_read import BadInput
from kiosk.feeds.worksheet_rounding import WrittenRule, written_rule
from kiosk.feeds.worksheet_suffix import without_unit
from kiosk.pages.worksheet_values import Answered, InUnit, Outcome, Verdict, Worksheet

REMARKS: Final = frozenset(
    {"id", "kind", "source", "where", "note", "notes", "seen", "answer_basis", "unrounded", "quality"}
    | {"comment", "page", "url", "title", "section", "tags", "topic", "level", "question", "text"}
    | {"explanation", "known", "checked", "recomputed", "edition", "year", "author", "language"}
)


class Question(msgspec.Struct, forbid_unknown_fields=True, frozen=True):
    """The form of a question. ``given`` holds the facts, ``rounding`` and ``decimals`` the last step."""

    given: dict[str, Any]
    ask: str | None = None
    rounding: str | None = None
    decimals: int | None = None
    unit: str | None = None
    answer: dict[str, Any] | int | Decimal | None = None
    remarks: dict[str, Any] = {}


def is_question(tree: dict[str, Any]) -> bool:
    """Say whether a description is a question rather than a syringe to plan."""
    return "given" in tree or "ask" in tree


def answered(tree: dict[str, Any], vocabulary: Vocabulary) -> Worksheet:
    """Return the worksheet of one question. Raises ``BadInput``."""
    question = _question(tree)
    given = vocabulary.read(question.given)
    facts = stated(given)
    rule = _rule(question, given, vocabulary)
    if rule.lb_per_kg and Fraction(2) < rule.lb_per_kg < Fraction(5, 2) and "lb_per_kg" not in facts.measures:
        facts = replace(facts, measures={**facts.measures, "lb_per_kg": Measure(rule.lb_per_kg, "lb/kg")})
    followed = follow(facts, all_rules())
    carried = {**question.remarks, **given.notes}
    if question.ask is None:
        return _whatever_follows(followed, vocabulary, carried)
    ask, named = _ask(question.ask)
    unit = _unit(question, given, vocabulary, ask, named)
    found = answer(
        followed, ask, unit.unit if unit else _own_unit(ask, facts), all_rules(), vocabulary.names.statable
    )
    return _sheet(question, found, unit, rule, followed, vocabulary, carried)


def _question(tree: dict[str, Any]) -> Question:
    """Return the fields of a question, remarks set apart. Raises ``BadInput``."""
    remarks = {key: value for key, value in tree.items() if key in REMARKS}
    fields = {key: value for key, value in tree.items() if key not in REMARKS}
    decimals = fields.get("decimals")
    if isinstance(decimals, Decimal) and decimals.is_finite() and decimals == int(decimals):
        fields["decimals"] = int(decimals)  # 2.0 is 2
    if "given" not in fields:
        raise BadInput("given", "missing")
    return convert({**fields, "remarks": remarks}, Question)


Into = TypeVar("Into")


def convert(tree: dict[str, Any], into: type[Into]) -> Into:
    """Return a tree as a typed value. Raises ``BadInput`` with the path that msgspec names."""
    try:
        return msgspec.convert(tree, into, strict=True)
    except msgspec.ValidationError as trouble:
        raise bad_field(str(trouble)) from trouble


def bad_field(text: str) -> BadInput:
    """Return msgspec's complaint as ours: "Expected `int`, got `str` - at `$.decimals`"."""
    what, _, where = text.partition(" - at `$")
    path = where.rstrip("`").removeprefix(".").replace("[...]", "")
    if what.startswith("Object contains unknown field"):
        field = what.split("`")[1]
        return BadInput(f"{path}.{field}" if path else field, "unknown_field")
    if what.startswith("Object missing required field"):
        field = what.split("`")[1]
        return BadInput(f"{path}.{field}" if path else field, "missing")
    if what.startswith("Expected `"):
        return BadInput(path, "wrong_type", wanted=f"type.{_wanted(what.split('`')[1])}")
    if what.startswith("Invalid enum value"):
        return BadInput(path, "not_one_of", text=what.partition("'")[2].rstrip("'")[:40])
    return BadInput(path, "not_usable")


def _wanted(types: str) -> str:
    """Return the words key for what msgspec expected there."""
    first = types.split(" | ")[0]
    known = {"str": "text", "int": "whole_number", "bool": "yes_no", "object": "table", "array": "list"}
    return known.get(first, "number" if first in ("decimal", "float") else "value")


def _ask(text: str) -> tuple[Ask, str]:
    """Return what is asked for, and the unit at the end of its name (``dose_mg``), if there is one."""
    name = text.strip().replace(" ", "_").replace("-", "_")
    if name.casefold() in ASKS:
        return ASKS[name.casefold()], ""
    shorter = without_unit(name)
    if shorter is None or shorter[0].casefold() not in ASKS:
        raise BadInput("ask", "unknown_ask", text=text[:40])
    return ASKS[shorter[0].casefold()], shorter[1]


def _unit(question: Question, given: Given, vocabulary: Vocabulary, ask: Ask, named: str) -> Spelt | None:
    """Return the unit to answer in: the question's own, that of a conversion, that of an answer given.

    ``named`` is the unit at the end of the ask, if there is one.

    An error is a share, asked for in per cent of the dose: no percentage of weight in volume.
    """
    if ask.facts == ("error",):
        return Spelt("%", "1", Fraction(1, 100))
    if question.unit is not None:
        return vocabulary.figures.unit(question.unit, "unit")
    if isinstance(question.answer, dict) and "unit" in question.answer:
        return _unit_of_answer(question.answer["unit"], ask, vocabulary)
    return given.asked_unit or (vocabulary.figures.unit(named, "ask") if named else None)


def _unit_of_answer(node: Any, ask: Ask, vocabulary: Vocabulary) -> Spelt | None:
    """Return the unit of an answer that came along; a count may be called anything."""
    text = vocabulary.figures.text(node, "answer.unit")
    if ask.unit == "1" and vocabulary.figures.units.read(text) is None:
        return Spelt(text, "1")
    return vocabulary.figures.unit(text, "answer.unit")


def _own_unit(ask: Ask, facts: Stated) -> str:
    """Return the unit of a strength that nobody asked a unit for: per cent for a percentage or a ratio."""
    strength = "final_concentration" in ask.facts and not ask.unit
    written = facts.words.get("strength_written")
    return "%" if strength and (written in ("ratio", "percent") or "molar_mass" in facts.measures) else ""


def _rule(question: Question, given: Given, vocabulary: Vocabulary) -> WrittenRule:
    """Return the rule of rounding: the one given as a fact, else the question's own."""
    if question.decimals is not None and not 0 <= question.decimals <= 9:
        raise BadInput("decimals", "not_a_whole_number", most=9)
    text, path = (given.rule, "given.rule") if given.rule else (question.rounding or "", "rounding")
    if len(text) > 200:
        raise BadInput(path, "text_too_long", most=200)
    return written_rule(text, question.decimals, vocabulary.figures, path, given.graduation)


def _sheet(
    question: Question,
    found: Answer | Refusal,
    unit: Spelt | None,
    rule: WrittenRule,
    followed: Followed,
    vocabulary: Vocabulary,
    carried: dict[str, Any],
) -> Worksheet:
    """Return the worksheet of an answer, rounded once, or of a refusal."""
    findings = (*vocabulary.figures.findings, *followed.findings)
    if isinstance(found, Answer):
        spelt = unit or Spelt(found.value.unit, found.value.unit)
        rounded = rule.apply(found.value, spelt)
        if isinstance(rounded, Measure):
            made = _answered(question, found, rounded, spelt, rule)
            findings += _too_far(found, rounded, followed)
            return Worksheet(Outcome.ANSWERED, followed, made, None, findings, None, (), carried)
        found = rounded
    return Worksheet(Outcome.REFUSED, followed, None, None, findings, found, _first_way(found), carried)


def _first_way(refusal: Refusal) -> tuple[str, ...]:
    """Return the first set of facts that, stated too, would give the answer."""
    ways = refusal.facts.get("missing", ())
    first = ways[0] if isinstance(ways, tuple) and ways else ()
    return tuple(str(fact) for fact in first) if isinstance(first, tuple) else ()


def _answered(
    question: Question, found: Answer, rounded: Measure, spelt: Spelt, rule: WrittenRule
) -> Answered:
    """Return the answer in the asked unit, compared with one that came along."""
    exact = InUnit(spelt.back(found.value), spelt.written, found.value)
    final = InUnit(spelt.back(rounded), spelt.written, rounded)
    published = None
    came = question.answer if isinstance(question.answer, dict) else {"value": question.answer}
    if came.get("value") is not None:
        published = _published(came["value"])
    verdict = _verdict(exact.number, final.number, published)
    return Answered(question.ask or "", found.fact, exact, final, rule.text, verdict, published)


_YES_NO: Final = {"yes": 1, "true": 1, "no": 0, "false": 0}


def _published(node: Any) -> Fraction | None:
    """Return the number of an answer that came along; yes and no are 1 and 0."""
    if isinstance(node, str) and node.strip().casefold() in _YES_NO:
        return Fraction(_YES_NO[node.strip().casefold()])
    try:
        return Fraction(int(node)) if isinstance(node, bool) else Fraction(str(node))
    except (ValueError, ZeroDivisionError) as trouble:
        raise BadInput("answer.value", "not_a_number", text=str(node)[:40]) from trouble


def _verdict(exact: Fraction, final: Fraction, published: Fraction | None) -> Verdict:
    """Compare ours with the published figure: the same, or the same once rounded to its decimals."""
    if published is None:
        return Verdict.NONE
    if final == published:
        return Verdict.AGREED
    places = decimal_places(published)
    if places is not None and to_places(Measure(exact, "1"), places).value == published:
        return Verdict.AGREED_ROUNDED
    return Verdict.DIFFERS


def _too_far(found: Answer, rounded: Measure, followed: Followed) -> tuple[Finding, ...]:
    """Return a stop when rounding moved a dose or a volume by more than is allowed."""
    kinds = ("mL", "mg", "units", "mmol", "mEq")
    if found.value.value == 0 or not any(same_kind(found.value.unit, kind) for kind in kinds):
        return ()
    off = abs(rounded.value - found.value.value) / found.value.value
    if off <= followed.stated.allowed_difference:
        return ()
    facts: Facts = {
        "wanted": found.value,
        "measured": rounded,
        "off_by": (Measure(off * 100, "%")),
        "allowed": Measure(followed.stated.allowed_difference * 100, "%"),
    }
    return (Finding("rounding_changes_answer", Level.STOP, facts, "common practice, no source"),)


def _whatever_follows(followed: Followed, vocabulary: Vocabulary, carried: dict[str, Any]) -> Worksheet:
    """Return the worksheet of facts without a question: everything that follows."""
    findings = (*vocabulary.figures.findings, *followed.findings)
    refusal = followed.refusals[0] if followed.refusals else None
    outcome = Outcome.REFUSED if refusal else Outcome.PARTIAL
    return Worksheet(outcome, followed, None, None, findings, refusal, (), carried)
