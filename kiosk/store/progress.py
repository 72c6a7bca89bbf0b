"""How far a long reading has come, told as it goes, and the way to stop it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

EVERY: Final = 500


class Stopped(Exception):
    """Whoever asked does not want to know any more. Nothing is known of the rest."""


class Progress:
    """Tells ``told`` every few hundred steps how many of how many are done; it answers whether to go on."""

    def __init__(self, told: Callable[[int, int], bool] | None = None, of: int = 0, before: int = 0) -> None:
        self._told, self._of, self._before = told, of, before

    def done(self, steps: int) -> None:
        """Tell that so many steps are done. Raises ``Stopped``."""
        if self._told is not None and steps % EVERY == 0 and not self._told(self._before + steps, self._of):
            raise Stopped
