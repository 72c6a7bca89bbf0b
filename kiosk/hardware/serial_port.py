"""A scanner on a serial port, real or over USB: whole symbols in, its being there or not said.

The port is read in a thread of its own. A carriage return or a line feed ends a symbol; so does a pause
after a group separator, where the symbol began with an AIM identifier: that one says itself that it is whole.
What a pause or an unplugged cable cuts short is neither mended nor trusted: it is handed on as an empty scan,
as the wedge does (``kiosk.hardware.wedge``). Nothing of it can reach a field: it goes where scans go.

A cable that comes out is told once, and the port is looked for again until it is back.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import suppress
from typing import Final

import serial

USUAL_SPEED: Final = 9600
"""In bits a second, as most scanners leave their makers. Over USB any speed will do."""
QUIET_S: Final = 0.1
LOOK_AGAIN_S: Final = 1.0
# GS1 allows some 7,000 digits in its largest symbol; ours and packs' have under 100 characters.
LONGEST: Final = 8_192
ENDS: Final = (0x0D, 0x0A)
GROUP_SEPARATOR: Final = 0x1D
AIM: Final = ord("]")


class Symbols:
    """Cuts what comes over a line into symbols, calling ``on_scan`` for each; an empty text broke off."""

    def __init__(self, on_scan: Callable[[str], None]) -> None:
        self._on_scan = on_scan
        self._held = bytearray()

    def came(self, some: bytes) -> None:
        """Take what came, in pieces of any size."""
        for byte in some:
            if byte in ENDS:
                self._end()
            elif len(self._held) <= LONGEST:
                self._held.append(byte)

    def quiet(self) -> None:
        """Nothing came for a while: what says itself that it is whole is, all else broke off."""
        if self._held and self._held[0] == AIM and self._held[-1] == GROUP_SEPARATOR:
            self._end()
        else:
            self.give_up()

    def give_up(self) -> None:
        """Nothing more will come of a symbol that has begun."""
        if self._held:
            self._held.clear()
            self._on_scan("")

    def _end(self) -> None:
        """Hand a whole symbol on; a bare line end is none, and one without end is no symbol either."""
        if len(self._held) > LONGEST:
            self.give_up()
        elif self._held:
            text = self._held.decode("ascii", "replace")
            self._held.clear()
            self._on_scan(text)


class SerialScanner:
    """One scanner at one port, by the port's name (``/dev/ttyACM0``, or a name of its own by serial number).

    ``on_scan`` and ``on_state`` (is it there?) are called in the port's thread. ``look_again_s`` is how long
    to wait before a port that is not there is looked for again.
    """

    def __init__(
        self,
        port: str,
        on_scan: Callable[[str], None],
        on_state: Callable[[bool], None],
        speed: int = USUAL_SPEED,
        look_again_s: float = LOOK_AGAIN_S,
    ) -> None:
        self._port, self._speed, self._look_again_s = port, speed, look_again_s
        self._symbols = Symbols(on_scan)
        self._on_state = on_state
        self._there: bool | None = None
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._work, name="kiosk-scanner", daemon=True)

    def start(self) -> None:
        """Begin to listen."""
        self._thread.start()

    def close(self) -> None:
        """Stop listening; what is half heard is dropped, and nothing is called any more."""
        self._ended.set()
        if self._thread.is_alive():
            self._thread.join()

    def _work(self) -> None:
        """Listen while the port is there, and look for it while it is not."""
        while not self._ended.is_set():
            # The library tells of a port that is gone by its own error, or lets the system's through.
            with (
                suppress(serial.SerialException, OSError),
                serial.Serial(self._port, self._speed, timeout=QUIET_S, exclusive=True) as port,
            ):
                self._say(there=True)
                self._listen(port)
            if not self._ended.is_set():
                self._symbols.give_up()
                self._say(there=False)
                self._ended.wait(self._look_again_s)

    def _listen(self, port: serial.Serial) -> None:
        """Take what comes until the port is gone, which raises, or the work ends."""
        while not self._ended.is_set():
            some = port.read(port.in_waiting or 1)
            if some:
                self._symbols.came(some)
            else:
                self._symbols.quiet()

    def _say(self, *, there: bool) -> None:
        """Say that the scanner came or went, once."""
        if there is not self._there:
            self._there = there
            self._on_state(there)
