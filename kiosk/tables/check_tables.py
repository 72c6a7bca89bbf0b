"""Reads the tables behind the checks into their row types; refuses a table that lacks a row it must have."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import fields
from decimal import Decimal
from pathlib import Path
from typing import Final

from kiosk.core.catalogue.check_forms import CheckForm
from kiosk.core.catalogue.check_tables import (
    AgeBand,
    AllergyName,
    CheckFigures,
    CheckPolicy,
    CrossReaction,
    Figure,
    GrowthCurve,
    LookAlike,
    OrderTables,
    SecondRule,
    WeightBound,
    WeightFreshness,
)
from kiosk.core.catalogue.routes import Route
from kiosk.core.checks.independence import IndependenceFigures
from kiosk.core.checks.second_person import made_stricter
from kiosk.core.findings import Level, Refusal
from kiosk.core.notation import UnsafeForm
from kiosk.core.units import Measure
from kiosk.tables.csv_rows import BadTable, Row, read, rows

_ROUTES: Final = tuple(route.value for route in Route)
_SEXES: Final = ("female", "male")
_WAYS: Final = ("lower", "higher")
_YES: Final = ("yes", "")
_FORMS: Final = tuple(form for form in CheckForm if form is not CheckForm.ONE)


def order_tables(
    unsafe: tuple[UnsafeForm, ...], site: Path | None = None, own: Iterable[Figure] | None = None
) -> OrderTables:
    """Return every table of the order checks. ``site`` is a folder with a site's own, stricter policy.

    ``own`` are the site's figures in force, where the record knows them. Raises ``BadTable``.
    """
    return OrderTables(
        allergy_names=allergy_names(),
        cross_reactions=cross_reactions(),
        growth=growth(),
        weight_bounds=tuple(_weight_bound(row) for row in rows("weight_ceilings")),
        freshness=tuple(_freshness(row) for row in rows("weight_freshness")),
        look_alikes=look_alikes(),
        unsafe_forms=unsafe,
        by_volume=frozenset(row.text("class") for row in rows("ordered_by_volume", ("class",))),
        policy=check_policy(site, own),
    )


def check_policy(site: Path | None = None, own: Iterable[Figure] | None = None) -> CheckPolicy:
    """Return the published policy, made stricter by ``check_policy.csv`` and ``second_person.csv`` of a site.

    ``own`` are figures that take the place of those in the site's file. Raises ``BadTable``, also when a
    site's figure is looser than the published one.
    """
    published = CheckPolicy(
        _figures(_figure(row) for row in rows("check_policy")),
        (*(_rule(row) for row in rows("second_person")), *(_high_alert(row) for row in rows("high_alert"))),
    )
    figures = [_figure(row) for row in _site_rows(site, "check_policy.csv")] if own is None else own
    stricter = made_stricter(
        published, figures, [_rule(row) for row in _site_rows(site, "second_person.csv")]
    )
    if isinstance(stricter, Refusal):
        which = stricter.facts.get("figure") or stricter.facts["reason"]
        raise BadTable(f"check_policy.csv: {stricter.code}: {which}")
    return stricter


def _site_rows(site: Path | None, file: str) -> list[Row]:
    """Return the rows of a site's file; a file that is not there has none."""
    return read(site / file) if site is not None and (site / file).exists() else []


def _chosen(row: Row, column: str, choices: tuple[str, ...]) -> str:
    """Return a cell that must be one of some words."""
    if row[column] not in choices:
        raise row.refused(f"{column} must be one of {choices}, not {row[column]!r}")
    return row[column]


def _level(row: Row) -> Level:
    """Return the level a row names."""
    return Level(_chosen(row, "level", tuple(Level)))


def _ages(row: Row) -> AgeBand:
    """Return the ages a row is for."""
    return AgeBand(row.whole("from_days"), row.whole("until_days") if row["until_days"] else None)


def _routes(row: Row) -> frozenset[str]:
    """Return the routes a row is for, parted by semicolons; none means every route."""
    named = frozenset(part.strip() for part in row["routes"].split(";") if part.strip())
    if not named <= set(_ROUTES):
        raise row.refused(f"no such route among {sorted(named)}")
    return named


def allergy_names() -> tuple[AllergyName, ...]:
    """Return how allergies are written and what class each means."""
    return tuple(
        AllergyName(row.text("written"), row.text("class"), row["source"])
        for row in rows("allergy_classes", ("written",))
    )


def cross_reactions() -> tuple[CrossReaction, ...]:
    """Return which allergies may cross to which classes."""
    return tuple(
        CrossReaction(row.text("allergic_to"), row.text("given"), _level(row), row["share"], row["source"])
        for row in rows("allergy_crossing", ("allergic_to", "given"))
    )


def growth() -> tuple[GrowthCurve, ...]:
    """Return the curves of the growth reference."""
    points: dict[tuple[str, Decimal], list[tuple[int, Measure]]] = defaultdict(list)
    sources: dict[tuple[str, Decimal], str] = {}
    for row in rows("growth_weight", ("sex", "age_days", "sds")):
        curve = _chosen(row, "sex", _SEXES), row.decimal("sds")
        points[curve].append((row.whole("age_days"), row.measure("weight")))
        sources[curve] = row["source"]
    return tuple(
        GrowthCurve(*curve, tuple(sorted(found, key=lambda point: point[0])), sources[curve])
        for curve, found in points.items()
    )


def look_alikes() -> tuple[LookAlike, ...]:
    """Return the published pairs of names that are taken for each other."""
    return tuple(
        LookAlike(row.text("one"), row.text("other"), row["source"])
        for row in rows("look_alike", ("one", "other"))
    )


def _weight_bound(row: Row) -> WeightBound:
    """Return a bound on body weight."""
    return WeightBound(_ages(row), row.measure("least"), row.measure("most"), _level(row), row["source"])


def _freshness(row: Row) -> WeightFreshness:
    """Return how long a weight may be used."""
    return WeightFreshness(_ages(row), row.measure("within"), _level(row), row["source"])


def _figure(row: Row) -> Figure:
    """Return one figure of the policy."""
    return Figure(row.text("id"), row.measure("value"), _chosen(row, "stricter", _WAYS), row["source"])


def _figures(found: Iterable[Figure]) -> CheckFigures:
    """Return the figures by name; the table must have exactly those the checks ask for."""
    by_name = {figure.name: figure for figure in found}
    wanted = {field.name for field in fields(CheckFigures)}
    if by_name.keys() != wanted:
        raise BadTable(f"check_policy.csv: missing or unknown: {sorted(by_name.keys() ^ wanted)}")
    return CheckFigures(**by_name)


def _rule(row: Row) -> SecondRule:
    """Return one rule of who must look twice."""
    ages = _ages(row) if row["from_days"] else None
    conditions = ("spoken", "trainee", "controlled", "high_alert", "by_body", "above_limit")
    return SecondRule(
        row.text("reason"),
        drug=row["drug"],
        drug_class=row["drug_class"],
        routes=_routes(row),
        ages=ages,
        at_least=row.measure_or_none("at_least"),
        source=row["source"],
        form=CheckForm(_chosen(row, "form", _FORMS)) if row.get("form") else CheckForm.INDEPENDENT,
        **{name: _chosen(row, name, _YES) == "yes" for name in conditions},
    )


def _high_alert(row: Row) -> SecondRule:
    """Return the rule that a row of the high-alert list amounts to."""
    value, is_drug = row.text("value"), _chosen(row, "kind", ("drug", "class")) == "drug"
    return SecondRule(
        "high_alert_drug",
        drug=value if is_drug else "",
        drug_class="" if is_drug else value,
        routes=_routes(row),
        source=row["source"],
    )


def self_check_pause() -> Measure:
    """Return how long a person who checks alone steps back first. Raises ``BadTable`` when it is missing."""
    found = {row.text("id"): row.measure("value") for row in rows("independence")}
    if "self_check_pause" not in found:
        raise BadTable("independence.csv: missing: self_check_pause")
    return found["self_check_pause"]


def independence_figures() -> IndependenceFigures:
    """Return the figures of the report on second checks. Raises ``BadTable`` when one is missing."""
    found = {row.text("id"): row.measure("value") for row in rows("independence")}
    least = {name.removeprefix("least_"): value for name, value in found.items() if name.startswith("least_")}
    missing = {"pair_share", "pair_from", "luck"} - found.keys()
    if missing or not least:
        raise BadTable(f"independence.csv: missing: {sorted(missing)}")
    share, luck, count = (found[name].value for name in ("pair_share", "luck", "pair_from"))
    return IndependenceFigures(least, share, int(count), luck)
