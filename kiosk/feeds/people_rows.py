"""Rows of the lists of people: staff with their badges, patients with their weights."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from kiosk.core.catalogue.people import Patient, Person, Role, Weighed
from kiosk.feeds import written_time
from kiosk.feeds.cells import Cells
from kiosk.feeds.own_codes import BADGE, read_own
from kiosk.feeds.written import measure

STAFF: Final = ("id", "name", "initials", "roles", "trainee", "badge", "pin")
PATIENTS: Final = (
    "id",
    "name",
    "number",
    "born",
    "sex",
    "place",
    "weight",
    "weighed",
    "earlier_weights",
    "height",
    "allergies",
)
_PIN: Final = re.compile(r"\d{4,12}")


@dataclass(frozen=True, slots=True)
class Staff:
    """A person with the badge that names them. ``pin`` is only ever in a list that sets it; else empty."""

    person: Person
    badge: str
    pin: str = ""


def read_staff(cells: Cells) -> Staff:
    """Return a member of staff; the badge is one of our own codes, the PIN four to twelve digits or none."""
    roles = frozenset(Role(word) for word in cells.many("roles", tuple(Role)))
    if not roles:
        cells.bad("roles", "cell_empty")
    person = Person(
        id=cells.text("id"),
        name=cells.text("name"),
        initials=cells.text("initials"),
        roles=roles,
        trainee=cells.yes("trainee"),
    )
    pin = cells.maybe("pin")
    if pin and not _PIN.fullmatch(pin):
        cells.bad("pin", "cell_not_a_pin")
    badge = cells.text("badge")
    if read_own(badge) != (BADGE, badge[3:-1]):
        cells.bad("badge", "cell_not_a_badge")
    return Staff(person, badge, pin)


def write_staff(staff: Staff) -> dict[str, str]:
    """Return the cells of a member of staff; a PIN never leaves."""
    person = staff.person
    return {
        "id": person.id,
        "name": person.name,
        "initials": person.initials,
        "roles": "; ".join(role.value for role in Role if role in person.roles),
        "trainee": "yes" if person.trainee else "no",
        "badge": staff.badge,
        "pin": "",
    }


def read_patient(cells: Cells) -> Patient:
    """Return a patient; ``earlier_weights`` reads ``7.4 kg -60 d; 6.9 kg -95 d``, any order."""
    weighed = None
    if cells.maybe("weight"):
        weighed = Weighed(cells.measure("weight", "kg"), cells.day("weighed"))
    earlier = [_weighed(cells, part) for part in cells.many("earlier_weights")]
    return Patient(
        id=cells.text("id"),
        name=cells.text("name"),
        number=cells.text("number"),
        born=cells.day("born"),
        sex=cells.one_of("sex", ("female", "male")) if cells.maybe("sex") else "",
        place=cells.text("place"),
        weighed=weighed,
        earlier=tuple(sorted(earlier, key=lambda one: one.on)),
        height=cells.if_any("height", lambda column: cells.measure(column, "cm")),
        allergies=cells.many("allergies"),
    )


def _weighed(cells: Cells, text: str) -> Weighed:
    """Return one earlier weight, such as ``7.4 kg -60 d``."""
    number, unit, on = (*text.split(" ", 2), "", "")[:3]
    weight, day = measure(f"{number} {unit}"), written_time.day(on, cells.now)
    if weight is None or not weight.is_like("kg") or day is None:
        cells.bad("earlier_weights", "cell_not_a_weight", cell=text)
    return Weighed(weight, day)
