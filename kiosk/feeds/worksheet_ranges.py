"""Reads a range of doses: its two ends as a table, a list, or text such as ``10-15 mg/kg``."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any, Final, TypeAlias

from kiosk.core.units import same_kind
from kiosk.feeds.worksheet_figures import Figures
from kiosk.feeds.worksheet_given import FactName, Given
from kiosk.feeds.worksheet_read import BadInput, wrong_type
from kiosk.feeds.worksheet_stating import in_family

Ends: TypeAlias = tuple[tuple[str, Any], tuple[str, Any]]
_SPELT: Final = {"low": "low", "min": "low", "from": "low", "high": "high", "max": "high", "to": "high"}


def both_ends(family: str) -> Callable[[Figures, FactName, Any, str, Given], None]:
    """Return the reader of a range whose ends belong to one family of shapes."""

    def read(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
        measures = [
            (end, where, the.measure(value, where, zero=end == "low"))
            for end, where, value in _ends(the, node, path)
        ]
        (_, _, low), (_, _, high) = measures
        if not same_kind(low.unit, high.unit) or low > high:
            raise BadInput(path, "range_upside_down")
        for end, where, measure in measures:
            in_family(family, replace(row, fact=end), measure, where, found)

    return read


def _ends(the: Figures, node: Any, path: str) -> Iterator[tuple[str, str, Any]]:
    """Yield both ends, the low one first: which it is, its path, its measure."""
    if isinstance(node, str):
        ends = the.range_of_text(node, path)
        yield from (("low", path, ends[0]), ("high", path, ends[1]))
    elif isinstance(node, list):
        if len(node) != 2:
            raise BadInput(path, "not_a_range")
        yield from (("low", f"{path}[0]", node[0]), ("high", f"{path}[1]", node[1]))
    elif isinstance(node, dict):
        yield from _of_table(the, node, path)
    else:
        wrong_type(path, "range")


def _of_table(the: Figures, node: dict[str, Any], path: str) -> Iterator[tuple[str, str, Any]]:
    """Yield the ends of ``{"low": ..., "high": ..., "unit": ...}``; the unit serves ends that have none."""
    the.only(node, (*_SPELT, "unit"), path)
    found = {_SPELT[key]: (f"{path}.{key}", value) for key, value in node.items() if key != "unit"}
    for end in ("low", "high"):
        if end not in found:
            raise BadInput(f"{path}.{end}", "missing")
        where, value = found[end]
        bare = "unit" in node and not isinstance(value, dict)
        yield end, where, {"value": value, "unit": node["unit"]} if bare else value
