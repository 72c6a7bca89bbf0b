"""Row types of the published figures for syringes, needles and drawing up, and the bundle of them all.

Volumes are in mL, lengths in mm, shares are plain (0.05 is 5 %). Every row says where it is from.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from kiosk.core.catalogue.basis import AgeSpan, Basis, WeightSpan
from kiosk.core.catalogue.device_policy import DevicePolicy
from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.findings import Level
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class Shares:
    """The tolerance formula: below half the capacity a share of nominal plus one of expelled, else one."""

    below_half_of_nominal: Decimal
    below_half_of_expelled: Decimal
    from_half_of_expelled: Decimal
    basis: Basis


@dataclass(frozen=True, slots=True)
class SyringeBand:
    """What ISO 7886-1 asks of barrels of one range of capacities (``below`` None: and all above)."""

    id: str
    capacity_from: Measure
    capacity_below: Measure | None
    shares: Shares
    most_dead_space: Measure
    dead_space_basis: Basis
    coarsest_interval: Measure
    numbered_at_most_every: Measure
    shortest_scale: Measure
    scale_basis: Basis


@dataclass(frozen=True, slots=True)
class InsulinScale:
    """One scale of ISO 8537: ``strength`` in units/mL, capacity, and its lines in units."""

    strength: Measure
    capacity: Measure
    shortest_scale: Measure
    interval: Measure
    numbered_every: Measure
    basis: Basis


@dataclass(frozen=True, slots=True)
class Tubing:
    """One gauge: metric size, outer limits, least bores by wall (ISO 9626), and the nominal sizes."""

    gauge: int
    metric: Measure
    outer_least: Measure
    outer_most: Measure
    least_bore_regular: Measure
    least_bore_thin: Measure | None
    least_bore_extra_thin: Measure | None
    basis: Basis
    outer: Measure | None = None
    bore: Measure | None = None
    nominal_basis: Basis | None = None


@dataclass(frozen=True, slots=True)
class LengthClass:
    """A needle length as inches, exact millimetres, and the millimetres packs print for it."""

    inch: str
    exact: Measure
    labelled: tuple[Measure, ...]
    basis: Basis

    @property
    def shortest(self) -> Measure:
        """The least of the exact and the printed lengths."""
        return min((self.exact, *self.labelled), key=lambda m: m.value)

    @property
    def longest(self) -> Measure:
        """The greatest of the exact and the printed lengths."""
        return max((self.exact, *self.labelled), key=lambda m: m.value)


class Liquid(StrEnum):
    """What kind of liquid goes through the needle."""

    AQUEOUS = "aqueous"
    VISCOUS = "viscous"
    VACCINE = "vaccine"
    INSULIN = "insulin"


@dataclass(frozen=True, slots=True)
class NeedleGuide:
    """A published choice of needle: for whom and where, lengths in mm, gauge numbers, angle.

    ``liquid`` None means any; ``sites`` empty means any; gauges None: see the liquid.
    """

    id: str
    body: str
    route: Route
    sites: frozenset[Site]
    ages: AgeSpan
    weights: WeightSpan
    sex: str
    liquid: Liquid | None
    shortest: Measure
    longest: Measure
    usual: Measure
    thickest: int | None
    finest: int | None
    angle_degrees: int
    basis: Basis


@dataclass(frozen=True, slots=True)
class GaugeForLiquid:
    """Gauge numbers for one kind of liquid by one route, and the usual one."""

    route: Route
    liquid: Liquid
    thickest: int
    finest: int
    usual: int
    basis: Basis


@dataclass(frozen=True, slots=True)
class NeedleNote:
    """A footnote of the guide: which finding a needle of some length raises for some patients."""

    id: str
    guides: frozenset[str]
    longer_than: Measure | None
    at_most: Measure | None
    ages: AgeSpan
    bmi_below: Decimal | None
    finding: str
    level: Level
    basis: Basis


@dataclass(frozen=True, slots=True)
class MuscleReach:
    """Above this body mass index (kg/m2) a needle of ``length`` may not reach the muscle at ``site``."""

    site: Site
    sex: str
    bmi_above: Decimal
    length: Measure
    basis: Basis


@dataclass(frozen=True, slots=True)
class VolumeLimit:
    """How much one site takes in one go: ``usual``, and ``most`` that nothing goes above."""

    id: str
    route: Route
    site: Site | None
    ages: AgeSpan
    usual: Measure
    most: Measure
    basis: Basis


@dataclass(frozen=True, slots=True)
class TypicalBore:
    """The inner width of a typical barrel of one capacity."""

    capacity: Measure
    bore: Measure
    basis: Basis


@dataclass(frozen=True, slots=True)
class NeedleDeadSpace:
    """What stays in the hub and bore of a needle of one gauge."""

    gauge: int
    volume: Measure
    basis: Basis


@dataclass(frozen=True, slots=True)
class Pace:
    """How slowly one route is injected: seconds for each mL."""

    route: Route
    seconds_per_ml: Decimal
    basis: Basis


@dataclass(frozen=True, slots=True)
class StepRow:
    """One step of drawing up: for which container form (``any``), in which phase, under which conditions.

    ``amount`` names what fills the sentence (``draw``, ``air``, ``diluent``, ``line``); ``wait`` a choice
    of the policy that times it.
    """

    block: str
    phase: str
    does: str
    when: frozenset[str]
    amount: str
    wait: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class Mixing:
    """Whether drugs of two classes may share a syringe, and which is drawn first."""

    first_class: str
    second_class: str
    together: bool
    draw_first: str
    basis: Basis


@dataclass(frozen=True, slots=True)
class DeviceTables:
    """Every published figure about devices, with the site's choices among them."""

    bands: tuple[SyringeBand, ...]
    insulin_shares: Mapping[str, Shares]
    insulin_scales: tuple[InsulinScale, ...]
    tubing: Mapping[int, Tubing]
    lengths: tuple[LengthClass, ...]
    guides: tuple[NeedleGuide, ...]
    gauges: tuple[GaugeForLiquid, ...]
    needle_notes: tuple[NeedleNote, ...]
    muscle_reach: tuple[MuscleReach, ...]
    volume_limits: tuple[VolumeLimit, ...]
    bores: tuple[TypicalBore, ...]
    needle_dead_spaces: tuple[NeedleDeadSpace, ...]
    water_mpa_s: Decimal
    force: Mapping[str, Decimal]
    force_basis: Mapping[str, Basis]
    paces: Mapping[Route, Pace]
    steps: tuple[StepRow, ...]
    mixing: tuple[Mixing, ...]
    hub_colours: Mapping[int, str]
    policy: DevicePolicy
    rules: Mapping[str, Basis]
