"""The door for a scanner on a port of its own: what its thread hears is handed on where the window works."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, TypeAlias

from PySide6.QtCore import QObject, Qt, Signal


class ScannerPort(Protocol):
    """A scanner on a port of its own (``kiosk.hardware.serial_port.SerialScanner``, met by shape)."""

    def start(self) -> None:
        """Begin to listen."""
        ...

    def close(self) -> None:
        """Stop listening."""
        ...


MakeScanner: TypeAlias = Callable[[Callable[[str], None], Callable[[bool], None]], ScannerPort]
"""Makes a scanner from what takes its scans and what hears that it came or went; called in its own thread."""


class ScannerDoor(QObject):
    """Takes scans and news of one scanner in any thread and hands them on in the window's, in their order."""

    _scanned = Signal(str)
    _turned = Signal(bool)

    def __init__(
        self, make: MakeScanner, on_scan: Callable[[str], None], on_state: Callable[[bool], None]
    ) -> None:
        super().__init__()
        self._on_scan, self._on_state, self._open = on_scan, on_state, True
        self._scanned.connect(self._scan, Qt.ConnectionType.QueuedConnection)
        self._turned.connect(self._turn, Qt.ConnectionType.QueuedConnection)
        self._port = make(self._scanned.emit, self._turned.emit)

    def open(self) -> None:
        """Begin to listen."""
        self._port.start()

    def close(self) -> None:
        """Stop listening; what was heard and not handed on yet is dropped."""
        self._open = False
        self._port.close()

    def _scan(self, text: str) -> None:
        """Hand a scan on."""
        if self._open:
            self._on_scan(text)

    def _turn(self, there: bool) -> None:
        """Hand on that the scanner came or went."""
        if self._open:
            self._on_state(there)
