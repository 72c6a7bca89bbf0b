"""A short sound for accepted and refused scans, told apart by rhythm: one stroke, or two."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

STROKES = {"accepted": 1, "refused": 2}
APART_MS = 180


class Bell:
    """Rings once for each new page that asks for it; mute where ``on`` is false."""

    def __init__(self, on: bool) -> None:
        self.on = on
        self.strokes = 0

    def ring(self, sound: str) -> None:
        """Ring for ``accepted`` or ``refused``; anything else is silent."""
        if not self.on:
            return
        for n in range(STROKES.get(sound, 0)):
            self.strokes += 1
            QTimer.singleShot(n * APART_MS, QApplication.beep)
