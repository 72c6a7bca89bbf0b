"""Everything a widget needs to know how to look: theme, scale and face, handed in by the constructor."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from PySide6.QtGui import QColor, QFont, QPalette

from kiosk.ui.fonts import Faces
from kiosk.ui.icons import Icons
from kiosk.ui.scale import Scale
from kiosk.ui.theme import Theme


@dataclass(frozen=True, slots=True)
class Type:
    """A kind of lettering: height of its capitals and digits in bench mm, weight, ink, line step in caps."""

    cap: float
    weight: str = "regular"
    ink: str = "ink"
    step: float = 1.95


TYPES: dict[str, Type] = {
    "question": Type(6.2, "semibold", step=1.7),
    "question_small": Type(5.0, "semibold", step=1.75),
    "help": Type(4.0, "regular", "soft", step=1.8),
    "body": Type(4.0),
    "strong": Type(4.0, "semibold"),
    "soft": Type(4.0, "regular", "soft", step=1.8),
    "small": Type(3.1, "regular", "soft"),
    "small_strong": Type(3.1, "semibold", "ink"),
    "label": Type(3.1, "semibold", "soft"),
    "name": Type(5.2, "semibold", step=1.6),
    "dose": Type(8.6, "bold", step=1.5),
    "figure": Type(15.0, "bold"),
    "figure_small": Type(12.5, "bold"),
    "unit": Type(7.0, "regular", "soft"),
    "step": Type(7.0, "semibold", step=1.65),
    "step_small": Type(5.4, "semibold", step=1.7),
    "digit": Type(7.0, "semibold"),
}
"""Nothing is under 3 mm, body is 4 mm, the number of the moment at least 12 mm: heights of capitals
(of digits for the number, which are a little lower)."""


class Look:
    """One look of the window. ``say`` turns a word's key into the words of the language in use."""

    def __init__(self, theme: Theme, scale: Scale, faces: Faces, icons: Icons, motion: bool = True) -> None:
        self.theme = theme
        self.scale = scale
        self.faces = faces
        self.icons = icons
        self.motion = motion
        self._inks = {role: QColor(code) for role, code in theme.ink.items()}
        self._picture = {role: QColor(code) for role, code in theme.picture.items()}

    def mm(self, bench_mm: float) -> float:
        """Return dots for a size in bench millimetres."""
        return self.scale.mm(bench_mm)

    def least(self, true_mm: float) -> float:
        """Return dots for a least size: true millimetres, or the bench's on a panel too small for those."""
        return true_mm * min(self.scale.life, self.scale.bench)

    def ink(self, role: str) -> QColor:
        """Return the colour of a role."""
        return self._inks[role]

    def ground(self, ground: str) -> QColor:
        """Return the ground of a place: bench, checker, door or trouble."""
        return QColor(self.theme.ground[ground])

    def picture_ink(self, role: str) -> QColor:
        """Return the colour of a picture's ink role."""
        return self._picture[role]

    def font(self, kind: Type) -> QFont:
        """Return the font of a kind of lettering."""
        return self.faces.font(kind.weight, self.mm(kind.cap))

    def palette(self) -> QPalette:
        """Return the palette set once on the window."""
        palette = QPalette()
        palette.setColor(QPalette.ColorRole.Window, self.ground("bench"))
        palette.setColor(QPalette.ColorRole.WindowText, self.ink("ink"))
        palette.setColor(QPalette.ColorRole.Highlight, self.ink("accent"))
        return palette


def load_look(resources: Path, theme: Theme, scale: Scale, motion: bool = True) -> Look:
    """Build a look from the shipped faces and icons."""
    return Look(theme, scale, Faces(resources / "fonts"), Icons(resources / "icons"), motion)
