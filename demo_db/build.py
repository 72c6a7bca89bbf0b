"""Reads the invented ward as of now and says what is in it: ``python demo_db/build.py [--codes]``.

Prints one line a list, or every trouble with file, line and column (then the exit code is 1). ``--codes``
adds what can be scanned: badges with their PINs, orders, and the symbol of every container.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

from kiosk.core.label.code import Kind, printed_code
from kiosk.core.stock.expiry import is_opened
from kiosk.feeds.own_codes import ORDER, make_own
from kiosk.feeds.pack_code import code_of
from kiosk.feeds.ward import BadWard, Ward, read_ward, told

NOTICE = "Invented for the demonstration of Prep Counter. Not for clinical use."


def summary(ward: Ward) -> Iterator[str]:
    """Yield one line for each list of the ward."""
    for name in Ward.__dataclass_fields__:
        yield f"{len(getattr(ward, name)):4d} {name.replace('_', ' ')}"


def codes(ward: Ward) -> Iterator[str]:
    """Yield what can be scanned, a line each; the group separator is shown as ``<GS>``."""
    for staff in ward.staff:
        yield f"{staff.badge:14} badge of {staff.person.name}, PIN {staff.pin}"
    for order in ward.orders:
        yield f"{make_own(ORDER, order.id):14} order {order.as_written}"
    for container in ward.containers:
        if is_opened(container):
            yield f"{printed_code(Kind.CONTAINER, container.id):14} opened {container.product.label_name}"
    for container in ward.containers:
        symbol = code_of(container).replace("\x1d", "<GS>")
        yield f"{symbol} {container.product.label_name}, lot {container.lot}"


def main() -> int:
    """Read the ward and print what it holds."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--codes", action="store_true", help="also print what can be scanned")
    wanted = options.parse_args()
    try:
        ward = read_ward(Path(__file__).parent, datetime.now(tz=UTC).astimezone())
    except BadWard as trouble:
        print(*map(told, trouble.troubles), sep="\n", file=sys.stderr)
        return 1
    print(NOTICE, *summary(ward), *(codes(ward) if wanted.codes else ()), sep="\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
