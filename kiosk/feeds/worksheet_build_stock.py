"""From a description to the containers of the core, each as far as it is described."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any, Final

from kiosk.core.catalogue.container import Container, Form, Product
from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.routes import Route
from kiosk.core.catalogue.strength import AmountInVolume, AmountOnly, MakeUp, Powder, Strength
from kiosk.core.dose.follow_units import plain
from kiosk.core.findings import Finding, Level
from kiosk.core.units import Measure
from kiosk.feeds.worksheet_builder import AMOUNTS, Builder
from kiosk.feeds.worksheet_form import MOST_CONTAINERS, ContainerIn, Description, MakeUpIn
from kiosk.feeds.worksheet_given import FactName, Given
from kiosk.feeds.worksheet_moments import day, moment
from kiosk.feeds.worksheet_read import BadInput
from kiosk.feeds.worksheet_readers import READERS

NEVER: Final = date(9999, 12, 31)


def containers(the: Builder, described: Description, drug: Drug) -> tuple[Container, ...]:
    """Return every container, ``how_many`` told out one by one; what they lack is noted as missing."""
    found: list[Container] = []
    for at, said in enumerate(described.containers):
        path = f"containers[{at}]"
        if not 1 <= said.how_many <= MOST_CONTAINERS:
            raise BadInput(f"{path}.how_many", "not_a_whole_number", most=MOST_CONTAINERS)
        one = _container(the, said, path, drug, at)
        found.extend(_told_out(one, said.how_many) if one else ())
    if len(found) > MOST_CONTAINERS:
        raise BadInput("containers", "list_too_long", most=MOST_CONTAINERS)
    if not described.containers:
        the.missing.append("containers")
    return tuple(found)


def _told_out(one: Container, how_many: int) -> Iterator[Container]:
    """Yield identical unopened containers of one lot under one id, as the shelf keeps them."""
    yield from (one for _ in range(how_many))


def _container(the: Builder, said: ContainerIn, path: str, drug: Drug, at: int) -> Container | None:
    """Return one container, or None when its strength or form is not said."""
    product = _product(the, said, path, drug, at)
    expiry = NEVER if said.expiry is None else day(said.expiry, f"{path}.expiry")
    if said.expiry is None:
        the.unsaid.add(f"{path}.expiry")
    if said.how_many > 1 and (said.left is not None or said.serial):
        raise BadInput(f"{path}.how_many", "one_of_its_own")
    left = None if said.left is None else the.figures.measure(said.left, f"{path}.left", "mL", zero=True)
    opened = None if said.opened_at is None else moment(said.opened_at, f"{path}.opened_at")
    discard = None if said.discard_after is None else moment(said.discard_after, f"{path}.discard_after")
    if product is None:
        return None
    made_up = _chosen(said, product.strength)
    return Container(
        id=said.id or f"container-{at + 1}",
        product=product,
        lot=said.lot,
        expiry=expiry,
        serial=said.serial,
        left=left,
        opened_at=opened,
        discard_after=discard,
        recalled=said.recalled,
        used_up=said.used_up,
        made_up=made_up if left is not None else None,
    )


def _product(the: Builder, said: ContainerIn, path: str, drug: Drug, at: int) -> Product | None:
    """Return what kind of thing the container is."""
    strength, fill = _strength(the, said, path)
    form = the.word(said.form, Form, f"{path}.form")
    contents = the.measure(said.contents, f"{path}.contents", ("mL",), "mL") or fill
    other = said.drug is not None and said.drug.casefold() not in (drug.id, drug.name.casefold())
    held = Drug(said.drug.casefold(), said.drug, drug.measured_in) if other and said.drug else drug
    routes = frozenset(str(the.word(route, Route, f"{path}.routes")) for route in said.routes)
    if not routes:
        the.unsaid.add(f"{path}.routes")
    in_use = the.measure(said.in_use, f"{path}.in_use", ("h",))
    overfill = the.measure(said.overfill, f"{path}.overfill", ("mL",), "mL")
    if form is None:
        the.missing.append(f"{path}.form")
    if strength is None or form is None:
        return None
    return Product(
        id=f"product-{at + 1}",
        gtin="",
        drug=held,
        label_name=said.name or held.name,
        strength=strength,
        form=form,
        contents=contents,
        routes=routes,
        in_use=in_use,
        stated_as=said.stated_as,
        overfill=overfill,
    )


def _strength(the: Builder, said: ContainerIn, path: str) -> tuple[Strength | None, Measure | None]:
    """Return the labelled strength, and the fill where the label states an amount in a volume."""
    ways = [name for name in ("strength", "amount", "powder") if getattr(said, name) is not None]
    if len(ways) > 1:
        raise BadInput(f"{path}.{ways[1]}", "strength_stated_twice", first=f"{path}.{ways[0]}")
    if said.make_ups and said.powder is None:
        raise BadInput(f"{path}.make_ups", "make_up_without_powder")
    if said.powder is not None:
        return _powder(the, said, path), None
    if said.amount is not None:
        amount = the.measure(said.amount, f"{path}.amount", AMOUNTS)
        assert amount is not None
        return AmountOnly(amount), None
    if said.strength is None:
        the.missing.append(f"{path}.strength")
        return None, None
    return _liquid(the, said, path)


def _liquid(the: Builder, said: ContainerIn, path: str) -> tuple[Strength | None, Measure | None]:
    """Return the strength of a liquid; an amount in a volume is taken for the whole fill, with a note."""
    facts = strength_facts(the, said.strength, f"{path}.strength")
    if "content" in facts:
        return AmountOnly(facts["content"]), None
    if "label_volume" not in facts:
        per_ml = plain(facts["stock_strength"])
        unit = per_ml.unit.split("/")[0]
        return AmountInVolume(Measure(per_ml.to(f"{unit}/mL").value, unit), Measure.of(1, "mL")), None
    amount, volume = facts["label_amount"], facts["label_volume"]
    if said.contents is None:
        note = Finding(
            "contents_taken_from_label", Level.NOTE, {"contents": volume}, "common practice, no source"
        )
        the.figures.note(note)
    return AmountInVolume(amount, volume), volume


def strength_facts(the: Builder, node: Any, path: str) -> dict[str, Measure]:
    """Return what a strength states, by fact."""
    found = Given()
    row = FactName("strength", "strength", "stock_strength", "", "")
    READERS["strength"](the.figures, row, node, path, found)
    return {one.fact: one.value for one in found.said}


def _powder(the: Builder, said: ContainerIn, path: str) -> Powder:
    """Return a dry amount with the lines of its label."""
    amount = the.measure(said.powder, f"{path}.powder", AMOUNTS)
    assert amount is not None
    if sum(line.chosen for line in said.make_ups) > 1:
        raise BadInput(f"{path}.make_ups", "chosen_twice")
    lines = (_make_up(the, line, f"{path}.make_ups[{at}]") for at, line in enumerate(said.make_ups))
    return Powder(amount, tuple(lines))


def _make_up(the: Builder, said: MakeUpIn, path: str) -> MakeUp:
    """Return one line of a powder label."""
    strength = None
    if said.final_strength is not None:
        facts = strength_facts(the, said.final_strength, f"{path}.final_strength")
        if "stock_strength" not in facts:
            raise BadInput(f"{path}.final_strength", "unit_of_another_kind", unit="")
        strength = plain(facts["stock_strength"])
    displacement = said.displacement
    return MakeUp(
        diluent_name=said.diluent_name,
        diluent=the.measure(said.diluent, f"{path}.diluent", ("mL",), "mL"),
        displacement=None if displacement is None else _displacement(the, displacement, path),
        final_volume=the.measure(said.final_volume, f"{path}.final_volume", ("mL",), "mL"),
        final_strength=strength,
        routes=frozenset(str(the.word(route, Route, f"{path}.routes")) for route in said.routes),
        usable_for=the.measure(said.usable_for, f"{path}.usable_for", ("h",)),
    )


def _displacement(the: Builder, node: Any, path: str) -> Measure:
    """Return the powder's own volume, of the vial or per mass."""
    found = Given()
    row = FactName("displacement", "displacement", "displacement_volume", "mL", "")
    READERS["displacement"](the.figures, row, node, f"{path}.displacement", found)
    return found.said[0].value


def _chosen(said: ContainerIn, strength: Strength) -> MakeUp | None:
    """Return the line of the label that is marked as chosen."""
    if not isinstance(strength, Powder):
        return None
    return next(
        (line for line, text in zip(strength.make_ups, said.make_ups, strict=True) if text.chosen), None
    )


def chosen_make_up(described: Description, built: tuple[Container, ...]) -> MakeUp | None:
    """Return the first line marked as chosen among the powders of a description."""
    powders = [container.product.strength for container in built]
    for said in described.containers:
        for at, line in enumerate(said.make_ups):
            if line.chosen:
                return next(
                    (
                        p.make_ups[at]
                        for p in powders
                        if isinstance(p, Powder) and len(p.make_ups) == len(said.make_ups)
                    ),
                    None,
                )
    return None
