"""What must hold for every plan, whatever the figures: scaling, units, order of operations, round trips."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.catalogue.strength import AmountInVolume
from kiosk.core.dose.order import DosePerBody, FixedDose
from kiosk.core.dose.plan import VolumePlan
from kiosk.core.units import Measure
from tests.core.dose import things
from tests.core.dose.things import order, patient, plan, vial

figures = st.builds(Fraction, st.integers(1, 5000), st.sampled_from([1, 2, 3, 7, 10, 100]))
masses = st.sampled_from(["g", "mg", "mcg", "nanogram"])
whole = st.integers(1, 9)
PLENTY = "1000000000 L"


def planned(dose: Measure, amount: Measure, volume: Measure) -> VolumePlan:
    return plan(order(FixedDose(dose)), vial(AmountInVolume(amount, volume), PLENTY))


@given(figures, figures, figures, whole)
def test_twice_the_dose_is_twice_the_volume(
    dose: Fraction, amount: Fraction, volume: Fraction, by: int
) -> None:
    label = Measure(amount, "mg"), Measure(volume, "mL")
    once, more = planned(Measure(dose, "mg"), *label), planned(Measure(dose * by, "mg"), *label)
    assert more.volume == once.volume.scaled(by)


@given(figures, figures, figures, whole)
def test_a_label_twice_as_strong_gives_half_the_volume(
    dose: Fraction, amount: Fraction, volume: Fraction, by: int
) -> None:
    wanted = Measure(dose, "mg")
    weak = planned(wanted, Measure(amount, "mg"), Measure(volume, "mL"))
    strong = planned(wanted, Measure(amount * by, "mg"), Measure(volume, "mL"))
    assert strong.volume.scaled(by) == weak.volume


@given(figures, figures, figures, masses, masses)
def test_the_unit_a_figure_is_written_in_changes_nothing(
    dose: Fraction, amount: Fraction, volume: Fraction, unit: str, other: str
) -> None:
    wanted, had, held = Measure(dose, "mg"), Measure(amount, "mg"), Measure(volume, "mL")
    plain = planned(wanted, had, held)
    assert planned(wanted.to(unit), had.to(other), held.to("L")).volume == plain.volume
    assert planned(wanted.to(unit), had.to(other), held.to("L")).dose == plain.dose


@given(figures, figures, figures)
def test_giving_the_volume_back_as_an_order_gives_the_dose_back(
    dose: Fraction, amount: Fraction, volume: Fraction
) -> None:
    label = Measure(amount, "mg"), Measure(volume, "mL")
    made = planned(Measure(dose, "mg"), *label)
    assert planned(made.volume, *label).dose == made.dose


@given(figures, figures, st.integers(1, 6), figures)
def test_a_days_amount_may_be_divided_before_or_after_the_weight(
    rate: Fraction, weight: Fraction, doses: int, strength: Fraction
) -> None:
    to = patient("1 kg")
    assert to.weighed is not None
    to = things.replace(to, weighed=things.Weighed(Measure(weight, "kg"), to.weighed.on))
    bottle = vial(AmountInVolume(Measure(strength, "mg"), Measure(Fraction(1), "mL")), PLENTY)
    whole_day = DosePerBody(Measure(rate, "mg/kg/day"), doses)
    each = DosePerBody(Measure(rate / doses, "mg/kg"))
    day = DosePerBody(Measure(rate, "mg/kg/day"))
    one, other = plan(order(whole_day, to=to), bottle), plan(order(each, to=to), bottle)
    assert one.volume == other.volume == plan(order(day, to=to), bottle).volume.scaled(Fraction(1, doses))


@given(figures, figures, st.lists(st.integers(1, 20), min_size=1, max_size=6))
def test_how_the_stock_is_parcelled_does_not_change_the_volume(
    dose: Fraction, amount: Fraction, parcels: list[int]
) -> None:
    label = AmountInVolume(Measure(amount, "mg"), Measure(Fraction(1), "mL"))
    of = order(FixedDose(Measure(dose, "mg")))
    whole_bottle = plan(of, vial(label, PLENTY))
    size = whole_bottle.volume.value / sum(parcels)
    cut = [
        things.replace(vial(label, PLENTY), id=f"c{number}", left=Measure(size * parcel, "mL"))
        for number, parcel in enumerate(parcels)
    ]
    parcelled = plan(of, *cut)
    assert parcelled.volume == whole_bottle.volume
    assert [take.volume.value for take in parcelled.takes] == [size * parcel for parcel in parcels]
    assert all(take.left.value == 0 for take in parcelled.takes)


@given(figures, figures, figures)
def test_the_last_line_of_either_form_ends_in_the_volume(
    dose: Fraction, amount: Fraction, volume: Fraction
) -> None:
    made = planned(Measure(dose, "mg"), Measure(amount, "g"), Measure(volume, "mL"))
    for form in ("dimensional", "desired over have"):
        last = [line for line in made.working if line.form == form][-1]
        assert (last.note, last.terms[-1]) == ("volume", made.volume)
