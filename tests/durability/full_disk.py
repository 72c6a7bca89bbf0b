"""Fills a real small disk with entries: ``python -m tests.durability.full_disk FOLDER``.

FOLDER lies on a disk of some 24 megabytes, a tmpfs mounted for it for instance. A counter is worked there
first: its screen must stay calm and keep what was entered. Then the bare record must take what fits, give up
its reserve, then say ``disk_full``; all that was acknowledged must be there, and with room made the work must
go on.
"""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

from kiosk.core.preparation import events as e
from kiosk.flow.ports import RecordTrouble
from kiosk.store.verify import verify
from tests.durability.full_counter import in_the_middle
from tests.store import samples as s


def run(folder: Path) -> str:
    """Fill, look, make room, go on; return what was seen."""
    with s.a_store(folder) as store:
        store.ledger.append("prep-1", [s.opened()], s.NOW, "k1")
        ballast = folder / "ballast"
        ballast.write_bytes(bytes(256 * 1024))
        number, code, reserve_gone_at = 0, "", 0
        while not code:
            try:
                event = e.Acknowledged(s.PREPARER, "late", "x" * 500)
                store.ledger.append("prep-1", [event], s.NOW, f"k-{number}")
                number += 1
                if not reserve_gone_at and not store.reserve.whole:
                    reserve_gone_at = number
            except RecordTrouble as trouble:
                code = trouble.code
        held = len(store.ledger.events("prep-1")) - 1
        ballast.unlink()
        store.ledger.append("prep-1", [e.Acknowledged(s.PREPARER, "late")], s.NOW, f"k-{number}")
        whole = verify(store.database.path, store.keys).whole
    return (
        f"acknowledged {number}, there {held}, reserve given up after {reserve_gone_at}, stopped by {code}, "
        f"went on with room made, whole {whole}"
    )


if __name__ == "__main__":
    on_it = Path(sys.argv[1])
    print(in_the_middle(on_it / "counter"))
    shutil.rmtree(on_it / "counter")
    print(run(on_it))
