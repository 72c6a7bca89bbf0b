"""From what is true of a syringe to what its label says; and the same for an opened vial.

Three figures stand on a syringe's label: dose, volume and strength. They must agree with each other, or
there is no label. The words come in from outside, by key; see ``resources/words/<language>/label.toml``.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import ROUND_HALF_UP, Context
from fractions import Fraction
from typing import Final, Protocol

from kiosk.core.catalogue.container import Container
from kiosk.core.dose.order import Order
from kiosk.core.dose.plan import error_share
from kiosk.core.findings import Refusal
from kiosk.core.label.code import LAST_COPY, Kind, printed_code
from kiosk.core.label.dates import written_day, written_limit, written_moment
from kiosk.core.label.discard_after import DiscardAfter
from kiosk.core.label.says import Captions, InUseFields, LabelFields, Shape
from kiosk.core.notation import write
from kiosk.core.notation.writing import ROUNDED_SIGN
from kiosk.core.stock.moments import is_past
from kiosk.core.units import Measure, decimal_places

SHOWN_DIGITS: Final = 4
"""Significant digits of a figure on a label that no decimal writes exactly, or none that anybody reads."""
LONGEST: Final = 6
"""Digits of a figure that a label writes exactly; whole numbers it always does."""


class Vouched(Protocol):
    """The proof that the needed people vouch for these facts; only the two-person rule makes one."""

    @property
    def facts(self) -> str:
        """The digest they vouch for."""
        ...

    @property
    def people(self) -> tuple[str, ...]:
        """Their ids, the preparer first."""
        ...

    @property
    def form(self) -> str:
        """Which form of check it was."""
        ...


@dataclass(frozen=True, slots=True)
class InSyringe:
    """What one syringe holds and how it came to be.

    ``dose`` is what was ordered, ``volume`` where the plunger stands, in mL, ``strength`` the amount in
    each mL. ``names`` is the syringe's code in the record; ``made_at``, when the plunger was read, is
    aware, in local time. ``asked_at`` is when the label is asked for, where that is later.
    """

    names: str
    order: Order
    dose: Measure
    volume: Measure
    strength: Measure
    made_at: datetime
    discard: DiscardAfter
    shape: Shape = Shape.ALONG
    copy: int = 1
    training: bool = False
    warnings: tuple[str, ...] = ()
    asked_at: datetime | None = None


def label_fields(
    held: InSyringe, proof: Vouched, initials: Mapping[str, str], words: Mapping[str, str], language: str
) -> LabelFields | Refusal:
    """Return what the label says, or why this syringe gets none.

    ``initials`` by person id. Codes: ``label_past_discard`` (discard_after, limit),
    ``label_figures_disagree`` (dose, volume, strength), ``label_too_many_copies`` (copies),
    ``label_without_initials`` (person).
    """
    refusal = _why_not(held, proof, initials)
    if refusal:
        return refusal
    order, preparer, others = held.order, proof.people[0], proof.people[1:]
    return LabelFields(
        code=printed_code(Kind.SYRINGE, held.names),
        drug=_joined(order.drug.name),
        dose=_figure(held.dose, language),
        volume=words["label.in_volume"].format(volume=_figure(held.volume, language)),
        strength=_strength(held.strength, language),
        route=words[f"label.route.{order.route.value}"],
        patient=_joined(order.patient.name),
        patient_number=order.patient.number,
        patient_born=written_day(order.patient.born, words),
        place=_joined(order.patient.place),
        prepared=written_moment(held.made_at, words),
        discard_after=written_limit(held.discard.at, words),
        prepared_by=_joined(initials[preparer]),
        second=_joined(" ".join(initials[person] for person in others)),
        check_form=words[f"label.check_form.{proof.form.replace(' ', '_')}"],
        copy=held.copy,
        training=words["label.training"] if held.training else "",
        warnings=held.warnings,
        shape=held.shape,
        captions=captions(words),
    )


def in_use_fields(
    container: Container,
    strength: Measure,
    opened_by: str,
    words: Mapping[str, str],
    language: str,
    *,
    training: bool = False,
) -> InUseFields:
    """Return what the label of an opened vial says, its moments as the zone they carry writes them.

    Raises ``ValueError`` for a vial that is not open.
    """
    opened, until, left = container.opened_at, container.discard_after, container.left
    if opened is None or until is None or left is None:
        raise ValueError(f"container {container.id} is not open")
    return InUseFields(
        code=printed_code(Kind.CONTAINER, container.id),
        drug=_joined(container.product.drug.name),
        strength=_figure(strength, language),
        opened=written_moment(opened, words),
        discard_after=written_limit(until, words),
        opened_by=_joined(opened_by),
        left=_figure(left, language),
        training=words["label.training"] if training else "",
        captions=captions(words),
    )


def captions(words: Mapping[str, str]) -> Captions:
    """Return the small words of our labels in one language."""
    return Captions(**{name: words[f"label.caption.{name}"] for name in Captions.__dataclass_fields__})


def _why_not(held: InSyringe, proof: Vouched, initials: Mapping[str, str]) -> Refusal | None:
    """Return the first reason against a label."""
    if is_past(held.discard.at, held.asked_at or held.made_at):
        limit = held.discard.governing
        return Refusal("label_past_discard", {"discard_after": limit.at, "limit": limit.name}, limit.source)
    if not _figures_agree(held):
        facts = {"dose": held.dose, "volume": held.volume, "strength": held.strength}
        return Refusal("label_figures_disagree", facts)
    if held.copy > LAST_COPY:
        return Refusal("label_too_many_copies", {"copies": held.copy})
    nameless = next((person for person in proof.people if not initials.get(person)), None)
    return Refusal("label_without_initials", {"person": nameless}) if nameless is not None else None


def _figures_agree(held: InSyringe) -> bool:
    """Say whether volume times strength is the dose, but for the drug's allowed error."""
    carried = held.volume.times(held.strength, held.dose.unit)
    return error_share(carried, held.dose) <= Fraction(held.order.drug.allowed_error)


def _strength(strength: Measure, language: str) -> str:
    """Return the strength; nothing for a drug ordered by volume, whose dose is its volume."""
    return "" if strength.unit == "mL/mL" else _figure(strength, language)


def _figure(measure: Measure, language: str) -> str:
    """Return a figure as a label shows it: exact where it is short or whole, else rounded and marked so."""
    places = decimal_places(measure.value)
    short = places == 0 or (places is not None and len(str(int(measure.value * 10**places))) <= LONGEST)
    if short or places is None:
        return write(measure, language, SHOWN_DIGITS)
    context = Context(prec=SHOWN_DIGITS, rounding=ROUND_HALF_UP)
    rounded = Measure.of(context.create_decimal(measure.decimal), measure.unit)
    return f"{ROUNDED_SIGN} {write(rounded, language)}"


def _joined(text: str) -> str:
    """Return a text with letters and accents joined, as the type face has them."""
    return unicodedata.normalize("NFC", text)
