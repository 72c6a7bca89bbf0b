"""The world's troubles, for real: no room, no right to write, in a process of their own."""

from __future__ import annotations

import os
import pickle
import resource
import shutil
import signal
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from kiosk.core.preparation import events as e
from kiosk.flow.ports import RecordTrouble
from kiosk.store.keys import read_keys
from kiosk.store.opening import open_store
from kiosk.store.verify import verify
from tests.store import samples as s

NOBODY = 65534


def elsewhere(act: Callable[[], object]) -> object:
    """Do something in a process of its own and return what came of it, an exception as text."""
    hear, tell = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            answer: object = act()
        except BaseException as trouble:
            answer = f"{type(trouble).__name__} {trouble}"
        os.write(tell, pickle.dumps(answer))
        os._exit(0)
    os.close(tell)
    with os.fdopen(hear, "rb") as said:
        answer = pickle.loads(said.read())
    os.waitpid(child, 0)
    return answer


@pytest.fixture
def folder() -> Iterator[Path]:
    """A folder anybody may look into, with a record of one syringe."""
    made = Path(tempfile.mkdtemp(prefix="troubles-"))
    with s.a_store(made) as store:
        store.ledger.append("prep-1", s.whole(), s.NOW, "k1")
    made.chmod(0o755)
    yield made
    shutil.rmtree(made)


def write_until_trouble(folder: Path, room: int) -> tuple[int, str]:
    """Write with files that may not grow past ``room`` bytes; how many actions came back, what stopped it."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))
    store = open_store(folder / "counter.db", folder / "keys", s.CHEAP)
    for number in range(10_000):
        event = e.Acknowledged(s.PREPARER, "late", "x" * 500)
        try:
            store.ledger.append("prep-1", [event], s.NOW, f"k-{number}")
        except RecordTrouble as trouble:
            return number, trouble.code
    return 10_000, "never"


def test_a_file_that_cannot_grow_stops_the_work_and_keeps_all_that_was_acknowledged(folder: Path) -> None:
    size = (folder / "counter.db").stat().st_size
    acknowledged, code = elsewhere(lambda: write_until_trouble(folder, size + 200_000))  # type: ignore[misc]
    assert code in ("disk_full", "other")
    assert 0 < acknowledged < 10_000
    with s.a_store(folder) as store:
        assert len(store.ledger.events("prep-1")) == len(s.whole()) + acknowledged
        store.ledger.append("prep-1", [e.Acknowledged(s.PREPARER, "late")], s.NOW, f"k-{acknowledged}")
    assert verify(folder / "counter.db", read_keys(folder / "keys")).whole


def without_rights(folder: Path) -> object:
    """Open and write as somebody who owns the keys but may only read the record."""
    if os.geteuid() == 0:
        os.setgid(NOBODY)
        os.setuid(NOBODY)
    store = open_store(folder / "counter.db", folder / "keys", s.CHEAP)
    return len(store.ledger.append("prep-1", [e.Acknowledged(s.PREPARER, "late")], s.NOW, "k2"))


@pytest.mark.parametrize(("file_mode", "folder_mode"), [(0o444, 0o777), (0o666, 0o555), (0o444, 0o555)])
def test_a_record_one_may_only_read_is_read_only_and_stays_as_it_was(
    folder: Path, file_mode: int, folder_mode: int
) -> None:
    if os.geteuid() == 0:
        for place in (folder / "keys", *(folder / "keys").iterdir()):
            os.chown(place, NOBODY, NOBODY)
    before = (folder / "counter.db").read_bytes()
    (folder / "counter.db").chmod(file_mode)
    folder.chmod(folder_mode)
    said = elsewhere(lambda: without_rights(folder))
    folder.chmod(0o755)
    assert str(said).startswith("RecordTrouble read_only")
    assert (folder / "counter.db").read_bytes() == before


def test_with_the_rights_the_same_writes(folder: Path) -> None:
    assert elsewhere(lambda: _written(folder)) == 1


def _written(folder: Path) -> int:
    with s.a_store(folder) as store:
        return len(store.ledger.append("prep-1", [e.Acknowledged(s.PREPARER, "late")], s.NOW, "k2"))
