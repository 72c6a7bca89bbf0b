"""The picture of a worksheet: the best syringe life-size, set to its line, with its needle on it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from kiosk.core.apparatus.barrel import fitted_out, with_tubing
from kiosk.core.apparatus.choices import SyringeOption
from kiosk.core.apparatus.drawing import set_picture
from kiosk.core.apparatus.needle_choice import needs_needle
from kiosk.core.apparatus.picture import Picture
from kiosk.core.apparatus.prefilled import is_own
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.core.catalogue.devices import InjectionNeedle
from kiosk.core.findings import Refusal
from kiosk.pages.device_names import syringe_said
from kiosk.pages.slip import shown_length
from kiosk.pages.words import Words
from kiosk.pages.worksheet_values import SHORTEST_SCALE, Planned, Worksheet

SIDE_BY_SIDE: Final = 4
"""How many needles stand beside one another on a printed page."""


def worksheet_picture(sheet: Worksheet, tables: DeviceTables, words: Words) -> Picture | Refusal:
    """Return the picture, or why there is none.

    Codes: ``picture_without_plan`` (a question, or too little said for a plan), ``picture_without_syringe``
    (none named, or none that measures the dose), ``picture_of_refused`` (a stop stands against the plan),
    ``picture_of_prefilled`` (how long its barrel is nobody said).
    """
    made = sheet.planned
    if made is None:
        return Refusal("picture_without_plan" if sheet.refusal is None else "picture_of_refused")
    best = next((option for option in made.syringes if option.allowed), None)
    if best is None or best.setting is None:
        return Refusal("picture_without_syringe")
    if sheet.refusal is not None:
        return Refusal("picture_of_refused")
    if is_own(best.syringe.id):
        return Refusal("picture_of_prefilled")
    needles = tuple(with_tubing(needle, tables) for needle in _needles(made, best))
    return set_picture(
        fitted_out(best.syringe, tables),
        best.setting.line,
        needles,
        words.entries,
        captions=tuple(_captions(made, best, needles, words)),
        language=words.language,
    )


def _needles(made: Planned, best: SyringeOption) -> tuple[InjectionNeedle, ...]:
    """Return the needles to fit and compare, the chosen one first: none where none is fitted."""
    if not needs_needle(made.order) or best.syringe.fixed_needle is not None:
        return ()
    return tuple(option.needle for option in made.needles if option.allowed)[:SIDE_BY_SIDE]


def _captions(
    made: Planned, best: SyringeOption, needles: tuple[InjectionNeedle, ...], words: Words
) -> Iterator[str]:
    """Yield what stands above: the syringe, what it carries, the needle on it, what was not stated."""
    assert best.setting is not None
    yield syringe_said(words, best.syringe)
    line = best.setting.line
    yield words.say("picture.set_to", drug=made.order.drug.name, dose=made.volume.dose, line=line)
    fitted = best.syringe.fixed_needle or next(iter(needles), None)
    if fitted is not None:
        yield words.say("picture.needle_on_it", gauge=fitted.gauge, length=shown_length(fitted.length))
    if best.syringe.source == SHORTEST_SCALE:
        yield words.entries["picture.shortest_scale"]
