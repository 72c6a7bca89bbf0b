"""Answer one question out of what follows: which facts may be meant, in which unit, and what is missing."""

from __future__ import annotations

import itertools
from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from kiosk.core.dose.follow import Followed, Rule
from kiosk.core.dose.follow_asks import Ask
from kiosk.core.dose.follow_units import turn
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure


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
    ``units_do_not_meet``, ``not_enough_said`` (fact ``missing``: every smallest set of facts to state),
    and where two different things may be meant ``per_dose_or_per_day``, ``one_dose_or_course``.
    """
    standing = [found for found in followed.refusals if not _is_asked_about(found, ask)]
    left_open = standing[0] if standing else _left_open(followed, ask, unit)
    if left_open is not None:
        return left_open
    found = [(fact, followed.known[fact].value) for fact in _meant(followed, ask) if fact in followed.known]
    for fact, value in found:
        turned = _in_unit(value, unit or ask.unit or value.unit, followed, ask)
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


def _left_open(followed: Followed, ask: Ask, unit: str) -> Refusal | None:
    """Return why two different things may be meant: an end of a range in doses or in days, a count."""
    first = followed.known.get(ask.facts[0])
    if first is None:
        return None
    if first.rule in _OF_A_DAY and first.fact in _ENDS and ask.facts[0] == first.fact and "/day" not in unit:
        return Refusal("per_dose_or_per_day")
    course = followed.known.get("course_count")
    if first.fact == "count" and course is not None and course.value != first.value:
        return Refusal("one_dose_or_course", {"one": first.value, "course": course.value})
    return None


_ENDS: Final = frozenset({"low_dose", "high_dose"})
_OF_A_DAY: Final = frozenset(f"{end} = {end.removesuffix('dose')}day ÷ doses_per_day" for end in _ENDS)
_OF_ONE_DOSE: Final = frozenset({"max_dose", "min_dose"})


def _in_unit(value: Measure, unit: str, followed: Followed, ask: Ask) -> Measure | None:
    """Return a value in a unit; a day's amount may be asked for without saying "a day" again.

    Not so where the most or the least of one dose is asked for: a day's would be several times that.
    """
    turned = turn(value, unit, followed.stated.bridges)
    if turned is None and value.unit.endswith("/day") and ask.facts[0] not in _OF_ONE_DOSE:
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
    if ask.facts[0] == "max_volume" and "worked_dose" in followed.known:
        yield "volume"
    yield from (fact for fact in ask.facts if not (_thinned(followed) and fact in _UNTHINNED))


_UNTHINNED: Final = frozenset({"strength", "stock_strength"})


def _thinned(followed: Followed) -> bool:
    """Say whether the stock is made up to a volume, so that its own strength is not what is asked for."""
    return {"stock_strength", "final_volume"} <= followed.stated.measures.keys()


def _unanswered(followed: Followed, ask: Ask, rules: tuple[Rule, ...], statable: Collection[str]) -> Refusal:
    """Return what keeps the answer from following."""
    clash = [found for found in followed.unmet if found.facts["fact"] in ask.facts]
    if clash:
        return clash[0]
    ways = missing(followed, ask.facts[:1], rules, statable)
    return Refusal("not_enough_said", {"missing": ways or (ask.facts[:1],)})


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
