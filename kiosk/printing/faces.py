"""The bundled type faces on paper: registering, measuring, and saying which character is missing.

Nothing is ever substituted: a text with a character the face lacks is refused before anything is drawn.
Sizes are the em in millimetres; 1 mm is 72/25.4 points.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from reportlab.pdfbase.ttfonts import TTFont

POINTS_PER_MM: Final = 72 / 25.4


@dataclass(frozen=True, slots=True)
class Fonts:
    """Where the bundled TrueType files are. Wiring passes them in; printing looks for nothing itself."""

    regular: Path
    bold: Path


@dataclass(frozen=True, slots=True)
class Face:
    """One registered face. ``name`` is what the PDF library calls it; ``cap`` the height of capitals / em."""

    name: str
    cap: float
    known: frozenset[int]

    def width(self, text: str, size: float) -> float:
        """Return how wide a text is, in mm, at an em of ``size`` mm."""
        from reportlab.pdfbase import pdfmetrics

        return float(pdfmetrics.stringWidth(text, self.name, size))

    def missing(self, text: str) -> str:
        """Return the first character this face cannot draw, or nothing."""
        return next((character for character in text if ord(character) not in self.known), "")


@dataclass(frozen=True, slots=True)
class Faces:
    """The regular and the bold face."""

    regular: Face
    bold: Face

    def face(self, bold: bool) -> Face:
        """Return the bold or the regular face."""
        return self.bold if bold else self.regular


def faces(fonts: Fonts) -> Faces:
    """Register both faces and return them. Raises ``OSError`` or the library's error for a broken file."""
    return Faces(_registered(fonts.regular), _registered(fonts.bold))


@lru_cache(maxsize=8)
def _registered(path: Path) -> Face:
    """Register one file under a name made from its contents and return its face."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    name = f"{path.stem}-{sha256(path.read_bytes()).hexdigest()[:8]}"
    font: TTFont = TTFont(name, str(path))
    pdfmetrics.registerFont(font)
    return Face(name, font.face.capHeight / 1000, frozenset(font.face.charToGlyph))
