"""The order slip on the left, the stage row on top, the foot: what every page shares."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from fractions import Fraction

from kiosk.core.dose.order import DosePerBody, DoseRange, FixedDose, Order
from kiosk.core.preparation.state import Preparation, Stage, stage
from kiosk.core.units import Measure
from kiosk.pages.parts import Foot, Key, Mark, Page, Slip, StageMark, Weight
from kiosk.pages.view import View
from kiosk.pages.words import Words

STAGE_ROW = (
    "order",
    "stock",
    "volume",
    "syringe",
    "needles",
    "draw_up",
    "reading",
    "check",
    "label",
    "rest",
)
_PLACE = {
    Stage.STOCK: "stock",
    Stage.VERIFY: "stock",
    Stage.VOLUME: "volume",
    Stage.SYRINGE: "syringe",
    Stage.DRAW_UP_DEVICE: "needles",
    Stage.NEEDLE: "needles",
    Stage.DRAW_UP: "draw_up",
    Stage.READING: "reading",
    Stage.CHECK: "check",
    Stage.DISCARD: "check",
    Stage.LABEL: "label",
    Stage.LABEL_UNKNOWN: "label",
    Stage.SCAN_BACK: "label",
    Stage.REST: "rest",
    Stage.IN_USE_LABEL: "rest",
    Stage.SHARPS: "rest",
    Stage.CLOSED: "rest",
}


def dose_text(order: Order, words: Words) -> str:
    """Return the ordered dose as it is written on the slip."""
    match order.dose:
        case FixedDose(amount):
            return words.write(amount)
        case DosePerBody(rate):
            return words.write(rate)
        case DoseRange(low, high, chosen):
            return words.write(chosen) if chosen else words.say("slip.range", low=low, high=high)


def slip(order: Order, words: Words, marks: tuple[Mark, ...] = ()) -> Slip:
    """Return the slip of an order: from the order alone, so that it can be shown to anyone."""
    patient = order.patient
    weight = (
        (words.say("slip.weighed", weight=_in_kg(patient.weighed.weight, words), on=patient.weighed.on),)
        if patient.weighed
        else ()
    )
    where = words.entries[f"route.{order.route.value}"]
    site = words.entries[f"site.{order.site.value}".replace(" ", "_")] if order.site else ""
    return Slip(
        heading=words.say("slip.heading", order=order.id),
        due=words.say("slip.due", time=words.time(order.due)),
        patient=patient.name,
        patient_lines=(
            words.say("slip.born", born=patient.born, number=patient.number),
            words.say("slip.place", place=patient.place),
            *weight,
        ),
        drug=order.drug.name,
        dose=dose_text(order, words),
        lines=(
            f"{where}, {site}" if site else where,
            *_how_often(order, words),
            *_which_part(order, words),
            *_spoken(order, words),
        ),
        allergies_heading=words.say("slip.allergies"),
        allergies=patient.allergies or (words.say("slip.no_allergies"),),
        confirmed_heading=words.say("slip.confirmed") if marks else "",
        marks=marks,
    )


def _in_kg(weight: Measure, words: Words) -> str:
    """Return a weight in kilograms, with the unit it was measured in beside it where that is another."""
    if weight.unit == "kg":
        return words.write(weight)
    tenths = Measure(Fraction(round(weight.to("kg").value * 10), 10), "kg")
    return f"{words.write(tenths)} ({words.write(weight)})"


def _how_often(order: Order, words: Words) -> tuple[str, ...]:
    if isinstance(order.dose, DosePerBody) and order.dose.divided_into > 1:
        return (words.say("slip.divided", count=order.dose.divided_into),)
    return ()


def _which_part(order: Order, words: Words) -> tuple[str, ...]:
    """Return which of several syringes that share the dose this is; nothing where it is whole."""
    return (words.say("slip.part", part=order.part, parts=order.parts),) if order.parts > 1 else ()


def _spoken(order: Order, words: Words) -> tuple[str, ...]:
    return (words.say("slip.spoken", prescriber=order.prescriber),) if order.spoken else ()


def marks(view: View) -> tuple[Mark, ...]:
    """Return what was confirmed against a real object, for the preparer's own slip."""
    words, state = view.words, view.the
    return tuple(
        Mark(words.say("slip.mark_container", form=c.product.form.value, lot=c.lot), "") for c in state.taken
    )


def stage_row(state: Preparation, view: View) -> tuple[StageMark, ...]:
    """Return the row of stage names, done ones with what was decided there."""
    words = view.words
    here = STAGE_ROW.index(_PLACE[stage(state)])
    decided = _decided(state, words)
    return tuple(
        StageMark(
            words.say(f"stage.{name}"),
            decided.get(name, "") if i < here or name == "check" else "",
            "done" if i < here else "now" if i == here else "ahead",
        )
        for i, name in enumerate(STAGE_ROW)
    )


def _decided(state: Preparation, words: Words) -> dict[str, str]:
    """Return what was settled at each stage, in few words."""
    said = {"order": words.say("stage.checked")}
    if state.taken:
        said["stock"] = state.taken[-1].product.label_name
    if state.figure is not None:
        said["volume"] = words.write(state.figure)
    if state.syringe is not None:
        said["syringe"] = words.write(state.syringe.line)
    if state.needle is not None:
        length = shown_length(state.needle.length)
        fitted = words.say("stage.needle", gauge=state.needle.gauge, length=length)
        said["needles"] = fitted if state.needle.gauge else words.say("stage.no_needle")
    said["draw_up"] = words.say("stage.done")
    if state.plunger is not None:
        said["reading"] = words.write(state.plunger.position)
    said["check"] = "" if state.needs_second or state.form else words.say("stage.not_asked")
    if state.vouched is not None and said["check"] == "":
        said["check"] = words.say("stage.agreed" if state.needs_second else "stage.done")
    said["label"] = words.say("stage.done")
    return said


def shown_length(length: Measure) -> Measure:
    """Return a needle length in whole millimetres, as packs print it; for show, not for arithmetic."""
    mm = length.to("mm")
    return Measure.of(int(mm.value + Measure.of("0.5", "mm").value), "mm")


def foot(view: View, role: str = "preparing") -> Foot:
    """Return the foot: who is here as what, the clock, the devices, the way to stop."""
    words = view.words
    person = view.sitting.person
    open_syringe = view.state is not None and not view.state.ended and not view.sitting.printing
    stop = Key("stop", words.say("key.stop_syringe"), weight=Weight.GRAVE) if open_syringe else None
    if stop is None and person is not None and not view.sitting.printing:
        stop = Key("sign-off", words.say("key.sign_off"), weight=Weight.GRAVE)
    return Foot(
        signed_on_as=words.say(f"foot.{role}") if person else words.say("foot.nobody"),
        signed_on=person.name if person else "",
        clock=words.time(view.now),
        devices=view.devices,
        stop=stop,
    )


def framed(view: View, page: Page) -> Page:
    """Return a bench page with slip, stages, cards and foot around it.

    While a check is open nobody's figures stand on any page: no stage row, no marks.
    """
    state = view.state
    shown = state if state is not None and stage(state) is not Stage.CHECK else None
    return replace(
        page,
        slip=slip(state.order, view.words, marks(view) if shown else ()) if state else page.slip,
        stages=stage_row(shown, view) if shown else (),
        findings=view.sitting.cards + page.findings,
        foot=foot(view),
        heard=view.sitting.heard,
        sound=view.sitting.sound,
    )


def seconds_since(then: datetime | None, now: datetime) -> int:
    """Return whole seconds from ``then`` to ``now``; nothing when it never began."""
    return max(0, int((now - then).total_seconds())) if then else 0
