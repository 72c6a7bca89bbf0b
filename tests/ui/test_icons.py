"""Our own shapes: every file can be read, nothing foreign gets in."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QColor, QImage, QPainter

from kiosk.ui.icons import BOX, Icons, path_of


def test_every_shipped_shape_is_read_and_stays_in_its_square(qapp, shipped):
    icons = Icons(shipped / "icons")
    names = [path.stem for path in sorted((shipped / "icons").glob("*.svg"))]
    assert {"stop", "caution", "second", "note", "tick", "erase", "scan"} <= set(names)
    for name in names:
        path, width = icons.shape(name)
        box = path.boundingRect()
        assert box.left() >= 0, name
        assert box.right() <= BOX, name
        assert 0 < width < 4, name


def test_no_text_is_painted_into_a_picture(shipped):
    for path in (shipped / "icons").glob("*.svg"):
        assert "<text" not in path.read_text(encoding="utf-8")


def test_a_stroke_we_do_not_use_is_refused():
    with pytest.raises(ValueError, match="not a stroke we use"):
        path_of("M1 1 8 8")


def test_a_file_that_is_not_one_path_is_refused(tmp_path):
    (tmp_path / "odd.svg").write_text("<svg/>", encoding="utf-8")
    with pytest.raises(ValueError, match=r"odd\.svg"):
        Icons(tmp_path).shape("odd")


def test_a_shape_is_drawn_in_the_ink_asked_for(qapp, shipped):
    image = QImage(48, 48, QImage.Format.Format_RGB32)
    image.fill(QColor("white"))
    painter = QPainter(image)
    Icons(shipped / "icons").draw(painter, "stop", 0, 0, 48, QColor("#ff0000"))
    painter.end()
    assert any(QColor(image.pixel(x, 24)).name() == "#ff0000" for x in range(48))
