"""The checks of a container held up for an order: is it this drug, this strength, fit to be drawn from?

Levels: a container that is wrong or unfit stops; passing over an open vial must be meant; a later expiry
and a look-alike neighbour are notes.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final, TypeAlias

from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.strength import AmountInVolume, Powder, Strength
from kiosk.core.checks.check import Check, ContainerCase
from kiosk.core.dose.strengths import strength_per_ml
from kiosk.core.findings import Fact, Finding, Level, Refusal
from kiosk.core.stock import expiry
from kiosk.core.stock.near_names import mistaken_for
from kiosk.core.units import Measure

ContainerCheck: TypeAlias = Check[ContainerCase]

PRACTICE: Final = "common practice, no source"
FIVE_RIGHTS: Final = "right drug, checked before opening: common practice, no source"
TWO_KEEPERS: Final = "a drug list is changed by two people: common practice, no source"
SINGLE_USE: Final = "CDC injection safety guidance: a single-dose container is for one patient, one time"
LOOK_ALIKES: Final = "look-alike name pairs with tall-man letters: FDA and ISMP lists"
IN_USE: Final = "USP <797> and CDC: an opened multi-dose vial has a discard date, the maker's or 28 days"


def _finding(id: str, level: Level, source: str, case: ContainerCase, **facts: Fact) -> Finding:
    """Return a finding that always names the container in hand."""
    product = case.container.product
    return Finding(id, level, {"container": product.label_name, "lot": case.container.lot, **facts}, source)


def wrong_drug(case: ContainerCase) -> Finding | None:
    """Stop: the container holds another drug than the order names."""
    held, ordered = case.container.product.drug, case.order.drug
    if held.id == ordered.id:
        return None
    return _finding("wrong_drug", Level.STOP, FIVE_RIGHTS, case, held=held.name, ordered=ordered.name)


def wrong_strength_for_route(case: ContainerCase) -> Finding | None:
    """Stop: the right drug, but this product is not for the route ordered."""
    product, route = case.container.product, case.order.route.value
    if product.drug.id != case.order.drug.id or route in product.routes:
        return None
    meant = tuple(sorted(product.routes))
    return _finding("wrong_strength_for_route", Level.STOP, FIVE_RIGHTS, case, route=route, meant_for=meant)


def not_the_strength_asked(case: ContainerCase) -> Finding | None:
    """Stop: the order asks for one concentration (so many units per mL) and this is another."""
    asked = case.order.concentration_asked
    product = case.container.product
    if asked is None or product.drug.id != case.order.drug.id:
        return None
    unit = case.order.drug.measured_in
    wanted = AmountInVolume(Measure.of(asked, unit), Measure.of(1, "mL"))
    if same_strength(product.strength, wanted):
        return None
    asked_for = Measure.of(asked, f"{unit}/mL")
    return _finding("not_the_strength_asked", Level.STOP, FIVE_RIGHTS, case, asked=asked_for)


def strength_not_listed(case: ContainerCase) -> Finding | None:
    """Stop: the right drug, in a strength that is not in the entry that two keepers signed for it."""
    product, drug = case.container.product, case.order.drug
    alike = any(same_dry_or_wet(product.strength, listed) for listed in drug.strengths)
    if product.drug.id != drug.id or not drug.strengths or alike:
        return None
    return _finding("strength_not_listed", Level.STOP, TWO_KEEPERS, case, drug=drug.name)


def expired(case: ContainerCase) -> Finding | None:
    """Stop: the last day printed on the pack has passed."""
    if not expiry.is_expired(case.container, case.now.date()):
        return None
    return _finding("expired", Level.STOP, PRACTICE, case, expiry=case.container.expiry)


def recalled(case: ContainerCase) -> Finding | None:
    """Stop: this lot is recalled or in quarantine."""
    return _finding("recalled", Level.STOP, PRACTICE, case) if case.container.recalled else None


def in_quarantine(case: ContainerCase) -> Finding | None:
    """Stop: somebody has set this container aside."""
    reason = case.container.set_aside
    return _finding("in_quarantine", Level.STOP, PRACTICE, case, reason=reason) if reason else None


def single_use_reused(case: ContainerCase) -> Finding | None:
    """Stop: a single-use container that somebody has already opened."""
    container = case.container
    if expiry.may_be_kept(container) or not expiry.is_opened(container):
        return None
    form = container.product.form.value
    return _finding("single_use_reused", Level.STOP, SINGLE_USE, case, form=form)


def in_use_over(case: ContainerCase) -> Finding | None:
    """Stop: the open vial has reached its discard time."""
    container = case.container
    if container.discard_after is None or not expiry.in_use_is_over(container, case.now):
        return None
    over = container.discard_after.astimezone(case.now.tzinfo)
    return _finding("in_use_over", Level.STOP, IN_USE, case, discard_after=over)


def opened_when_unknown(case: ContainerCase) -> Finding | None:
    """Stop: an open vial without the day it was opened or must be discarded."""
    container = case.container
    known = container.opened_at is not None and container.discard_after is not None
    if not expiry.may_be_kept(container) or not expiry.is_opened(container) or known:
        return None
    return _finding("opened_when_unknown", Level.STOP, IN_USE, case)


def used_up(case: ContainerCase) -> Finding | None:
    """Stop: the container is empty."""
    return _finding("used_up", Level.STOP, PRACTICE, case) if expiry.is_empty(case.container) else None


def already_taken(case: ContainerCase) -> Finding | None:
    """Stop: this very object was already taken for this syringe.

    A row without a serial number stands for many alike unopened ones: a second of them is another object.
    """
    container = case.container
    one_object = bool(container.serial) or expiry.is_opened(container)
    if not one_object or all(c.id != container.id for c in case.taken):
        return None
    return _finding("already_taken", Level.STOP, PRACTICE, case)


def reserved(case: ContainerCase) -> Finding | None:
    """Stop: somebody else is preparing from it."""
    if case.container.reserved_for in ("", case.order.id):
        return None
    return _finding("reserved", Level.STOP, PRACTICE, case)


def mixed_strengths(case: ContainerCase) -> Finding | None:
    """Stop: another strength than what is already in this syringe."""
    mine = case.container.product
    for other in case.taken:
        if other.product.drug.id == mine.drug.id and not same_strength(other.product.strength, mine.strength):
            first = other.product.label_name
            return _finding("mixed_strengths", Level.STOP, PRACTICE, case, first=first)
    return None


def open_vial_first(case: ContainerCase) -> Finding | None:
    """Caution: an open vial of the same product, still good, stands on the counter."""
    better = _better(case)
    if better is None or not expiry.is_opened(better) or expiry.is_opened(case.container):
        return None
    return _better_finding("open_vial_first", Level.CAUTION, case, better)


def not_earliest_expiry(case: ContainerCase) -> Finding | None:
    """Note: one of the same product with an earlier expiry should go first."""
    better = _better(case)
    if better is None or expiry.is_opened(better) or better.expiry >= case.container.expiry:
        return None
    return _better_finding("not_earliest_expiry", Level.NOTE, case, better)


def look_alike(case: ContainerCase) -> Finding | None:
    """Note: a drug whose name or pack is mistaken for this one stands at the same counter."""
    drug = case.container.product.drug
    return look_alike_of(drug, case.shelf) if drug.id == case.order.drug.id else None


def look_alike_of(drug: Drug, shelf: Iterable[Container]) -> Finding | None:
    """Return the note that a drug easily mistaken for this one stands here, where one does."""
    near = mistaken_for(drug, (container.product.drug for container in shelf))
    facts: dict[str, Fact] = {"drug": drug.name, "near": near}
    return Finding("look_alike", Level.NOTE, facts, LOOK_ALIKES) if near else None


def _better(case: ContainerCase) -> Container | None:
    """Return what should be taken before the container in hand, if it stands on the shelf."""
    mine = case.container
    if not expiry.is_usable(mine, case.now, case.order.id):
        return None
    alike = [c for c in case.shelf if c.product.id == mine.product.id and c.id != mine.id]
    taken_ids = {c.id for c in case.taken if expiry.is_opened(c) or c.serial}
    free = [c for c in alike if c.id not in taken_ids]
    first, *_ = expiry.order_of_use([mine, *free], case.now, case.taken, case.order.id)
    return None if first.id == mine.id else first


def _better_finding(id: str, level: Level, case: ContainerCase, better: Container) -> Finding:
    """Return the finding that names the better container by lot, expiry and drawer."""
    facts: dict[str, Fact] = {"better_lot": better.lot, "better_expiry": better.expiry}
    return _finding(id, level, PRACTICE, case, **facts, better_drawer=better.drawer)


def same_strength(one: Strength, other: Strength) -> bool:
    """Say whether two labelled strengths are the same amount per volume, however written.

    Powders and amounts without a volume are the same only when they are written alike.
    """
    a, b = strength_per_ml(one), strength_per_ml(other)
    if isinstance(a, Refusal) or isinstance(b, Refusal):
        return one == other
    return a.is_like(b) and a.same(b)


def same_dry_or_wet(one: Strength, other: Strength) -> bool:
    """Say whether two labelled strengths are the same; of powders only the amount counts."""
    if isinstance(one, Powder) and isinstance(other, Powder):
        return one.amount.is_like(other.amount) and one.amount.same(other.amount)
    return same_strength(one, other)


CONTAINER_CHECKS: Final[tuple[ContainerCheck, ...]] = (
    Check("wrong_drug", "wrong_drug", wrong_drug),
    Check("wrong_strength_for_route", "wrong_strength", wrong_strength_for_route),
    Check("not_the_strength_asked", "wrong_strength", not_the_strength_asked),
    Check("strength_not_listed", "wrong_strength", strength_not_listed),
    Check("recalled", "unfit_stock", recalled),
    Check("in_quarantine", "unfit_stock", in_quarantine),
    Check("expired", "unfit_stock", expired),
    Check("single_use_reused", "contaminated_stock", single_use_reused),
    Check("opened_when_unknown", "stale_in_use_vial", opened_when_unknown),
    Check("in_use_over", "stale_in_use_vial", in_use_over),
    Check("used_up", "unfit_stock", used_up),
    Check("already_taken", "unfit_stock", already_taken),
    Check("reserved", "unfit_stock", reserved),
    Check("mixed_strengths", "wrong_strength", mixed_strengths),
    Check("open_vial_first", "stale_in_use_vial", open_vial_first),
    Check("not_earliest_expiry", "unfit_stock", not_earliest_expiry),
    Check("look_alike", "wrong_drug", look_alike),
)
