"""From one kind of amount to another: by the drug's own figures, and not otherwise."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.dose.bridge import in_unit, kind_of, mmol_size, positive
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure
from tests.core.dose.things import drug, m

CALCIUM = drug(valence=2, molar_mass_g_per_mol=Decimal("40.08"))
MAGNESIUM = drug(valence=2, molar_mass_g_per_mol=Decimal("246.47"))
SODIUM = drug(valence=1, molar_mass_g_per_mol=Decimal("58.44"))


@pytest.mark.parametrize(
    ("unit", "kind"),
    [("mg", "mass"), ("lb", "mass"), ("L", "volume"), ("units", "units"), ("mol", "substance"),
     ("mEq", "charge"), ("mg/mL", None), ("cm", None), ("day", None),
     ("pinch", None), ("", None), ("1", None)],
)  # fmt: skip
def test_every_unit_is_of_one_kind_of_amount_or_of_none(unit: str, kind: str | None) -> None:
    assert kind_of(unit) == kind


@pytest.mark.parametrize(
    ("of", "amount", "unit", "wanted", "source"),
    [
        (CALCIUM, "1 mEq", "mg", "20.04", "Pharmacy practice page: calcium, 20.04 mg a mEq"),
        (SODIUM, "3 mEq", "mg", "175.32", "Pharmacy practice page: 3 mEq/mL is 17.53 % (175.32 mg/mL)"),
        (drug(valence=2), "8 mmol", "mEq", "16", "hand: 8 x 2"),
        (drug(valence=2), "8 mEq", "mmol", "4", "hand: 8 / 2"),
        (drug(), "1 g", "mg", "1000", "hand"),
        (SODIUM, "1 mol", "g", "58.44", "hand: the molar mass itself"),
    ],
)
def test_a_bridge_goes_by_valence_and_molar_mass(
    of, amount: str, unit: str, wanted: str, source: str
) -> None:  # type: ignore[no-untyped-def]
    assert in_unit(m(amount), unit, of) == Measure.of(wanted, unit), source


def test_a_gram_of_magnesium_sulfate_is_so_many_mEq() -> None:
    # Pharmacy practice page: 2 mL of 50 % (1 g) hold 8.1146 mEq and 4.0573 mmol
    charge, substance = in_unit(m("1 g"), "mEq", MAGNESIUM), in_unit(m("1 g"), "mmol", MAGNESIUM)
    assert isinstance(charge, Measure)
    assert isinstance(substance, Measure)
    assert round(float(charge.value), 4) == 8.1146
    assert round(float(substance.value), 4) == 4.0573


@given(
    st.builds(Fraction, st.integers(1, 10**6), st.integers(1, 10**4)),
    st.sampled_from(["mg", "mcg", "g", "mmol", "mol", "mEq"]),
    st.sampled_from(["mg", "mmol", "mEq"]),
)
def test_over_a_bridge_and_back_is_where_it_was(value: Fraction, unit: str, other: str) -> None:
    there = in_unit(Measure(value, unit), other, MAGNESIUM)
    assert isinstance(there, Measure)
    assert in_unit(there, unit, MAGNESIUM) == Measure(value, unit)


@pytest.mark.parametrize(
    ("of", "amount", "unit", "code"),
    [
        (CALCIUM, "5 units", "mg", "unit_not_of_this_drug"),
        (CALCIUM, "5 mg", "units", "unit_not_of_this_drug"),
        (CALCIUM, "5 mL", "mg", "unit_not_of_this_drug"),
        (CALCIUM, "5 mg", "mL", "unit_not_of_this_drug"),
        (CALCIUM, "5 mg/kg", "mg", "unit_not_of_this_drug"),
        (CALCIUM, "5 mg", "pinch", "unit_not_of_this_drug"),
        (drug(molar_mass_g_per_mol=Decimal(40)), "5 mEq", "mg", "valence_not_given"),
        (drug(valence=-1, molar_mass_g_per_mol=Decimal(40)), "5 mEq", "mmol", "valence_not_given"),
        (drug(valence=2), "5 mEq", "mg", "molar_mass_not_given"),
        (drug(molar_mass_g_per_mol=Decimal(40), salt_to_base=Decimal("0.8")), "5 mmol", "mg",
         "molar_mass_of_base_or_salt"),
    ],
)  # fmt: skip
def test_where_the_drug_does_not_say_there_is_no_bridge(of, amount: str, unit: str, code: str) -> None:  # type: ignore[no-untyped-def]
    answer = in_unit(m(amount), unit, of)
    assert isinstance(answer, Refusal)
    assert answer.code == code


@pytest.mark.parametrize(
    "figure", [None, 0, -1, Decimal(0), Decimal("NaN"), Decimal("sNaN"), Decimal("Infinity")]
)
def test_a_figure_that_is_none_is_no_positive_figure(figure: Decimal | int | None) -> None:
    assert positive(figure) is None


def test_asking_the_size_of_a_mmol_of_a_drug_that_does_not_say_is_a_bug() -> None:
    assert mmol_size("substance", drug()) == 1
    with pytest.raises(ValueError, match="does not say"):
        mmol_size("mass", drug())
