"""The steps of drawing up, in the order a hand does them, for these very containers and devices.

The steps themselves are rows of drawup_steps.csv; here they are picked, repeated for each container and
filled with amounts as the scale shows them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from kiosk.core.apparatus.barrel import needle_dead_space
from kiosk.core.apparatus.choices import DrawUpStep, Setting
from kiosk.core.apparatus.drawup_choice import STOPPERED
from kiosk.core.apparatus.mixing import drawing_order
from kiosk.core.apparatus.setting import nearest
from kiosk.core.catalogue.container import Container, Form
from kiosk.core.catalogue.device_policy import DevicePolicy
from kiosk.core.catalogue.device_tables import DeviceTables, StepRow
from kiosk.core.catalogue.devices import DrawUpDevice, DrawUpKind, InjectionNeedle, Syringe, Tip
from kiosk.core.catalogue.strength import Powder
from kiosk.core.dose.plan import Take, VolumePlan
from kiosk.core.units import Measure

DEVICE_WORD = {
    DrawUpKind.BLUNT_FILL: "fill",
    DrawUpKind.BLUNT_FILTER: "filter",
    DrawUpKind.FILTER_STRAW: "straw",
}


@dataclass(frozen=True, slots=True)
class Draw:
    """One container that is drawn from: how much (mL), what it keeps, what was drawn before it."""

    container: Container
    volume: Measure
    left: Measure
    before: Measure


@dataclass(frozen=True, slots=True)
class DrawUpCase:
    """Everything in hand: what is drawn from in order, diluents, syringe, devices, plan and setting."""

    draws: tuple[Draw, ...]
    diluents: tuple[Container, ...]
    syringe: Syringe
    device: DrawUpDevice | None
    needle: InjectionNeedle | None
    plan: VolumePlan
    setting: Setting
    tables: DeviceTables
    policy: DevicePolicy

    @property
    def prefilled(self) -> bool:
        """Whether nothing at all has to be drawn."""
        return all(draw.container.product.form is Form.PREFILLED for draw in self.draws)

    @property
    def whole(self) -> bool:
        """Whether the dose is all that a prefilled syringe holds."""
        return self.prefilled and self.setting.line.same(self.syringe.nominal)

    @property
    def sharp(self) -> bool:
        """Whether a device or broken glass is left over."""
        containers = (*(draw.container for draw in self.draws), *self.diluents)
        glass = any(container.product.form is Form.GLASS_AMPOULE for container in containers)
        return self.device is not None or glass


def draw_up_steps(
    containers: Sequence[Container],
    syringe: Syringe,
    device: DrawUpDevice | None,
    needle: InjectionNeedle | None,
    plan: VolumePlan,
    setting: Setting,
    tables: DeviceTables,
    policy: DevicePolicy | None = None,
) -> tuple[DrawUpStep, ...]:
    """Return the steps; ids are unique among them and stay the same for the same objects.

    A needle the syringe has fixed is not fitted again, whatever ``needle`` says.
    """
    draws = _draws(drawing_order(containers, tables), plan)
    rest = tuple(c for c in containers if all(c is not draw.container for draw in draws))
    diluents = rest if any(_is_dry(draw.container) for draw in draws) else ()
    rules = policy or tables.policy
    case = DrawUpCase(draws, diluents, syringe, device, needle, plan, setting, tables, rules)
    return tuple(_numbered(tuple(_all_steps(case))))


def _draws(containers: Sequence[Container], plan: VolumePlan) -> tuple[Draw, ...]:
    """Match containers with the plan's takes; identical ones of a lot share an id and go in turn."""
    waiting: dict[str, list[Take]] = {}
    for take in plan.takes:
        waiting.setdefault(take.container, []).append(take)
    found: list[Draw] = []
    before = Measure(Fraction(0), "mL")
    for container in containers:
        if takes := waiting.get(container.id):
            take = takes.pop(0)
            found.append(Draw(container, take.volume, take.left, before))
            before = before + take.volume
    return tuple(found)


def _all_steps(case: DrawUpCase) -> Iterator[DrawUpStep]:
    """Yield the steps of every phase: all vials get their air, last first, before the first is drawn."""
    yield from _phase("begin", case, None)
    for container in case.diluents:
        yield from _phase("open", case, Draw(container, *[Measure(Fraction(0), "mL")] * 3))
    for draw in case.draws:
        yield from _phase("open", case, draw)
    for draw in reversed(case.draws):
        yield from _phase("air", case, draw)
    for draw in case.draws:
        yield from _phase("draw", case, draw)
    for name in ("clear", "finish", "end"):
        yield from _phase(name, case, None)


def _is_dry(container: Container) -> bool:
    """Say whether it is a powder that still has to be made up."""
    return isinstance(container.product.strength, Powder) and container.left is None


def _phase(name: str, case: DrawUpCase, draw: Draw | None) -> Iterator[DrawUpStep]:
    """Yield the steps of one phase, for one container or for the syringe as such."""
    block = draw.container.product.form.value if draw else "any"
    holds = _conditions(case, draw.container if draw else None)
    for row in case.tables.steps:
        if row.phase == name and row.block == block and row.when <= holds:
            yield DrawUpStep(
                id=row.does,
                does=row.does,
                amount=_amount(row, case, draw),
                wait=_wait(row, case.policy),
                source=row.basis.said,
                what=_what(row, case, draw),
            )


def _what(row: StepRow, case: DrawUpCase, draw: Draw | None) -> str:
    """Return the name of what is meant: the diluent that is drawn, else the container in hand."""
    if row.does == "draw_diluent":
        return next((step.what for step in case.plan.recipe if step.what), "")
    return draw.container.product.label_name if draw else ""


def _conditions(case: DrawUpCase, container: Container | None) -> frozenset[str]:
    """Return the words that hold now; a row is used when all of its own are among them."""
    held = _of_syringe(case) | _of_recipe(case) | _of_container(container)
    kind = {DEVICE_WORD[case.device.kind]} if case.device else set()
    return frozenset(word for word, holds in held.items() if holds) | kind


def _of_syringe(case: DrawUpCase) -> dict[str, bool]:
    """Return what holds of the syringe and of what is fitted to it."""
    fixed = case.syringe.fixed_needle is not None
    fitted = case.needle is not None and not fixed
    stoppered = bool(case.draws) and case.draws[-1].container.product.form in STOPPERED
    oral, capped = case.syringe.tip is Tip.ORAL, case.whole and not fitted
    return {
        "fixed": fixed,
        "detachable": not fixed and not case.prefilled,
        "device": case.device is not None,
        "needle": fitted,
        "bare": not fixed and not fitted and not case.whole,
        "oral": oral,
        "injected": not oral,
        "stoppered": stoppered,
        "unset": not (fixed and stoppered) and not case.whole,
        "drawn": not case.prefilled,
        "capped": capped,
        "uncapped": case.prefilled and not capped,
        "sharp": case.sharp,
        "blunt": not case.sharp,
    }


def _of_recipe(case: DrawUpCase) -> dict[str, bool]:
    """Return what holds of making up."""
    to_volume = bool(case.plan.recipe) and case.plan.recipe[0].does == "make_up_to"
    named = bool(case.plan.recipe) and bool(case.plan.recipe[0].what)
    return {"measured": not to_volume, "to_volume": to_volume, "named": named, "unnamed": not named}


def _of_container(container: Container | None) -> dict[str, bool]:
    """Return what holds of the container in hand, if the phase is about one."""
    if container is None:
        return {}
    return {
        "unopened": container.opened_at is None and container.left is None,
        "cloudy": container.product.drug.cloudy,
        "dry": _is_dry(container),
    }


def _wait(row: StepRow, policy: DevicePolicy) -> Measure | None:
    """Return how long a timed step takes, as the site has chosen."""
    return {"stopper_wipe_s": policy.stopper_wipe, "stopper_dry_s": policy.stopper_dry}.get(row.wait)


def _amount(row: StepRow, case: DrawUpCase, draw: Draw | None) -> Measure | None:
    """Return what fills the step's sentence."""
    if row.amount == "line":
        return case.setting.line
    if row.amount == "diluent":
        return next((step.volume for step in case.plan.recipe if step.volume is not None), None)
    if draw is None or not row.amount:
        return None
    return _air(case, draw) if row.amount == "air" else _draw_to(case, draw)


def _reading(case: DrawUpCase, volume: Measure) -> Measure:
    """Return the scale reading of a volume, on the nearest line."""
    nominal = case.syringe.nominal
    return nearest(nominal.scaled(volume.ratio(case.syringe.capacity)), case.syringe.graduation)


def _air(case: DrawUpCase, draw: Draw) -> Measure:
    """Return the air for one vial: as much as is drawn from it, as the scale shows it."""
    return case.setting.line if len(case.draws) == 1 else _reading(case, draw.volume)


def _draw_to(case: DrawUpCase, draw: Draw) -> Measure:
    """Return the reading to draw to: what is in the syringe by then, and a little extra from the last."""
    if draw is case.draws[-1]:
        return case.setting.line + _extra(case, draw)
    return _reading(case, draw.before + draw.volume)


def _extra(case: DrawUpCase, draw: Draw) -> Measure:
    """Return the little extra that fills the new needle, in whole lines.

    None when no needle is changed, or where the barrel or the container ends.
    """
    nothing, line = case.setting.line.scaled(0), case.syringe.graduation
    if case.device is None or case.needle is None:
        return nothing
    kept = needle_dead_space(case.needle.gauge, case.tables)
    lines = case.syringe.nominal.scaled(kept.ratio(case.syringe.capacity)).ratio(line)
    extra = line.scaled(-(-lines.numerator // lines.denominator))
    needed = case.syringe.capacity.scaled(extra.ratio(case.syringe.nominal))
    room = case.setting.line + extra <= case.syringe.nominal
    return extra if room and draw.left >= needed else nothing


def _numbered(steps: Sequence[DrawUpStep]) -> Iterator[DrawUpStep]:
    """Give a step that comes again (for the next container) an id of its own."""
    seen: dict[str, int] = {}
    for step in steps:
        turn = seen[step.id] = seen.get(step.id, 0) + 1
        yield step if turn == 1 else replace(step, id=f"{step.id}-{turn}")
