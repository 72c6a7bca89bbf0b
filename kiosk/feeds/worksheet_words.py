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
    ("surface_share", re.compile(r"1\.7[03]|surface area (?:rule|method)|bsa rule")),
)
_PLURALS: Final = {"boxes": "box"}
_INSULIN: Final = re.compile(r"\bU[- ]?([0-9]{2,3})\b|([0-9]{2,3}) units(?:/| per )mL")


def formula_words(text: str) -> str:
    """Return the short name of a formula; an unknown one stays as it is and is refused where it is used."""
    folded = text.casefold()
    return next((name for name, pattern in _FORMULAS if pattern.search(folded)), folded)


def container_word(text: str) -> str:
    """Return a kind of container in the singular: ``ampoules`` is ``ampoule``."""
    folded = text.casefold().strip()
    return _PLURALS.get(folded) or (folded[:-1] if folded.endswith("s") and len(folded) > 3 else folded)


def syringe_words(text: str) -> dict[str, Measure]:
    """Return the strength an insulin syringe is graduated for, when its description names one."""
    found = _INSULIN.search(text)
    return {"barrel_strength": Measure.of(found[1] or found[2], "units/mL")} if found else {}
