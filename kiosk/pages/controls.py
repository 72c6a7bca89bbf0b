"""Builders of the controls that several pages share."""

from __future__ import annotations

from kiosk.core.findings import Refusal
from kiosk.core.notation import in_words, read_figure, unit_text
from kiosk.core.units import Measure
from kiosk.pages.parts import Key, NumberEntry, PinEntry, Weight
from kiosk.pages.view import View

DIGITS = "7894561230"


def digits(view: View) -> tuple[Key, ...]:
    """Return the ten digit keys in the order they are laid out."""
    return tuple(Key(f"digit:{d}", d, spoken=view.words.say(f"digit.{d}")) for d in DIGITS)


def number_entry(view: View, unit: str) -> NumberEntry:
    """Return the number pad for a figure in ``unit``; commit is live once the figure is well written."""
    words, typed = view.words, view.sitting.typed
    figure = read_figure(typed, unit) if typed else None
    good = figure is not None and not isinstance(figure, Refusal)
    mark = words.say("number.point")
    return NumberEntry(
        typed=typed.replace(".", mark),
        unit=words.say(f"unit.{unit}"),
        words=in_words(figure, words.language) if figure and not isinstance(figure, Refusal) else "",
        digits=digits(view),
        point=Key("point", mark, enabled="." not in typed, spoken=words.say("key.point")),
        erase=Key("erase", "⌫", enabled=bool(typed), spoken=words.say("key.erase")),
        commit=Key(
            "commit",
            words.say("key.commit"),
            words.say("key.commit_hint"),
            Weight.PRIMARY,
            enabled=good,
        ),
    )


def figure_pad(view: View, typed: str, unit: str) -> NumberEntry:
    """Return the number pad for a figure of the site's policy, in the policy's own unit."""
    words = view.words
    figure = read_figure(typed, unit) if typed else None
    good = isinstance(figure, Measure)
    spoken = in_words(figure, words.language) if isinstance(figure, Measure) and unit != "1" else ""
    mark = words.say("number.point")
    return NumberEntry(
        typed=typed.replace(".", mark),
        unit=unit_text(unit, words.language),
        words=spoken,
        digits=digits(view),
        point=Key("point", mark, enabled="." not in typed, spoken=words.say("key.point")),
        erase=Key("erase", "⌫", enabled=bool(typed), spoken=words.say("key.erase")),
        commit=Key("commit", words.say("key.commit"), weight=Weight.PRIMARY, enabled=good),
    )


def pin_entry(view: View, person: str) -> PinEntry:
    """Return the PIN pad; only the number of digits typed is shown."""
    words, sitting = view.words, view.sitting
    return PinEntry(
        person=person,
        filled=len(sitting.pin),
        digits=digits(view),
        erase=Key("erase", "⌫", enabled=bool(sitting.pin), spoken=words.say("key.erase")),
        commit=Key(
            "commit",
            words.say("key.sign_on"),
            weight=Weight.PRIMARY,
            enabled=len(sitting.pin) >= 4 and not sitting.busy,
        ),
        busy=sitting.busy,
    )


def press_number(typed: str, key: str) -> str:
    """Return what stands in the number pad after one key: a leading zero is put in, grouping never."""
    if key == "erase":
        return "" if typed == "0." else typed[:-1]
    if key == "point":
        return typed if "." in typed else f"{typed or '0'}."
    digit = key.removeprefix("digit:")
    if len(typed) >= 9:
        return typed
    return digit if typed == "0" else typed + digit
