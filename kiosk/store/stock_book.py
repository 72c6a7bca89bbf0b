"""The book of stock as a projection: the lines that events about stock and syringes write.

What came is what was used, wasted, sent back and is left, lot by lot, in whole thousandths; what is left is
at the counter: in drawers, in opened vials, in hands. A taking moves nothing in the book: it is booked when
its rest is accounted for, so that the line of a controlled drug stands under two people.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from kiosk.core.catalogue.container import Container, Product
from kiosk.core.preparation import events as e
from kiosk.core.stock.holding import MILLILITRES, WHOLE, sheet_of, unit_of
from kiosk.core.stock.waste import Reason
from kiosk.core.units import Measure
from kiosk.store import prepared
from kiosk.store.connection import Row, Writing
from kiosk.store.entry import moment_text
from kiosk.store.place import Place

THOUSANDTHS: Final = 1000


def thousandths(amount: Measure) -> int:
    """Return an amount in whole thousandths of a mL or of a container, halves up: the one rounding here."""
    value = (amount if amount.unit == WHOLE else amount.to(MILLILITRES)).value
    return int((abs(value) * THOUSANDTHS + Fraction(1, 2)) // 1)


def measured(count: int, unit: str) -> Measure:
    """Return so many thousandths as a measure."""
    return Measure(Fraction(count, THOUSANDTHS), unit)


def held_by(container: Container) -> int:
    """Return what one container holds, in thousandths of its unit."""
    product = container.product
    if container.left is not None:
        return thousandths(container.left)
    return thousandths(product.contents) if product.contents is not None else THOUSANDTHS


@dataclass(frozen=True, slots=True)
class Line:
    """One line to be written: what moved, in thousandths, by whom and before whom, and why."""

    move: str
    container: str
    person: str
    other: str = ""
    came: int = 0
    used: int = 0
    wasted: int = 0
    sent: int = 0
    reason: str = ""

    @property
    def change(self) -> int:
        """Return by how much the balance grows, below nothing when it shrinks."""
        return self.came - self.used - self.wasted - self.sent


def open_book(writing: Writing, place: Place, product: Product, lot: str, line: Line) -> None:
    """Write a line that may be the first of its lot."""
    sheet = sheet_of(product)
    known = {"drug": product.drug.id, "unit": unit_of(product), "sheet": sheet.id if sheet else None}
    last = _last(writing, product.id, lot)
    _write(writing, place, product.id, lot, line, known, last)


def write_line(writing: Writing, place: Place, product: str, lot: str, line: Line) -> None:
    """Write a further line of a lot; one that was never booked has no book to write in."""
    last = _last(writing, product, lot)
    if last is not None:
        known = {name: last[name] for name in ("drug", "unit", "sheet")}
        _write(writing, place, product, lot, line, known, last)


def _last(writing: Writing, product: str, lot: str) -> Row | None:
    """Return the last line of a lot."""
    found: Row | None = writing.execute(prepared.LAST_LINE, {"product": product, "lot": lot}).fetchone()
    return found


def _write(
    writing: Writing,
    place: Place,
    product: str,
    lot: str,
    line: Line,
    known: dict[str, Any],
    last: Row | None,
) -> None:
    """Write one line after the last of its lot and of its sheet."""
    row = {
        **known,
        "product": product,
        "lot": lot,
        "line": (last["line"] if last else 0) + 1,
        "entry": place.seq,
        "at": moment_text(place.at),
        "move": line.move,
        **{name: getattr(line, name) for name in ("came", "used", "wasted", "sent")},
        "left": (last["left"] if last else 0) + line.change,
        "container": line.container,
        "preparation": place.preparation,
        "person": line.person,
        "other": line.other,
        "reason": line.reason,
        "sheet_line": None,
        "balance": None,
    }
    if known["sheet"] is not None:
        before = writing.execute(prepared.LAST_OF_SHEET, {"sheet": known["sheet"]}).fetchone()
        row["sheet_line"] = (before["sheet_line"] if before else 0) + 1
        row["balance"] = (before["balance"] if before else 0) + line.change
    writing.execute(prepared.WRITE_LINE, row)


# What syringes do to the book ------------------------------------------------------------------------


def rest_accounted(writing: Writing, place: Place, event: e.RestAccounted) -> None:
    """Book what was used out of a container and, where its rest was thrown away, that rest."""
    taken = _takings(writing, place, event.container)
    if not taken:
        return
    had = sum(row["had"] for row in taken)
    unopened = event.volume.unit == WHOLE
    rest = min(had, had if unopened else thousandths(event.volume) if _in_ml(writing, taken[0]) else 0)
    wasted = rest if event.fate == "wasted" else 0
    used = had - rest
    other = _checker(writing, place) or event.witness
    why = Reason.REMAINDER if used else Reason.DISCARDED_SYRINGE
    lines = [
        Line("used", event.container, event.by, other, used=used),
        Line("wasted", event.container, event.by, event.witness, wasted=wasted, reason=why),
    ]
    for line in lines:
        if line.change:
            write_line(writing, place, taken[0]["product"], taken[0]["lot"], line)


def put_back(writing: Writing, place: Place, event: e.PutBack) -> None:
    """Note that what was taken went back unopened: the book does not move, the drawer has it again."""
    taken = _takings(writing, place, event.container)
    if not taken:
        return
    line = Line("put back", event.container, event.by, event.witness)
    write_line(writing, place, taken[0]["product"], taken[0]["lot"], line)
    if not taken[0]["kept"]:
        writing.execute(prepared.ADD, {"container": event.container, "count": len(taken)})


def discarded(writing: Writing, place: Place, event: e.Discarded) -> None:
    """What went into a syringe that is given up was not used but wasted."""
    for row in writing.execute(prepared.USED_IN, {"preparation": place.preparation}).fetchall():
        other = event.witness or _checker(writing, place)
        line = Line(
            "discarded",
            row["container"],
            event.by,
            other,
            used=-row["used"],
            wasted=row["used"],
            reason=Reason.DISCARDED_SYRINGE,
        )
        write_line(writing, place, row["product"], row["lot"], line)


def _takings(writing: Writing, place: Place, container: str) -> Sequence[Row]:
    """Return the booked takings of a container for this syringe, unless they are accounted for already."""
    values = {"preparation": place.preparation, "container": container}
    if writing.execute(prepared.BOOKED, values).fetchone() is not None:
        return ()
    return [row for row in writing.execute(prepared.TAKINGS, values).fetchall() if row["had"]]


def _in_ml(writing: Writing, taken: Row) -> bool:
    """Say whether a lot is booked in mL."""
    last = _last(writing, taken["product"], taken["lot"])
    return last is not None and last["unit"] == MILLILITRES


def _checker(writing: Writing, place: Place) -> str:
    """Return the second checker of this syringe, empty when nobody checked."""
    row = writing.execute(prepared.CHECKER_OF, {"preparation": place.preparation}).fetchone()
    return (row["checker"] or "") if row else ""
