"""What happens to the devices of a counter: a scanner on a port of its own goes and comes back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias


@dataclass(frozen=True, slots=True)
class ScannerGone:
    """The scanner on its own port cannot be read: unplugged, or not there when the counter opened."""


@dataclass(frozen=True, slots=True)
class ScannerBack:
    """The scanner that was gone can be read again."""


DeviceEvent: TypeAlias = ScannerGone | ScannerBack
