"""Rounding by named policies. Figures expected: the published examples of each rule, or hand arithmetic."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.dose.rounding import BY_ID, POLICIES, rounded, rounding_finding, to_places, to_step
from kiosk.core.findings import Level
from kiosk.core.units import Measure
from tests.core.dose.things import drug, m

OPENRN = "OpenRN Nursing Skills, chapter 5.5"
CENTENNIAL = "Centennial College learning centre"
volumes = st.builds(Fraction, st.integers(1, 10**6), st.integers(1, 10**4)).map(lambda v: Measure(v, "mL"))
policies = st.sampled_from(POLICIES)
graduations = st.sampled_from([m("0.01 mL"), m("0.02 mL"), m("0.1 mL"), m("0.2 mL"), m("0.5 mL"), m("1 mL")])


@pytest.mark.parametrize(
    ("policy", "volume", "wanted", "source"),
    [
        ("tenth_from_one", "17.276 mL", "17.3 mL", OPENRN),
        ("tenth_from_one", "17.248 mL", "17.2 mL", OPENRN),
        ("tenth_from_one", "6.5349 mL", "6.5 mL", OPENRN),
        ("tenth_from_one", "0.0467 mL", "0.05 mL", OPENRN),
        ("tenth_from_one", "0.276 mL", "0.28 mL", OPENRN),
        ("tenth_from_one", "0.243 mL", "0.24 mL", OPENRN),
        ("tenth_from_one", "0.1947 mL", "0.19 mL", OPENRN),
        ("tenth_from_one", "0.1968 mL", "0.2 mL", OPENRN),
        ("tenth_from_one", "1 mL", "1 mL", "hand: from 1 on, tenths"),
        ("tenth_from_one", "0.999 mL", "1 mL", "hand: below 1, hundredths: 1.00"),
        ("tenth_from_one_weight_tenth", "0.345 mL", "0.35 mL", CENTENNIAL),
        ("tenth_from_one_weight_tenth", "1.345 mL", "1.3 mL", CENTENNIAL),
        ("ties_up", "1.25 mL", "1.3 mL", "Nursing course rules"),
        ("ties_up", "1.24 mL", "1.2 mL", "Nursing course rules"),
        ("ties_up", "0.969 mL", "0.97 mL", "Nursing course rules"),
        ("ties_up", "0.963 mL", "0.96 mL", "Nursing course rules"),
        ("always_a_tenth", "0.65 mL", "0.7 mL", "Dosage textbook, chapter 19: 0.65 gives 0.7"),
        ("hundredths_from_thousandths", "0.125 mL", "0.13 mL", "hand: MD0904 gives hundredths"),
        ("hundredths_for_children", "1.234 mL", "1.23 mL", "hand: hundredths above 1 too"),
        ("child_down", "1.29 mL", "1.2 mL", "hand: never up"),
        ("child_down", "0.129 mL", "0.12 mL", "hand: never up"),
    ],
)
def test_a_policy_rounds_as_its_source_shows(policy: str, volume: str, wanted: str, source: str) -> None:
    assert rounded(m(volume), BY_ID[policy]) == m(wanted), source


@pytest.mark.parametrize(
    ("volume", "graduation", "wanted", "source"),
    [
        ("1.67 mL", "0.1 mL", "1.7 mL", "Indiana State: 3 mL syringe"),
        ("0.87 mL", "0.01 mL", "0.87 mL", "Indiana State: 1 mL syringe, do not round"),
        ("1.3 mL", "0.2 mL", "1.4 mL", "hand: a tie between 1.2 and 1.4"),
        ("12.5 units", "1 units", "13 units", "hand: an insulin barrel in whole units"),
    ],
)
def test_the_syringe_decides_where_the_policy_says_so(
    volume: str, graduation: str, wanted: str, source: str
) -> None:
    assert rounded(m(volume), BY_ID["what_the_syringe_shows"], m(graduation)) == m(wanted), source


def test_a_policy_gives_way_to_a_coarser_scale_and_keeps_its_step_on_a_finer() -> None:
    tenth = BY_ID["always_a_tenth"]
    assert rounded(m("1.33 mL"), tenth, m("0.5 mL")) == m("1.5 mL")
    assert rounded(m("1.33 mL"), tenth, m("0.01 mL")) == m("1.3 mL")
    assert rounded(m("1.33 mL"), tenth, m("0.04 mL")) == m("1.32 mL")  # hand: tenths are no lines of 0.04
    assert rounded(m("12.4 units"), tenth, m("1 units")) == m("12 units")


@pytest.mark.parametrize("policy", ["what_the_syringe_shows", "three_places_on_the_way"])
def test_a_policy_by_the_scale_without_a_scale_is_a_bug(policy: str) -> None:
    assert BY_ID[policy].by_scale
    with pytest.raises(ValueError, match="graduation"):
        rounded(m("1.67 mL"), BY_ID[policy])


def test_units_without_a_scale_are_a_bug() -> None:
    with pytest.raises(ValueError, match="graduation"):
        rounded(m("12.5 units"), BY_ID["tenth_from_one"])


@given(volumes, policies, graduations)
def test_a_rounded_volume_stands_on_a_line_no_further_than_it_must(
    volume: Measure, policy: object, graduation: Measure
) -> None:
    found = rounded(volume, policy, graduation)  # type: ignore[arg-type]
    assert found.ratio(graduation).denominator == 1
    step = max(m("0.1 mL"), graduation)
    assert abs(found - volume) <= step
    if policy.down:  # type: ignore[attr-defined]
        assert found <= volume


@given(volumes, policies, graduations)
def test_rounding_twice_is_rounding_once(volume: Measure, policy: object, graduation: Measure) -> None:
    once = rounded(volume, policy, graduation)  # type: ignore[arg-type]
    assert rounded(once, policy, graduation) == once  # type: ignore[arg-type]


@given(volumes, st.fractions(Fraction(1, 1000), 10, max_denominator=1000))
def test_to_the_nearest_is_never_off_by_more_than_half_a_step(volume: Measure, size: Fraction) -> None:
    step = Measure(size, "mL")
    assert abs(to_step(volume, step) - volume).value * 2 <= size
    assert Fraction(0) <= (volume - to_step(volume, step, down=True)).value < size
    assert to_step(-volume, step) == -to_step(volume, step)


def test_places_are_of_the_measures_own_unit() -> None:
    assert to_places(m("77.272727 kg"), 1) == m(
        "77.3 kg"
    )  # "100 calculation practice problems": 170 lb / 2.2
    assert to_places(m("14.134 mg"), 0) == m("14 mg")  # Polk college: 1.91 m2 x 7.4 mg/m2
    assert to_places(m("1.99 mL"), 1, down=True) == m("1.9 mL")


@pytest.mark.parametrize(
    ("wanted", "measured", "allowed", "off_by"),
    [
        ("1 mL", "1.05 mL", "0.05", None),
        ("1 mL", "0.95 mL", "0.05", None),
        ("1 mL", "1.06 mL", "0.05", "6"),
        ("0.65 mL", "0.7 mL", "0.05", "7.7"),  # hand: 0.05 / 0.65 is 7.69 %, shown no smaller
        ("0.03 mL", "0 mL", "0.05", "100"),
        ("1 mL", "1 mL", "0", None),
        ("1 mL", "1.0001 mL", "0", "0.01"),
        ("0 mL", "0.1 mL", "0.05", "100"),
        ("0 mL", "0 mL", "0.05", None),
        ("1 mL", "1.01 mL", "NaN", "1"),
    ],
)
def test_a_rounding_that_changes_the_dose_too_much_is_a_stop(
    wanted: str, measured: str, allowed: str, off_by: str | None
) -> None:
    found = rounding_finding(m(wanted), m(measured), drug(allowed_error=Decimal(allowed)))
    if off_by is None:
        assert found is None
        return
    assert found is not None
    assert (found.id, found.level, found.facts["off_by"]) == (
        "rounding_changes_dose",
        Level.STOP,
        Decimal(off_by),
    )


def test_the_stricter_of_drug_and_policy_counts() -> None:
    lenient = drug(allowed_error=Decimal("0.10"))
    assert rounding_finding(m("1 mL"), m("1.06 mL"), lenient) is None
    found = rounding_finding(m("1 mL"), m("1.06 mL"), lenient, BY_ID["within_five_percent"])
    assert found is not None
    assert found.facts["allowed"] == 5
    strict = drug(allowed_error=Decimal("0.02"))
    assert rounding_finding(m("1 mL"), m("1.03 mL"), strict, BY_ID["within_ten_percent"]) is not None


def test_every_policy_says_where_it_comes_from() -> None:
    assert len(BY_ID) == len(POLICIES) >= 8
    for policy in POLICIES:
        assert policy.source
        assert policy.known in ("seen", "from memory", "common practice")
