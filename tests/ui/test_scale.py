"""Millimetres on the screen: keys keep 20 mm on the panels meant, pictures stay life-size on all."""

from __future__ import annotations

import pytest

from kiosk.ui.scale import CARD_WIDTH_MM, dots_from_card, scale_for

# a 16:9 panel 15.6 inches across is 345.4 mm wide and 194.3 mm high (15.6 * 25.4 * 16 / sqrt(337))
FULL_HD = (1920, 1080, 1920 / 345.4)
# a 16:10 panel 15.6 inches across is 336.0 mm wide (15.6 * 25.4 * 16 / sqrt(356))
WXGA = (1280, 800, 1280 / 336.0)


@pytest.mark.parametrize("screen", [FULL_HD, WXGA, (1280, 800, 96 / 25.4), (800, 1280, 96 / 25.4)])
def test_the_bench_millimetre_is_no_smaller_than_a_true_one_on_a_usual_panel(screen):
    scale = scale_for(*screen)
    assert scale.bench >= scale.life
    assert scale.life == pytest.approx(screen[2])


def test_a_ten_inch_panel_shrinks_the_bench_but_not_the_pictures():
    # 10.1 inches at 16:10: 217.5 mm wide
    scale = scale_for(1280, 800, 1280 / 217.5)
    assert scale.bench < scale.life
    assert scale.bench * 318 <= 1280 + 1
    assert scale.life == pytest.approx(1280 / 217.5)


def test_a_large_panel_grows_the_bench_a_little():
    scale = scale_for(1920, 1080, 1920 / 531.0)  # 24 inches
    assert 1 < scale.bench / scale.life <= 1.45


@pytest.mark.parametrize("claimed", [0.0, 0.4, 40.0])
def test_a_screen_that_does_not_know_its_size_is_taken_for_96_dots_per_inch(claimed):
    assert scale_for(1280, 800, claimed).life == pytest.approx(96 / 25.4)


def test_a_card_sized_rectangle_gives_true_millimetres():
    # ISO/IEC 7810 ID-1: 85.60 mm; at 4 dots per mm the card is 342.4 dots wide
    assert CARD_WIDTH_MM == 85.60
    assert dots_from_card(342.4) == pytest.approx(4.0)
