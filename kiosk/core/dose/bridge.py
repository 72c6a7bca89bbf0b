"""From one kind of amount to another, by the drug's own valence and molar mass and by nothing else.

mEq = mmol x valence; mg = mmol x molar mass (g/mol is mg/mmol). A drug's units are its own activity:
nothing leads from them to a mass, nor from one drug's units to another's.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Final

from kiosk.core.catalogue.drug import Drug
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure, exact, known_unit, same_kind

MASS: Final = "mass"
VOLUME: Final = "volume"
UNITS: Final = "units"
SUBSTANCE: Final = "substance"
CHARGE: Final = "charge"
_STANDARD: Final = {MASS: "mg", VOLUME: "mL", UNITS: "units", SUBSTANCE: "mmol", CHARGE: "mEq"}


@lru_cache(maxsize=512)
def kind_of(unit: str) -> str | None:
    """Return what kind of amount a unit code measures, or None when it is no amount or unknown."""
    if not known_unit(unit):
        return None
    return next((kind for kind, standard in _STANDARD.items() if same_kind(unit, standard)), None)


def positive(number: Decimal | int | None) -> Fraction | None:
    """Return a drug list's figure as a Fraction, or None when it is missing, not finite or not above 0."""
    if number is None or (isinstance(number, Decimal) and not number.is_finite()):
        return None
    value = exact(number)
    return value if value > 0 else None


def in_unit(amount: Measure, unit: str, drug: Drug) -> Measure | Refusal:
    """Return ``amount`` of this drug in ``unit``, over the drug's valence and molar mass where needed.

    Refusals: ``unit_not_of_this_drug``, ``valence_not_given``, ``molar_mass_not_given``,
    ``molar_mass_of_base_or_salt`` (the drug has both, and the list does not say which it means).
    """
    have, want = kind_of(amount.unit), kind_of(unit)
    if have is None or want is None:
        return _not_of_this_drug(amount.unit, drug)
    if have == want:
        return amount.to(unit)
    if not {have, want} <= {MASS, SUBSTANCE, CHARGE}:
        return _not_of_this_drug(amount.unit, drug)
    trouble = _missing({have, want}, drug)
    return trouble or Measure(_bridged(amount, have, want, drug), _STANDARD[want]).to(unit)


def _bridged(amount: Measure, have: str, want: str, drug: Drug) -> Fraction:
    """Return the amount in the standard unit of ``want``, by way of mmol."""
    value = amount.to(_STANDARD[have]).value
    return value / mmol_size(have, drug) * mmol_size(want, drug)


def mmol_size(kind: str, drug: Drug) -> Fraction:
    """Return how much of the kind's standard unit (mg, mmol, mEq) one mmol of the drug is.

    Raises ``ValueError`` when the drug does not say: ``in_unit`` refuses before.
    """
    given = {SUBSTANCE: 1, CHARGE: drug.valence, MASS: drug.molar_mass_g_per_mol}
    size = positive(given[kind])
    if size is None:
        raise ValueError(f"{drug.id} does not say how much {kind} a mmol is")
    return size


def _missing(kinds: set[str], drug: Drug) -> Refusal | None:
    """Return what the drug would have to say for this bridge and does not."""
    if CHARGE in kinds and positive(drug.valence) is None:
        return Refusal("valence_not_given", {"drug": drug.name})
    if MASS in kinds and positive(drug.molar_mass_g_per_mol) is None:
        return Refusal("molar_mass_not_given", {"drug": drug.name})
    if MASS in kinds and drug.salt_to_base is not None:
        return Refusal("molar_mass_of_base_or_salt", {"drug": drug.name})
    return None


def _not_of_this_drug(unit: str, drug: Drug) -> Refusal:
    """Return the refusal of a unit that does not belong to the drug."""
    return Refusal(
        "unit_not_of_this_drug", {"drug": drug.name, "unit": unit, "measured_in": drug.measured_in}
    )
