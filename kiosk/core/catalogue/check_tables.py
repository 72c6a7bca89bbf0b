"""Row types of the tables behind the checks: allergies, body weights, limits of time, who must look twice."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kiosk.core.catalogue.check_forms import CheckForm
from kiosk.core.findings import Level
from kiosk.core.notation import UnsafeForm
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class AllergyName:
    """One way an allergy is written, plain (lower case, no accents), and the class it means.

    ``group`` is a class id as in ``Drug.allergy_classes``; ``none`` for words that say there is no
    allergy, ``not a drug`` for what no medicine here belongs to.
    """

    written: str
    group: str
    source: str


@dataclass(frozen=True, slots=True)
class CrossReaction:
    """Allergic to one class, what another may do. ``share`` is the published figure as text, or empty."""

    allergic_to: str
    given: str
    level: Level
    share: str
    source: str


@dataclass(frozen=True, slots=True)
class GrowthCurve:
    """Body weight (kg) by age in days at one SDS for one sex: ``points`` ascending, straight in between."""

    sex: str
    sds: Decimal
    points: tuple[tuple[int, Measure], ...]
    source: str


@dataclass(frozen=True, slots=True)
class AgeBand:
    """Ages from ``from_days`` up to but not with ``until_days`` (None: for ever)."""

    from_days: int
    until_days: int | None = None

    def holds(self, age_days: int) -> bool:
        """Say whether an age in days lies in the band."""
        return self.from_days <= age_days and (self.until_days is None or age_days < self.until_days)


@dataclass(frozen=True, slots=True)
class WeightBound:
    """No body of this age weighs less than ``least`` or more than ``most`` (kg); ``level`` if one does."""

    ages: AgeBand
    least: Measure
    most: Measure
    level: Level
    source: str


@dataclass(frozen=True, slots=True)
class WeightFreshness:
    """How many days a weight may be used for a dose by weight at these ages; ``level`` once it is older."""

    ages: AgeBand
    within: Measure
    level: Level
    source: str


@dataclass(frozen=True, slots=True)
class LookAlike:
    """Two drug names that are taken for each other, as tall-man letters write them."""

    one: str
    other: str
    source: str


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of the checks' policy. ``stricter`` says which way a site may move it: lower or higher."""

    name: str
    value: Measure
    stricter: str
    source: str

    def allows(self, own: Measure) -> bool:
        """Say whether a site's own figure is at least as strict as this one."""
        if not own.is_like(self.value):
            return False
        return own <= self.value if self.stricter == "lower" else own >= self.value


@dataclass(frozen=True, slots=True)
class CheckFigures:
    """The figures the order checks compare with; every field is a row of check_policy.csv."""

    due_early: Figure
    due_late: Figure
    due_other_day: Figure
    doses_a_day: Figure
    limit_rounding: Figure
    pounds_band: Figure
    tenfold_band: Figure
    earlier_weight_infant: Figure
    earlier_weight: Figure
    weight_change: Figure
    weight_change_within: Figure
    bmi_least: Figure
    bmi_most: Figure


@dataclass(frozen=True, slots=True)
class SecondRule:
    """When an independent check is needed: every condition that is set must hold.

    ``reason`` is a words key under ``second``. ``at_least`` is a dose; ``above_limit`` means a dose
    above the drug list's limit; ``by_body`` a dose worked out from the patient's size. ``form`` is what is
    asked for; anything but the independent second person only where a site adds a reason of its own.
    """

    reason: str
    drug: str = ""
    drug_class: str = ""
    routes: frozenset[str] = frozenset()
    ages: AgeBand | None = None
    spoken: bool = False
    trainee: bool = False
    controlled: bool = False
    high_alert: bool = False
    by_body: bool = False
    above_limit: bool = False
    at_least: Measure | None = None
    source: str = ""
    form: CheckForm = CheckForm.INDEPENDENT


@dataclass(frozen=True, slots=True)
class CheckPolicy:
    """What a site decides about checks; built from the published rows, and only ever made stricter."""

    figures: CheckFigures
    second: tuple[SecondRule, ...]


@dataclass(frozen=True, slots=True)
class OrderTables:
    """Everything the order checks look up; ``by_volume`` are the drug classes rightly ordered in mL."""

    allergy_names: tuple[AllergyName, ...]
    cross_reactions: tuple[CrossReaction, ...]
    growth: tuple[GrowthCurve, ...]
    weight_bounds: tuple[WeightBound, ...]
    freshness: tuple[WeightFreshness, ...]
    look_alikes: tuple[LookAlike, ...]
    unsafe_forms: tuple[UnsafeForm, ...]
    by_volume: frozenset[str]
    policy: CheckPolicy
