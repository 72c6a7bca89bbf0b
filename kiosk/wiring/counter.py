"""Puts a counter together: its database, its rules, its desk and driver, its press room.

Heavy rooms are imported inside the functions that need them, so that a window can be painted before.
"""

from __future__ import annotations

import os
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import uuid4

from kiosk.core.findings import Refusal
from kiosk.wiring.home import DEMO_COUNTER, Home

if TYPE_CHECKING:
    from kiosk.core.label.says import InUseFields, LabelFields
    from kiosk.core.preparation.plans import Rules
    from kiosk.feeds.ward import Ward
    from kiosk.flow.desk import Desk
    from kiosk.flow.ports import Clock, LabelPrinter, Printed
    from kiosk.flow.press_room import PressRoom
    from kiosk.pages.driver import Background, Driver
    from kiosk.pages.words import Words
    from kiosk.store.opening import Store
    from kiosk.wiring.policies import InForce


def build_demo(home: Home, today: datetime) -> Ward:
    """Read the demo ward's files and build its database in ``home`` unless it is there already."""
    from kiosk.feeds.ward import read_ward
    from kiosk.tables.resources import demo_db

    ward = read_ward(demo_db(), today)
    home.labels.mkdir(parents=True, exist_ok=True)
    if not home.database.exists():
        fresh = Home(home.folder.with_name(home.folder.name + ".new"))
        _build(fresh, ward, today)
        for name in ("counter.db", "keys"):
            (fresh.folder / name).rename(home.folder / name)
    return ward


def _build(home: Home, ward: Ward, today: datetime) -> None:
    """Build a database beside its final place, so that a half-built one is never taken for whole."""
    import shutil

    from kiosk.store.opening import open_store

    shutil.rmtree(home.folder, ignore_errors=True)
    home.folder.mkdir(parents=True)
    store = open_store(home.database, home.keys)
    fill(store, ward, today)
    store.close()


def fill(store: Store, ward: Ward, today: datetime) -> None:
    """Take a whole ward's lists into an empty store: first the staff, who sign drugs and take in stock."""
    keeper, witness = _take_on(store, ward, today)
    _list_drugs(store, ward, today)
    with store.importing(keeper, today) as lists:
        lists.products(ward.products)
        lists.stock(((line.container, line.count) for line in ward.stock), witness)
        lists.devices((*ward.syringes, *ward.draw_up_devices, *ward.needles))
        lists.patients(ward.patients)
        lists.orders(ward.orders)


def _take_on(store: Store, ward: Ward, today: datetime) -> tuple[str, str]:
    """Set the counter up with its first keeper, who takes everybody on; return a keeper and a witness."""
    from kiosk.core.catalogue.people import Role
    from kiosk.flow.keeping import NewPerson

    people = [NewPerson(one.person, one.badge, one.pin) for one in ward.staff]
    first = next(one for one in people if Role.KEEPER in one.person.roles)
    answers = [store.staff.set_up(first, today)]
    answers += [store.staff.enrol(first.person.id, one, today) for one in people if one is not first]
    if refused := [answer for answer in answers if isinstance(answer, Refusal)]:
        raise ValueError(f"the ward's staff list cannot be taken in: {refused}")
    second = next(one for one in people if one is not first and Role.WITNESS in one.person.roles)
    return first.person.id, second.person.id


def _list_drugs(store: Store, ward: Ward, today: datetime) -> None:
    """Make the ward's drug list the first version of every entry, signed by its first two keepers."""
    from kiosk.core.catalogue.people import Role
    from kiosk.flow.keeping_drugs import Wanted

    first, second = [one.person.id for one in ward.staff if Role.KEEPER in one.person.roles][:2]
    wanted = [Wanted(drug, today.date()) for drug in ward.drugs]
    if refused := store.drugs.propose(first, wanted, "drugs.csv", today):
        raise ValueError(f"the ward's drug list cannot be taken in: {refused}")
    store.drugs.sign_all(first, today)
    store.drugs.sign_all(second, today)


def rules(store: Store, site_tables: Path | None = None, own: InForce | None = None) -> Rules:
    """Return what the counter knows besides the syringe, read from the tables and the stock lists.

    Device rows of the site's own, from CSV files in ``site_tables``, are laid over the shipped ones; its
    ``check_policy.csv`` and ``second_person.csv`` may ask for more than the published ones, and ``own`` are
    its figures in force where the record knows them. Raises ``BadTable``.
    """
    from kiosk.core.apparatus.barrel import fitted_out, with_tubing
    from kiosk.core.checks.container_checks import CONTAINER_CHECKS
    from kiosk.core.checks.order_checks import order_checks
    from kiosk.core.checks.second_person import other_form, second_reasons
    from kiosk.core.preparation.plans import Rules
    from kiosk.tables.check_tables import order_tables, self_check_pause
    from kiosk.tables.csv_rows import rows, with_site
    from kiosk.tables.device_tables import device_tables
    from kiosk.tables.stock_figures import in_use_figures
    from kiosk.tables.unsafe_forms import unsafe_forms

    tables = order_tables(unsafe_forms(), site_tables, own.of("check") if own else None)
    devices = device_tables(with_site(site_tables) if site_tables else rows)
    return Rules(
        tables=devices,
        syringes=tuple(fitted_out(syringe, devices) for syringe in store.shelf.syringes()),
        draw_up_devices=tuple(store.shelf.draw_up_devices()),
        needles=tuple(with_tubing(needle, devices) for needle in store.shelf.needles()),
        people={person.id: person for person in store.people.everybody()},
        order_checks=order_checks(tables),
        container_checks=CONTAINER_CHECKS,
        second_reasons=lambda order, person: second_reasons(order, person, None, tables.policy),
        in_use=in_use_figures(),
        listed=store.drugs.listed,
        other_form=lambda order, person: other_form(order, person, None, tables.policy),
        self_check_pause=own.value("check.self_check_pause") if own else self_check_pause(),
    )


def words(language: str) -> Words:
    """Return the sentences of one language."""
    from kiosk.pages.words import Words
    from kiosk.tables.words import words as load

    return Words(load(language), language)


def open_driver(
    store: Store,
    home: Home,
    language: str,
    clock: Clock,
    background: Background | None = None,
    counter: str = DEMO_COUNTER,
) -> Driver:
    """Return the driver of a counter, opened on whatever was half done.

    A clock behind the record and a policy found changed are put on record first. Raises ``RecordTrouble``.
    """
    from kiosk.core.label.code import make_code
    from kiosk.feeds.scan import ScanReader
    from kiosk.pages import clock_watch
    from kiosk.pages.driver import Driver, at_once
    from kiosk.tables.sign_on import sign_on_figures
    from kiosk.tables.stock_figures import scan_figures
    from kiosk.wiring.offices import offices
    from kiosk.wiring.policies import SitePolicies

    was = _behind(store, clock)
    in_force = SitePolicies(store, home).open(clock.now())
    spoken, desk = words(language), _desk(store, home, clock, in_force)
    driver = Driver(
        desk=desk,
        people=store.people,
        orders=store.orders,
        shelf=store.shelf,
        press_room=press_room(store, home, spoken),
        read_scan=ScanReader(scan_figures()),
        words=spoken,
        new_code=lambda: make_code(counter, store.ledger.opened_ever()),
        offices=offices(store, home, spoken, clock.now().tzinfo),
        figures=sign_on_figures(own=in_force.of("sign_on")),
        background=background or at_once,
    )
    if was is not None:
        clock_watch.show(driver, was, clock.now())
    return driver


def _desk(store: Store, home: Home, clock: Clock, in_force: InForce) -> Desk:
    """Return the desk of a counter, with what was half done."""
    from kiosk.flow.desk import Desk
    from kiosk.flow.recovery import unfinished

    known = rules(store, home.tables, in_force)
    desk = Desk(store.ledger, clock, known, new_key, store.reserve.room_for_new_work)
    desk.adopt(unfinished(store.ledger))
    return desk


def _behind(store: Store, clock: Clock) -> datetime | None:
    """Return the moment of the last entry where the clock is behind it, which is put on record first."""
    from kiosk.core.preparation.house_events import ClockWentBack
    from kiosk.pages.clock_watch import SLACK

    was, now = store.ledger.last_moment(), clock.now()
    if was is None or now >= was - SLACK:
        return None
    store.ledger.note([ClockWentBack(was, now)], now)
    return was


def press_room(store: Store, home: Home, spoken: Words) -> PressRoom:
    """Return the press room of a counter whose labels come out in its home folder."""
    from kiosk.core.label.discard_after import chosen_limit
    from kiosk.flow.press_room import PressRoom
    from kiosk.tables.label_limits import immediate_use_limits, placement

    return PressRoom(
        ledger=store.ledger,
        printer=LatePrinter(home.labels),
        words=spoken.entries,
        language=spoken.language,
        immediate=chosen_limit(immediate_use_limits()),
        placement=placement(),
    )


class LatePrinter:
    """The folder printer, whose room is loaded at the first label and not before the first page."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def print(self, fields: LabelFields, job: str) -> Printed:
        """Print one label; see ``kiosk.printing.outbox``."""
        return self._real().print(fields, job)

    def print_in_use(self, fields: InUseFields, job: str) -> Printed:
        """Print one in-use label; see ``kiosk.printing.outbox``."""
        return self._real().print_in_use(fields, job)

    def ready(self) -> bool:
        """Say whether labels have somewhere to go."""
        return os.access(self._folder, os.W_OK | os.X_OK)

    def _real(self) -> LabelPrinter:
        """Load the printing room and return its printer."""
        from kiosk.printing.outbox import OutboxPrinter
        from kiosk.wiring.fonts import bundled_fonts

        return OutboxPrinter(self._folder, bundled_fonts())


def new_key() -> str:
    """Return a unique key for an entry or a preparation."""
    return uuid4().hex
