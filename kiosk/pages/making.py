"""The preparer's pages from the stock to the plunger."""

from __future__ import annotations

from decimal import Decimal

from kiosk.core.apparatus import drawing
from kiosk.core.apparatus.choices import NeedleOption, SyringeOption
from kiosk.core.catalogue.container import Container
from kiosk.core.findings import Finding, Level, Refusal
from kiosk.core.preparation import plans
from kiosk.core.units import Measure
from kiosk.pages.controls import number_entry
from kiosk.pages.parts import (
    Choice,
    Choices,
    Ground,
    InHand,
    Key,
    Page,
    ScanWanted,
    StepCard,
    Weight,
    Working,
)
from kiosk.pages.slip import framed, seconds_since, shown_length
from kiosk.pages.view import View


def stock(view: View) -> Page:
    """Find the container: scan it, or pick it from the drawer list."""
    words, state = view.words, view.the
    found = plans.plan(state, view.now) if state.taken else None
    more = isinstance(found, Refusal)
    help_key = "stock.more_help" if more else "stock.help"
    facts = dict(found.facts) if isinstance(found, Refusal) else {}
    page = Page(
        "stock",
        Ground.BENCH,
        words.say("stock.more_question" if more else "stock.question", drug=state.order.drug.name),
        words.say(help_key, **facts),
        ScanWanted(
            words.say("stock.scan"), words.say("stock.how"), (Key("by-hand", words.say("key.by_hand")),)
        ),
        in_hand=_container_in_hand(view),
    )
    return framed(view, page)


def verify(view: View) -> Page:
    """After a gap: show the containers again, or discard."""
    words = view.words
    page = Page(
        "verify",
        Ground.BENCH,
        words.say("verify.question"),
        words.say("verify.help"),
        ScanWanted(words.say("verify.scan"), words.say("stock.how")),
        in_hand=_container_in_hand(view),
    )
    return framed(view, page)


def _container_in_hand(view: View) -> InHand:
    words, state = view.words, view.the
    if not state.taken:
        return InHand(words.say("in_hand.heading"), "", None, words.say("in_hand.nothing"))
    container = state.taken[-1]
    return InHand(
        words.say("in_hand.heading"),
        words.say("in_hand.not_to_scale"),
        drawing.container_picture(container.product.form),
        container.product.label_name,
        (
            words.say("in_hand.form", form=container.product.form.value),
            words.say("in_hand.lot", lot=container.lot, expiry=container.expiry),
        ),
    )


def by_hand(view: View, containers: tuple[Choice, ...]) -> Page:
    """The containers of this drug in the drawers, to be picked without a scanner."""
    words = view.words
    page = Page(
        "by-hand",
        Ground.BENCH,
        words.say("by_hand.question"),
        words.say("by_hand.help"),
        Choices(containers),
        keys=(Key("back", words.say("key.back_to_scan")),),
    )
    return framed(view, page)


def container_choices(view: View, containers: tuple[Container, ...]) -> tuple[Choice, ...]:
    """Return containers as choices by what their labels say; the checks decide when one is held up."""
    words = view.words
    return tuple(
        Choice(
            Key(f"choose:{c.id}", c.product.label_name),
            (
                words.say("in_hand.form", form=c.product.form.value),
                words.say("in_hand.lot", lot=c.lot, expiry=c.expiry),
                *((words.say("in_hand.opened", opened=c.opened_at),) if c.opened_at else ()),
            ),
        )
        for c in containers
    )


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
        in_hand=_container_in_hand(view),
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
        in_hand=_container_in_hand(view),
    )
    return framed(view, page)


def _lines(view: View, form: str) -> tuple[str, ...]:
    plan = plans.sure_plan(view.the, view.now)
    return tuple(line.text for line in plan.working if line.form == form)


def syringe(view: View) -> Page:
    """The syringes on the counter, ranked, each with its line and how far off the dose may be."""
    words = view.words
    options = plans.syringe_options(view.the, view.rules, view.now)
    allowed = [o for o in options if o.allowed]
    page = Page(
        "syringe",
        Ground.BENCH,
        words.say("syringe.question"),
        words.say("syringe.help"),
        Choices(tuple(_syringe_choice(view, option, option is options[0]) for option in options)),
        in_hand=_syringe_in_hand(view, allowed[0] if allowed else None),
    )
    return framed(view, page)


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
        details + _said(view, option.findings, Level.CAUTION, Level.NOTE),
        " ".join(_said(view, option.findings, Level.STOP)),
        words.say("choice.best") if first and option.allowed else "",
    )


def _tidy(measure: Measure) -> Measure:
    """Return a measure to three significant figures, for show beside a tolerance."""
    value = measure.decimal
    places = 2 - value.adjusted()
    return Measure.of(round(value, max(0, places)).normalize(), measure.unit)


def _said(view: View, findings: tuple[Finding, ...], *levels: Level) -> tuple[str, ...]:
    return tuple(view.words.finding(f).what for f in findings if f.level in levels)


def _syringe_in_hand(view: View, option: SyringeOption | None) -> InHand | None:
    words = view.words
    if option is None or option.setting is None:
        return None
    setting = option.setting
    return InHand(
        words.say("in_hand.heading"),
        words.say("in_hand.life_size"),
        drawing.syringe_picture(option.syringe, setting.line),
        syringe_name(view, option),
        (
            words.say("in_hand.tolerance", tolerance=_tidy(setting.tolerance), line=setting.volume),
            words.say("syringe.span", least=_tidy(setting.least), most=_tidy(setting.most)),
        ),
    )


def syringe_in_hand(view: View) -> InHand | None:
    """Return the chosen syringe with its line, life-size."""
    state = view.the
    options = plans.syringe_options(state, view.rules, view.now)
    taken = state.syringe.syringe if state.syringe else ""
    return _syringe_in_hand(view, next((o for o in options if o.syringe.id == taken), None))


def draw_up_device(view: View) -> Page:
    """What fills the syringe; never what goes into the patient."""
    words = view.words
    options = plans.draw_up_options(view.the, view.rules)
    choices = tuple(
        Choice(
            Key(
                f"choose:{o.device.id if o.device else ''}",
                words.say(
                    "device.name",
                    kind=o.device.kind.value,
                    gauge=o.device.gauge,
                    length=shown_length(o.device.length),
                )
                if o.device
                else words.say("device.none"),
                enabled=o.allowed,
            ),
            _said(view, o.findings, Level.CAUTION, Level.NOTE),
            " ".join(_said(view, o.findings, Level.STOP)),
            words.say("choice.best") if o is options[0] and o.allowed else "",
        )
        for o in options
    )
    page = Page(
        "draw-up-device",
        Ground.BENCH,
        words.say("device.question"),
        words.say("device.help"),
        Choices(choices),
        in_hand=syringe_in_hand(view),
    )
    return framed(view, page)


def needle(view: View) -> Page:
    """The needle for the patient, read off the pack by number."""
    words = view.words
    options = plans.needle_options(view.the, view.rules, view.now)
    allowed = [o for o in options if o.allowed]
    shown = tuple(o.needle for o in options)[:6]
    page = Page(
        "needle",
        Ground.BENCH,
        words.say("needle.question"),
        words.say("needle.help"),
        Choices(tuple(_needle_choice(view, option, option is options[0]) for option in options)),
        in_hand=InHand(
            words.say("in_hand.needles"),
            words.say("in_hand.life_size"),
            drawing.needles_picture(shown, allowed[0].needle if allowed else None),
            needle_name(view, allowed[0]) if allowed else words.say("needle.none_fits"),
        ),
    )
    return framed(view, page)


def needle_name(view: View, option: NeedleOption) -> str:
    """Return a needle by its numbers: gauge, length in mm and in inches as packs print them."""
    needle = option.needle
    return view.words.say(
        "needle.name", gauge=needle.gauge, length=shown_length(needle.length), inches=needle.inch_text
    )


def _needle_choice(view: View, option: NeedleOption, first: bool) -> Choice:
    words = view.words
    flow = ()
    if option.seconds is not None and option.newtons is not None:
        flow = (words.say("needle.flow", seconds=option.seconds, newtons=option.newtons),)
    return Choice(
        Key(f"choose:{option.needle.id}", needle_name(view, option), enabled=option.allowed),
        flow + _said(view, option.findings, Level.CAUTION, Level.NOTE),
        " ".join(_said(view, option.findings, Level.STOP)),
        words.say("choice.best") if first and option.allowed else "",
    )


def draw_up(view: View) -> Page:
    """One step of drawing up at a time."""
    words, state = view.words, view.the
    steps = plans.steps(state, view.rules, view.now)
    turn = len(state.steps_done)
    step = steps[turn]
    facts = {"amount": step.amount} if step.amount else {}
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
            Key("step-done", words.say("key.done"), weight=Weight.PRIMARY, enabled=left == 0),
            wait,
            left,
        ),
        in_hand=syringe_in_hand(view),
    )
    return framed(view, page)
