"""A site's own figures laid over the shipped ones: what may be replaced, added or chosen, and what not."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.core.units import Measure
from kiosk.tables.csv_rows import BadTable, digest_of_tables, rows, with_site
from kiosk.tables.device_tables import device_tables
from kiosk.tables.resources import resource

CHOICE = "choice,option,chosen,value,unit,meaning,source,known\n"
LIMIT = "id,route,site,age_from,age_until,usual_ml,most_ml,source,known\n"


def shipped(table: str, start: str) -> str:
    """One line of a shipped table."""
    lines = resource("tables", f"{table}.csv").read_text(encoding="utf-8").splitlines()
    return next(line for line in lines if line.startswith(start)) + "\n"


def test_without_files_of_its_own_a_site_has_the_shipped_tables(tmp_path: Path) -> None:
    assert device_tables(with_site(tmp_path / "not there")) == device_tables()


def test_a_figure_from_practice_may_be_replaced_by_the_sites_own(tmp_path: Path) -> None:
    own = LIMIT + "deltoid_adult,intramuscular,deltoid,216 mo,,0.8,1.5,our policy 2026-02,common practice\n"
    (tmp_path / "volume_limits.csv").write_text(own, encoding="utf-8")
    limits = {limit.id: limit for limit in device_tables(with_site(tmp_path)).volume_limits}
    assert limits["deltoid_adult"].most == Measure.of("1.5", "mL")
    assert limits["deltoid_adult"].basis.source == "our policy 2026-02"
    assert (
        limits["ventrogluteal_adult"]
        == {r.id: r for r in device_tables().volume_limits}["ventrogluteal_adult"]
    )


def test_a_row_of_its_own_is_added_at_the_end(tmp_path: Path) -> None:
    own = LIMIT + "our_ward,intramuscular,deltoid,216 mo,,0.5,1,our policy 2026-02,common practice\n"
    (tmp_path / "volume_limits.csv").write_text(own, encoding="utf-8")
    found = device_tables(with_site(tmp_path)).volume_limits
    assert found[-1].id == "our_ward"
    assert len(found) == len(rows("volume_limits")) + 1


def test_a_choice_among_published_options_is_the_sites(tmp_path: Path) -> None:
    acip, uk = shipped("device_choices", "needle_body,acip"), shipped("device_choices", "needle_body,uk")
    own = CHOICE + acip.replace(",yes,", ",no,") + uk.replace(",no,", ",yes,")
    (tmp_path / "device_choices.csv").write_text(own, encoding="utf-8")
    assert device_tables(with_site(tmp_path)).policy.needle_body == "uk"


def test_what_was_seen_in_a_published_source_stays(tmp_path: Path) -> None:
    line = shipped("device_choices", "least_barrel_share,fifth").replace(",0.2,", ",0.01,")
    (tmp_path / "device_choices.csv").write_text(CHOICE + line, encoding="utf-8")
    with pytest.raises(BadTable, match=r"device_choices\.csv:2: what was seen .* stays as it is"):
        device_tables(with_site(tmp_path))


def test_a_sites_row_needs_a_source_as_any_other(tmp_path: Path) -> None:
    own = LIMIT + "our_ward,intramuscular,deltoid,216 mo,,0.5,1,,common practice\n"
    (tmp_path / "volume_limits.csv").write_text(own, encoding="utf-8")
    with pytest.raises(BadTable, match=r"volume_limits\.csv:2: source is empty"):
        device_tables(with_site(tmp_path))


def test_the_sites_files_have_digests_beside_the_shipped_ones(tmp_path: Path) -> None:
    (tmp_path / "volume_limits.csv").write_text(LIMIT, encoding="utf-8")
    digests = digest_of_tables(tmp_path)
    assert digests["site/volume_limits"] != digests["volume_limits"]
    assert digests.keys() - digest_of_tables().keys() == {"site/volume_limits"}
