"""The tables behind the checks: loaded whole, refused when a row is wrong."""

from __future__ import annotations

from dataclasses import fields
from decimal import Decimal
from pathlib import Path

import pytest

from kiosk.core.catalogue.check_tables import CheckFigures
from kiosk.core.units import Measure
from kiosk.tables.check_tables import check_policy, growth, independence_figures, look_alikes, order_tables
from kiosk.tables.csv_rows import BadTable
from kiosk.tables.words import languages, words

FIGURE = "id,value,unit,stricter,source,known\n"
RULE = (
    "reason,drug,drug_class,routes,from_days,until_days,spoken,trainee,controlled,high_alert,by_body,"
    "above_limit,at_least,unit,source,known\n"
)


def test_every_table_is_there_and_has_rows() -> None:
    tables = order_tables(())
    for field in fields(tables):
        if field.name not in ("unsafe_forms", "policy"):
            assert getattr(tables, field.name), field.name


def test_the_policy_has_every_figure_with_its_source() -> None:
    figures = check_policy().figures
    assert all(getattr(figures, field.name).source for field in fields(CheckFigures))
    assert figures.due_early.value == Measure.of(4, "h")


def test_there_is_a_curve_for_each_sex_and_sds() -> None:
    curves = {(curve.sex, curve.sds) for curve in growth()}
    wanted = [Decimal(text) for text in ("-4", "-2.67", "0", "2.67", "4")]
    assert curves == {(sex, sds) for sex in ("female", "male") for sds in wanted}


def test_ages_of_weight_bounds_leave_no_gap() -> None:
    tables = order_tables(())
    for bands in (
        [bound.ages for bound in tables.weight_bounds],
        [rule.ages for rule in tables.freshness],
    ):
        for age in (0, 27, 28, 364, 365, 1460, 1461, 3652, 3653, 7304, 7305, 40000):
            assert any(band.holds(age) for band in bands), age


def test_every_reason_has_words_in_every_language() -> None:
    for language in languages():
        said = words(language)
        for rule in check_policy().second:
            assert f"second.{rule.reason}" in said, (language, rule.reason)


def test_tall_man_pairs_differ_only_where_they_are_tall() -> None:
    """Two names of a pair are not one word, and each has capitals to tell it by, or its partner has."""
    for pair in look_alikes():
        assert pair.one.casefold() != pair.other.casefold()
        assert any(letter.isupper() for letter in pair.one + pair.other)


def test_a_site_is_read_and_makes_things_stricter(tmp_path: Path) -> None:
    (tmp_path / "check_policy.csv").write_text(FIGURE + "due_late,1,h,lower,the site,common practice\n")
    (tmp_path / "second_person.csv").write_text(
        RULE + "high_alert_drug,somnolin,,,,,,,,,,,,,the site,common practice\n"
    )
    site = check_policy(tmp_path)
    assert site.figures.due_late.value == Measure.of(1, "h")
    assert len(site.second) == len(check_policy().second) + 1


def test_an_empty_site_changes_nothing(tmp_path: Path) -> None:
    assert check_policy(tmp_path) == check_policy()


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("check_policy.csv", FIGURE + "due_late,3,h,lower,the site,common practice\n"),
        ("check_policy.csv", FIGURE + "due_later,1,h,lower,the site,common practice\n"),
        ("check_policy.csv", FIGURE + "due_late,1,h,sideways,the site,common practice\n"),
        ("check_policy.csv", FIGURE + "due_late,1,h,lower,,common practice\n"),
        ("second_person.csv", RULE + "spoken_order,,,by hope,,,,,,,,,,,the site,common practice\n"),
        ("second_person.csv", RULE + "spoken_order,,,,,,perhaps,,,,,,,,the site,common practice\n"),
        ("second_person.csv", RULE + ",,,,,,yes,,,,,,,,the site,common practice\n"),
    ],
)
def test_a_wrong_row_is_refused(tmp_path: Path, name: str, text: str) -> None:
    (tmp_path / name).write_text(text)
    with pytest.raises(BadTable, match=name):
        check_policy(tmp_path)


def test_a_shipped_table_without_its_rows_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("kiosk.tables.check_tables.rows", lambda name, key=(): [])
    with pytest.raises(BadTable, match=r"check_policy\.csv"):
        check_policy()
    with pytest.raises(BadTable, match=r"independence\.csv"):
        independence_figures()
