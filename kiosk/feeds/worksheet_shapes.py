"""What a unit's shape means in a field: ``mg/kg/day`` is an amount by weight by day."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

from kiosk.core.dose.follow_units import SIZES, parts
from kiosk.core.units import Measure, same_kind

_ABOVE: Final = (
    ("amount", "mg units mmol mEq grain"),
    ("volume", "mL"),
    ("time", "day"),
    ("age", "month"),
    ("length", "cm"),
    ("surface", "m2"),
    ("drop", "drop"),
    ("percent", "%"),
)
_BELOW: Final = (
    ("mass", "mg"),
    ("surface", "m2"),
    ("volume", "mL"),
    ("substance", "mmol"),
    ("charge", "mEq"),
    ("grain", "grain"),
)
_DAYS: Final = frozenset({"day", "week"})
_HOURS: Final = frozenset({"h", "min", "s"})


@lru_cache(maxsize=512)
def shape(unit: str) -> str:
    """Return the shape of a unit code: ``amount/weight/day``, ``volume/hour``, ``number`` ..."""
    above, below = parts(unit)
    first = _kind(above[0], _ABOVE) if above else "number"
    return "/".join([first, *map(_below, below)])


def _below(part: str) -> str:
    """Return what a part below the line is measured by."""
    if part in SIZES:
        return "weight"
    if part in _DAYS:
        return "day"
    return "hour" if part in _HOURS else _kind(part, _BELOW)


def _kind(part: str, kinds: tuple[tuple[str, str], ...]) -> str:
    """Return the first kind that has a unit like this one."""
    return next((name for name, likes in kinds if any(same_kind(part, like) for like in likes.split())), part)


def body_mass(measure: Measure) -> Measure:
    """Return an amount of drug in grams where it was written in a unit kept for bodies (kg, lb, oz)."""
    above, below = parts(measure.unit)
    if not above or above[0] not in SIZES:
        return measure
    return measure.to("/".join(["g", *below]))


def _by_size(stem: str) -> dict[str, str]:
    """Return the shapes of a dose by body size and by day, as facts with a place for the stem."""
    return {
        f"{stem}/weight": "{}_per_weight",
        f"{stem}/surface": "{}_per_surface",
        f"{stem}/weight/day": "daily_per_weight",
        f"{stem}/surface/day": "daily_per_surface",
        f"{stem}/day/weight": "daily_per_weight",
    }


def _limit(stem: str) -> dict[str, str]:
    """Return the shapes of a limit of one dose or, with a day in its unit, of a day."""
    return {
        stem: "{}_dose",
        f"{stem}/weight": "{}_dose_per_weight",
        f"{stem}/surface": "{}_dose_per_surface",
        f"{stem}/day": "{}_day",
        f"{stem}/weight/day": "{}_day_per_weight",
        f"{stem}/surface/day": "{}_day_per_surface",
    }


def _day(stem: str, template: str) -> dict[str, str]:
    """Return the shapes of a day's amount, whether or not its unit says so (``!day`` adds it)."""
    return {
        stem: template.format("") + "!day",
        f"{stem}/day": template.format(""),
        f"{stem}/weight": template.format("_per_weight") + "!day",
        f"{stem}/surface": template.format("_per_surface") + "!day",
        f"{stem}/weight/day": template.format("_per_weight"),
        f"{stem}/surface/day": template.format("_per_surface"),
    }


FAMILIES: Final[dict[str, dict[str, str]]] = {
    "dose": {
        "amount": "dose",
        "volume": "volume",
        "amount/day": "daily_dose",
        "amount/hour": "dose_flow",
        "amount/weight/hour": "flow_per_weight",
        "amount/surface/hour": "flow_per_surface",
        "volume/hour": "infusion_rate",
        **_by_size("amount"),
        **_by_size("volume"),
    },
    "daily": {
        "amount": "daily_dose!day",
        "amount/day": "daily_dose",
        "amount/weight": "daily_per_weight!day",
        "amount/surface": "daily_per_surface!day",
        "amount/weight/day": "daily_per_weight",
        "amount/surface/day": "daily_per_surface",
    },
    "limit": {**_limit("amount"), **_limit("volume")},
    "daily_limit": _day("amount", "{{}}_day{}"),
    "amount": {"amount": "{}"},
    "surface": {"surface": "{}"},
    "age": {"age": "{}"},
    "time": {"time": "{}"},
    "volume": {"volume": "{}"},
    "displacement": {"volume": "{}", "volume/mass": "displacement_per_amount"},
    "content": {"amount": "content", "volume": "container_volume"},
    "molar_mass": {"amount/substance": "{}"},
    "valence": {"amount/substance": "{}"},
    "equivalent": {"amount/charge": "{}"},
    "potency": {"amount/mass": "{}"},
    "grain": {"amount/grain": "{}"},
    "drop_factor": {"drop/volume": "{}"},
    "flow": {
        "volume/hour": "infusion_rate",
        "volume/day": "infusion_rate",
        "drop/hour": "drip_rate",
        "amount/hour": "dose_flow",
        "amount/weight/hour": "flow_per_weight",
        "amount/surface/hour": "flow_per_surface",
    },
}
"""By family of fields: shape of the unit -> the fact it states, ``{}`` for the field's own fact."""
