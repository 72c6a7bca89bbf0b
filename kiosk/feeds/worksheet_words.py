"""Words that choose: the name of a formula, the kind of container, what a syringe's description says."""

from __future__ import annotations

import re
from typing import Final

from kiosk.core.units import Measure

_FORMULAS: Final = (
    ("mosteller 3131", re.compile(r"3131")),
    ("mosteller", re.compile(r"mosteller|3600")),
    ("du bois", re.compile(r"du\s*bois|0\.?007184|71\.84")),
    ("clark", re.compile(r"clark")),
    ("young", re.compile(r"young")),
    ("fried", re.compile(r"fried")),
    ("haycock", re.compile(r"haycock|0\.?024265")),
    ("gehan", re.compile(r"gehan|0\.?0235")),
    ("surface_by_weight", re.compile(r"costeff|4 ?\*? ?w(?:eight)? ?\+ ?7|weight alone")),
    ("surface_share", re.compile(r"\b1\.7[0-9]?\b|surface area (?:rule|method)|bsa rule")),
)
CHOICES: Final[dict[str, dict[str, str]]] = {
    "sex": {"female": "female", "f": "female", "male": "male", "m": "male"},
    "weight_basis": {
        **dict.fromkeys(("actual", "actual weight", "actual body weight"), "on_actual"),
        **dict.fromkeys(("ideal", "ideal weight", "ideal body weight", "ibw"), "on_ideal"),
        **dict.fromkeys(("adjusted", "adjusted weight", "adjusted body weight"), "on_adjusted"),
    },
}
"""Words of which one must be named, by the fact that they choose."""

_ADULT_SURFACE: Final = re.compile(r"\b1\.7[0-9]?\b")
_PLURALS: Final = {"boxes": "box"}
_INSULIN: Final = re.compile(r"\bU[- ]?([0-9]{2,3})\b|([0-9]{2,3}) units(?:/| per )mL")


def formula_words(text: str) -> str:
    """Return the short name of a formula; an unknown one stays as it is and is refused where it is used."""
    folded = text.casefold()
    return next((name for name, pattern in _FORMULAS if pattern.search(folded)), folded)


def adult_surface(text: str) -> Measure | None:
    """Return the adult's body surface that a formula names, such as 1.73 m2; None when it names none."""
    found = _ADULT_SURFACE.search(text) if formula_words(text) == "surface_share" else None
    return Measure.of(found[0], "m2") if found else None


def container_word(text: str) -> str:
    """Return a kind of container in the singular: ``ampoules`` is ``ampoule``."""
    folded = text.casefold().strip()
    return _PLURALS.get(folded) or (folded[:-1] if folded.endswith("s") and len(folded) > 3 else folded)


def syringe_words(text: str) -> dict[str, Measure]:
    """Return the strength an insulin syringe is graduated for, when its description names one."""
    found = _INSULIN.search(text)
    return {"barrel_strength": Measure.of(found[1] or found[2], "units/mL")} if found else {}
