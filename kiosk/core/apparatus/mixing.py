"""Two drugs in one syringe: whether they may share it, and which is drawn first."""

from __future__ import annotations

from collections.abc import Sequence

from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.device_tables import DeviceTables, Mixing
from kiosk.core.catalogue.drug import Drug
from kiosk.core.findings import Fact, Finding, Level


def may_share(first: Drug, second: Drug, tables: DeviceTables) -> Finding | None:
    """Say why two drugs may not share a syringe; a pair that no table allows is refused."""
    if first.id == second.id:
        return None
    rows = _rows(first, second, tables)
    if rows and all(row.together for row in rows):
        return None
    facts: dict[str, Fact] = {"first": first.name, "second": second.name}
    source = rows[0].basis.said if rows else "common practice, no source"
    return Finding("not_in_one_syringe", Level.STOP, facts, source)


def _rows(first: Drug, second: Drug, tables: DeviceTables) -> list[Mixing]:
    """Return the rows about a class of the one and a class of the other."""
    return [
        row
        for row in tables.mixing
        if (row.first_class in first.classes and row.second_class in second.classes)
        or (row.first_class in second.classes and row.second_class in first.classes)
    ]


def drawing_order(containers: Sequence[Container], tables: DeviceTables) -> tuple[Container, ...]:
    """Return the containers in the order they are drawn from: what a row draws first, clear before cloudy.

    Otherwise the order in which they were taken is kept.
    """
    firsts = {row.draw_first for row in tables.mixing if row.draw_first}
    mixed = len({c.product.drug.id for c in containers}) > 1

    def later(container: Container) -> tuple[bool, bool]:
        drug = container.product.drug
        return (mixed and drug.cloudy, mixed and not firsts & drug.classes)

    return tuple(sorted(containers, key=later))
