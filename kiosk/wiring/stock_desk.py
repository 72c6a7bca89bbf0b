"""Papers of the stock: a sheet of the register, the month's waste. They come out in the counter's outbox."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.core.findings import Refusal
from kiosk.wiring.home import Home

if TYPE_CHECKING:
    from kiosk.flow.stock_keeping import Controlled
    from kiosk.pages.words import Words
    from kiosk.store.opening import Store


class StockPapers:
    """Meets ``kiosk.flow.stock_desk.StockDesk``. Rooms are loaded when something is asked of them."""

    def __init__(self, store: Store, home: Home, words: Words) -> None:
        self._store, self._home, self._words = store, home, words

    def register_page(self, one: Controlled, now: datetime) -> str | Refusal:
        """Write a sheet of the register into the outbox."""
        from kiosk.pages.register_sheet import register_sheet
        from kiosk.printing.faces import faces
        from kiosk.printing.register_page import register_pdf
        from kiosk.wiring.fonts import bundled_fonts

        room = self._store.stock
        lines, counts = room.register(one.sheet.id), room.counts(one.sheet.id)
        sheet = register_sheet(one, lines, counts, self._words, self._name, now)
        slug = "".join(c if c.isalnum() else "-" for c in one.sheet.id)
        return self.put(register_pdf(sheet, faces(bundled_fonts())), f"register-{slug}-{now:%Y-%m-%d}.pdf")

    def waste_report(self, year: int, month: int, now: datetime) -> str | Refusal:
        """Write the waste of one month into the outbox."""
        return self.put(self.waste_page(year, month, now), f"waste-{year}-{month:02}.pdf")

    def waste_page(self, year: int, month: int, now: datetime) -> bytes | Refusal:
        """Return the waste of one month as a PDF."""
        from kiosk.pages.waste_sheet import waste_sheet
        from kiosk.printing.faces import faces
        from kiosk.printing.waste_report import waste_pdf
        from kiosk.wiring.fonts import bundled_fonts

        room = self._store.stock
        wastes, held = room.wasted(year, month, now), room.holdings()
        sheet = waste_sheet(wastes, held, year, month, now, self._words)
        return waste_pdf(sheet, faces(bundled_fonts()))

    @property
    def outbox(self) -> Path:
        """Where papers come out."""
        return self._home.outbox

    def _name(self, person: str) -> str:
        """Return a person's name, also of one who has left."""
        found = self._store.people.person(person)
        return found.name if found is not None else person

    def put(self, pdf: bytes | Refusal, name: str) -> str | Refusal:
        """Put a page into the outbox, made when first needed; return its name."""
        if isinstance(pdf, Refusal):
            return pdf
        folder = self._home.outbox
        try:
            folder.mkdir(parents=True, exist_ok=True)
            (folder / name).write_bytes(pdf)
        except OSError as trouble:
            return Refusal("export_not_written", {"folder": folder.name, "trouble": str(trouble.strerror)})
        return name
