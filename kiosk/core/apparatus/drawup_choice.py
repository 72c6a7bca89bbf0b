"""What fills the syringe: never the needle for the patient, and a filter for every glass ampoule."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Final

from kiosk.core.apparatus.choices import DrawUpOption
from kiosk.core.catalogue.container import Container, Form
from kiosk.core.catalogue.device_policy import DevicePolicy
from kiosk.core.catalogue.device_tables import DeviceTables
from kiosk.core.catalogue.devices import DrawUpDevice, DrawUpKind, Syringe, Tip
from kiosk.core.findings import Fact, Finding, Level

STOPPERED: Final = frozenset({Form.SINGLE_DOSE_VIAL, Form.MULTI_DOSE_VIAL, Form.POWDER_VIAL})
FILTERS: Final = frozenset({DrawUpKind.BLUNT_FILTER, DrawUpKind.FILTER_STRAW})
PRACTICE: Final = "common practice, no source"


def rank_draw_up(
    containers: Sequence[Container],
    syringe: Syringe,
    devices: Sequence[DrawUpDevice],
    tables: DeviceTables,
    policy: DevicePolicy | None = None,
) -> tuple[DrawUpOption, ...]:
    """Return every draw-up device with its reasons, best first, refused ones last.

    With a fixed needle, with an oral tip, or when everything is prefilled, exactly one option stands: no
    device. When no device in stock will do, the last option is "no device", refused, and names the kind
    that is missing.
    """
    rules = policy or tables.policy
    glass = [c for c in containers if c.product.form is Form.GLASS_AMPOULE]
    if syringe.fixed_needle is not None:
        return (DrawUpOption(None, tuple(_fixed(glass, tables, rules))),)
    if syringe.tip is Tip.ORAL:
        return (DrawUpOption(None, tuple(_oral(glass, containers, tables, rules))),)
    if containers and all(c.product.form is Form.PREFILLED for c in containers):
        return (DrawUpOption(None, ()),)
    options = [DrawUpOption(d, tuple(_against(d, containers, tables, rules))) for d in devices]
    if not any(option.allowed for option in options):
        options.append(DrawUpOption(None, (_missing(bool(glass), tables),)))
    return tuple(sorted(options, key=_order))


def _fixed(glass: Sequence[Container], tables: DeviceTables, rules: DevicePolicy) -> Iterator[Finding]:
    """A fixed needle cannot draw through a filter."""
    if glass and rules.filter_for_glass:
        facts: dict[str, Fact] = {"container": glass[0].product.label_name}
        yield Finding("glass_by_fixed_needle", Level.STOP, facts, _filter_rule(tables))


def _oral(
    glass: Sequence[Container], containers: Sequence[Container], tables: DeviceTables, rules: DevicePolicy
) -> Iterator[Finding]:
    """An oral tip takes no needle: it neither filters glass nor goes through a stopper."""
    if glass and rules.filter_for_glass:
        facts: dict[str, Fact] = {"container": glass[0].product.label_name}
        yield Finding("glass_by_oral_tip", Level.STOP, facts, _filter_rule(tables))
    stoppered = next((c for c in containers if c.product.form in STOPPERED), None)
    if stoppered is not None:
        facts = {"container": stoppered.product.label_name}
        yield Finding("stopper_by_oral_tip", Level.STOP, facts, PRACTICE)


def _against(
    device: DrawUpDevice, containers: Sequence[Container], tables: DeviceTables, rules: DevicePolicy
) -> Iterator[Finding]:
    """Yield what speaks against one device for these containers."""
    forms = {c.product.form for c in containers}
    is_filter = device.kind in FILTERS
    if Form.GLASS_AMPOULE in forms and not is_filter:
        level = Level.STOP if rules.filter_for_glass else Level.NOTE
        yield Finding("glass_without_filter", level, _facts(device), _filter_rule(tables))
    if device.kind is DrawUpKind.FILTER_STRAW and forms & STOPPERED:
        yield Finding("straw_for_stopper", Level.STOP, _facts(device), PRACTICE)
    if is_filter and any(c.product.drug.cloudy for c in containers):
        yield Finding("filter_holds_back_drug", Level.STOP, _facts(device), PRACTICE)
    if is_filter and Form.GLASS_AMPOULE not in forms:
        yield Finding("filter_not_needed", Level.NOTE, _facts(device), PRACTICE)
    if is_filter and Form.GLASS_AMPOULE in forms and forms & STOPPERED:
        yield Finding("filter_one_way", Level.NOTE, _facts(device), PRACTICE)


def _facts(device: DrawUpDevice) -> dict[str, Fact]:
    """Return a device's numbers, for a sentence."""
    return {"device": device.kind.value, "gauge": device.gauge, "length": device.length}


def _filter_rule(tables: DeviceTables) -> str:
    """Return where the rule of the filter is from."""
    return tables.rules["filter_needle_for_glass_ampoule"].said


def _missing(glass: bool, tables: DeviceTables) -> Finding:
    """Return the stop that names the device the counter lacks."""
    id = "no_filter_device" if glass else "no_draw_up_device"
    return Finding(id, Level.STOP, source=_filter_rule(tables) if glass else PRACTICE)


def _order(option: DrawUpOption) -> tuple[bool, int, bool, int]:
    """Return what ranks devices: allowed, nothing to mind, a needle before a straw, the thickest."""
    device = option.device
    if device is None:
        return (not option.allowed, 1, True, 0)
    straw = device.kind is DrawUpKind.FILTER_STRAW
    return (not option.allowed, len(option.findings), straw, device.gauge)
