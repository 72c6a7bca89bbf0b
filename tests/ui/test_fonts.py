"""The bundled face: every character there, digits in columns, 1 l I and 0 O told apart."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtGui import QFontMetricsF, QRawFont

from kiosk.tables.words import languages, words
from kiosk.ui.fonts import FaceMissing, Faces, _loaded

WEIGHTS = ("regular", "semibold", "bold")
NEEDED = "µμ½¼¾≥≤→←↑↓✓°×÷·–—…±≠éèêëàâçœæùûîïôÀÉÈÊÇŒÆÂÎÔÛ«»‘’“”ÅÄÖØåäöøßñÑõłŁńśżźčšžČŠŽ"


@pytest.fixture(params=WEIGHTS)
def face(request: pytest.FixtureRequest, qapp: object, shipped: Path) -> QRawFont:
    return QRawFont.fromFont(Faces(shipped / "fonts").font(request.param, 40))


def missing(face: QRawFont, text: str) -> set[str]:
    return {c for c in text if not face.supportsCharacter(ord(c))}


def test_every_character_of_the_trade_has_a_glyph(face):
    assert missing(face, NEEDED) == set()


def test_every_word_of_the_interface_can_be_set(face):
    text = "".join("".join(words(language).values()) for language in languages())
    assert missing(face, text.replace("\n", "")) == set()


def test_digits_have_equal_width(face):
    indexes = face.glyphIndexesForString("0123456789")
    assert len({round(point.x(), 3) for point in face.advancesForGlyphIndexes(indexes)}) == 1


def test_look_alikes_are_different_shapes(face):
    for group in ("1lI|", "0O", "5S", "2Z", "8B"):
        glyphs = face.glyphIndexesForString(group)
        assert len(set(glyphs)) == len(group)
        areas = {round(face.pathForGlyph(glyph).boundingRect().width(), 1) for glyph in glyphs}
        assert len(areas) == len(group), group


def test_zero_is_slashed_and_capital_i_has_serifs(face):
    zero, letter = (face.pathForGlyph(g) for g in face.glyphIndexesForString("0O"))
    assert zero.contains(zero.boundingRect().center()), "the slash runs through the middle of the zero"
    assert not letter.contains(letter.boundingRect().center())
    capital, bar = (face.pathForGlyph(g) for g in face.glyphIndexesForString("I|"))
    assert capital.boundingRect().width() > 2 * bar.boundingRect().width()


@pytest.mark.parametrize("dots", [11.3, 15.2, 23.6, 45.4])
def test_capitals_are_at_least_as_high_as_asked(qapp, shipped, dots):
    font = Faces(shipped / "fonts").font("regular", dots)
    high = QFontMetricsF(font).capHeight()
    assert dots - 0.1 <= high <= dots + 1.2  # sizes are whole dots, rounded up


def test_a_file_that_is_no_font_is_refused(qapp, tmp_path):
    path = tmp_path / "broken.ttf"
    path.write_bytes(b"not a font")
    with pytest.raises(FaceMissing, match=r"broken\.ttf"):
        _loaded(path, "Prep Counter Sans")


def test_the_licence_stands_beside_the_faces(shipped):
    text = (shipped / "fonts" / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in text
