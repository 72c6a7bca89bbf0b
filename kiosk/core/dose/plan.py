"""What the arithmetic answers: a plan for the volume, with its working, or a refusal."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

from kiosk.core.findings import Finding
from kiosk.core.units import Measure

Term: TypeAlias = Measure | Fraction | str


@dataclass(frozen=True, slots=True)
class WorkingLine:
    """One line of the working, structured so that screen, page and print show the same.

    ``form`` is ``dimensional`` or ``desired over have``; ``text`` is safe notation in English (numbers,
    units and signs only); ``note`` says what the line does, a key under ``working.note.`` in the words.
    ``terms`` are the measures, bare numbers and signs that the text was made of: in another language
    the line is written from them (``kiosk.core.dose.working.written``), since 1,000 means one there.
    """

    form: str
    text: str
    note: str = ""
    terms: tuple[Term, ...] = ()


@dataclass(frozen=True, slots=True)
class Take:
    """How much is drawn from one container and what is left in it. Both exact, in mL."""

    container: str
    volume: Measure
    left: Measure


@dataclass(frozen=True, slots=True)
class RecipeStep:
    """One step of a dilution or of making up a powder.

    ``does`` is a key under ``recipe.`` in the words, filled by the measures; ``what`` names the liquid;
    ``container`` is the id of the vial it is done to, empty when it is done in a fresh syringe.
    """

    does: str
    volume: Measure | None = None
    what: str = ""
    gives_strength: Measure | None = None
    gives_volume: Measure | None = None
    container: str = ""


@dataclass(frozen=True, slots=True)
class VolumePlan:
    """The dose, the strength in hand and the exact volume that carries the dose.

    ``dose`` in the drug's unit; ``strength`` as amount per mL; ``volume`` exact in mL. On an insulin
    barrel the figure that is set is ``dose`` in units; ``volume`` is kept for booking.
    ``containers_needed`` is how many like the first would do.
    """

    dose: Measure
    strength: Measure
    volume: Measure
    takes: tuple[Take, ...]
    working: tuple[WorkingLine, ...]
    recipe: tuple[RecipeStep, ...] = ()
    containers_needed: int = 1
    findings: tuple[Finding, ...] = ()


def error_share(given: Measure, wanted: Measure) -> Fraction:
    """Return how far ``given`` is off ``wanted`` as a share of ``wanted`` (0.05 is 5 %), unsigned."""
    return abs((given - wanted).ratio(wanted))
