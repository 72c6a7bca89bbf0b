"""The demo ward as tests use it: its people, stock and rules as core values, built for one fixed day."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from functools import cache

from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.drug import Drug
from kiosk.core.catalogue.drug_list import EntryVersion
from kiosk.core.checks.container_checks import CONTAINER_CHECKS
from kiosk.core.checks.order_checks import order_checks
from kiosk.core.checks.second_person import second_reasons
from kiosk.core.dose.order import Order
from kiosk.core.preparation.plans import Rules
from kiosk.feeds.ward import Ward, read_ward
from kiosk.tables.check_tables import order_tables
from kiosk.tables.device_tables import device_tables
from kiosk.tables.resources import demo_db
from kiosk.tables.stock_figures import in_use_figures
from kiosk.tables.unsafe_forms import unsafe_forms

ZONE = timezone(timedelta(hours=1))
NOW = datetime(2026, 3, 16, 8, 0, tzinfo=ZONE)


@cache
def ward() -> Ward:
    """The demo ward as built at ``NOW``."""
    return read_ward(demo_db(), NOW)


def as_it_comes(drug: Drug, now: datetime) -> EntryVersion:
    """Every drug as a test has it, in a first version that the ward's two keepers signed."""
    return EntryVersion(drug, 1, NOW.date(), "K01", NOW, 1, ("K01", "K02"))


@cache
def rules() -> Rules:
    """Its rules, without a database."""
    made, tables = ward(), order_tables(unsafe_forms())
    return Rules(
        tables=device_tables(),
        syringes=made.syringes,
        draw_up_devices=made.draw_up_devices,
        needles=made.needles,
        people={one.person.id: one.person for one in made.staff},
        order_checks=order_checks(tables),
        container_checks=CONTAINER_CHECKS,
        second_reasons=lambda order, person: second_reasons(order, person, None, tables.policy),
        in_use=in_use_figures(),
        listed=as_it_comes,
    )


def order(order_id: str) -> Order:
    """One order of the demo ward."""
    return next(o for o in ward().orders if o.id == order_id)


def container(container_id: str) -> Container:
    """One container of the demo ward."""
    return next(c for c in ward().containers if c.id == container_id)
