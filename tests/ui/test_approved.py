"""Screens against approved pictures: both themes, both languages, three sizes, the longest texts.

The pictures are a quarter of the size and are compared with patience for the way a machine smooths letters; a
part that moved, vanished or changed its ink is seen. To approve what is drawn now::

    KIOSK_APPROVE=1 python -m pytest tests/ui/test_approved.py

then look at every picture in ``tests/ui/approved`` before it is committed.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage

from tests.ui.sample_pages import SAMPLES, english, french

APPROVED = Path(__file__).with_name("approved")
PICKS = {"en": english, "fr": french}
SHOWN = (
    ("volume_caution", "1280x800", "day", "fr"),
    ("wrong_strength", "1280x800", "night", "en"),
    ("plunger", "1280x800", "day", "en"),
    ("comparison", "1280x800", "night", "fr"),
    ("all_findings", "1920x1080", "day", "fr"),
    ("step", "1920x1080", "night", "en"),
    ("syringes", "1920x1080", "day", "en"),
    ("door", "1920x1080", "night", "fr"),
    ("volume_caution", "800x1280", "night", "en"),
    ("letters", "800x1280", "day", "fr"),
    ("due", "800x1280", "day", "en"),
    ("plunger", "800x1280", "night", "fr"),
)
MOST_DIFFERING = 0.006
"""The share of dots that may differ plainly: letters smoothed another way stay well below it."""


def quarter(image: QImage) -> QImage:
    smaller = image.scaled(
        image.width() // 4,
        image.height() // 4,
        Qt.AspectRatioMode.IgnoreAspectRatio,
        Qt.TransformationMode.SmoothTransformation,
    )
    return smaller.convertToFormat(QImage.Format.Format_RGB32)


def differing(one: QImage, other: QImage) -> float:
    """Return the share of dots that differ by more than a sixth of the scale in any colour."""
    if one.size() != other.size():
        return 1.0
    a, b = bytes(one.constBits()), bytes(other.constBits())
    dots = len(a) // 4
    return sum(any(abs(a[i + c] - b[i + c]) > 42 for c in range(3)) for i in range(0, len(a), 4)) / dots


@pytest.mark.parametrize(("page", "screen", "theme", "language"), SHOWN)
def test_a_screen_looks_as_approved(make_shell, page, screen, theme, language):
    shell = make_shell(SAMPLES[page](PICKS[language]), screen, theme)
    now = quarter(shell.grab().toImage())
    path = APPROVED / f"{page}-{screen}-{theme}-{language}.png"
    if os.environ.get("KIOSK_APPROVE"):
        APPROVED.mkdir(exist_ok=True)
        assert now.save(str(path))
    approved = QImage(str(path)).convertToFormat(QImage.Format.Format_RGB32)
    assert not approved.isNull(), f"{path.name} has not been approved"
    assert differing(now, approved) <= MOST_DIFFERING, f"{path.name} looks different"


def test_the_comparison_sees_a_figure_that_changed(make_shell):
    from tests.ui.sample_pages import volume

    one, other = (quarter(make_shell(volume(english, typed)).grab().toImage()) for typed in ("0.5", "5"))
    assert differing(one, other) > MOST_DIFFERING / 3
    page = make_shell(SAMPLES["volume"](english), theme="night").grab().toImage()
    assert differing(one, quarter(page)) > 0.5


def test_no_approved_picture_is_left_over():
    names = {f"{page}-{screen}-{theme}-{language}.png" for page, screen, theme, language in SHOWN}
    assert {path.name for path in APPROVED.glob("*.png")} == names
