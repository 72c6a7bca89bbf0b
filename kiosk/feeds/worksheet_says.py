"""A worksheet as JSON for machines: every figure an exact number, every finding with its id and its words.

A figure that no decimal writes exactly comes to twenty significant digits with ``exact`` as a fraction
beside it. The form is published as ``resources/schemas/worksheet-output.schema.json``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from decimal import Context, Decimal
from fractions import Fraction
from typing import Any, Final, TypeAlias

import msgspec

from kiosk.core.apparatus.choices import DrawUpOption, DrawUpStep, NeedleOption, SyringeOption
from kiosk.core.dose.follow import Known
from kiosk.core.dose.plan import RecipeStep, WorkingLine
from kiosk.core.findings import Fact, Facts, Finding, Refusal
from kiosk.core.units import Measure, decimal_places
from kiosk.pages.parts import FindingCard
from kiosk.pages.words import Words
from kiosk.pages.worksheet_cards import finding_card, refusal_card
from kiosk.pages.worksheet_lines import follows_line, is_worth_showing, working_line
from kiosk.pages.worksheet_values import Answered, InUnit, Planned, Worksheet

Tree: TypeAlias = dict[str, Any]

_LONG: Final = Context(prec=20)
_ENCODER: Final = msgspec.json.Encoder(decimal_format="number")


def as_json(sheet: Worksheet, words: Words) -> str:
    """Return a worksheet as one line of JSON."""
    return _ENCODER.encode(tree(sheet, words)).decode()


def tree(sheet: Worksheet, words: Words) -> Tree:
    """Return a worksheet as plain tables, lists, texts and exact numbers."""
    made: Tree = {"worksheet": 1, "outcome": sheet.outcome.value}
    if sheet.answered is not None:
        made |= _answer(sheet.answered)
    if sheet.planned is not None:
        made["plan"] = _plan(sheet.planned, words)
    made["steps"] = [_step(known, words) for known in sheet.shown if is_worth_showing(known)]
    made["follows"] = {known.fact: measure(known.value) for known in sheet.shown if known.rule != "stated"}
    made["findings"] = [_finding(finding, words) for finding in sheet.findings]
    if sheet.refusal is not None:
        made["refusal"] = _refusal(sheet.refusal, words)
    if sheet.missing:
        made["missing"] = list(sheet.missing)
    if sheet.carried:
        made["remarks"] = dict(sheet.carried)
    return made


def number(value: Fraction) -> int | Decimal:
    """Return an exact number, or one to twenty significant digits."""
    if value.denominator == 1:
        return int(value)
    if decimal_places(value) is None:
        return _LONG.divide(Decimal(value.numerator), Decimal(value.denominator))
    return Measure(value, "1").decimal


def _figure(value: Fraction, unit: str) -> Tree:
    """Return a number and its unit, with the fraction where the number is cut."""
    made: Tree = {"value": number(value), "unit": unit}
    if decimal_places(value) is None:
        made["exact"] = f"{value.numerator}/{value.denominator}"
    return made


def measure(value: Measure) -> Tree:
    """Return a measure in its own closed unit."""
    return _figure(value.value, value.unit)


def _in_unit(figure: InUnit) -> Tree:
    """Return a figure as it was asked for, with the closed code of its unit."""
    return {**_figure(figure.number, figure.unit), "code": figure.measure.unit}


def _answer(answered: Answered) -> Tree:
    """Return the answer to a question."""
    made: Tree = {
        "ask": answered.ask,
        "fact": answered.fact,
        "answer": _in_unit(answered.rounded),
        "unrounded": _in_unit(answered.exact),
        "rounding": answered.rule,
    }
    if answered.published is not None:
        made["verdict"] = answered.verdict.value
        made["published"] = number(answered.published)
    return made


def _step(known: Known, words: Words) -> Tree:
    """Return one step that follows, with its working."""
    return {
        "fact": known.fact,
        "name": words.entries[f"fact.{known.fact}"],
        "rule": known.rule.replace("_", " ") if known.rule == "stated" else known.rule,
        "value": measure(known.value),
        "text": follows_line(known, words),
    }


def _plan(plan: Planned, words: Words) -> Tree:
    """Return a planned syringe."""
    volume = plan.volume
    made: Tree = {
        "drug": plan.order.drug.name,
        "route": plan.order.route.value,
        "at": plan.at.isoformat(),
        "dose": measure(volume.dose),
        "strength": measure(volume.strength),
        "volume": measure(volume.volume),
        "takes": [
            {"container": take.container, "volume": measure(take.volume), "left": measure(take.left)}
            for take in volume.takes
        ],
        "containers_needed": volume.containers_needed,
        "recipe": [_recipe_step(step) for step in volume.recipe],
        "working": [_working(line, words) for line in volume.working],
        "syringes": [_syringe(option, words) for option in plan.syringes],
        "draw_up": [_draw_up(option, words) for option in plan.draw_up],
        "needles": [_needle(option, words) for option in plan.needles],
        "steps": [_draw_step(step) for step in plan.steps],
        "second_person": list(plan.second_person),
    }
    if plan.rounded is not None:
        made["rounded"] = {**measure(plan.rounded), "policy": plan.rounding}
    if plan.dilution:
        made["dilution"] = [_recipe_step(step) for step in plan.dilution]
    if plan.split:
        made["split"] = [measure(part) for part in plan.split]
    return made


def _working(line: WorkingLine, words: Words) -> Tree:
    """Return one line of the two written forms."""
    return {"form": line.form, "note": line.note, "text": working_line(line, words)}


def _syringe(option: SyringeOption, words: Words) -> Tree:
    """Return one syringe with where its plunger is set and how far the dose may be off."""
    made: Tree = {
        "id": option.syringe.id,
        "allowed": option.allowed,
        "findings": _all(option.findings, words),
    }
    at = option.setting
    if at is not None:
        made |= {
            "line": measure(at.line),
            "volume": measure(at.volume),
            "on_a_line": at.on_a_line,
            "dose_given": measure(at.dose_given),
            "off_by": at.off_by,
            "tolerance": measure(at.tolerance),
            "least": measure(at.least),
            "most": measure(at.most),
        }
    return made


def _draw_up(option: DrawUpOption, words: Words) -> Tree:
    """Return one draw-up device; an empty id is "no device"."""
    name = option.device.id if option.device else ""
    return {"id": name, "allowed": option.allowed, "findings": _all(option.findings, words)}


def _needle(option: NeedleOption, words: Words) -> Tree:
    """Return one injection needle with the time and force it takes, where known."""
    made: Tree = {
        "id": option.needle.id,
        "gauge": option.needle.gauge,
        "length": measure(option.needle.length),
        "allowed": option.allowed,
        "findings": _all(option.findings, words),
    }
    known = {"seconds": option.seconds, "newtons": option.newtons}
    return made | {name: value for name, value in known.items() if value is not None}


def _recipe_step(step: RecipeStep) -> Tree:
    """Return one step of making up or diluting."""
    figures = {
        "volume": step.volume,
        "gives_strength": step.gives_strength,
        "gives_volume": step.gives_volume,
    }
    return {"does": step.does, **_set(figures), **_set({"what": step.what, "container": step.container})}


def _draw_step(step: DrawUpStep) -> Tree:
    """Return one step of drawing up."""
    figures = {"amount": step.amount, "wait": step.wait}
    return {
        "id": step.id,
        "does": step.does,
        **_set(figures),
        **_set({"what": step.what, "source": step.source}),
    }


def _set(fields: Mapping[str, Measure | str | None]) -> Tree:
    """Return the fields that say something."""
    kept = ((name, value) for name, value in fields.items() if value)
    return {name: measure(value) if isinstance(value, Measure) else value for name, value in kept}


def _all(findings: Iterable[Finding], words: Words) -> list[Tree]:
    """Return findings in their order."""
    return [_finding(finding, words) for finding in findings]


def _finding(finding: Finding, words: Words) -> Tree:
    """Return one finding with its id, its level, its facts and its words."""
    card = finding_card(finding, words)
    return {"id": finding.id, "level": finding.level.value, "facts": facts(finding.facts), **_said(card)}


def _refusal(refusal: Refusal, words: Words) -> Tree:
    """Return the refusal with its code, its facts and its words."""
    return {"code": refusal.code, "facts": facts(refusal.facts), **_said(refusal_card(refusal, words))}


def _said(card: FindingCard) -> Tree:
    """Return what happened, why it matters, what to do now, and on whose word."""
    return {"what": card.what, "why": card.why, "now": card.now, "source": card.source}


def facts(found: Facts) -> Tree:
    """Return facts as plain values."""
    return {name: fact(value) for name, value in found.items()}


def fact(value: Fact) -> Any:
    """Return one fact as a plain value: a measure with its unit, a date in ISO 8601."""
    if isinstance(value, Measure):
        return measure(value)
    if isinstance(value, datetime | date):
        return value.isoformat()
    return [fact(one) for one in value] if isinstance(value, tuple) else value
