"""The folder printer: a label is there whole and read back, or it is not there and nobody raised."""

from __future__ import annotations

import os
import resource
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from kiosk.core.label.says import LabelFields
from kiosk.flow.ports import LabelPrinter, Printed
from kiosk.printing.faces import Fonts
from kiosk.printing.outbox import OutboxPrinter
from kiosk.printing.read_back import burnt, codes_on
from kiosk.printing.symbol import DOTS_203, DOTS_300
from tests.printing.samples import EVERY_IN_USE, EVERY_LABEL, FONTS, in_use, insulin, plain


def printer(folder: Path) -> OutboxPrinter:
    return OutboxPrinter(folder, FONTS)


def test_it_meets_the_desks_printer_by_shape(tmp_path: Path) -> None:
    port: LabelPrinter = printer(tmp_path)
    assert port.ready()


@pytest.mark.parametrize("label", EVERY_LABEL.values(), ids=EVERY_LABEL.keys())
def test_a_printed_label_is_one_file_that_decodes(tmp_path: Path, label: LabelFields) -> None:
    assert printer(tmp_path).print(label, "job-1") == Printed("printed")
    assert [path.name for path in tmp_path.iterdir()] == ["job-1.pdf"]
    assert codes_on(burnt((tmp_path / "job-1.pdf").read_bytes(), DOTS_203)) == (label.code,)


def test_it_prints_for_the_head_it_was_given(tmp_path: Path) -> None:
    assert OutboxPrinter(tmp_path, FONTS, DOTS_300).print(plain(), "fine") == Printed("printed")
    assert printer(tmp_path).print(plain(), "coarse") == Printed("printed")
    assert (tmp_path / "fine.pdf").read_bytes() != (tmp_path / "coarse.pdf").read_bytes()


def test_in_use_labels_go_the_same_way(tmp_path: Path) -> None:
    for number, label in enumerate(EVERY_IN_USE.values()):
        assert printer(tmp_path).print_in_use(label, f"vial-{number}") == Printed("printed")


def test_asking_again_for_the_same_job_prints_nothing_twice(tmp_path: Path) -> None:
    printer(tmp_path).print(plain(), "job-1")
    before = (tmp_path / "job-1.pdf").stat().st_mtime_ns
    assert printer(tmp_path).print(plain(), "job-1") == Printed("printed", "already_there")
    assert (tmp_path / "job-1.pdf").stat().st_mtime_ns == before


def test_another_label_never_takes_the_place_of_one_that_is_there(tmp_path: Path) -> None:
    printer(tmp_path).print(plain(), "job-1")
    kept = (tmp_path / "job-1.pdf").read_bytes()
    assert printer(tmp_path).print(insulin(), "job-1") == Printed("failed", "job_name_taken")
    assert (tmp_path / "job-1.pdf").read_bytes() == kept


@pytest.mark.parametrize("job", ["", "../outside", "a/b", ".hidden", "-x", "a b", "x" * 101, "job\n"])
def test_a_job_name_that_is_no_plain_file_name_fails(tmp_path: Path, job: str) -> None:
    (tmp_path / "out").mkdir()
    assert printer(tmp_path / "out").print(plain(), job).outcome == "failed"
    assert list((tmp_path / "out").iterdir()) == []
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_a_label_that_cannot_be_set_fails_with_its_reason_and_leaves_nothing(tmp_path: Path) -> None:
    answer = printer(tmp_path).print(replace(plain(), drug="\u6f22"), "job-1")
    assert answer == Printed("failed", "label_glyph_missing: character=U+6F22; text=\u6f22")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_not_ready_and_fails(tmp_path: Path) -> None:
    gone = printer(tmp_path / "gone")
    assert not gone.ready()
    assert gone.print(plain(), "job-1") == Printed("failed", "no_folder: No such file or directory")


def test_a_file_in_the_folders_place_fails(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("not a folder")
    assert not printer(tmp_path / "file" / "deeper").ready()
    assert printer(tmp_path / "file").print(plain(), "job-1") == Printed(
        "failed", "no_folder: Not a directory"
    )


@pytest.fixture
def no_room() -> Iterator[None]:
    """A limit of the system: no file of this process may grow beyond 4,000 bytes."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (4000, hard))
    yield
    resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


@pytest.mark.usefixtures("no_room")
def test_a_write_that_breaks_off_half_way_fails_and_leaves_nothing(tmp_path: Path) -> None:
    assert printer(tmp_path).print(plain(), "job-1") == Printed("failed", "disk_full: File too large")
    assert list(tmp_path.iterdir()) == []


def test_a_disk_that_lies_is_found_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was written is read from the disk before it counts: here half of it comes back."""
    whole = Path.read_bytes
    monkeypatch.setattr(Path, "read_bytes", lambda path: whole(path)[: path.stat().st_size // 2])
    answer = printer(tmp_path).print(plain(), "job-1")
    monkeypatch.undo()
    assert answer == Printed("failed", "label_not_one_page")
    assert list(tmp_path.iterdir()) == []


def test_a_left_over_part_of_a_broken_print_is_no_hindrance(tmp_path: Path) -> None:
    (tmp_path / ".job-1.pdf.part").write_bytes(b"half a la")
    assert printer(tmp_path).print(plain(), "job-1") == Printed("printed")
    assert [path.name for path in tmp_path.iterdir()] == ["job-1.pdf"]


def test_a_folder_nobody_may_write_to_is_not_ready(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    allowed = os.access(tmp_path, os.W_OK)  # the system's administrator may write anywhere
    assert printer(tmp_path).ready() == allowed
    assert printer(tmp_path).print(plain(), "job-1").outcome == ("printed" if allowed else "failed")
    tmp_path.chmod(0o700)


def test_missing_type_faces_are_a_broken_installation_not_a_printer_trouble(tmp_path: Path) -> None:
    broken = OutboxPrinter(tmp_path, Fonts(tmp_path / "no.ttf", tmp_path / "no.ttf"))
    with pytest.raises(FileNotFoundError):
        broken.print(plain(), "job-1")


def test_an_in_use_label_is_not_a_syringe_label(tmp_path: Path) -> None:
    printer(tmp_path).print_in_use(in_use(), "vial")
    assert codes_on(burnt((tmp_path / "vial.pdf").read_bytes(), DOTS_203)) == (in_use().code,)
    assert in_use().code.startswith("PV1")
