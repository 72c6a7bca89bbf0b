"""Rounding a volume once, at the end, by a named policy; and the stop when that changes the dose too much.

Courses and hospitals disagree, so a site names its policy. Ties go up in all of them ("1.25 gives 1.3",
nursing course rules), except where a policy always rounds down.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_UP, Decimal
from fractions import Fraction
from typing import Final

from kiosk.core.catalogue.drug import Drug
from kiosk.core.dose.bridge import VOLUME, kind_of, positive
from kiosk.core.dose.plan import error_share
from kiosk.core.findings import Facts, Finding, Level
from kiosk.core.units import Measure, exact

_ONE: Final = Measure(Fraction(1), "mL")
_TENTH: Final = Measure(Fraction(1, 10), "mL")
_HUNDREDTH: Final = Measure(Fraction(1, 100), "mL")
_TENTH_KG: Final = Measure(Fraction(1, 10), "kg")
_HUNDREDTH_KG: Final = Measure(Fraction(1, 100), "kg")


@dataclass(frozen=True, slots=True)
class RoundingPolicy:
    """How one site rounds a volume.

    ``below_one`` and ``from_one`` are the steps under 1 mL and from 1 mL on; without them the scale of
    the syringe decides. ``down`` never rounds up. ``cap`` is the largest share of the dose a rounding may
    change, where the policy names one. ``weight_step`` and ``working_places`` are told by some rules for
    figures on the way; nothing here rounds on the way, they serve to follow a published example.
    """

    id: str
    below_one: Measure | None
    from_one: Measure | None
    source: str
    known: str = "seen"
    down: bool = False
    cap: Decimal | None = None
    weight_step: Measure | None = None
    working_places: int | None = None

    @property
    def by_scale(self) -> bool:
        """The graduation of the syringe decides, so one must be given."""
        return self.below_one is None or self.from_one is None


_PRACTICE: Final = "common practice, no source"
POLICIES: Final[tuple[RoundingPolicy, ...]] = (
    RoundingPolicy("tenth_from_one", _HUNDREDTH, _TENTH, "OpenRN Nursing Skills, chapter 5.5"),
    RoundingPolicy(
        "tenth_from_one_weight_tenth",
        _HUNDREDTH,
        _TENTH,
        "Centennial College learning centre, dosage rounding rules",
        weight_step=_TENTH_KG,
    ),
    RoundingPolicy("three_places_on_the_way", None, None, "Highlands library guide", working_places=3),
    RoundingPolicy("what_the_syringe_shows", None, None, "Indiana State nursing rounding page"),
    RoundingPolicy("always_a_tenth", _TENTH, _TENTH, "Course NUR 246", weight_step=_TENTH_KG),
    RoundingPolicy(
        "hundredths_for_children",
        _HUNDREDTH,
        _HUNDREDTH,
        "Texas N2715 paediatric dosage worksheet",
        weight_step=_HUNDREDTH_KG,
    ),
    RoundingPolicy(
        "hundredths_from_thousandths",
        _HUNDREDTH,
        _HUNDREDTH,
        "US Army MD0904, lesson 2 (heparin, insulin)",
        working_places=3,
    ),
    RoundingPolicy("ties_up", _HUNDREDTH, _TENTH, "Nursing course rules: 1.25 gives 1.3"),
    RoundingPolicy("child_down", _HUNDREDTH, _TENTH, _PRACTICE, "common practice", down=True),
    RoundingPolicy(
        "within_five_percent", _HUNDREDTH, _TENTH, _PRACTICE, "common practice", cap=Decimal("0.05")
    ),
    RoundingPolicy(
        "within_ten_percent", _HUNDREDTH, _TENTH, _PRACTICE, "common practice", cap=Decimal("0.10")
    ),
)
BY_ID: Final[dict[str, RoundingPolicy]] = {policy.id: policy for policy in POLICIES}


def rounded(measure: Measure, policy: RoundingPolicy, graduation: Measure | None = None) -> Measure:
    """Return a volume, or a reading in the scale's unit, rounded once by the policy.

    With a ``graduation`` the result stands on a line of that scale: the policy's step where its
    multiples are lines, else the graduation. Raises ``ValueError`` when the policy goes by the scale, or
    the measure is no volume, and no graduation is given: a bug, the caller knows the syringe.
    """
    step = _step(measure, policy, graduation)
    return to_step(measure, step, down=policy.down)


def _step(measure: Measure, policy: RoundingPolicy, graduation: Measure | None) -> Measure:
    """Return the step to round to."""
    wanted = _policy_step(measure, policy)
    if graduation is None:
        if wanted is None:
            raise ValueError(f"{policy.id} needs the graduation of the syringe for {measure.unit}")
        return wanted
    if wanted is None or not wanted.is_like(graduation):
        return graduation
    return wanted if wanted.ratio(graduation).denominator == 1 else graduation


def _policy_step(measure: Measure, policy: RoundingPolicy) -> Measure | None:
    """Return the policy's own step for this volume, or None when it has none."""
    if kind_of(measure.unit) != VOLUME:
        return None
    return policy.below_one if abs(measure) < _ONE else policy.from_one


def to_step(measure: Measure, step: Measure, *, down: bool = False) -> Measure:
    """Return the multiple of ``step`` nearest to ``measure``, ties away from zero; or the one not above.

    The result is in the unit of ``measure``. Raises ``WrongKind`` and ``ZeroDivisionError``.
    """
    size = step.to(measure.unit).value
    steps = abs(measure.value) / size
    whole = steps.numerator // steps.denominator if down else (2 * steps + 1) // 2
    return Measure(size * whole * (-1 if measure.value < 0 else 1), measure.unit)


def to_places(measure: Measure, places: int, *, down: bool = False) -> Measure:
    """Return a measure to so many decimals of its own unit, ties away from zero."""
    return to_step(measure, Measure(Fraction(1, 10**places), measure.unit), down=down)


def rounding_finding(
    wanted: Measure, measured: Measure, drug: Drug, policy: RoundingPolicy | None = None
) -> Finding | None:
    """Return a stop when measuring ``measured`` for ``wanted`` changes the dose by more than is allowed.

    Allowed is the drug's ``allowed_error``, or the policy's cap where that is less. Facts ``wanted``,
    ``measured``, ``off_by`` and ``allowed`` in percent. A dose of nothing wanted is off by all of it.
    """
    off = error_share(measured, wanted) if wanted.value else Fraction(int(measured.value != 0))
    caps = [positive(drug.allowed_error) or Fraction(0)]
    if policy is not None and policy.cap is not None:
        caps.append(exact(policy.cap))
    allowed = min(caps)
    if off <= allowed:
        return None
    facts: Facts = {
        "wanted": wanted,
        "measured": measured,
        "off_by": _percent(off),
        "allowed": _percent(allowed),
    }
    return Finding("rounding_changes_dose", Level.STOP, facts, "the drug list")


def _percent(share: Fraction) -> Decimal:
    """Return a share in percent to two decimals, never shown smaller than it is."""
    hundredths = -(-(share * 10000) // 1)
    return (Decimal(int(hundredths)) / 100).quantize(Decimal("0.01"), ROUND_UP).normalize() + 0
