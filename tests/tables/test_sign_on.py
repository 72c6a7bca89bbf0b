"""The figures of signing on: in a table with its source, and a site only ever stricter."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.store.policy import SignOnPolicy
from kiosk.tables.csv_rows import BadTable
from kiosk.tables.sign_on import sign_on_figures
from kiosk.wiring.home import Home
from kiosk.wiring.offices import sign_on_policy

HEADER = "id,value,unit,stricter,source,known\n"


def site(folder: Path, *lines: str) -> Path:
    (folder / "sign_on.csv").write_text(HEADER + "".join(f"{line}\n" for line in lines), encoding="utf-8")
    return folder


def test_the_published_figures_are_those_the_store_is_opened_with(tmp_path: Path) -> None:
    assert sign_on_policy(Home(tmp_path)) == SignOnPolicy()


def test_every_figure_says_where_it_is_from() -> None:
    figures = sign_on_figures()
    assert figures.idle.value.to("s").value == 180  # common practice, no source
    assert "no source" in figures.idle.source
    assert figures.left_alone.value > figures.idle.value


def test_a_sites_own_figure_takes_the_place_of_the_published_one(tmp_path: Path) -> None:
    own = site(tmp_path, "idle,60,s,lower,our ward's rule of 2026,common practice")
    assert sign_on_figures(own).idle.value.to("s").value == 60
    assert sign_on_figures(own).tries == sign_on_figures().tries


@pytest.mark.parametrize(
    "line",
    [
        "idle,181,s,lower,ours,common practice",
        "idle,3,1,lower,ours,common practice",
        "idle,0,s,lower,ours,common practice",
        "first_wait,0.5,s,higher,ours,common practice",
        "first_wait,0.5,s,lower,ours,common practice",  # the site does not decide which way is stricter
        "tries,6,1,lower,ours,common practice",
        "rest,6,1,lower,ours,common practice",
        "idle,60,s,lower,,common practice",
    ],
)
def test_a_looser_an_unknown_or_an_unsourced_figure_is_refused(tmp_path: Path, line: str) -> None:
    with pytest.raises(BadTable):
        sign_on_figures(site(tmp_path, line))


def test_a_sites_figures_reach_the_judge_of_pins(tmp_path: Path) -> None:
    home = Home(tmp_path)
    home.tables.mkdir()
    site(home.tables, "tries,3,1,lower,ours,common practice", "least_digits,6,1,higher,ours,common practice")
    policy = sign_on_policy(home)
    assert (policy.tries, policy.least_digits) == (3, 6)
