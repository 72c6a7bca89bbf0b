"""The commands, ``kiosk demo`` and those that follow. Each loads its rooms only when called."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final, TextIO

from kiosk import __version__

if TYPE_CHECKING:
    from kiosk.pages.worksheet_values import Worksheet

OK: Final = 0
BAD_INPUT: Final = 2
REFUSED: Final = 3
CANNOT_RUN: Final = 4
SPEEDS: Final = (1200, 2400, 4800, 9600, 19200, 38400, 57600, 115200)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    arguments = parser().parse_args(argv)
    command: Callable[[argparse.Namespace], int] = arguments.command
    return command(arguments)


def parser() -> argparse.ArgumentParser:
    """Return the parser of every command."""
    made = argparse.ArgumentParser(
        prog="kiosk", description="Sees one syringe through, from a written order to a labelled syringe."
    )
    made.add_argument("--version", action="version", version=f"Prep Counter {__version__}")
    commands = made.add_subparsers(title="commands", required=True, metavar="COMMAND")
    for add in COMMANDS:
        add(commands)
    return made


def _add_demo(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    demo = commands.add_parser("demo", help="open the demo ward's counter")
    demo.add_argument(
        "--walkthrough", type=Path, metavar="DIR", help="leave pictures of three journeys in DIR"
    )
    demo.add_argument("--home", type=Path, metavar="DIR", help="keep the demo's database below DIR")
    demo.add_argument("--language", choices=("en", "fr"), default="en")
    demo.add_argument("--theme", choices=("day", "night"), default="day")
    demo.add_argument("--full-screen", action="store_true", help="fill the whole screen")
    _add_scanner(demo)
    demo.set_defaults(command=demo_command)


def demo_command(arguments: argparse.Namespace) -> int:
    """Open the demo ward's counter; with no display, do the walkthrough instead and say so."""
    from kiosk.ui.libraries import missing_libraries, no_display, platform

    plugin = "offscreen" if arguments.walkthrough else platform(os.environ)
    if lacking := missing_libraries(plugin or "offscreen"):
        print(lacking.line(), file=sys.stderr)
        return CANNOT_RUN
    if arguments.walkthrough:
        return _walk(arguments, arguments.walkthrough)
    if no_display(os.environ) is not None:
        folder = Path("prep-counter-walkthrough")
        print(f"There is no display here: doing the walkthrough instead, into {folder}/.")
        return _walk(arguments, folder)
    from kiosk.wiring.opening import open_window

    print("The demo ward is invented. Sign-on badges and PINs stand in demo_db/README.md.")
    port = (arguments.scanner, arguments.scanner_speed)
    in_full = arguments.full_screen
    return open_window(arguments.home, arguments.language, arguments.theme, full_screen=in_full, port=port)


def _walk(arguments: argparse.Namespace, folder: Path) -> int:
    """Do the walkthrough and list what it left."""
    from kiosk.wiring.demo import walk_through

    for made in walk_through(folder, arguments.language, arguments.theme):
        print(made)
    return OK


def _add_ward(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    ward = commands.add_parser(
        "ward", help="open a ward's own counter; in an empty folder its first keeper sets it up"
    )
    ward.add_argument("--home", type=Path, metavar="DIR", required=True, help="the folder the counter keeps")
    ward.add_argument("--language", choices=("en", "fr"), default="en")
    ward.add_argument("--theme", choices=("day", "night"), default="day")
    ward.add_argument("--counter", metavar="XX", default="W1", help="two characters that begin its labels")
    ward.add_argument("--window", action="store_true", help="a window on the desk, not the whole screen")
    _add_scanner(ward)
    ward.set_defaults(command=ward_command)


def _add_scanner(command: argparse.ArgumentParser) -> None:
    """Add the port of a scanner that does not type as a keyboard."""
    command.add_argument(
        "--scanner", default="", metavar="PORT", help="read a scanner at a serial port, as /dev/ttyACM0"
    )
    command.add_argument(
        "--scanner-speed", type=int, default=9600, choices=SPEEDS, metavar="BITS", help="its bits a second"
    )


def ward_command(arguments: argparse.Namespace) -> int:
    """Open a ward's counter in a window; it is left from the keeper's desk."""
    from kiosk.core.label.code import make_code
    from kiosk.ui.libraries import missing_libraries, no_display, platform

    if lacking := missing_libraries(platform(os.environ) or "offscreen"):
        print(lacking.line(), file=sys.stderr)
        return CANNOT_RUN
    if no_display(os.environ) is not None:
        print("There is no display here, and a counter needs one.", file=sys.stderr)
        return CANNOT_RUN
    from kiosk.wiring.home import Home
    from kiosk.wiring.ward import open_ward, policy_trouble

    trouble = policy_trouble(arguments.home)
    try:
        make_code(arguments.counter, 0)
    except ValueError as unfit:
        trouble = str(unfit)
    if trouble:
        print(trouble, file=sys.stderr)
        return BAD_INPUT
    home, in_full = Home(arguments.home), not arguments.window
    port = (arguments.scanner, arguments.scanner_speed)
    ward = arguments.counter
    return open_ward(home, arguments.language, arguments.theme, ward, full_screen=in_full, port=port)


def _add_record(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    from kiosk.wiring.record_parser import add_record

    add_record(commands, record_command)


def record_command(arguments: argparse.Namespace) -> int:
    """Run one of the record's commands."""
    from kiosk.wiring.record_command import run

    return run(arguments)


def _add_stock(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    from kiosk.wiring.stock_parser import add_stock

    add_stock(commands, stock_command)


def stock_command(arguments: argparse.Namespace) -> int:
    """Run one of the stock's commands."""
    from kiosk.wiring.stock_command import run

    return run(arguments)


WORKSHEET_HELP: Final = """\
Plans one syringe, or answers one question of dose arithmetic, from a JSON or TOML
description: no screen, no database. FILE is - for standard input. The forms of input
and output are published in resources/schemas.

exit code  0  an answer, a plan, or what follows from a partial description
           2  input that cannot be used: one sentence on standard error names the field
           3  a refusal with its reason: unsafe, contradictory, or not enough said; with
              --picture also: there is no picture to make (one sentence on standard error)
"""


def _add_worksheet(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    worksheet = commands.add_parser(
        "worksheet",
        help="plan one syringe from a description, without a screen",
        description=WORKSHEET_HELP,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    worksheet.add_argument(
        "file", metavar="FILE", help="a description in JSON or TOML; - reads it from input"
    )
    worksheet.add_argument(
        "--json", action="store_true", help="answer with one line of JSON, not with a page"
    )
    one_or_many = worksheet.add_mutually_exclusive_group()
    one_or_many.add_argument(
        "--lines",
        action="store_true",
        help="read one JSON description a line; answer each, end with the worst",
    )
    one_or_many.add_argument(
        "--picture",
        type=Path,
        metavar="FILE",
        help="draw the best syringe with its line and needle, life-size, into FILE.svg, .png or .pdf",
    )
    worksheet.add_argument("--language", choices=("en", "fr"), default="en")
    worksheet.set_defaults(command=worksheet_command)


def worksheet_command(arguments: argparse.Namespace) -> int:
    """Answer one description, or one a line."""
    from datetime import UTC, datetime

    from kiosk.wiring.worksheet import worksheet_door

    if arguments.picture and (unknown := _picture_trouble(arguments.picture, arguments.language)):
        print(unknown, file=sys.stderr)
        return BAD_INPUT
    try:
        data = sys.stdin.buffer.read() if arguments.file == "-" else Path(arguments.file).read_bytes()
    except OSError as trouble:
        print(f"{arguments.file}: {trouble.strerror}", file=sys.stderr)
        return BAD_INPUT
    door, now = worksheet_door(arguments.language), datetime.now(UTC).astimezone()
    texts = [line for line in data.splitlines() if line.strip()] if arguments.lines else [data]
    worst = OK
    for text in texts:
        said = door.answer(text, now, name=Path(arguments.file).name, as_page=not arguments.json)
        worst = max(worst, said.end)
        heard = _print(said.text, sys.stderr if said.end == BAD_INPUT else sys.stdout)
        if arguments.picture and said.sheet:
            worst = max(worst, _draw(said.sheet, arguments.picture, arguments.language))
        if not heard:
            break
    return worst


def _picture_trouble(path: Path, language: str) -> str:
    """Return what is wrong with the name of a picture, in one sentence; nothing when it will do."""
    from kiosk.wiring.pictures import ending_trouble, sentence

    refusal = ending_trouble(path)
    return sentence(refusal, language) if refusal else ""


def _draw(sheet: Worksheet, path: Path, language: str) -> int:
    """Write the picture of a worksheet, or say in one sentence why there is none."""
    from kiosk.wiring.pictures import draw_worksheet, sentence

    refusal = draw_worksheet(sheet, path, language)
    if refusal is None:
        return OK
    print(sentence(refusal, language), file=sys.stderr)
    return BAD_INPUT if refusal.code == "picture_not_written" else REFUSED


def _add_gauges(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    gauges = commands.add_parser(
        "gauges",
        help="write the page that teaches gauge and length",
        description="Writes the page of every needle gauge from 18 to 31 and every length, life-size.",
    )
    gauges.add_argument("file", type=Path, metavar="FILE", help="FILE.svg, .png or .pdf")
    gauges.add_argument("--language", choices=("en", "fr"), default="en")
    gauges.set_defaults(command=gauges_command)


def gauges_command(arguments: argparse.Namespace) -> int:
    """Write the page of gauges and lengths."""
    from kiosk.wiring.pictures import draw_gauges, sentence

    if refusal := draw_gauges(arguments.file, arguments.language):
        print(sentence(refusal, arguments.language), file=sys.stderr)
        return BAD_INPUT
    return OK


def _print(text: str, to: TextIO) -> bool:
    """Print a text at once; say False when nobody reads any more (the pipe is closed)."""
    try:
        print(text.rstrip("\n"), file=to, flush=True)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), to.fileno())  # what is still buffered goes nowhere
        return False
    return True


COMMANDS: Final = (_add_demo, _add_ward, _add_record, _add_stock, _add_worksheet, _add_gauges)
