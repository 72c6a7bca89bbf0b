"""What changed between two versions of a drug's entry: field by field, what it said and what it says."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields
from decimal import Decimal
from typing import Final, TypeAlias

from kiosk.core.catalogue.drug import DoseLimit, Drug
from kiosk.core.catalogue.strength import AmountInVolume, PercentWeightInVolume, Powder, Ratio, Strength
from kiosk.core.findings import Fact
from kiosk.core.units import Measure

LIMIT_FIELDS: Final = ("low", "high", "source")


@dataclass(frozen=True, slots=True)
class Field:
    """One thing an entry says. ``name`` is the field's; of a limit: its bound, with what the limit is for."""

    name: str
    per: str = ""
    routes: tuple[str, ...] = ()
    ages: tuple[int | None, int | None] = (None, None)


Said: TypeAlias = Fact | None


@dataclass(frozen=True, slots=True)
class Difference:
    """What one field said before and says now; None is nothing at all."""

    field: Field
    before: Said
    after: Said


def differences(before: Drug | None, after: Drug) -> tuple[Difference, ...]:
    """Return every field that says something else; against nothing, every field that says anything.

    A quantity in another unit is another writing, and is told.
    Fields come in the order of the entry, limits that went away last.
    """
    was = dict(said_by(before)) if before is not None else {}
    now = dict(said_by(after))
    return tuple(
        Difference(field, was.get(field), now.get(field))
        for field in dict.fromkeys((*now, *was))
        if was.get(field) != now.get(field)
    )


def said_by(drug: Drug) -> Iterator[tuple[Field, Said]]:
    """Yield each field of an entry and what it says; an empty one says None."""
    for field in fields(drug):
        if field.name not in ("id", "limits"):
            yield Field(field.name), _fact(getattr(drug, field.name))
    for limit in drug.limits:
        for name in LIMIT_FIELDS:
            yield field_of(limit, name), _fact(getattr(limit, name))


def field_of(limit: DoseLimit, name: str) -> Field:
    """Return the field that one bound of a limit is, or its source."""
    ages = (limit.min_age_days, limit.max_age_days)
    return Field(f"limit_{name}", limit.per, tuple(sorted(limit.routes)), ages)


def as_text(said: Said) -> str:
    """Return what a field says as exact text for the record; nothing is an empty text."""
    if said is None:
        return ""
    if isinstance(said, tuple):
        return "; ".join(_part(one) for one in said)
    return f"{said.decimal:f} {said.unit}" if isinstance(said, Measure) else str(said)


def _part(said: Fact) -> str:
    """Return one of several things that a field says: a strength as on a pack, anything else as it is."""
    if not isinstance(said, tuple):
        return as_text(said)
    return (" in " if all(isinstance(one, Measure) for one in said) else " ").join(map(as_text, said))


def field_text(field: Field) -> str:
    """Return a field's name for the record, of a limit with what it is for."""
    if not field.per:
        return field.name
    youngest, oldest = field.ages
    of_age = f" from {youngest} days" if youngest is not None else ""
    of_age += f" to {oldest} days" if oldest is not None else ""
    return f"{field.name} a {field.per}{of_age} {' or '.join(field.routes)}".strip()


def as_rows(changed: tuple[Difference, ...]) -> tuple[tuple[str, str, str], ...]:
    """Return differences as the record keeps them: field, before, after."""
    return tuple((field_text(one.field), as_text(one.before), as_text(one.after)) for one in changed)


def _fact(value: object) -> Said:
    """Return the value of a field as what can be put into words."""
    if value is None or value == "" or value == ():
        return None
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, frozenset):
        return tuple(sorted(value)) or None
    if isinstance(value, tuple):
        return tuple(_strength(one) for one in value)
    assert isinstance(value, str | int | Decimal | Measure)
    return value


def _strength(strength: Strength) -> Fact:
    """Return a strength as an amount and, where it has one, a volume; a ratio and a percentage as text."""
    if isinstance(strength, PercentWeightInVolume):
        return f"{strength.percent} %"
    if isinstance(strength, Ratio):
        return f"{strength.parts} in {strength.within}"
    if isinstance(strength, AmountInVolume):
        return strength.amount, strength.volume
    return (strength.amount, "powder") if isinstance(strength, Powder) else strength.amount
