"""Follow facts: from what a description states to everything that follows from it, and no further.

A *fact* is a named measure (``weight``, ``strength``, ``dose`` ...). The rules in ``follow_rules`` each
make one new fact out of known ones; they are tried until nothing new comes. A fact that comes out twice
must come out the same: a small difference (label figures are rounded) is a caution and the first one
stands, a larger one is a refusal that names both. Nothing is ever looked up by what kind of exercise it is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from types import MappingProxyType
from typing import Final, TypeAlias

from kiosk.core.dose.follow_units import Bridges, agree
from kiosk.core.dose.plan import Term
from kiosk.core.findings import Facts, Finding, Level, Refusal
from kiosk.core.units import Measure

BRIDGING: Final = (
    *("lb_per_kg", "molar_mass", "valence", "mass_per_charge", "potency", "mass_per_grain"),
    *("drop_factor", "conversion"),
)
"""Facts that are bridges between kinds of unit."""

ALLOWED_DIFFERENCE: Final = Fraction(1, 20)
"""Two ways to one figure may differ by as much as a measured dose may, unless the description says less.

The allowed error of a dose, 5 %, is common practice (no source)."""


@dataclass(frozen=True, slots=True)
class LabelLine:
    """One line of a multi-strength powder label: so much ``diluent`` gives that ``concentration``."""

    diluent: Measure
    concentration: Measure


@dataclass(frozen=True, slots=True)
class Stated:
    """What a description states: ``measures`` by fact, ``words`` (a formula, a kind of container), lines.

    ``again`` are facts stated a second time, in other words: they must agree with the first.
    """

    measures: Mapping[str, Measure]
    words: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    lines: tuple[LabelLine, ...] = ()
    allowed_difference: Fraction = ALLOWED_DIFFERENCE
    again: tuple[tuple[str, Measure], ...] = ()

    @property
    def names(self) -> frozenset[str]:
        """Every fact, word and the lines that are stated, by name."""
        return frozenset(self.measures) | frozenset(self.words) | ({"lines"} if self.lines else set())

    @property
    def bridges(self) -> Bridges:
        """The stated equivalences between kinds of unit."""
        return Bridges(tuple(self.measures[name] for name in BRIDGING if name in self.measures))


@dataclass(frozen=True, slots=True)
class Known:
    """A fact with where it comes from: ``rule`` is ``stated`` or a rule's id, ``since`` the facts used.

    ``terms`` write the working down: values, signs, result; empty for what is stated.
    """

    fact: str
    value: Measure
    rule: str = "stated"
    since: tuple[str, ...] = ()
    terms: tuple[Term, ...] = ()


Worked: TypeAlias = Measure | Refusal | Finding | None


@dataclass(frozen=True, slots=True)
class Rule:
    """One step that follows: ``gives`` out of ``needs``.

    ``work`` gets what is stated and the needed values in order; None says that the figures do not belong
    together (their units do not meet), a ``Finding`` that nothing follows but a caution. ``says`` is the
    working: signs, and for each value its place in ``needs``. The rule is tried only when any of ``when``
    is stated (if there are any) and none of ``unless``. ``proves`` is False for a rule that only fills a
    gap and never contradicts.
    """

    id: str
    gives: str
    needs: tuple[str, ...]
    work: Callable[[Stated, tuple[Measure, ...]], Worked]
    says: tuple[int | str, ...] = ()
    when: frozenset[str] = frozenset()
    unless: frozenset[str] = frozenset()
    proves: bool = True

    def fits(self, stated: Stated) -> bool:
        """Say whether what is stated lets this rule be tried at all."""
        return not (self.unless & stated.names) and (not self.when or bool(self.when & stated.names))


@dataclass(frozen=True, slots=True)
class Followed:
    """Everything that follows. ``unmet`` are the facts pairs whose units did not meet."""

    stated: Stated
    known: Mapping[str, Known]
    findings: tuple[Finding, ...] = ()
    refusals: tuple[Refusal, ...] = ()
    unmet: tuple[Refusal, ...] = ()

    def value(self, fact: str) -> Measure | None:
        """Return a fact's value, or None when it does not follow."""
        known = self.known.get(fact)
        return known.value if known else None

    def derived(self) -> Iterator[Known]:
        """Yield what was worked out, in the order it followed."""
        return (known for known in self.known.values() if known.rule != "stated")

    def behind(self, fact: str) -> tuple[Known, ...]:
        """Return every fact that ``fact`` rests on, and itself, in the order they followed."""
        wanted, seen = [fact], set[str]()
        while wanted:
            name = wanted.pop()
            if name not in seen:
                seen.add(name)
                wanted.extend(self.known[name].since)
        return tuple(known for name, known in self.known.items() if name in seen)


@dataclass(slots=True)
class _Sheet:
    """The facts while they grow."""

    stated: Stated
    known: dict[str, Known]
    findings: list[Finding] = field(default_factory=list)
    refusals: list[Refusal] = field(default_factory=list)
    unmet: list[Refusal] = field(default_factory=list)

    def take(self, rule: Rule) -> None:
        """Apply one rule whose needs are all known."""
        values = tuple(self.known[name].value for name in rule.needs)
        worked = rule.work(self.stated, values)
        if isinstance(worked, Refusal):
            self.refusals.append(worked)
        elif isinstance(worked, Finding):
            self.findings.append(worked)
        elif worked is None:
            self.unmet.extend([_unmet(rule, values)] if len(values) > 1 else [])
        elif rule.gives not in self.known:
            terms = _terms(rule.says, values, worked)
            self.known[rule.gives] = Known(rule.gives, worked, rule.id, rule.needs, terms)
        elif rule.proves:
            self._compare(self.known[rule.gives], worked)

    def compare_again(self) -> None:
        """Hold every fact that was stated twice against its first statement."""
        for fact, value in self.stated.again:
            first = self.known[fact]
            if agree(first.value, value, self.stated.bridges) is None:
                facts: Facts = {"fact": fact, "first": first.value, "second": value}
                self.refusals.append(Refusal("figures_contradict", facts))
            else:
                self._compare(first, value)

    def _compare(self, first: Known, second: Measure) -> None:
        """Note a second way to a known fact when it leads elsewhere."""
        apart = agree(first.value, second, self.stated.bridges)
        if not apart:
            return
        facts: Facts = {"fact": first.fact, "first": first.value, "second": second}
        if apart <= self.stated.allowed_difference:
            self.findings.append(Finding("figures_differ_a_little", Level.CAUTION, facts, "common practice"))
        else:
            self.refusals.append(Refusal("figures_contradict", facts))


def _terms(says: tuple[int | str, ...], values: tuple[Measure, ...], worked: Measure) -> tuple[Term, ...]:
    """Return the working as terms: its signs with the values in their places, then the result."""
    filled = (_term(values[sign]) if isinstance(sign, int) else sign for sign in says)
    return (*filled, "=", _term(worked))


def _term(value: Measure) -> Term:
    """Return a plain number as such, not as a measure of nothing."""
    return value.value if value.unit == "1" else value


def _unmet(rule: Rule, values: tuple[Measure, ...]) -> Refusal:
    """Say which facts could not be put together for the sake of their units."""
    return Refusal(
        "units_do_not_meet",
        {"fact": rule.gives, "units": tuple(value.unit for value in values), "facts": rule.needs},
    )


def follow(stated: Stated, rules: Iterable[Rule]) -> Followed:
    """Return everything that follows from what is stated. Never raises for what a person may state."""
    sheet = _Sheet(stated, {name: Known(name, value) for name, value in stated.measures.items()})
    sheet.compare_again()
    waiting = [rule for rule in rules if rule.fits(stated)]
    going = True
    while going:
        ready = [rule for rule in waiting if all(name in sheet.known for name in rule.needs)]
        waiting = [rule for rule in waiting if rule not in ready]
        for rule in ready:
            sheet.take(rule)
        going = bool(ready)
    return Followed(
        stated,
        MappingProxyType(sheet.known),
        tuple(sheet.findings),
        tuple(sheet.refusals),
        tuple(sheet.unmet),
    )
