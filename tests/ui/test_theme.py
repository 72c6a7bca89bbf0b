"""Both themes against WCAG 2.2: text 4.5 to 1 (1.4.3 AA), the number of the moment 7 to 1 (1.4.6 AAA)."""

from __future__ import annotations

from pathlib import Path

import pytest

from kiosk.ui.theme import LEVEL_INKS, Theme, contrast, level_inks, load_theme

AA, AAA, PARTS = 4.5, 7.0, 3.0
GROUNDS = ("bench", "checker", "door", "trouble")


@pytest.fixture(params=["day", "night"])
def theme(request: pytest.FixtureRequest, shipped: Path) -> Theme:
    return load_theme(shipped / "themes", request.param)


def test_black_on_white_is_twenty_one_to_one():
    # WCAG 2.2, definition of contrast ratio: "ranges from 1 to 21"
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#ffffff", "#000000") == pytest.approx(21)
    assert contrast("#123456", "#123456") == pytest.approx(1)


def test_a_known_grey_reckoned_by_hand():
    # 119/255 = 0.46667; ((0.46667 + 0.055) / 1.055) ** 2.4 = 0.18448; 1.05 / (0.18448 + 0.05) = 4.478
    assert contrast("#777777", "#ffffff") == pytest.approx(4.478, abs=0.001)


def test_the_number_of_the_moment_is_aaa(theme):
    assert contrast(theme.ink["ink"], theme.ink["paper"]) >= AAA
    assert contrast(theme.ink["ink"], theme.ink["key"]) >= AAA


@pytest.mark.parametrize("ground", GROUNDS)
def test_text_reads_on_every_ground(theme, ground):
    for ink in ("ink", "soft", "accent"):
        assert contrast(theme.ink[ink], theme.ground[ground]) >= AA, ink


def test_text_reads_on_paper_panel_foot_keys_and_wash(theme):
    for sheet in ("paper", "panel", "foot", "key", "key_down", "wash"):
        for ink in ("ink", "soft", "accent"):
            assert contrast(theme.ink[ink], theme.ink[sheet]) >= AA, (ink, sheet)


def test_the_primary_key_reads_up_and_down(theme):
    assert contrast(theme.ink["on_accent"], theme.ink["accent"]) >= AA
    assert contrast(theme.ink["on_accent"], theme.ink["accent_down"]) >= AA


@pytest.mark.parametrize("level", sorted(LEVEL_INKS))
def test_findings_read_on_their_own_sheet(theme, level):
    ink, wash = level_inks(level)
    assert contrast(theme.ink[ink], theme.ink[wash]) >= AA
    assert contrast(theme.ink["ink"], theme.ink[wash]) >= AAA


def test_refusals_and_cautions_read_where_they_stand_in_lists(theme):
    for ground in GROUNDS:
        assert contrast(theme.ink["stop"], theme.ground[ground]) >= AA
    assert contrast(theme.ink["stop"], theme.ink["paper"]) >= AA
    assert contrast(theme.ink["caution"], theme.ink["paper"]) >= AA
    assert contrast(theme.ink["caution"], theme.ink["key"]) >= AA


def test_the_edge_of_a_key_can_be_seen(theme):
    # WCAG 2.2, 1.4.11 non-text contrast: 3 to 1 against what lies beside it
    for ground in GROUNDS:
        assert contrast(theme.ink["edge"], theme.ground[ground]) >= PARTS, ground
    assert contrast(theme.ink["accent"], theme.ground["bench"]) >= PARTS


def test_the_scale_on_a_barrel_can_be_read(theme):
    for material in ("glass", "liquid"):
        assert contrast(theme.picture["line"], theme.picture[material]) >= PARTS, material
    for sheet in ("panel", "paper"):
        assert contrast(theme.picture["text"], theme.ink[sheet]) >= AA
        assert contrast(theme.picture["accent"], theme.ink[sheet]) >= AA


def test_the_checkers_place_has_another_ground(theme):
    assert len({theme.ground[g] for g in GROUNDS}) == len(GROUNDS)
    red, blue = (int(theme.ground["checker"][i : i + 2], 16) for i in (1, 5))
    assert blue - red > 15, "the checker's ground is plainly cooler than the bench's"


def test_both_themes_name_the_same_roles(shipped):
    day, night = (load_theme(shipped / "themes", name) for name in ("day", "night"))
    for table in ("ground", "ink", "picture"):
        assert set(getattr(day, table)) == set(getattr(night, table))


def test_an_unknown_level_looks_like_a_stop():
    assert level_inks("never heard of") == level_inks("stop")
