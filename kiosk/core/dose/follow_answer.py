"""Answer one question out of what follows: which facts may be meant, in which unit, and what is missing."""

from __future__ import annotations

import itertools
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from kiosk.core.dose.follow import Followed, Rule
from kiosk.core.dose.follow_units import turn
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class Ask:
    """``facts`` may be meant, the first that follows is; ``unit`` is answered in when none is asked for.

    ``instead`` are meant when none of these can be had in the unit asked for and only one of them was
    worked out: who asks for a dose in millilitres means the volume.
    """

    facts: tuple[str, ...]
    unit: str = ""
    instead: tuple[str, ...] = ()


_TABLE: Final = (
    ("volume dose_volume volume_to_give volume_to_draw injection_volume", "volume", "mL"),
    ("volume_each volume_per_injection volume_per_site", "volume_each", "mL"),
    ("dose amount dose_per_dose single_dose drug_amount", "dose drawn_dose mixed_amount content", ""),
    ("drawn_dose dose_given actual_dose", "drawn_dose", ""),
    ("drawn_volume volume_drawn", "drawn_volume", "mL"),
    ("mass", "drawn_dose dose mixed_amount content quantity", "mg"),
    ("mg", "drawn_dose dose mixed_amount content quantity", "mg"),
    ("g", "drawn_dose dose mixed_amount content quantity", "g"),
    ("mcg", "drawn_dose dose mixed_amount content quantity", "mcg"),
    ("units", "drawn_dose dose mixed_amount content quantity", "units"),
    ("mEq", "drawn_dose dose mixed_amount content quantity", "mEq"),
    ("mmol", "drawn_dose dose mixed_amount content quantity", "mmol"),
    ("daily_dose dose_per_day total_daily_dose day_dose", "day_total daily_dose", ""),
    ("doses_per_day frequency times_per_day", "doses_per_day", "1/day"),
    ("interval", "interval", "h"),
    ("number_of_doses total_doses doses", "number_of_doses doses_in_container", "1"),
    ("doses_in_container doses_per_container doses_per_vial", "doses_in_container", "1"),
    ("course_dose total_dose", "course_dose flowed_dose day_total", ""),
    ("course_volume total_volume", "course_volume final_volume", "mL"),
    ("day_volume daily_volume volume_per_day", "day_volume", "mL/day"),
    ("dose_per_kg dose_per_weight mg_per_kg", "dose_for_weight day_for_weight flow_for_weight", ""),
    ("daily_dose_per_kg", "day_for_weight", ""),
    ("dose_per_m2 dose_per_surface", "dose_for_surface flow_for_surface", ""),
    ("max_dose maximum_dose max_single_dose high_dose range_high", "max_dose high_dose high_day max_day", ""),
    ("max_daily_dose", "max_day high_day", ""),
    ("max_volume maximum_volume", "max_volume volume", "mL"),
    ("min_dose minimum_dose low_dose range_low", "min_dose low_dose low_day min_day", ""),
    ("in_range safe is_safe within_range", "in_range", "1"),
    ("concentration strength final_concentration", "final_concentration strength stock_strength", ""),
    ("stock_concentration", "stock_strength", ""),
    ("percent percent_w_v percentage", "final_concentration strength stock_strength", "%"),
    ("ratio_denominator ratio", "ratio_denominator", "1"),
    ("final_volume", "final_volume", "mL"),
    ("diluent_volume diluent diluent_added volume_to_add", "diluent_added", "mL"),
    ("chosen_diluent", "diluent_added", "mL"),
    ("chosen_concentration", "final_concentration", ""),
    ("chosen_volume", "volume", "mL"),
    ("displacement_volume displacement", "displacement_volume", "mL"),
    ("stock_volume", "stock_volume volume", "mL"),
    ("count containers number_of_containers vials ampoules tablets", "count course_count", "1"),
    ("course_count total_count", "course_count", "1"),
    ("injections number_of_injections sites", "injections", "1"),
    ("waste_volume remaining_volume discard_volume left", "waste_volume", "mL"),
    ("waste_dose waste_amount remaining_dose", "waste_dose", ""),
    ("percent_error error", "error", "1"),
    ("weight patient_weight weight_kg", "weight_kg", "kg"),
    ("height", "height", "cm"),
    ("ideal_weight ideal_body_weight", "ideal_weight", "kg"),
    ("bsa body_surface patient_bsa", "bsa", "m2"),
    ("quantity converted conversion", "quantity", ""),
    ("rounded", "calculated", ""),
    ("mg_per_mEq mass_per_mEq equivalent_weight", "mass_per_charge", "mg/mEq"),
    ("mg_per_mmol molar_mass", "molar_mass", "mg/mmol"),
    ("infusion_rate rate flow_rate pump_rate mL_per_h mL_per_hour", "infusion_rate", "mL/h"),
    ("drip_rate drop_rate drops_per_minute", "drip_rate", "drop/min"),
    ("duration infusion_time time hours", "duration lasts interval", ""),
    ("lasts days_supply days", "lasts", "day"),
    ("dose_rate dose_per_time", "dose_flow dose_for_weight day_for_weight flow_for_weight", ""),
    ("dose_per_kg_per_time", "flow_for_weight", ""),
    ("infusion_volume", "infusion_volume", "mL"),
    ("scale_reading syringe_units syringe_line", "scale_reading drawn_volume", ""),
)


def _asks() -> Mapping[str, Ask]:
    """Return every way to ask, by its word in lower case."""
    made: dict[str, Ask] = {}
    for spelt, facts, unit in _TABLE:
        meant = tuple(facts.split())
        instead = tuple(_INSTEAD.get(meant[0], "").split())
        made |= dict.fromkeys(spelt.lower().split(), Ask(meant, unit, instead))
    return MappingProxyType(made)


_INSTEAD: Final = {
    "dose": "volume count day_total daily_dose dose_flow infusion_rate flow_for_weight",
    "volume": "stock_volume diluent_added final_volume infusion_volume waste_volume day_volume course_volume",
    "infusion_rate": "drip_rate dose_flow",
    "count": "injections doses_in_container number_of_doses",
    "quantity": "dose",
}
"""By the first fact of an ask: what else may be meant by its word."""

ASKS: Final = _asks()
SPELT: Final = tuple(sorted(name for spelt, _, _ in _TABLE for name in spelt.split()))
"""Every word to ask with, as it is spelt; any capitals are understood."""


@dataclass(frozen=True, slots=True)
class Answer:
    """``value`` is exact, in the unit asked for; ``fact`` is what was meant."""

    fact: str
    value: Measure


def answer(
    followed: Followed, ask: Ask, unit: str, rules: Iterable[Rule], statable: Collection[str]
) -> Answer | Refusal:
    """Return the answer in ``unit`` (or the ask's own), or why there is none.

    Refusals: those found on the way (``figures_contradict`` ...), ``unit_not_of_this_answer``,
    ``units_do_not_meet``, ``not_enough_said`` (fact ``missing``: every smallest set of facts to state).
    """
    standing = [found for found in followed.refusals if not _is_asked_about(found, ask)]
    if standing:
        return standing[0]
    found = [(fact, followed.known[fact].value) for fact in _meant(followed, ask) if fact in followed.known]
    for fact, value in found:
        turned = _in_unit(value, unit or ask.unit or value.unit, followed)
        if turned is not None:
            return Answer(fact, turned)
    other = _instead(followed, ask, unit or ask.unit)
    if other is not None:
        return other
    if found:
        return Refusal("unit_not_of_this_answer", {"unit": unit or ask.unit, "answer": found[0][1]})
    return _unanswered(followed, ask, tuple(rules), statable)


def _instead(followed: Followed, ask: Ask, unit: str) -> Answer | None:
    """Return what else may be meant, when it was worked out, fits the unit and is the only such figure."""
    if not unit:
        return None
    bridges = followed.stated.bridges
    derived = [followed.known[fact] for fact in ask.instead if fact in followed.known]
    fitting = [
        Answer(known.fact, turned)
        for known in derived
        if known.rule != "stated" and (turned := turn(known.value, unit, bridges)) is not None
    ]
    return fitting[0] if len({answer.value for answer in fitting}) == 1 else None


def _is_asked_about(refusal: Refusal, ask: Ask) -> bool:
    """Say whether a refusal is the very thing that is asked: is this order above its maximum?"""
    return refusal.code == "ordered_over_maximum" and ask.facts == ("in_range",)


def _in_unit(value: Measure, unit: str, followed: Followed) -> Measure | None:
    """Return a value in a unit; a day's amount may be asked for without saying "a day" again."""
    turned = turn(value, unit, followed.stated.bridges)
    if turned is None and value.unit.endswith("/day"):
        return turn(Measure(value.value, value.unit.removesuffix("/day")), unit, followed.stated.bridges)
    return turned


def _meant(followed: Followed, ask: Ask) -> Iterator[str]:
    """Yield the facts that may be meant, the likeliest first.

    With a volume drawn, the dose is the one in the syringe.
    """
    if "drawn_volume" in followed.stated.measures and "drawn_dose" in ask.facts:
        yield "drawn_dose"
    if ask.facts[0] == "max_dose" and "worked_dose" in followed.known:
        yield "dose"  # the most for this patient: the rate by body size, held under the stated maximum
    yield from ask.facts


def _unanswered(followed: Followed, ask: Ask, rules: tuple[Rule, ...], statable: Collection[str]) -> Refusal:
    """Return what keeps the answer from following."""
    clash = [found for found in followed.unmet if found.facts["fact"] in ask.facts]
    if clash:
        return clash[0]
    ways = missing(followed, ask.facts[:1], rules, statable)
    return Refusal("not_enough_said", {"missing": ways})


def missing(
    followed: Followed, facts: Collection[str], rules: tuple[Rule, ...], statable: Collection[str]
) -> tuple[tuple[str, ...], ...]:
    """Return the smallest sets of facts any of which, stated too, would let one of ``facts`` follow."""
    search = _Search(followed, rules, frozenset(statable))
    asked = frozenset(facts)
    found = (way for fact in facts for way in search.needed(fact, frozenset()))
    ways = [way for way in found if not way & asked]
    return tuple(tuple(sorted(way)) for way in _fewest(ways))


def _fewest(ways: Iterable[frozenset[str]]) -> tuple[frozenset[str], ...]:
    """Return the ways with the fewest facts, in the order they were found, a handful at most."""
    ranked = sorted(dict.fromkeys(ways), key=len)
    return tuple(way for way in ranked if len(way) == len(ranked[0]))[:_MOST_WAYS]


_MOST_WAYS: Final = 6
_DEEPEST: Final = 5


@dataclass(frozen=True, slots=True)
class _Search:
    """Looks backwards from a fact to what would have to be stated."""

    followed: Followed
    rules: tuple[Rule, ...]
    statable: frozenset[str]

    def needed(self, fact: str, above: frozenset[str]) -> tuple[frozenset[str], ...]:
        """Return the fewest facts to state for ``fact``, every way; nothing when no rule leads there."""
        if fact in self.followed.known:
            return (frozenset(),)
        ways = [frozenset({fact})] if above and fact in self.statable else list[frozenset[str]]()
        if fact not in above and len(above) < _DEEPEST:
            rules = (rule for rule in self.rules if rule.gives == fact)
            ways += [way for rule in rules for way in self._by(rule, above | {fact})]
        return _fewest(ways)

    def _by(self, rule: Rule, above: frozenset[str]) -> Iterator[frozenset[str]]:
        """Yield what one rule would still need; a rule that needs nothing more was tried and led nowhere."""
        stated = self.followed.stated
        if rule.unless & stated.names:
            return
        enabling = (
            ()
            if rule.fits(stated)
            else (tuple(frozenset({one}) for one in sorted(rule.when & self.statable)),)
        )
        ways = [*enabling, *(self.needed(need, above) for need in rule.needs)]
        for parts in itertools.product(*ways):
            whole = frozenset[str]().union(*parts)
            if whole:
                yield whole
