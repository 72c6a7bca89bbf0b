"""Rows of the order list, in our own written forms."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.people import Patient
from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.dose.order import Order
from kiosk.feeds import written
from kiosk.feeds.cells import Cells

ORDERS: Final = (
    "id",
    "patient",
    "drug",
    "dose",
    "route",
    "site",
    "due",
    "prescriber",
    "spoken",
    "as_written",
    "stated_as",
    "last_given",
    "given_today",
    "doses_per_day",
    "concentration_asked",
)


def read_order(cells: Cells, patients: Mapping[str, Patient], drugs: Mapping[str, Drug]) -> Order:
    """Return one order. Whether it is a sensible one is for the checks; here it is only understood."""
    dose = written.dose(cells.text("dose"))
    if dose is None:
        cells.bad("dose", "cell_not_a_dose")
    return Order(
        id=cells.text("id"),
        patient=cells.known("patient", patients),
        drug=cells.known("drug", drugs),
        dose=dose,
        route=cells.choice("route", Route),
        site=cells.if_any("site", lambda column: cells.choice(column, Site)),
        due=cells.moment("due"),
        prescriber=cells.text("prescriber"),
        spoken=cells.yes("spoken"),
        as_written=cells.text("as_written"),
        stated_as=cells.one_of("stated_as", ("base", "salt")) if cells.maybe("stated_as") else "",
        last_given=cells.if_any("last_given", cells.moment),
        given_today=cells.if_any("given_today", cells.measure),
        doses_per_day=cells.if_any("doses_per_day", cells.whole),
        concentration_asked=cells.if_any("concentration_asked", cells.number),
    )
