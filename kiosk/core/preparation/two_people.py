"""The two-person rule, whole, on one page.

A label is owed only to facts that enough **distinct people** vouch for, each on their **own reading**
of every matter, all for the **same digest of facts**, all right. Change a fact and the digest changes:
the old statements stop applying by themselves. There is no way round it and no action that overrides.
Where nothing asks for a second person a site may ask for a weaker form; it is named for what it was.

Source: independence of a double check as defined in the ISMP guidance of 2003, 2013 and 2019 (the second
person derives the answer alone, then the two are compared).
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from kiosk.core.catalogue.check_forms import CheckForm
from kiosk.core.catalogue.container import Container
from kiosk.core.dose.plan import error_share
from kiosk.core.preparation.events import Stated
from kiosk.core.preparation.state import Preparation
from kiosk.core.units import Measure

CONTAINER: Final = "container"
FIGURE: Final = "figure"
NEEDLE: Final = "needle"
PLUNGER: Final = "plunger"
MATTERS: Final = (CONTAINER, FIGURE, NEEDLE, PLUNGER)

_SEAL: Final = object()


@dataclass(frozen=True, slots=True)
class Checked:
    """Proof that the needed people vouch for ``facts``. Only ``checked`` below can make one."""

    facts: str
    people: tuple[str, ...]
    form: str
    seal: object

    def __post_init__(self) -> None:
        if self.seal is not _SEAL:
            raise TypeError("Checked is made only by the two-person rule")


@dataclass(frozen=True, slots=True)
class Reference:
    """What is true of this syringe as far as the kiosk knows; never shown while a check is open."""

    container: str
    exact_figure: Measure
    allowed_error: Decimal
    needle: str
    plunger: str


def container_value(containers: tuple[Container, ...]) -> str:
    """Return the canonical reading of the containers in hand: product and lot of each."""
    return ",".join(sorted(f"{c.product.id}|{c.lot}" for c in containers))


def measure_value(measure: Measure) -> str:
    """Return the canonical reading of a figure or a plunger position."""
    return f"{measure.value} {measure.unit}"


def needle_value(gauge: int, length: Measure) -> str:
    """Return the canonical reading of a needle: gauge number and length in mm."""
    return f"{gauge} G {length.to('mm').value} mm"


def facts_digest(state: Preparation) -> str:
    """Return the digest of the order and the objects in hand: what people vouch for."""
    order = state.order
    facts = (
        state.id,
        order.id,
        order.patient.id,
        order.drug.id,
        repr(order.dose),
        order.route,
        order.site or "",
        container_value(state.taken),
        state.syringe.syringe if state.syringe else "",
        measure_value(state.syringe.line) if state.syringe else "",
        state.draw_up.device if state.draw_up else "",
        state.needle.needle if state.needle else "",
        *((f"part {order.part} of {order.parts}",) if order.parts > 1 else ()),
    )
    return hashlib.sha256("\x1f".join(facts).encode()).hexdigest()


def figure_agrees(figure: Measure, exact: Measure, allowed_error: Decimal) -> bool:
    """Say whether ``figure`` is the exact one, or a correct rounding of it that keeps the dose.

    Correct: within half a unit of its own last decimal place; keeps the dose: off by no more than the
    drug's allowed error (a share).
    """
    if not figure.is_like(exact) or figure.value <= 0:
        return False
    wanted = exact.to(figure.unit)
    half_place = Fraction(1, 2 * 10 ** _places(figure.value))
    return abs(figure.value - wanted.value) <= half_place and error_share(figure, wanted) <= Fraction(
        allowed_error
    )


def _places(value: Fraction) -> int:
    """Return how many decimal places a finite decimal needs; 12 stands for "does not end"."""
    return next((n for n in range(12) if (value * 10**n).denominator == 1), 12)


def is_right(statement: Stated, reference: Reference) -> bool:
    """Say whether one statement says what is so."""
    if statement.matter == FIGURE:
        value, _, unit = statement.value.partition(" ")
        figure = Measure(Fraction(value), unit)
        return figure_agrees(figure, reference.exact_figure, reference.allowed_error)
    truth = {CONTAINER: reference.container, NEEDLE: reference.needle, PLUNGER: reference.plunger}
    return statement.value == truth[statement.matter]


def latest(state: Preparation, person: str) -> dict[str, Stated]:
    """Return the last statement of a person on each matter, for the facts as they now are."""
    facts = facts_digest(state)
    return {s.matter: s for s in state.statements if s.by == person and s.facts == facts}


def vouching(state: Preparation, reference: Reference) -> tuple[str, ...]:
    """Return the distinct people whose own last readings of every matter are right, first come first."""
    people = dict.fromkeys(s.by for s in state.statements)
    return tuple(
        person
        for person in people
        if set(said := latest(state, person)) == set(MATTERS)
        and all(is_right(statement, reference) for statement in said.values())
    )


def differing(state: Preparation, reference: Reference) -> tuple[str, ...]:
    """Return the matters on which somebody's last reading is not right: where, never what."""
    people = dict.fromkeys(s.by for s in state.statements)
    said = [latest(state, person) for person in people]
    return tuple(m for m in MATTERS if any(m in own and not is_right(own[m], reference) for own in said))


def checked(state: Preparation, reference: Reference) -> Checked | None:
    """Return the proof a label needs, or None while too few people vouch for these facts."""
    people = vouching(state, reference)
    if state.preparer not in people or awaiting(state):
        return None
    form = owed_form(state)
    others: tuple[str, ...] = ()
    if form is CheckForm.INDEPENDENT:
        others = tuple(p for p in people if p == state.checker and p != state.preparer)
        if not others:
            return None
    if form is CheckForm.WITNESS:
        others = (state.seen_by,)
    return Checked(facts_digest(state), (state.preparer, *others), form.value, _SEAL)


def owed_form(state: Preparation) -> CheckForm:
    """Return the form of check this syringe is owed: what calls for a second person outweighs the rest."""
    return CheckForm.INDEPENDENT if state.needs_second else CheckForm(state.form or CheckForm.ONE)


def awaiting(state: Preparation) -> bool:
    """Say whether a weaker form is still to be begun: the pause, or a witness who is not the preparer."""
    form = owed_form(state)
    if form is CheckForm.SELF:
        return not state.self_checking
    return form is CheckForm.WITNESS and state.seen_by in ("", state.preparer)
