"""What can be said to ``kiosk record``."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Final

from kiosk.wiring.acts import Acts, Command, add_acts, on_a_counter

RECORD_HELP: Final = """\
Proves, seals, searches and exports the record of a counter, and forgets whom it names.

exit code  0  the record holds; what was asked for was found or written
           1  the record does not hold: the first entry that breaks is named, and how
           2  input that cannot be used: one sentence on standard error
           3  nothing was found, or what was asked is refused
           4  the record cannot be opened or written
"""


def add_record(commands: Acts, command: Command) -> None:
    """Add ``kiosk record`` and its acts to the commands; ``command`` runs any of them."""
    what = "prove, seal, search and export a counter's record"
    acts = add_acts(commands, command, "record", what, RECORD_HELP)
    verify = acts.add_parser("verify", help="read and prove the whole record")
    verify.add_argument(
        "--seal", action="append", default=[], metavar="SEAL", help="a seal to hold it against, or its file"
    )
    seal = acts.add_parser("seal", help="seal the record as it stands; print the slip")
    search = acts.add_parser("search", help="list syringes by patient, drug, lot, person or day")
    recall = acts.add_parser("recall", help="list every syringe a lot went into")
    recall.add_argument("lot", metavar="LOT")
    export = acts.add_parser("export", help="write syringes, one syringe, or the ledger")
    export.add_argument("--format", choices=("csv", "json", "pdf", "ledger"), default="csv")
    export.add_argument("--syringe", default="", metavar="CODE", help="one syringe whole (json, pdf)")
    export.add_argument("--out", default="-", metavar="FILE", help="where to; - is standard output")
    for wanted in (search, export):
        for name in ("patient", "drug", "lot", "person", "day", "since", "until"):
            wanted.add_argument(f"--{name}", default="")
    on_a_counter((verify, seal, search, recall, export, *_forgetting(acts)))
    for told in (verify, search, recall):
        told.add_argument("--json", action="store_true", help="answer with JSON")


def _forgetting(acts: Acts) -> tuple[ArgumentParser, ArgumentParser]:
    """Add the two acts that forget: each shows first, and acts only on what it showed."""
    erase = acts.add_parser("erase", help="erase who one patient was; the record stays and its chain holds")
    erase.add_argument("--patient", required=True, metavar="NUMBER", help="the patient's whole number")
    erase.add_argument("--reason", default="", help="why; it stands in the record")
    retain = acts.add_parser("retain", help="say what was kept long enough by the site's policy; let it go")
    for act in (erase, retain):
        act.add_argument("--badge", default="", help="the keeper's badge; the PIN is asked for")
        act.add_argument(
            "--confirm", default="", metavar="CODE", help="do it: the code that was shown before"
        )
    return erase, retain
