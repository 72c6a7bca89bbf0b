"""A planned syringe on the page: dose and volume, where it is drawn from, the apparatus, the steps."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from kiosk.core.apparatus.choices import DrawUpOption, NeedleOption, SyringeOption
from kiosk.core.apparatus.prefilled import is_own
from kiosk.core.dose.plan import RecipeStep
from kiosk.core.dose.working import FORMS
from kiosk.core.findings import Fact, Finding
from kiosk.core.notation import write
from kiosk.core.units import Measure
from kiosk.pages.words import Words
from kiosk.pages.worksheet_lines import working_line
from kiosk.pages.worksheet_text import Section, pair, wrapped
from kiosk.pages.worksheet_values import Planned

WIDTH = 76


def plan_sections(plan: Planned, words: Words) -> Iterator[Section]:
    """Yield the sections of a planned syringe."""
    said = words.entries
    yield Section(said["worksheet.volume"], tuple(_figures(plan, words)))
    yield Section(said["worksheet.second"], tuple(said[f"second.{why}"] for why in plan.second_person))
    yield Section(said["worksheet.takes"], tuple(_takes(plan, words)))
    yield Section(said["worksheet.recipe"], tuple(_recipe(plan.volume.recipe, words)))
    yield Section(said["worksheet.dilution"], tuple(_recipe(plan.dilution, words)))
    for form in FORMS:
        lines = (working_line(line, words) for line in plan.volume.working if line.form == form)
        yield Section(said[f"worksheet.form.{form}".replace(" ", "_")], tuple(lines))
    yield Section(said["worksheet.syringes"], tuple(_lines(_syringe(one, words) for one in plan.syringes)))
    yield Section(said["worksheet.draw_up"], tuple(_lines(_device(one, words) for one in plan.draw_up)))
    yield Section(said["worksheet.needles"], tuple(_lines(_needle(one, words) for one in plan.needles)))
    yield Section(said["worksheet.steps"], tuple(_steps(plan, words)))


def _figures(plan: Planned, words: Words) -> Iterator[str]:
    """Yield drug, dose, strength and volume."""
    said, volume = words.entries, plan.volume
    yield pair(said["worksheet.drug"], plan.order.drug.name)
    yield pair(said["worksheet.route"], words.write(plan.order.route.value))
    yield pair(said["worksheet.dose"], words.write(volume.dose))
    yield pair(said["worksheet.strength"], words.write(volume.strength))
    yield pair(said["worksheet.volume"], words.write(volume.volume))
    if plan.rounded is not None:
        yield pair(said["worksheet.rounded"], f"{words.write(plan.rounded)} ({plan.rounding})")
    if plan.split:
        yield pair(said["worksheet.split"], " + ".join(words.write(part) for part in plan.split))
    yield pair(said["worksheet.needed"], str(volume.containers_needed))


def _takes(plan: Planned, words: Words) -> Iterator[str]:
    """Yield what is drawn from each container and what it keeps."""
    for take in plan.volume.takes:
        yield words.say("worksheet.take", container=take.container, volume=take.volume, left=take.left)


def _recipe(steps: Iterable[RecipeStep], words: Words) -> Iterator[str]:
    """Yield how a powder is made up or a drug diluted."""
    for step in steps:
        figures = {
            "volume": step.volume,
            "gives_volume": step.gives_volume,
            "gives_strength": step.gives_strength,
        }
        facts: dict[str, Fact] = {name: value for name, value in figures.items() if value is not None}
        what = step.what or words.entries["worksheet.diluent"]
        yield words.say(f"recipe.{step.does}.text", what=what, **facts)


def _lines(texts: Iterator[str]) -> Iterator[str]:
    """Yield each text wrapped to the page."""
    for text in texts:
        yield from wrapped(text, WIDTH)


def _refused(text: str, allowed: bool, findings: tuple[Finding, ...], words: Words) -> str:
    """Return the text of an option, with why it is refused where it is."""
    if allowed:
        return text
    whys = " ".join(words.finding(one).what for one in findings if one.level == "stop")
    return f"{text} – {words.say('worksheet.refused_mark', why=whys)}"


def _syringe(option: SyringeOption, words: Words) -> str:
    """Return one syringe: where its plunger is set, the dose given and how far it may be off."""
    syringe, at = option.syringe, option.setting
    if is_own(syringe.id):
        name = words.entries["worksheet.prefilled"]
        given = name if at is None else words.say("worksheet.prefilled_given", name=name, dose=at.dose_given)
        return _refused(given, option.allowed, option.findings, words)
    tip = words.entries[f"tip.{syringe.tip.value}".replace(" ", "_")]
    key = "syringe.name_insulin" if syringe.is_insulin else "syringe.name"
    name = words.say(key, size=syringe.nominal, tip=tip, lines=syringe.graduation)
    if at is None:
        return _refused(name, option.allowed, option.findings, words)
    facts: dict[str, Fact] = {
        "name": name,
        "line": at.line,
        "dose": _short(at.dose_given, words),
        "least": _short(at.least, words),
        "most": _short(at.most, words),
    }
    return _refused(words.say("worksheet.syringe", **facts), option.allowed, option.findings, words)


def _short(value: Measure, words: Words) -> str:
    """Return a measure to three significant digits."""
    return write(value, words.language, 3)


def _device(option: DrawUpOption, words: Words) -> str:
    """Return one draw-up device."""
    device = option.device
    if device is None:
        return _refused(words.entries["worksheet.no_device"], option.allowed, option.findings, words)
    name = words.say("device.name", kind=device.kind.value, gauge=device.gauge, length=device.length)
    return _refused(name, option.allowed, option.findings, words)


def _needle(option: NeedleOption, words: Words) -> str:
    """Return one injection needle by its numbers."""
    needle = option.needle
    name = words.say("worksheet.needle", gauge=needle.gauge, length=needle.length)
    return _refused(name, option.allowed, option.findings, words)


def _steps(plan: Planned, words: Words) -> Iterator[str]:
    """Yield the steps of drawing up, numbered."""
    for turn, step in enumerate(plan.steps, 1):
        facts: dict[str, Fact] = {"what": step.what}
        if step.amount is not None:
            facts["amount"] = step.amount
        yield from wrapped(f"{turn}. {words.say(f'step.{step.does}.text', **facts)}", WIDTH)
