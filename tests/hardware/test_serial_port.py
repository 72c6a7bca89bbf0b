"""A scanner on a serial port: a real pseudo terminal at the other end, which is also unplugged."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from queue import Empty, Queue

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk.hardware.serial_port import LONGEST, SerialScanner, Symbols

PATIENCE_S = 10.0
GS = "\x1d"
PACK = "]d2010952000010001817270131" + "10TWP2401"


class Bench:
    """A port by a fixed name, as the system gives a device that is plugged in again, and one who listens."""

    def __init__(self, folder: Path) -> None:
        self.port = folder / "scanner"
        self.heard: Queue[str | bool] = Queue()
        self.scanner = SerialScanner(str(self.port), self.heard.put, self.heard.put, look_again_s=0.01)
        self._wire = -1

    def plug_in(self) -> None:
        self._wire, far_end = os.openpty()
        self.port.symlink_to(os.ttyname(far_end))
        os.close(far_end)

    def unplug(self) -> None:
        self.port.unlink()
        os.close(self._wire)

    def sends(self, text: str) -> None:
        os.write(self._wire, text.encode("ascii"))

    def next(self) -> str | bool:
        return self.heard.get(timeout=PATIENCE_S)


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    made = Bench(tmp_path)
    made.plug_in()
    made.scanner.start()
    assert made.next() is True
    yield made
    made.scanner.close()


@pytest.mark.parametrize("end", ["\r", "\n", "\r\n"], ids=["return", "line feed", "both"])
def test_a_symbol_ends_with_its_line(bench: Bench, end: str) -> None:
    bench.sends(f"{PACK}{end}PB1N01L{end}")
    assert (bench.next(), bench.next()) == (PACK, "PB1N01L")


def test_the_separator_between_fields_stays_in_the_symbol(bench: Bench) -> None:
    bench.sends(f"]d20109520000100018{'10TWP2401'}{GS}17270131\r")
    assert bench.next() == f"]d20109520000100018{'10TWP2401'}{GS}17270131"


def test_a_symbol_that_names_itself_and_ends_its_last_field_needs_no_line_end(bench: Bench) -> None:
    bench.sends(f"{PACK}{GS}")
    assert bench.next() == f"{PACK}{GS}"


@pytest.mark.parametrize("half", [PACK, "PB1N01L", f"10TWP2401{GS}"], ids=["named", "a badge", "not named"])
def test_a_symbol_cut_short_by_silence_is_told_as_an_empty_scan_and_never_guessed(
    bench: Bench, half: str
) -> None:
    bench.sends(half)
    assert bench.next() == ""
    bench.sends("PB1N02W\r")
    assert bench.next() == "PB1N02W"


def test_unplugged_is_told_once_and_plugged_in_again_it_works_on(bench: Bench) -> None:
    bench.sends("PB1N01L\r")
    assert bench.next() == "PB1N01L"
    for _ in range(3):
        bench.unplug()
        assert bench.next() is False
        bench.plug_in()
        assert bench.next() is True
        bench.sends("PB1N02W\r")
        assert bench.next() == "PB1N02W"


def test_what_was_half_sent_when_the_cable_came_out_is_dropped_and_told(bench: Bench) -> None:
    for n in range(LONGEST):  # a burst long enough that some of it has been read when the cable comes out
        bench.sends("0" if n else "]")
        if n % 1024 == 1023:
            break
    bench.unplug()
    told = [bench.next(), bench.next()]
    assert told == ["", False]
    bench.plug_in()
    assert bench.next() is True
    bench.sends("PB1N02W\r")
    assert bench.next() == "PB1N02W"


def test_a_port_that_is_not_there_is_waited_for(tmp_path: Path) -> None:
    bench = Bench(tmp_path)
    bench.scanner.start()
    assert bench.next() is False
    bench.plug_in()
    assert bench.next() is True
    bench.scanner.close()


def test_a_second_program_cannot_read_the_same_scanner(bench: Bench) -> None:
    other: Queue[bool] = Queue()
    second = SerialScanner(str(bench.port), lambda _: None, other.put, look_again_s=0.01)
    second.start()
    assert other.get(timeout=PATIENCE_S) is False
    second.close()


def test_closed_it_says_nothing_any_more(bench: Bench) -> None:
    bench.scanner.close()
    bench.unplug()
    with pytest.raises(Empty):
        bench.heard.get_nowait()


# What pieces a symbol comes in never matters ---------------------------------------------------------


def cut(pieces: list[bytes]) -> list[str]:
    heard: list[str] = []
    symbols = Symbols(heard.append)
    for piece in pieces:
        symbols.came(piece)
    symbols.quiet()
    return heard


@given(st.lists(st.text("]d2C10ABCP\x1d", min_size=1, max_size=30)), st.data())
def test_symbols_are_the_same_however_their_bytes_arrive(symbols: list[str], data: st.DataObject) -> None:
    line = "".join(f"{symbol}\r" for symbol in symbols).encode("ascii")
    at = sorted(data.draw(st.sets(st.integers(0, len(line)))))
    pieces = [line[a:b] for a, b in zip([0, *at], [*at, len(line)], strict=True)]
    assert cut(pieces) == symbols


def test_noise_without_an_end_is_never_kept_and_never_a_symbol() -> None:
    assert cut([b"9" * LONGEST * 3, b"\rPB1N01L\r"]) == ["", "PB1N01L"]


def test_bytes_that_no_symbol_of_ours_has_are_handed_on_as_unreadable_not_dropped() -> None:
    assert cut([b"PB1\xffN01L\r"]) == ["PB1�N01L"]
