"""A printer that is a folder: each label becomes one PDF file there, whole or not at all.

A file gets its name only after it was written to the disk, read from it again and found to say what it
should. The kiosk uses it in the demo and wherever another program takes labels from a folder to paper.
"""

from __future__ import annotations

import errno
import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import Final

from kiosk.core.findings import Refusal
from kiosk.core.label.says import InUseFields, LabelFields
from kiosk.core.label.seal_slip import SealSlip
from kiosk.flow.ports import Printed
from kiosk.flow.said import facts_said
from kiosk.printing.faces import Faces, Fonts, faces
from kiosk.printing.in_use import in_use_pdf
from kiosk.printing.label import label_pdf
from kiosk.printing.read_back import read_back
from kiosk.printing.seal_slip import seal_pdf
from kiosk.printing.seal_slip import texts_of as slip_texts
from kiosk.printing.symbol import DOTS_203, Dots
from kiosk.printing.wording import in_use_texts_of, texts_of

LEAST_FREE_BYTES: Final = 1 << 20
JOB_NAME: Final = re.compile(r"[A-Za-z0-9_][A-Za-z0-9._-]{0,99}")
_TROUBLES: Final = {
    errno.ENOSPC: "disk_full",
    errno.EDQUOT: "disk_full",
    errno.EFBIG: "disk_full",
    errno.EROFS: "not_writable",
    errno.EACCES: "not_writable",
    errno.EPERM: "not_writable",
    errno.ENOENT: "no_folder",
    errno.ENOTDIR: "no_folder",
}


class OutboxPrinter:
    """Meets ``kiosk.flow.ports.LabelPrinter``. ``dots`` are those of the print head behind the folder."""

    def __init__(self, folder: Path, fonts: Fonts, dots: Dots = DOTS_203) -> None:
        self._folder = folder
        self._fonts = fonts
        self._dots = dots

    def ready(self) -> bool:
        """Say whether a label could be written now: the folder is there, writable and not full."""
        try:
            room = os.statvfs(self._folder)
        except OSError:
            return False
        return (
            os.access(self._folder, os.W_OK | os.X_OK) and room.f_bavail * room.f_frsize >= LEAST_FREE_BYTES
        )

    def print(self, fields: LabelFields, job: str) -> Printed:
        """Write one syringe label as ``<job>.pdf``. Never raises for trouble with the folder or the label."""
        return self._print(
            lambda set_in: label_pdf(fields, set_in, self._dots), fields.code, texts_of(fields), job
        )

    def print_in_use(self, fields: InUseFields, job: str) -> Printed:
        """Write one in-use label of a vial as ``<job>.pdf``; the same promises as ``print``."""
        texts = in_use_texts_of(fields)
        return self._print(lambda set_in: in_use_pdf(fields, set_in, self._dots), fields.code, texts, job)

    def print_seal(self, slip: SealSlip, job: str) -> Printed:
        """Write the slip of a seal as ``<job>.pdf``; the same promises as ``print``."""
        texts = slip_texts(slip)
        return self._print(lambda set_in: seal_pdf(slip, set_in, self._dots), slip.code, texts, job)

    def _print(
        self, layout: Callable[[Faces], bytes | Refusal], code: str, texts: tuple[str, ...], job: str
    ) -> Printed:
        """Lay out, write, read back, name."""
        if not JOB_NAME.fullmatch(job):
            return Printed("failed", f"bad_job_name: {job}")
        pdf = layout(faces(self._fonts))
        if isinstance(pdf, Refusal):
            return _refused(pdf)
        try:
            return self._written(pdf, code, texts, self._folder / f"{job}.pdf")
        except OSError as trouble:
            name = _TROUBLES.get(trouble.errno or 0, "other")
            return Printed("failed", f"{name}: {trouble.strerror or trouble}")

    def _written(self, pdf: bytes, code: str, texts: tuple[str, ...], path: Path) -> Printed:
        """Put the file in its place, unless another label already stands there under that name."""
        if path.exists():
            same = path.read_bytes() == pdf
            return Printed("printed", "already_there") if same else Printed("failed", "job_name_taken")
        part = path.with_name(f".{path.name}.part")
        try:
            _write(part, pdf)
            wrong = read_back(part.read_bytes(), code, texts, self._dots)
            if wrong is not None:
                return _refused(wrong)
            part.replace(path)
        finally:
            part.unlink(missing_ok=True)
        _sync_folder(path.parent)
        return Printed("printed")


def _write(path: Path, data: bytes) -> None:
    """Write a file and wait until it is on the disk."""
    with path.open("wb") as handle:
        handle.write(data)
        handle.flush()
        os.fsync(handle.fileno())


def _sync_folder(folder: Path) -> None:
    """Wait until the folder knows the new name."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _refused(why: Refusal) -> Printed:
    """Return a failed print whose detail is the refusal's code and facts."""
    facts = "; ".join(f"{name}={value}" for name, value in facts_said(why.facts))
    return Printed("failed", f"{why.code}: {facts}" if facts else why.code)
