"""One line of working as text: the facts that follow, and the two written forms of a plan."""

from __future__ import annotations

from kiosk.core.dose.follow import Known
from kiosk.core.dose.plan import WorkingLine
from kiosk.core.dose.working import line, written
from kiosk.core.notation import number, write
from kiosk.core.units import Measure
from kiosk.pages.words import Words

FOLLOWS = "follows"


def is_worth_showing(known: Known) -> bool:
    """Say whether a fact was worked out; one that only stands for another is no step."""
    return known.rule != "stated" and (len(known.terms) > 3 or known.terms[0] != known.terms[-1])


def follows_line(known: Known, words: Words) -> str:
    """Return the working of a fact in the language's own notation: ``8 mg ÷ 10 mg/mL = 0.8 mL``."""
    return working_line(line(FOLLOWS, known.rule, *known.terms), words)


def working_line(made: WorkingLine, words: Words) -> str:
    """Return a line of working in the language's own notation."""
    return written(made, words.language)


def figure(value: Measure, words: Words) -> str:
    """Return a measure, or a plain number, in safe writing."""
    return number(value.value, words.language) if value.unit == "1" else write(value, words.language)
