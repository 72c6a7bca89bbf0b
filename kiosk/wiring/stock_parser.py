"""What can be said to ``kiosk stock``."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from kiosk.wiring.acts import Acts, Command, add_acts, on_a_counter

STOCK_HELP: Final = """\
Writes the month's waste of a counter as a page, gives its stock out as a list, and
tries a stock list: every trouble row by row, or what it would change. Changes nothing.

exit code  0  it was written, or the list could be taken in
           2  input that cannot be used: one sentence on standard error
           3  the list has troubles, or the page is refused
           4  the record cannot be opened, or the file not written
"""


def add_stock(commands: Acts, command: Command) -> None:
    """Add ``kiosk stock`` and its acts to the commands; ``command`` runs any of them."""
    what = "the month's waste, the stock as a list, trying a stock list"
    acts = add_acts(commands, command, "stock", what, STOCK_HELP)
    waste = acts.add_parser("waste", help="write one month's waste and what expires next as PDF")
    waste.add_argument(
        "--month", metavar="YYYY-MM", default="", help="which month; the present one unless said"
    )
    waste.add_argument("--out", type=Path, metavar="FILE", help="where to; the counter's outbox unless said")
    export = acts.add_parser("export", help="write what stands in the drawers as a CSV list")
    export.add_argument("--out", default="-", metavar="FILE", help="where to; - is standard output")
    tried = acts.add_parser(
        "try", help="say what a stock list (CSV, XLSX) would change, or what is wrong with it"
    )
    tried.add_argument("file", type=Path, metavar="FILE")
    on_a_counter((waste, export, tried))
