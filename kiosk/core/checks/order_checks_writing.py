"""Does the prescriber's own text say what the order says, in forms that cannot be misread?"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import Final

from kiosk.core.catalogue.check_tables import OrderTables
from kiosk.core.checks.amounts import ordered_amounts, stated_measures
from kiosk.core.checks.asking import saw
from kiosk.core.checks.check import OrderCase
from kiosk.core.dose.order import Order
from kiosk.core.findings import Finding, Level
from kiosk.core.notation import unsafe_forms
from kiosk.core.units import Measure

# How the trade writes the units a dose is ordered in, English and French; matched without regard to case.
_SPELT: Final = {
    "mg": "mg milligram milligrams milligramme milligrammes",
    "mcg": "mcg ug µg μg microgram micrograms microgramme microgrammes",
    "g": "g gram grams gramme grammes",
    "units": "u iu ui unit units unité unités",
    "mmol": "mmol millimole millimoles",
    "mEq": "meq milliequivalent milliequivalents",
    "mL": "ml cc millilitre millilitres",
}
_UNIT: Final = {spelt: unit for unit, spellings in _SPELT.items() for spelt in spellings.split()}
_BODY: Final = {"kg": "kg", "lb": "lb", "m2": "m2", "m²": "m2", "day": "day", "jour": "day", "d": "day"}
_QUANTITY: Final = re.compile(
    r"(?<![\w.,])(?P<figure>\d{1,3}(?:[, \u00a0\u202f]\d{3})+(?:\.\d+)?|\d*\.?\d+)\s?"
    rf"(?P<unit>{'|'.join(sorted(_UNIT, key=len, reverse=True))})(?!\w)"
    r"(?P<per>(?:\s?/\s?[A-Za-z]\w*²?)*)",
    re.IGNORECASE,
)


def unsafe_notation(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Caution: the text uses forms that the error-prone lists warn of; all of them in one finding."""
    seen = unsafe_forms(case.order.as_written, tables.unsafe_forms)
    if not seen:
        return None
    forms = tuple(dict.fromkeys(str(found.facts["form"]) for found in seen))
    return saw("order_unsafe_notation", Level.CAUTION, seen[0].source, forms=forms)


def written_quantities(text: str) -> Iterator[Measure]:
    """Yield the quantities in a text; those per litre, per hour and the like are passed over."""
    for found in _QUANTITY.finditer(text):
        per = [part.strip().lower() for part in found["per"].split("/")[1:]]
        if all(part in _BODY for part in per):
            figure = re.sub(r"[, \u00a0\u202f]", "", found["figure"])
            unit = "/".join([_UNIT[found["unit"].lower()], *(_BODY[part] for part in per)])
            yield Measure.of(figure, unit)


def written_otherwise(tables: OrderTables, case: OrderCase) -> Finding | None:
    """Stop: the text names doses of this kind, and none is the dose of the order.

    A rate or amount that the order states must stand there exactly; the dose it comes to for this
    patient may have been rounded by the prescriber.
    """
    order = case.order
    stated, worked_out = stated_measures(order), _worked_out(order)
    rounding = tables.policy.figures.limit_rounding.value.value
    comparable = [w for w in written_quantities(order.as_written) if _any_alike(w, stated + worked_out)]
    for written in comparable:
        exact = any(_alike(written, meant) and written.same(meant) for meant in stated)
        near = any(_alike(written, meant) and _near(written, meant, rounding) for meant in worked_out)
        if exact or near:
            return None
    if not comparable:
        return None
    return saw("written_otherwise", Level.STOP, written=comparable[0], ordered=stated[0])


def _worked_out(order: Order) -> tuple[Measure, ...]:
    """Return the dose that the order comes to for this patient: both ends of it."""
    amounts = ordered_amounts(order)
    return (amounts.least, amounts.most) if amounts else ()


def _near(written: Measure, meant: Measure, rounding: Fraction) -> bool:
    """Say whether a text's dose is the one worked out, but for rounding."""
    return abs(written - meant) <= abs(meant).scaled(rounding)


def _any_alike(written: Measure, meant: tuple[Measure, ...]) -> bool:
    """Say whether a text's quantity can contradict any of these."""
    return any(_alike(written, one) for one in meant)


def _alike(written: Measure, meant: Measure) -> bool:
    """Say whether two quantities are of one kind and one shape, so that they can contradict each other."""
    return _shape(written) == _shape(meant) and Measure(written.value, _head(written)).is_like(_head(meant))


def _head(measure: Measure) -> str:
    """Return the unit before any ``/``."""
    return measure.unit.split("/")[0]


def _shape(measure: Measure) -> tuple[str, ...]:
    """Return what a rate goes by: nothing, body mass, body surface, a day."""
    return tuple("kg" if part == "lb" else part for part in measure.unit.split("/")[1:])
