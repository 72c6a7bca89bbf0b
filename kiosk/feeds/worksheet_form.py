"""The form of a description: what may be said of one syringe to be planned. Nothing in it is required.

Quantities are kept as they came and read with their paths by ``worksheet_build``; the types here refuse
unknown fields and say, for the published schema, what each field may hold.
"""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal, TypeAlias

import msgspec
from msgspec import Meta


def _ref(name: str, what: str) -> Meta:
    """Return the schema of a value that is read by its own reader."""
    return Meta(description=what, extra_json_schema={"$ref": f"#/$defs/{name}"})


Quantity: TypeAlias = Annotated[Any, _ref("measure", "a measure: value and unit, or text such as 8 mg")]
Weight: TypeAlias = Annotated[Any, _ref("measures", "a measure, or several that are added up")]
StrengthIn: TypeAlias = Annotated[Any, _ref("strength", "an amount in a volume, a percentage, a ratio")]
Figure: TypeAlias = Annotated[Any, _ref("number", "a number, as such or as text")]
Often: TypeAlias = Annotated[Any, _ref("often", "how often a day: a number, a measure or words")]
Moment: TypeAlias = Annotated[Any, _ref("moment", "a day, or a day and time with its zone, in ISO 8601")]
Age: TypeAlias = Annotated[Any, _ref("measure", "an age")]


class Form(msgspec.Struct, forbid_unknown_fields=True, frozen=True):
    """A table of a description: an unknown field is refused."""


class LimitIn(Form, frozen=True):
    """A bound on the dose: so much ``per`` dose, day, kg, kg/day, m2 or m2/day."""

    per: Literal["dose", "day", "kg", "kg/day", "m2", "m2/day"]
    low: Quantity | None = None
    high: Quantity | None = None
    routes: list[str] = []
    min_age_days: int | None = None
    max_age_days: int | None = None
    source: str = ""


class DrugIn(Form, frozen=True):
    """What the drug list knows of the drug."""

    name: str
    id: str | None = None
    measured_in: str | None = None
    classes: list[str] = []
    allergy_classes: list[str] = []
    high_alert: bool = False
    controlled: bool = False
    insulin: bool = False
    cloudy: bool = False
    limits: list[LimitIn] = []
    least_interval: Quantity | None = None
    allowed_error: Figure | None = None
    viscosity_mpa_s: Figure | None = None
    salt_to_base: Figure | None = None
    valence: int | None = None
    molar_mass: Quantity | None = None
    weight_basis: Literal["actual", "ideal", "adjusted"] = "actual"


class OrderIn(Form, frozen=True):
    """The order: the dose in any way it can be written, the route, the site."""

    drug: str | DrugIn | None = None
    dose: Quantity | None = None
    dose_rate: Quantity | None = None
    divided_doses_per_day: int | None = None
    doses_per_day: Often | None = None
    max_single_dose: Quantity | None = None
    min_single_dose: Quantity | None = None
    max_daily_dose: Quantity | None = None
    range_low: Quantity | None = None
    range_high: Quantity | None = None
    chosen_dose: Quantity | None = None
    surface_by: Literal["mosteller", "du bois"] = "mosteller"
    route: str | None = None
    site: str | None = None
    stated_as: Literal["base", "salt", ""] = ""
    concentration_asked: Quantity | None = None
    due: Moment | None = None
    id: str = "worksheet"
    prescriber: str | None = None
    spoken: bool = False
    as_written: str = ""
    last_given: Moment | None = None
    given_today: Quantity | None = None


class WeighedIn(Form, frozen=True):
    """An earlier weight and its day."""

    weight: Weight
    on: Moment


class PatientIn(Form, frozen=True):
    """The patient, as far as is said."""

    name: str | None = None
    number: str | None = None
    born: Moment | None = None
    age: Age | None = None
    sex: Literal["female", "male", ""] = ""
    weight: Weight | None = None
    weighed_on: Moment | None = None
    earlier: list[WeighedIn] = []
    height: Weight | None = None
    allergies: list[str] | None = None
    place: str = ""


class MakeUpIn(Form, frozen=True):
    """One line of a powder label. ``chosen`` marks the one to go by where there are several."""

    diluent_name: str = ""
    diluent: Quantity | None = None
    displacement: Quantity | None = None
    final_volume: Quantity | None = None
    final_strength: StrengthIn | None = None
    routes: list[str] = []
    usable_for: Quantity | None = None
    chosen: bool = False


class ContainerIn(Form, frozen=True):
    """One container, or ``how_many`` alike."""

    id: str | None = None
    name: str | None = None
    drug: str | None = None
    strength: StrengthIn | None = None
    amount: Quantity | None = None
    powder: Quantity | None = None
    make_ups: list[MakeUpIn] = []
    form: str | None = None
    contents: Quantity | None = None
    overfill: Quantity | None = None
    stated_as: Literal["base", "salt", ""] = ""
    routes: list[str] = []
    lot: str = ""
    expiry: Moment | None = None
    serial: str = ""
    left: Quantity | None = None
    opened_at: Moment | None = None
    discard_after: Moment | None = None
    in_use: Quantity | None = None
    recalled: bool = False
    used_up: bool = False
    how_many: int = 1


class SyringeIn(Form, frozen=True):
    """A syringe at hand: a scale in mL, or in units with the insulin strength it is graduated for."""

    nominal: Quantity
    graduation: Quantity
    id: str | None = None
    numbered_every: Quantity | None = None
    scale_length: Quantity | None = None
    tip: str = "lock"
    barrel_bore: Quantity | None = None
    dead_space: Quantity | None = None
    insulin_strength: Quantity | None = None
    fixed_gauge: int | None = None
    fixed_length: Quantity | None = None


class NeedleIn(Form, frozen=True):
    """An injection needle at hand, by the figures on its pack."""

    gauge: int
    length: Quantity
    id: str | None = None
    inch_text: str = ""


class DrawUpIn(Form, frozen=True):
    """A draw-up device at hand."""

    kind: str
    gauge: int
    length: Quantity
    id: str | None = None
    filter_micrometres: Figure | None = None


class DevicesIn(Form, frozen=True):
    """What is at hand on the counter."""

    syringes: list[SyringeIn] = []
    needles: list[NeedleIn] = []
    draw_up: list[DrawUpIn] = []


class PolicyIn(Form, frozen=True):
    """The site's ways: a named rounding policy, the most for one injection."""

    rounding: str | None = None
    max_injection_volume: Quantity | None = None


class Description(Form, frozen=True):
    """One syringe to be planned."""

    order: OrderIn = OrderIn()
    patient: PatientIn = PatientIn()
    containers: list[ContainerIn] = []
    devices: DevicesIn = DevicesIn()
    policy: PolicyIn = PolicyIn()
    now: Moment | None = None
    note: str = ""


MOST_CONTAINERS: Final = 50
MOST_DEVICES: Final = 100
