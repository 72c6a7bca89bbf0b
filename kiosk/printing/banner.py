"""The black banner of the simulation lab: down the left edge of a label, or across its top."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from kiosk.core.findings import Refusal
from kiosk.printing.faces import Faces
from kiosk.printing.paper import Paper

SIZE: Final = 2.6
PITCH: Final = 2.7
PAD: Final = 0.2


@dataclass(frozen=True, slots=True)
class Banner:
    """Lines of light text on black; with no lines it is nothing at all."""

    lines: tuple[str, ...]

    @property
    def thick(self) -> float:
        """How thick it is, in mm."""
        return len(self.lines) * PITCH + 2 * PAD if self.lines else 0.0

    def draw_side(self, paper: Paper, faces: Faces) -> None:
        """Draw it down the left edge, its lines climbing, each in the middle."""
        if self.lines:
            paper.box(0, 0, self.thick, paper.height)
        for number, line in enumerate(self.lines):
            bottom = (paper.height + faces.bold.width(line, SIZE)) / 2
            x = PAD + number * PITCH + (PITCH + faces.bold.cap * SIZE) / 2
            paper.upright(x, bottom, line, SIZE, bold=True)

    def draw_across(self, paper: Paper, faces: Faces, top: float) -> None:
        """Draw it across the whole label from ``top``, each line in the middle."""
        if self.lines:
            paper.box(0, top, paper.width, self.thick)
        for number, line in enumerate(self.lines):
            x = (paper.width - faces.bold.width(line, SIZE)) / 2
            baseline = top + PAD + number * PITCH + (PITCH + faces.bold.cap * SIZE) / 2
            paper.text(x, baseline, line, SIZE, bold=True, light=True)


def banner(text: str, length: float, faces: Faces) -> Banner | Refusal:
    """Return a banner in one line, or in two, none longer than ``length`` mm.

    Of two lines the first ends after a comma if there is one, else they are as even as can be.
    """
    words = text.split(" ")
    cuts = [(" ".join(words[:cut]), " ".join(words[cut:])) for cut in range(1, len(words))]
    ways = [(text,), *sorted(cuts, key=lambda way: (way[0][-1:] != ",", _longest(way, faces)))]
    fitting = next((way for way in ways if _longest(way, faces) <= length), None)
    if fitting is None:
        return Refusal("label_too_wide", {"text": text})
    return Banner(fitting if text else ())


def _longest(lines: tuple[str, ...], faces: Faces) -> float:
    """Return the width of the longest line."""
    return max(faces.bold.width(line, SIZE) for line in lines)
