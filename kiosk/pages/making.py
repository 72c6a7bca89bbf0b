"""The preparer's pages from the figure to the filled syringe."""

from __future__ import annotations

from decimal import Decimal

from kiosk.core.apparatus import drawing
from kiosk.core.apparatus.choices import SyringeOption
from kiosk.core.apparatus.prefilled import is_own
from kiosk.core.dose.working import written
from kiosk.core.findings import Fact, Finding, Level
from kiosk.core.preparation import plans
from kiosk.core.units import Measure
from kiosk.pages.controls import number_entry
from kiosk.pages.dilution import is_measured_well, none_measures
from kiosk.pages.parts import (
    Choice,
    Choices,
    Ground,
    InHand,
    Key,
    Page,
    StepCard,
    Weight,
    Working,
)
from kiosk.pages.prefilled import in_hand
from kiosk.pages.slip import framed, seconds_since
from kiosk.pages.stock import container_in_hand
from kiosk.pages.view import View


def volume(view: View) -> Page:
    """The preparer works out the figure and commits it before the kiosk shows its own."""
    words, state = view.words, view.the
    unit = "units" if state.order.drug.is_insulin else "mL"
    page = Page(
        "volume",
        Ground.BENCH,
        words.say("volume.question_units" if unit == "units" else "volume.question"),
        words.say("volume.help"),
        number_entry(view, unit),
        in_hand=container_in_hand(view),
    )
    return framed(view, page)


def working(view: View) -> Page:
    """The committed figure beside the kiosk's, with the working in both written forms."""
    words, state = view.words, view.the
    last = state.figures[-1]
    plan = plans.sure_plan(state, view.now)
    forms = dict.fromkeys(line.form for line in plan.working)
    columns = tuple((words.say(f"working.{form}".replace(" ", "_")), _lines(view, form)) for form in forms)
    page = Page(
        "working",
        Ground.BENCH,
        words.say("working.agrees" if last.agrees else "working.differs"),
        words.say("working.agrees_help" if last.agrees else "working.differs_help"),
        Working(
            words.say("working.agrees" if last.agrees else "working.differs"),
            last.agrees,
            words.say("working.mine", figure=last.figure),
            words.say("working.kiosk", figure=last.worked_out),
            columns,
            Key("go-on", words.say("key.go_on" if last.agrees else "key.again"), weight=Weight.PRIMARY),
        ),
        in_hand=container_in_hand(view),
    )
    return framed(view, page)


def _lines(view: View, form: str) -> tuple[str, ...]:
    plan = plans.sure_plan(view.the, view.now)
    return tuple(written(line, view.words.language) for line in plan.working if line.form == form)


def syringe(view: View) -> Page:
    """The syringes on the counter, ranked, each with its line and how far off the dose may be."""
    words = view.words
    options = plans.syringe_options(view.the, view.rules, view.now)
    allowed = [o for o in options if o.allowed]
    better = () if is_measured_well(options, view) else (Key("dilution", words.say("key.dilution")),)
    page = Page(
        "syringe",
        Ground.BENCH,
        words.say("syringe.question"),
        words.say("syringe.help"),
        Choices(tuple(_syringe_choice(view, option, option is options[0]) for option in options)),
        in_hand=_syringe_in_hand(view, allowed[0] if allowed else None),
        keys=better,
    )
    return framed(view, page)


def syringe_or_none(view: View) -> Page:
    """The syringes, or, where none measures the dose, what would."""
    options = plans.syringe_options(view.the, view.rules, view.now)
    return syringe(view) if any(o.allowed for o in options) else none_measures(view)


def syringe_name(view: View, option: SyringeOption) -> str:
    """Return what the trade calls this syringe: size, tip, lines."""
    words, syringe = view.words, option.syringe
    key = "syringe.name_insulin" if syringe.is_insulin else "syringe.name"
    tip = words.entries[f"tip.{syringe.tip.value}".replace(" ", "_")]
    return words.say(key, size=syringe.capacity, tip=tip, lines=syringe.graduation)


def _percent(share: Decimal) -> Decimal:
    return (share * 100).quantize(Decimal("0.1"))


def _syringe_choice(view: View, option: SyringeOption, first: bool) -> Choice:
    words, setting = view.words, option.setting
    details: tuple[str, ...] = ()
    if setting is not None:
        details = (
            words.say("syringe.line", line=setting.line),
            words.say("syringe.span", least=_tidy(setting.least), most=_tidy(setting.most)),
        )
    return Choice(
        Key(f"choose:{option.syringe.id}", syringe_name(view, option), enabled=option.allowed),
        details + said(view, option.findings, Level.CAUTION, Level.NOTE),
        " ".join(said(view, option.findings, Level.STOP)),
        words.say("choice.best") if first and option.allowed else "",
    )


def _tidy(measure: Measure) -> Measure:
    """Return a measure to three significant figures, for show beside a tolerance."""
    value = measure.decimal
    places = 2 - value.adjusted()
    return Measure.of(round(value, max(0, places)).normalize(), measure.unit)


def said(view: View, findings: tuple[Finding, ...], *levels: Level) -> tuple[str, ...]:
    """Return in one sentence each what the findings of these levels say."""
    return tuple(view.words.finding(f).what for f in findings if f.level in levels)


def _syringe_in_hand(view: View, option: SyringeOption | None) -> InHand | None:
    words = view.words
    if option is None or option.setting is None:
        return None
    if is_own(option.syringe.id):
        return in_hand(view, option)
    setting = option.setting
    return InHand(
        words.say("in_hand.heading"),
        words.say("in_hand.life_size"),
        drawing.syringe_picture(option.syringe, setting.line, language=words.language),
        syringe_name(view, option),
        (
            words.say("in_hand.tolerance", tolerance=_tidy(setting.tolerance), line=setting.volume),
            words.say("syringe.span", least=_tidy(setting.least), most=_tidy(setting.most)),
        ),
        words.say("in_hand.reduced"),
    )


def syringe_in_hand(view: View) -> InHand | None:
    """Return the chosen syringe with its line, life-size."""
    state = view.the
    options = plans.syringe_options(state, view.rules, view.now)
    taken = state.syringe.syringe if state.syringe else ""
    return _syringe_in_hand(view, next((o for o in options if o.syringe.id == taken), None))


def draw_up(view: View) -> Page:
    """One step of drawing up at a time."""
    words, state = view.words, view.the
    steps = plans.steps(state, view.rules, view.now)
    turn = len(state.steps_done)
    step = steps[turn]
    facts: dict[str, Fact] = {"what": step.what}
    if step.amount is not None:
        facts["amount"] = step.amount
    wait = int(step.wait.to("s").value) if step.wait else 0
    left = max(0, wait - seconds_since(view.sitting.since, view.now))
    page = Page(
        "draw-up",
        Ground.BENCH,
        words.say("draw_up.question"),
        words.say("draw_up.help"),
        StepCard(
            words.say("draw_up.count", turn=turn + 1, count=len(steps)),
            words.say(f"step.{step.does}.text", **facts),
            words.say(f"step.{step.does}.detail", **facts),
            Key(f"step-done:{step.id}", words.say("key.done"), weight=Weight.PRIMARY, enabled=left == 0),
            wait,
            left,
        ),
        in_hand=syringe_in_hand(view),
    )
    return framed(view, page)
