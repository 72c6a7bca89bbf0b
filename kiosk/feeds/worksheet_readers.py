"""One reader for each kind of field of ``given``: it checks the value and states the fact it means."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, Final, TypeAlias

from kiosk.core.units import Measure, same_kind
from kiosk.feeds.worksheet_figures import Figures
from kiosk.feeds.worksheet_given import FactName, Given
from kiosk.feeds.worksheet_links import an_equivalence, grain, portion, pounds, share
from kiosk.feeds.worksheet_ranges import both_ends
from kiosk.feeds.worksheet_read import BadInput, wrong_type
from kiosk.feeds.worksheet_shapes import body_mass
from kiosk.feeds.worksheet_stating import in_family
from kiosk.feeds.worksheet_strength import strength
from kiosk.feeds.worksheet_words import (
    CHOICES,
    adult_surface,
    container_word,
    formula_words,
    syringe_words,
)

Reader: TypeAlias = Callable[[Figures, FactName, Any, str, Given], None]


def _plain(family: str, *, zero: bool = False) -> Reader:
    """Return the reader of a measure of one family of shapes."""

    def read(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
        value, spelt = the.quantity(node, path, row.unit)
        if value < 0 or (value == 0 and not zero):
            raise BadInput(path, "below_zero" if zero else "not_above_zero")
        found.per_dose = found.per_dose or spelt.per_dose
        in_family(family, row, spelt.measure(value), path, found)

    return read


def _drug_amount(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read an amount of drug; a mass given in kilograms or pounds is brought to grams."""
    in_family("amount", row, body_mass(the.measure(node, path, row.unit)), path, found)


def _weight(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read a weight, or several measures that together are one (pounds and ounces)."""
    _added(the, row, node, path, found, "kg")


def _height(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read a height, or several measures that together are one (feet and inches)."""
    _added(the, row, node, path, found, "cm")


def _added(the: Figures, row: FactName, node: Any, path: str, found: Given, like: str) -> None:
    """Read one measure of a kind, or a list of them that is added up."""
    nodes = node if isinstance(node, list) else [node]
    if not 1 <= len(nodes) <= 3:
        raise BadInput(path, "empty_list")
    whole: Measure | None = None
    for at, one in enumerate(nodes):
        here = f"{path}[{at}]" if isinstance(node, list) else path
        for measure in _pieces(the, one, here, row.unit):
            if not same_kind(measure.unit, like):
                raise BadInput(f"{here}.unit", "unit_of_another_kind", unit=measure.unit)
            whole = measure if whole is None else whole + measure
    assert whole is not None
    if whole.value <= 0:
        raise BadInput(path, "not_above_zero")
    found.state(row.fact, whole.to("kg") if whole.unit in ("g", "mg") else whole, path)


def _pieces(the: Figures, node: Any, path: str, default: str) -> list[Measure]:
    """Return the measures of ``16 lb 10 oz`` or ``{"ft": 5, "in": 6}``, or of a plain measure."""
    words = node.split() if isinstance(node, str) else []
    if len(words) == 4:
        return [the.measure(" ".join(words[at : at + 2]), path, zero=True) for at in (0, 2)]
    if isinstance(node, dict) and node and not node.keys() & {"value", "unit"}:
        return [the.measure(value, f"{path}.{unit[:60]}", unit, zero=True) for unit, value in node.items()]
    return [the.measure(node, path, default, zero=True)]


def _per_day(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read how many doses a day: a number, an interval, or words."""
    if isinstance(node, str) and not node.strip().replace(".", "").isdigit():
        found.state(row.fact, Measure.of(the.often(node, path), "1/day"), path)
        return
    value = the.measure(node, path, row.unit)
    if same_kind(value.unit, "h"):
        value = Measure(1 / value.to("day").value, "1/day")
    if value.unit in ("1", "dose"):
        value = Measure(value.value, "1/day")
    if not same_kind(value.unit, "1/day"):
        raise BadInput(f"{path}.unit", "unit_of_another_kind", unit=value.unit)
    found.state(row.fact, value.to("1/day"), path)


def _interval(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read the time from dose to dose, as a time or in words."""
    if isinstance(node, str) and not node[:1].isdigit():
        found.state(row.fact, Measure(24 / the.often(node, path), "h"), path)
        return
    _plain("time")(the, row, node, path, found)


def _count(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read a plain number above zero, whatever is counted."""
    value, spelt = the.quantity(node, path, "1")
    if value <= 0:
        raise BadInput(path, "not_above_zero")
    if spelt.unit not in ("1", "dose"):
        raise BadInput(f"{path}.unit", "unit_of_another_kind", unit=spelt.unit)
    found.state(row.fact, Measure(value, "1"), path)


def _whole(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read a number of decimals."""
    found.state(row.fact, Measure.of(the.whole(node, path, 6), "1"), path)


def _any(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read any measure; a bare number is one of nothing."""
    value, spelt = the.quantity(node, path, "1")
    if value < 0:
        raise BadInput(path, "below_zero")
    found.state(row.fact, spelt.measure(value), path)
    found.asked_unit = found.asked_unit or (spelt if row.fact == "calculated" else None)


def _unit(the: Figures, _row: FactName, node: Any, path: str, found: Given) -> None:
    """Read the unit to answer in."""
    found.asked_unit = the.unit(node, path)


def _rounding(the: Figures, _row: FactName, node: Any, path: str, found: Given) -> None:
    """Read a rule of rounding in words; what it means is decided where the answer is rounded."""
    found.rule = the.text(node, path)


def _flag(_the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read a yes or no."""
    if not isinstance(node, bool):
        wrong_type(path, "yes_no")
    if node and row.fact == "displacement_ignored":
        found.state("displacement_volume", Measure.of(0, "mL"), path)


def _word(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read a word that chooses: a formula, a kind of container, a sex."""
    text = the.text(node, path)
    choices = CHOICES.get(row.fact)
    if choices is not None:
        if text.casefold() not in choices:
            raise BadInput(path, "not_one_of", text=text[:40])
        text = choices[text.casefold()]
    whole = adult_surface(text) if row.fact == "formula" else None
    if whole is not None:
        found.state("adult_bsa", whole, path)
    made = {"formula": formula_words, "container": container_word}.get(row.fact, str)
    found.words[row.fact] = made(text)


def _syringe(the: Figures, _row: FactName, node: Any, path: str, found: Given) -> None:
    """Read a syringe: in words (its marks, its insulin strength), or as the strength it is graduated for."""
    if not isinstance(node, str):
        value = the.measure(node, path, "mL")
        if same_kind(value.unit, "units/mL"):
            found.state("barrel_strength", value, path)
        return
    words = syringe_words(the.text(node, path))
    found.words["syringe"] = node.strip()
    for fact, value in words.items():
        found.state(fact, value, path)


_WORDS: Final = re.compile(r"[^\W\d][^\d]*")


def _or_name(reader: Reader) -> Reader:
    """Return a reader that takes a text without any digit for a name: "sterile water", "adult"."""

    def read(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
        if isinstance(node, str) and _WORDS.fullmatch(node.strip()):
            found.notes[row.name] = the.text(node, path)
        else:
            reader(the, row, node, path, found)

    return read


def _graduation(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read how far apart the lines of the syringe are, in mL or in units."""
    value = the.measure(node, path, row.unit)
    if not any(same_kind(value.unit, kind) for kind in ("mL", "units")):
        raise BadInput(f"{path}.unit", "unit_of_another_kind", unit=value.unit)
    found.graduation = value


def _size(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Keep a syringe's size as a remark, once it is a figure or a text."""
    if isinstance(node, str):
        found.notes[row.name] = the.text(node, path)
        return
    the.measure(node, path, "mL")
    found.notes[row.name] = node


def _note(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Keep a text from which no figure is taken."""
    if node is not None:
        found.notes[row.name] = the.text(node, path)


READERS: Final[dict[str, Reader]] = {
    "dose": _plain("dose"),
    "daily": _plain("daily"),
    "limit": _plain("limit"),
    "daily_limit": _plain("daily_limit"),
    "amount": _drug_amount,
    "weight": _weight,
    "height": _height,
    "whole": _whole,
    "pounds": pounds,
    "surface": _plain("surface"),
    "age": _plain("age"),
    "age_or_words": _or_name(_plain("age")),
    "word": _word,
    "per_day": _per_day,
    "interval": _interval,
    "time": _plain("time"),
    "count": _count,
    "strength": strength,
    "volume": _plain("volume"),
    "volume_or_name": _or_name(_plain("volume")),
    "graduation": _graduation,
    "size": _size,
    "displacement": _plain("displacement", zero=True),
    "flag": _flag,
    "content": _plain("content"),
    "molar_mass": _plain("molar_mass"),
    "valence": _plain("valence"),
    "potency": _plain("potency"),
    "grain": grain,
    "equivalent": _plain("equivalent"),
    "bridge": an_equivalence,
    "portion": portion,
    "range": both_ends("limit"),
    "daily_range": both_ends("daily_limit"),
    "flow": _plain("flow"),
    "drop_factor": _plain("drop_factor"),
    "syringe": _syringe,
    "any": _any,
    "unit": _unit,
    "rounding": _rounding,
    "share": share,
    "note": _note,
}
