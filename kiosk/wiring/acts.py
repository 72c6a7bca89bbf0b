"""What the commands of a keeper have in common: a group of acts, each on the folder that a counter keeps."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TypeAlias

Acts: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"
Command: TypeAlias = Callable[[argparse.Namespace], int]


def add_acts(commands: Acts, command: Command, name: str, what: str, told: str) -> Acts:
    """Add ``kiosk <name>`` to the commands and return where its acts are added.

    ``what`` is its line in the list of commands, ``told`` its help; ``command`` runs any of its acts.
    """
    group = commands.add_parser(
        name, help=what, description=told, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    group.set_defaults(command=command)
    return group.add_subparsers(title="what to do", required=True, metavar="ACT", dest="act")


def on_a_counter(acts: Iterable[argparse.ArgumentParser]) -> None:
    """Have these acts ask which counter is meant, and in which language to answer."""
    for act in acts:
        act.add_argument(
            "--home", type=Path, metavar="DIR", required=True, help="the folder the counter keeps"
        )
        act.add_argument("--language", choices=("en", "fr"), default="en")
