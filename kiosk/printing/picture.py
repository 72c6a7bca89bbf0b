"""Writes a picture to a file: SVG, PDF or PNG by the file's name, all from the same primitives."""

from __future__ import annotations

import io
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from kiosk.core.apparatus.picture import Picture
from kiosk.printing.faces import Fonts
from kiosk.printing.picture_inks import ON_PAPER
from kiosk.printing.picture_pdf import pdf
from kiosk.printing.picture_svg import svg

KINDS: Final = (".svg", ".png", ".pdf")
PNG_DOTS_PER_INCH: Final = 300


class UnknownPictureKind(ValueError):
    """A picture was asked for in a kind of file that is not written here; ask ``can_write`` first."""


def can_write(path: Path) -> bool:
    """Say whether a picture can be written to a file of this name."""
    return path.suffix.lower() in KINDS


def write(
    picture: Picture, path: Path, fonts: Fonts | None = None, inks: Mapping[str, str] = ON_PAPER
) -> None:
    """Write the picture. Raises ``UnknownPictureKind``, and ``OSError`` where the file cannot be made."""
    kind = path.suffix.lower()
    if kind == ".svg":
        path.write_text(svg(picture, inks), encoding="utf-8")
    elif kind == ".pdf":
        path.write_bytes(pdf(picture, inks, fonts))
    elif kind == ".png":
        path.write_bytes(png(picture, PNG_DOTS_PER_INCH, inks, fonts))
    else:
        raise UnknownPictureKind(path.suffix)


def png(
    picture: Picture,
    dots_per_inch: int = PNG_DOTS_PER_INCH,
    inks: Mapping[str, str] = ON_PAPER,
    fonts: Fonts | None = None,
) -> bytes:
    """Return the picture as PNG at a density that the file states, so that a print comes out life-size."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf(picture, inks, fonts))
    try:
        image = document[0].render(scale=dots_per_inch / 72).to_pil()
    finally:
        document.close()
    out = io.BytesIO()
    image.save(out, "PNG", dpi=(dots_per_inch, dots_per_inch))
    return out.getvalue()
