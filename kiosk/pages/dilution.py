"""No syringe here measures the dose well: the dilution that would, as what to ask for, never to make here.

A mixture made at the counter would stand there unlabelled, and the second person could not tell its strength
from anything they see: the check would be one in name only. So the recipe is shown, and no syringe is made.
"""

from __future__ import annotations

from collections.abc import Iterator

from kiosk.core.apparatus.choices import SyringeOption
from kiosk.core.apparatus.measurable import DilutionOffer, dilution_offer
from kiosk.core.dose.plan import RecipeStep
from kiosk.core.findings import Fact, Refusal
from kiosk.core.preparation import plans
from kiosk.pages.device_names import syringe_said
from kiosk.pages.parts import Ground, Key, Line, Lines, Page, Weight
from kiosk.pages.slip import framed
from kiosk.pages.view import View


def is_measured_well(options: tuple[SyringeOption, ...], view: View) -> bool:
    """Say whether the best syringe keeps the dose inside the drug's allowed error in the worst case."""
    best = options[0] if options else None
    if best is None or best.setting is None or not best.allowed:
        return False
    return best.syringe.is_insulin or best.setting.worst <= view.the.order.drug.allowed_error


def offer_of(view: View) -> DilutionOffer | Refusal:
    """Return the dilution by which a syringe of this counter would measure the dose, or why there is none."""
    state, rules = view.the, view.rules
    named = view.words.entries["dilution.diluent"]
    made = plans.sure_plan(state, view.now)
    return dilution_offer(made, state.order, rules.syringes, rules.tables, diluent_name=named)


def none_measures(view: View) -> Page:
    """Nothing on the counter measures this dose: what would, step by step, and the way to the reasons."""
    words = view.words
    volume = plans.sure_plan(view.the, view.now).volume
    return _page(
        view,
        "no-syringe",
        words.say("dilution.none_question", volume=volume),
        (Key("syringes", words.say("key.syringes")),),
    )


def dilution(view: View) -> Page:
    """The best syringe may be too far off: what would measure the dose better, and the way back."""
    words = view.words
    back = Key("back", words.say("key.back_to_choice"), weight=Weight.PRIMARY)
    return _page(view, "dilution", words.say("dilution.better_question"), (back,))


def _page(view: View, name: str, question: str, keys: tuple[Key, ...]) -> Page:
    """Return the page of a recipe, or of why there is none."""
    words, offer = view.words, offer_of(view)
    refused = isinstance(offer, Refusal)
    page = Page(
        name,
        Ground.BENCH,
        question,
        words.say("dilution.no_way_help" if refused else "dilution.ask_help"),
        Lines(tuple(_lines(view, offer))),
        findings=(words.refusal(offer),) if isinstance(offer, Refusal) else (),
        keys=keys,
    )
    return framed(view, page)


def _lines(view: View, offer: DilutionOffer | Refusal) -> Iterator[Line]:
    """Yield the recipe step by step with the strength each leads to, and how well it is then measured."""
    if isinstance(offer, Refusal):
        return
    words, at = view.words, offer.option.setting
    for turn, step in enumerate(offer.dilution.recipe, start=1):
        facts = _facts(step)
        text = words.say(f"recipe.{step.does}.text", **facts)
        detail = words.say("dilution.strength", strength=step.gives_strength) if step.gives_strength else ""
        yield Line(words.say("dilution.turn", turn=turn), text, detail)
    assert at is not None
    name = syringe_said(words, offer.option.syringe)
    span = words.say("dilution.span", least=words.short(at.least), most=words.short(at.most))
    yield Line("", words.say("dilution.measured", name=name, line=at.line), span)


def _facts(step: RecipeStep) -> dict[str, Fact]:
    """Return what fills the sentence of a step."""
    figures = {
        "volume": step.volume,
        "gives_volume": step.gives_volume,
        "gives_strength": step.gives_strength,
    }
    return {"what": step.what, **{name: value for name, value in figures.items() if value is not None}}
