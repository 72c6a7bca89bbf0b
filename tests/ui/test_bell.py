"""The bell: accepted and refused differ by rhythm; mute means mute."""

from __future__ import annotations

import pytest

from kiosk.ui.bell import Bell


@pytest.mark.parametrize(("sound", "strokes"), [("accepted", 1), ("refused", 2), ("", 0), ("other", 0)])
def test_strokes_tell_accepted_from_refused(qapp, sound, strokes):
    bell = Bell(on=True)
    bell.ring(sound)
    assert bell.strokes == strokes


def test_a_mute_bell_does_not_ring(qapp):
    bell = Bell(on=False)
    bell.ring("refused")
    assert bell.strokes == 0
