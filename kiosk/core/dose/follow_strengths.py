"""Rules about strengths: of the stock, of a powder made up, of a dilution; what a container gives."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from math import ceil, floor
from typing import Final

from kiosk.core.dose.follow import Rule, Stated, Worked
from kiosk.core.dose.follow_doses import DOSED
from kiosk.core.dose.follow_relations import (
    divided,
    multiplied,
    product,
    rule,
    stands_for,
    taken_away,
    total,
)
from kiosk.core.dose.follow_units import agree, combine, plain, turn
from kiosk.core.findings import Facts, Finding, Level, Refusal
from kiosk.core.units import Measure, same_kind

MIXED: Final = "powder diluent_added stock_volume final_concentration lines dilution_factor"
"""With any of these stated, what is drawn is a mixture, not the stock as it comes."""

THINNED: Final = "diluent_added stock_volume final_concentration final_volume dilution_factor"
"""With any of these stated, a volume drawn is not what a container of the stock loses."""

OVERFILL: Final = Fraction(1, 5)
"""How much more than its label's strength and amount make may have been added to a powder's vial: an
overfill of a fifth, as small vials have it (common practice, no source)."""

DIVISIBLE: Final = frozenset({"tablet", "scored tablet", "caplet"})
"""Containers of a dose that may be halved; of everything else a whole one is opened."""


def _volume_itself(_stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return a dose that is ordered in millilitres as the volume that it is."""
    return values[0] if same_kind(values[0].unit, "mL") else None


def _stock_of_weaker(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return how much stock so much diluent brings down to the final strength: V1 = C2·D ÷ (C1 − C2)."""
    weak, diluent, strong = values
    stronger = turn(strong, plain(weak).unit, stated.bridges)
    apart = None if stronger is None else taken_away(stated, (stronger, plain(weak)))
    return combine((weak, diluent), (apart,), stated.bridges) if isinstance(apart, Measure) else apart


def _own_volume(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the powder's own volume: what is in the vial after mixing less the diluent.

    A vial is filled with somewhat more than its label says, so that the label's dose can be drawn out of
    it. By a label's strength and amount it may then seem to hold less than was added: a caution.
    """
    whole, part = values
    if "final_concentration" in stated.measures and whole < part <= whole.scaled(1 + OVERFILL):
        facts: Facts = {"whole": whole, "part": part}
        return Finding("label_overfilled", Level.CAUTION, facts, "common practice, no source")
    return taken_away(stated, values)


def _made_up() -> Iterator[Rule]:
    """Yield ``final_volume = diluent_added + displacement_volume`` for every part."""
    apart = "stock_strength stock_volume"
    whole, added_, own = total("final_volume = diluent_added + displacement_volume", unless=apart)
    yield from (whole, added_, replace(own, work=_own_volume))


def _mixtures() -> Iterator[Rule]:
    """Yield powders made up and stock diluted: the amount in the mixture, its volume, its strength."""
    yield stands_for("mixed_amount = powder")
    yield from product("mixed_amount = final_volume × final_concentration")
    yield from product("mixed_amount = stock_volume × stock_strength", unless="powder diluent_strength")
    apart = "stock_volume diluent_added final_concentration powder"
    yield stands_for("mixed_amount = dose", when="final_volume", unless=apart)
    apart = "stock_strength stock_volume diluent_added powder lines drawn_volume container_volume content"
    alone = f"{apart} dilution_factor final_volume"
    yield stands_for("mixed_amount = dose", when="final_concentration", unless=alone)
    yield rule("displacement_volume = displacement_per_amount × powder", multiplied)
    yield rule("displacement_per_amount = displacement_volume ÷ powder", divided, proves=False)
    yield from _made_up()
    yield from total("final_volume = stock_volume + diluent_added", unless="powder")
    whole, mixed = "stock_volume powder", "container_volume final_volume final_concentration"
    yield stands_for("stock_volume = container_volume", when="diluent_added", unless=whole)
    yield stands_for("stock_volume = label_volume", when="diluent_added", unless=f"{whole} {mixed}")
    yield rule(
        "stock_volume = final_concentration × diluent_added ÷ ( stock_strength − final_concentration )",
        _stock_of_weaker,
        unless=f"{whole} container_volume final_volume diluent_strength",
    )


def _strengths() -> Iterator[Rule]:
    """Yield the strength in hand, and the volume and dose that it ties together."""
    yield stands_for("strength = stock_strength", unless=f"{MIXED} final_volume")
    yield stands_for("strength = final_concentration", when=MIXED)
    yield stands_for("strength = stock_strength", when="final_volume", unless=f"{MIXED} {DOSED}")
    yield rule("volume = dose", _volume_itself)
    yield from product("dose = volume × strength")
    yield stands_for("drawn_volume = volume", unless="drawn_volume")
    apart = f"drawn_volume container_volume label_volume {MIXED} {DOSED}"
    yield stands_for("drawn_volume = final_volume", when="stock_strength", unless=apart)
    apart = f"stock_strength label_volume final_volume {MIXED}"
    yield rule("strength = dose ÷ drawn_volume", divided, when="drawn_volume", unless=apart, proves=False)
    yield rule("max_volume = max_dose ÷ strength", divided)
    yield from product("drawn_dose = drawn_volume × strength", solve="drawn_dose")
    yield rule("ratio_denominator = 1_g/mL ÷ strength", _ratio)
    yield rule("ratio_denominator = 1_g/mL ÷ final_concentration", _ratio, proves=False)
    yield rule("mass_per_charge = molar_mass ÷ valence", divided)
    yield rule("error = ( drawn_dose − dose ) ÷ dose", _error, when="drawn_volume")


def _ratio(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return N of "1 in N": how many millilitres hold one gram."""
    in_grams = turn(values[0], "g/mL", stated.bridges)
    return None if in_grams is None or in_grams.value == 0 else Measure(1 / in_grams.value, "1")


def _error(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return by which share the dose drawn is above (or, negative, below) the dose wanted."""
    drawn, wanted = values
    in_same = turn(drawn, wanted.unit, stated.bridges)
    return None if in_same is None else Measure((in_same.value - wanted.value) / wanted.value, "1")


def _whole(number: Worked, up: bool) -> Worked:
    """Return a plain number brought to a whole one."""
    if not isinstance(number, Measure) or number.unit != "1":
        return None
    return Measure(Fraction(ceil(number.value) if up else floor(number.value)), "1")


def _containers(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return how many containers must be opened; a tablet may be halved."""
    if stated.words.get("container", "") in DIVISIBLE:
        return divided(stated, values)
    return _whole(divided(stated, values), up=True)


def _doses_in(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return how many whole doses a container gives."""
    return _whole(divided(stated, values), up=False)


def _left(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return what so many containers of one fill hold beyond what is drawn."""
    count, fill, drawn = values
    return taken_away(stated, (fill.scaled(count.value), drawn))


def _packs() -> Iterator[Rule]:
    """Yield what a container holds: said outright, or read off the label of its strength."""
    yield stands_for("content = powder", unless="content")
    apart = "content container_volume powder"
    yield stands_for("content = label_amount", when="container", unless=apart)
    yield stands_for("container_volume = label_volume", when="container", unless=apart)
    yield stands_for("container_volume = final_volume", when="powder", unless="container_volume")
    yield rule("content = container_volume × stock_strength", multiplied, unless="content powder")
    filled = "stock_strength = content ÷ container_volume"
    yield rule(filled, divided, unless="powder stock_strength", proves=False)


def _uses() -> Iterator[Rule]:
    """Yield how many containers, how many doses in one, how long it lasts, what is left, how many sites."""
    yield rule("count = dose ÷ content", _containers)
    for when, unless in (("", THINNED), ("powder", "")):
        drawn = "count = drawn_volume ÷ container_volume"
        yield rule(drawn, _containers, when=when, unless=unless, proves=False)
    yield rule("course_count = course_dose ÷ content", _containers)
    yield rule("doses_in_container = content ÷ dose", _doses_in)
    yield rule("doses_in_container = container_volume ÷ volume", _doses_in, proves=False)
    drawn = "doses_in_container = container_volume ÷ drawn_volume"
    yield rule(drawn, _doses_in, when="drawn_volume", unless=THINNED, proves=False)
    yield rule("lasts = container_volume ÷ day_volume", divided)
    yield rule("lasts = content ÷ day_total", divided, proves=False)
    waste = "waste_volume = count × container_volume − drawn_volume"
    yield rule(waste, _left, unless=THINNED)
    yield rule(waste, _left, when="powder")
    yield rule(
        "waste_volume = final_volume − drawn_volume", taken_away, when="stock_strength", unless="powder"
    )
    yield rule("waste_dose = count × content − drawn_dose", _left)
    yield rule("waste_dose = count × content − dose", _left, unless="drawn_volume", proves=False)
    yield rule("injections = volume ÷ max_injection_volume", _ceil, unless="lines")
    yield rule("volume_each = volume ÷ injections", divided, unless="lines")


def _ceil(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the first over the second, up to the next whole number."""
    return _whole(divided(stated, values), up=True)


def _fitting_line(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the diluent of the label line with the largest volume not over the most that may be injected."""
    dose, most = values
    fitting: list[tuple[Fraction, Measure]] = []
    for line in stated.lines:
        volume = combine((dose,), (line.concentration,), stated.bridges)
        if volume is None or not same_kind(volume.unit, "mL"):
            return None
        if volume <= most:
            fitting.append((volume.to("mL").value, line.diluent))
    if not fitting:
        return Refusal("no_label_line_fits", {"most": most, "dose": dose})
    return max(fitting, key=lambda pair: pair[0])[1]


def _concentration_of_line(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the concentration that the label gives for so much diluent."""
    for line in stated.lines:
        if line.diluent.same(values[0]):
            return line.concentration
    return Refusal("diluent_not_on_label", {"diluent": values[0]})


def _diluent_of_line(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the diluent by which the label gives this concentration."""
    for line in stated.lines:
        if agree(line.concentration, values[0], stated.bridges) == 0:
            return line.diluent
    return Refusal("strength_not_on_label", {"strength": values[0]})


def rules() -> Iterator[Rule]:
    """Yield every rule about strengths and containers."""
    yield rule(
        "diluent_added = dose , max_injection_volume", _fitting_line, when="lines", unless="diluent_added"
    )
    yield rule("final_concentration = diluent_added", _concentration_of_line, when="lines")
    other = "diluent_added max_injection_volume"
    yield rule("diluent_added = final_concentration", _diluent_of_line, when="lines", unless=other)
    yield from _mixtures()
    yield from _strengths()
    yield from _packs()
    yield from _uses()
