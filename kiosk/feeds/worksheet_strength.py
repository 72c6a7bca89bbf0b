"""Reads a strength of a question: an amount in a volume, an amount per volume, a percentage, a ratio."""

from __future__ import annotations

import re
from typing import Any, Final

from kiosk.core.units import same_kind
from kiosk.feeds.worksheet_figures import Figures
from kiosk.feeds.worksheet_given import FactName, Given
from kiosk.feeds.worksheet_read import BadInput
from kiosk.feeds.worksheet_shapes import body_mass, shape


def strength(the: Figures, row: FactName, node: Any, path: str, found: Given) -> None:
    """Read a strength: an amount in a volume, an amount per volume, a percentage, a ratio."""
    if isinstance(node, dict) and ("amount" in node or "volume" in node):
        _amount_in_volume(the, row, node, path, found)
        return
    if _is_ratio(node):
        found.words["strength_written"] = "ratio"
        found.state(row.fact, the.ratio(node, path), path)
        return
    value = body_mass(the.measure(node, path, row.unit))
    if shape(value.unit) == "amount" and row.fact == "stock_strength":
        found.state("content", value, path)
        return
    if shape(value.unit) not in ("amount/volume", "percent"):
        raise BadInput(f"{path}.unit", "unit_of_another_kind", unit=value.unit)
    if value.unit == "%":
        found.words["strength_written"] = "percent"
    found.state(row.fact, value, path)


_RATIO_TEXT: Final = re.compile(r"[0-9.]+\s*(:|in|to)\s*[0-9.,]+\s*")


def _is_ratio(node: Any) -> bool:
    """Say whether a strength is written as 1:1000, as 1 in 1000 or as its parts."""
    return "in" in node if isinstance(node, dict) else bool(_RATIO_TEXT.fullmatch(str(node)))


def _amount_in_volume(the: Figures, row: FactName, node: dict[str, Any], path: str, found: Given) -> None:
    """Read ``{"amount": ..., "volume": ...}``; the label's own amount and volume are kept for the stock."""
    the.only(node, ("amount", "volume"), path)
    for key in ("amount", "volume"):
        if key not in node:
            raise BadInput(f"{path}.{key}", "missing")
    amount = body_mass(the.measure(node["amount"], f"{path}.amount"))
    volume = the.measure(node["volume"], f"{path}.volume", "mL")
    if shape(amount.unit) != "amount":
        raise BadInput(f"{path}.amount.unit", "unit_of_another_kind", unit=amount.unit)
    if volume.unit == "1" and row.fact == "stock_strength":
        found.state("content", amount.scaled(1 / volume.value), f"{path}.amount")
        return
    if not same_kind(volume.unit, "mL"):
        raise BadInput(f"{path}.volume.unit", "unit_of_another_kind", unit=volume.unit)
    found.state(row.fact, amount.over(volume, f"{amount.unit}/mL"), path)
    if row.fact == "stock_strength":
        found.state("label_amount", amount, f"{path}.amount")
        found.state("label_volume", volume.to("mL"), f"{path}.volume")
