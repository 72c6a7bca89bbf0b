"""The tables behind the labels: what they let in and what they turn away."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.core.units import Measure
from kiosk.tables.csv_rows import BadTable, Row, read
from kiosk.tables.label_limits import immediate_use_limits, limits_of, placement, placement_of

LIMITS = "id,within,unit,counts_from,chosen,source,known\n"
START = "start of preparation"


def found(tmp_path: Path, text: str) -> list[Row]:
    path = tmp_path / "table.csv"
    path.write_text(text, encoding="utf-8")
    return read(path)


def test_the_shipped_limits_have_one_default_of_four_hours() -> None:
    # USP <797>, edition official in 2023.
    (default,) = (limit for limit in immediate_use_limits() if limit.chosen)
    assert default.within == Measure.of(4, "h")
    assert all(limit.source for limit in immediate_use_limits())


def test_the_shipped_label_is_thirty_millimetres_round_the_barrel() -> None:
    assert placement().label_height == Measure.of(30, "mm")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        (f"a,4,h,the last drop,yes,s,seen\nb,1,h,{START},no,s,seen\n", "counts_from"),
        (f"a,4,h,{START},perhaps,s,seen\n", "chosen"),
        (f"a,4,h,{START},no,s,seen\n", "exactly one"),
        (f"a,4,h,{START},yes,s,seen\nb,1,h,{START},yes,s,seen\n", "exactly one"),
        (f"a,four,h,{START},yes,s,seen\n", "not a plain decimal"),
    ],
)
def test_limits_that_leave_a_doubt_are_refused(tmp_path: Path, text: str, why: str) -> None:
    with pytest.raises(BadTable, match=why):
        limits_of(found(tmp_path, LIMITS + text))


def test_a_missing_size_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadTable, match="the rows must be"):
        placement_of(found(tmp_path, "id,value,unit,source,known\nwall,1,mm,s,common practice\n"))
