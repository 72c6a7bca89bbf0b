"""Lines of the working: made of measures and signs, written out alike for screen, page and print."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

from kiosk.core.dose.plan import Term, WorkingLine
from kiosk.core.notation import number, write
from kiosk.core.notation.writing import ROUNDED_SIGN
from kiosk.core.units import Measure, factor

DIMENSIONAL: Final = "dimensional"
DESIRED_OVER_HAVE: Final = "desired over have"
FORMS: Final = (DIMENSIONAL, DESIRED_OVER_HAVE)


def line(form: str, note: str, *terms: Term) -> WorkingLine:
    """Return one line; a result that is not exact takes ``≈`` for its ``=``."""
    return WorkingLine(form, _joined(terms, "en"), note, terms)


def both(note: str, *terms: Term) -> tuple[WorkingLine, WorkingLine]:
    """Return the same line for either written form, so that each can be read alone."""
    text = _joined(terms, "en")
    return WorkingLine(DIMENSIONAL, text, note, terms), WorkingLine(DESIRED_OVER_HAVE, text, note, terms)


def written(made: WorkingLine, language: str = "en") -> str:
    """Return a line in the notation of a language. Raises ``ValueError`` for an unknown language."""
    return made.text if language == "en" or not made.terms else _joined(made.terms, language)


def _joined(terms: tuple[Term, ...], language: str) -> str:
    """Return the terms in safe writing, with no blank inside brackets.

    In an equation one ``≈`` in place of the ``=`` stands for every figure of it that is not exact.
    """
    text = " ".join(_term(term, language) for term in terms)
    if ROUNDED_SIGN in text and "=" in terms:
        text = text.replace(f"{ROUNDED_SIGN} ", "").replace("=", ROUNDED_SIGN)
    return text.replace("( ", "(").replace(" )", ")").replace("√ ", "√")


def _term(term: Term, language: str) -> str:
    """Return one term in safe writing; a string is a sign and stands as it is."""
    if isinstance(term, Measure):
        return write(term, language)
    return number(term, language) if isinstance(term, Fraction) else term


def dimensional(desired: Measure, amount: Measure, volume: Measure, answer: Measure) -> WorkingLine:
    """Return "desired x (unit in unit) x (volume / amount) = answer" by dimensional analysis."""
    terms: tuple[Term, ...] = (desired, "×", *_unit_bracket(desired.unit, amount.unit))
    return line(DIMENSIONAL, "volume", *terms, "(", volume, "/", amount, ")", "=", answer)


def _unit_bracket(unit: str, have: str) -> tuple[Term, ...]:
    """Return the conversion factor between the two units as a bracket of whole numbers, or nothing."""
    if unit == have:
        return ()
    into = factor(unit, have)
    above, below = (
        (Measure(into, have), Measure(Fraction(1), unit))
        if into >= 1
        else (Measure(Fraction(1), have), Measure(1 / into, unit))
    )
    return "(", above, "/", below, ")", "×"


def desired_over_have(
    desired: Measure, amount: Measure, volume: Measure, answer: Measure
) -> tuple[WorkingLine, ...]:
    """Return "(desired / have) x volume = answer", after a line that puts both into one unit."""
    have = amount.to(desired.unit)
    same = () if have == amount else (line(DESIRED_OVER_HAVE, "same_unit", amount, "=", have),)
    last = line(DESIRED_OVER_HAVE, "volume", "(", desired, "/", have, ")", "×", volume, "=", answer)
    return *same, last
