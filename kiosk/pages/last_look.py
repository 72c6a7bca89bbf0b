"""What there is to see to when a syringe is done: the sharp things of this very one, and its tip."""

from __future__ import annotations

from collections.abc import Iterator

from kiosk.core.apparatus.prefilled import is_prefilled
from kiosk.core.catalogue.container import Form
from kiosk.core.catalogue.routes import Route
from kiosk.core.preparation.state import Preparation
from kiosk.pages.view import View


def leaves_sharps(state: Preparation) -> bool:
    """Say whether a device that drew up, or broken glass, is left over."""
    device = state.draw_up is not None and state.draw_up.device != ""
    return device or any(c.product.form is Form.GLASS_AMPOULE for c in state.taken)


def last_look(view: View) -> tuple[str, ...]:
    """Return the lines: what goes into the sharps container, how the tip is left, nothing else about."""
    return tuple(view.words.say(f"sharps.{line}") for line in _lines(view.the))


def _lines(state: Preparation) -> Iterator[str]:
    """Yield the keys of the lines."""
    if leaves_sharps(state):
        glass = any(c.product.form is Form.GLASS_AMPOULE for c in state.taken)
        yield "device_and_glass" if glass else "device"
    yield _tip(state)
    yield "nothing_left"


def _tip(state: Preparation) -> str:
    """Return how the tip is left."""
    needle = state.needle is not None and state.needle.gauge > 0
    if is_prefilled(state.taken):
        barrel = state.taken[0].product.barrel
        fixed = barrel is not None and barrel.needle is not None
        return "needle_capped" if needle and not fixed else "own_cap"
    if state.order.route is Route.ORAL:
        return "oral_capped"
    return "needle_capped" if needle else "tip_capped"
