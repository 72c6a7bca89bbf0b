"""Rows of the drug list: drugs, the limits of their doses, products, the make-up lines of powders."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Final

from kiosk.core.catalogue.container import Form, Product
from kiosk.core.catalogue.drug import DoseLimit, Drug
from kiosk.core.catalogue.drug_sense import (
    LIMIT_PER,
    WEIGHT_BASES,
    Nonsense,
    drug_nonsense,
    limit_nonsense,
    limits_nonsense,
)
from kiosk.core.catalogue.routes import Route
from kiosk.core.catalogue.strength import MakeUp, Powder, Strength
from kiosk.core.units import BASE_UNITS, Measure
from kiosk.feeds import written
from kiosk.feeds.cells import Cells, source

DRUGS: Final = (
    "id",
    "name",
    "measured_in",
    "classes",
    "allergy_classes",
    "high_alert",
    "controlled",
    "is_insulin",
    "cloudy",
    "least_interval",
    "allowed_error",
    "viscosity_mpa_s",
    "salt_to_base",
    "valence",
    "molar_mass_g_per_mol",
    "weight_basis",
    "looks_like",
    "strengths",
    "source",
    "known",
)
LIMITS: Final = (
    "drug",
    "per",
    "low",
    "high",
    "unit",
    "routes",
    "min_age_days",
    "max_age_days",
    "source",
    "known",
)
PRODUCTS: Final = (
    "id",
    "gtin",
    "drug",
    "label_name",
    "strength",
    "form",
    "contents",
    "routes",
    "in_use",
    "stable_in_syringe",
    "store",
    "stated_as",
    "overfill",
    "price",
    "currency",
)
MAKE_UPS: Final = (
    "product",
    "diluent_name",
    "diluent",
    "displacement",
    "final_volume",
    "final_strength",
    "routes",
    "usable_for",
    "source",
    "known",
)
CURRENCY: Final = re.compile(r"[A-Z]{3}")
STATED_AS: Final = ("base", "salt")
ROUTES: Final = tuple(route.value for route in Route)


def read_drug(cells: Cells) -> Drug:
    """Return a drug without its limits; one that cannot be meant ends the row."""
    drug = Drug(
        id=cells.text("id"),
        name=cells.text("name"),
        measured_in=cells.one_of("measured_in", tuple(BASE_UNITS)),
        classes=frozenset(cells.many("classes")),
        allergy_classes=frozenset(cells.many("allergy_classes")),
        high_alert=cells.yes("high_alert"),
        controlled=cells.yes("controlled"),
        is_insulin=cells.yes("is_insulin"),
        cloudy=cells.yes("cloudy"),
        least_interval=cells.if_any("least_interval", lambda column: cells.measure(column, "h")),
        allowed_error=cells.number("allowed_error"),
        viscosity_mpa_s=cells.if_any("viscosity_mpa_s", cells.number),
        salt_to_base=cells.if_any("salt_to_base", cells.number),
        valence=cells.if_any("valence", cells.whole),
        molar_mass_g_per_mol=cells.if_any("molar_mass_g_per_mol", cells.number),
        weight_basis=cells.one_of("weight_basis", WEIGHT_BASES),
        source=source(cells),
        looks_like=frozenset(cells.many("looks_like")),
        strengths=tuple(_strength(cells, text) for text in cells.many("strengths")),
    )
    _end(cells, drug_nonsense(drug))
    return drug


def _strength(cells: Cells, text: str) -> Strength:
    """Return one strength of a drug, as its pack states it."""
    return written.strength(text) or cells.bad("strengths", "cell_not_a_strength", cell=text)


def _end(cells: Cells, troubles: Iterable[Nonsense]) -> None:
    """End the row with the first thing that cannot be meant, in the column that it stands in."""
    for trouble in troubles:
        cells.bad(trouble.column, trouble.why.code, **trouble.why.facts)


def read_limit(cells: Cells, drugs: Mapping[str, Drug]) -> tuple[str, DoseLimit]:
    """Return a drug's id and one bound of its dose; ``unit`` is the bound's, such as ``mg/kg``."""
    drug = cells.known("drug", drugs)
    limit = read_bounds(cells, drug)
    return drug.id, limit


def read_bounds(cells: Cells, drug: Drug, said: str = "", known: str = "") -> DoseLimit:
    """Return one bound of a drug's dose; ``said`` and ``known`` name the columns of its source."""
    per, unit = cells.one_of("per", tuple(LIMIT_PER)), cells.text("unit")
    amount = unit.removesuffix(LIMIT_PER[per])
    if amount not in BASE_UNITS or amount + LIMIT_PER[per] != unit or not _is_like(amount, drug.measured_in):
        cells.bad("unit", "cell_other_kind", wanted=drug.measured_in + LIMIT_PER[per])
    limit = DoseLimit(
        per=per,
        low=cells.if_any("low", lambda column: Measure.of(cells.number(column), unit)),
        high=cells.if_any("high", lambda column: Measure.of(cells.number(column), unit)),
        routes=frozenset(cells.many("routes", ROUTES)),
        min_age_days=cells.if_any("min_age_days", cells.whole),
        max_age_days=cells.if_any("max_age_days", cells.whole),
        source=source(cells, said or "source", known or "known"),
    )
    if limit.low is None and limit.high is None:
        cells.bad("high", "cell_empty")
    _end(cells, limit_nonsense(limit, drug))
    return limit


def read_make_up(cells: Cells, products: Mapping[str, Product]) -> tuple[str, MakeUp]:
    """Return a powder product's id and one line of its label."""
    product = cells.known("product", products)
    if not isinstance(product.strength, Powder):
        cells.bad("product", "cell_not_a_powder")
    source(cells)
    amount = product.strength.amount.unit
    line = MakeUp(
        diluent_name=cells.text("diluent_name"),
        diluent=cells.if_any("diluent", lambda column: cells.measure(column, "mL")),
        displacement=cells.if_any("displacement", lambda column: cells.measure(column, "mL")),
        final_volume=cells.if_any("final_volume", lambda column: cells.measure(column, "mL")),
        final_strength=cells.if_any("final_strength", lambda column: cells.measure(column, f"{amount}/mL")),
        routes=frozenset(cells.many("routes", ROUTES)),
        usable_for=cells.if_any("usable_for", lambda column: cells.measure(column, "h")),
    )
    if line.diluent is None and line.final_volume is None:
        cells.bad("diluent", "cell_empty")
    return product.id, line


def read_product(cells: Cells, drugs: Mapping[str, Drug]) -> Product:
    """Return a product, a powder still without its make-up lines; form and strength must go together.

    No routes means that it is never given as such: a diluent.
    """
    form = cells.choice("form", Form)
    strength = written.strength(cells.text("strength"))
    if strength is None:
        cells.bad("strength", "cell_not_a_strength")
    if isinstance(strength, Powder) is not (form is Form.POWDER_VIAL):
        cells.bad("strength", "cell_not_of_the_form", form=form.value)
    return Product(
        id=cells.text("id"),
        gtin=cells.gtin("gtin"),
        drug=cells.known("drug", drugs),
        label_name=cells.text("label_name"),
        strength=strength,
        form=form,
        contents=cells.if_any("contents", lambda column: cells.measure(column, "mL")),
        routes=frozenset(cells.many("routes", ROUTES)),
        in_use=cells.if_any("in_use", lambda column: cells.measure(column, "day")),
        stable_in_syringe=cells.if_any("stable_in_syringe", lambda column: cells.measure(column, "h")),
        store=cells.maybe("store"),
        stated_as=cells.one_of("stated_as", STATED_AS) if cells.maybe("stated_as") else "",
        overfill=cells.if_any("overfill", lambda column: cells.measure(column, "mL")),
        price=cells.if_any("price", cells.number),
        currency=_currency(cells),
    )


def _currency(cells: Cells) -> str:
    """Return the currency of a price, by its three letters of ISO 4217; a price says what it is in."""
    if not cells.maybe("price"):
        return cells.maybe("currency")
    letters = cells.text("currency")
    return letters if CURRENCY.fullmatch(letters) else cells.bad("currency", "cell_not_a_currency")


def write_product(product: Product) -> dict[str, str]:
    """Return the cells of a product; its make-up lines stand in their own list."""
    return {
        "id": product.id,
        "gtin": product.gtin,
        "drug": product.drug.id,
        "label_name": product.label_name,
        "strength": written.write_strength(product.strength),
        "form": product.form.value,
        "contents": _written(product.contents),
        "routes": "; ".join(route for route in ROUTES if route in product.routes),
        "in_use": _written(product.in_use),
        "stable_in_syringe": _written(product.stable_in_syringe),
        "store": product.store,
        "stated_as": product.stated_as,
        "overfill": _written(product.overfill),
        "price": "" if product.price is None else written.write_number(product.price),
        "currency": product.currency,
    }


def _written(value: Measure | None) -> str:
    """Return a measure as text, or nothing."""
    return "" if value is None else written.write_measure(value)


def with_limits(drug: Drug, limits: list[tuple[str, DoseLimit]]) -> Drug:
    """Return the drug with the bounds that name it."""
    return replace(drug, limits=tuple(limit for id, limit in limits if id == drug.id))


def contradictions(drugs: Iterable[Drug]) -> Iterable[Nonsense]:
    """Yield what no single row can see: bounds of one drug that contradict one another."""
    for drug in drugs:
        yield from limits_nonsense(drug)


def with_make_ups(product: Product, lines: list[tuple[str, MakeUp]]) -> Product:
    """Return a powder product with the lines of its label; any other product as it is."""
    if not isinstance(product.strength, Powder):
        return product
    mine = tuple(line for id, line in lines if id == product.id)
    return replace(product, strength=replace(product.strength, make_ups=mine))


def _is_like(unit: str, measured_in: str) -> bool:
    """Say whether a limit's amount may bound a drug measured in this unit."""
    return Measure.of(1, unit).is_like(measured_in)
