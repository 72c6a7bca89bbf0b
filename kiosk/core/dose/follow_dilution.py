"""Rules about thinning and mixing: so many times weaker, two strengths into one, the least volume; salts.

Alligation, the mixing of two strengths, is worked as the balance of what is in the mixture:
V1 = V · (C − C2) ÷ (C1 − C2).
"""

from __future__ import annotations

from collections.abc import Iterator

from kiosk.core.dose.follow import Rule, Stated, Worked
from kiosk.core.dose.follow_doses import DOSED
from kiosk.core.dose.follow_relations import added, divided, product, rule, taken_away
from kiosk.core.dose.follow_strengths import MIXED
from kiosk.core.dose.follow_units import combine, plain, turn
from kiosk.core.findings import Refusal
from kiosk.core.units import Measure


def _apart(stated: Stated, strong: Measure, weak: Measure) -> Worked:
    """Return how much stronger one strength is than the other; a weaker one is refused."""
    stronger = turn(strong, plain(weak).unit, stated.bridges)
    return None if stronger is None else taken_away(stated, (stronger, plain(weak)))


def _stronger_part(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return how much of the stronger makes the whole of the middle strength: V · (C − C2) ÷ (C1 − C2)."""
    whole, middle, weak, strong = values
    above, all_of_it = _apart(stated, middle, weak), _apart(stated, strong, weak)
    beyond = _apart(stated, strong, middle)
    for one in (above, all_of_it, beyond):
        if not isinstance(one, Measure):
            return one
    assert isinstance(above, Measure)
    assert isinstance(all_of_it, Measure)
    return combine((whole, above), (all_of_it,), stated.bridges)


def _mixed(stated: Stated, values: tuple[Measure, ...]) -> Worked:
    """Return the strength of two volumes of two strengths together."""
    of_strong, strong, of_weak, weak = values
    one = combine((of_strong, strong), (), stated.bridges)
    other = combine((of_weak, weak), (), stated.bridges)
    both = None if one is None or other is None else added(stated, (one, other))
    whole = added(stated, (of_strong, of_weak))
    if not isinstance(both, Measure) or not isinstance(whole, Measure):
        return None
    return combine((both,), (whole,), stated.bridges)


def _which_of_salt(_stated: Stated, _values: tuple[Measure, ...]) -> Worked:
    """Refuse a dose beside a salt factor when it is not said whether it is of the base or of the salt."""
    return Refusal("base_or_salt")


def rules() -> Iterator[Rule]:
    """Yield every rule about thinning, mixing and salts."""
    two = "diluent_strength"
    yield rule(
        f"stock_volume = final_volume × ( final_concentration − {two} ) ÷ ( stock_strength − {two} )",
        _stronger_part,
        when=two,
    )
    yield rule(
        f"final_concentration = stock_volume × stock_strength + diluent_added × {two}", _mixed, when=two
    )
    yield from product("stock_strength = final_concentration × dilution_factor", unless=f"powder {two}")
    yield from product("final_volume = stock_volume × dilution_factor", unless=f"powder {two}")
    apart = f"drawn_volume container_volume duration {MIXED} {DOSED}"
    yield rule("mixture_strength = label_amount ÷ final_volume", divided, when="final_volume", unless=apart)
    yield rule("least_volume = dose ÷ max_concentration", divided)
    yield from product("base_dose = salt_dose × salt_to_base")
    yield rule("dose = dose , salt_to_base", _which_of_salt, unless="base_dose salt_dose")
