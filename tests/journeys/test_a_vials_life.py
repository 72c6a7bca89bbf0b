"""A controlled vial from the delivery to the count, by the driver alone and in the real window."""

from __future__ import annotations

from datetime import date, timedelta
from fractions import Fraction
from pathlib import Path

from kiosk.core.catalogue.routes import Route, Site
from kiosk.core.dose.order import FixedDose, Order
from kiosk.core.units import Measure
from kiosk.flow.stock_keeping import RegisterLine
from kiosk.hardware.clock import SetClock
from kiosk.store.opening import Store
from kiosk.store.verify import verify
from kiosk.walkthrough.window_hand import WindowHand
from tests.counter import NOW, ward
from tests.journeys.a_vials_life import LOT, PRODUCT, Play, a_vials_life
from tests.journeys.counters import fresh, opened, opened_store
from tests.journeys.driver_hand import DriverHand
from tests.journeys.windows import a_window

SHEET = "ketamine 10 mg/mL"


def order_comes(store: Store, clock: SetClock, order: str, patient: str) -> None:
    """An order for 50 mg of ketamine for the vein, due in half an hour by the counter's clock."""
    drug = next(one for one in ward().drugs if one.id == "ketamine")
    whom = next(one for one in ward().patients if one.id == patient)
    now = clock.now()
    made = Order(
        id=order,
        patient=whom,
        drug=drug,
        dose=FixedDose(Measure.of(50, "mg")),
        route=Route.INTRAVENOUS,
        site=Site.CANNULA,
        due=now + timedelta(minutes=30),
        prescriber="Dr Rowan Haycroft",
        as_written="ketamine 50 mg into the vein once",
    )
    with store.importing("K01", now) as lists:
        lists.orders([made])


def ml(*values: int) -> tuple[Measure | None, ...]:
    return tuple(Measure(Fraction(value), "mL") if value else None for value in values)


def moved(line: RegisterLine) -> tuple[object, ...]:
    return (line.move, line.came, line.used, line.wasted, line.person, line.other, line.balance)


def test_from_the_delivery_to_the_count(tmp_path: Path) -> None:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, driver = opened(home, clock)
    play = Play(ward(), lambda order, patient: order_comes(store, clock, order, patient))
    a_vials_life(DriverHand(driver, clock, home.labels), play)

    # By hand: 7 vials of 20 mL were there, 140 mL; 2 come in, 180 mL; 5 mL are given, 175 mL; 5 more, 170 mL;
    # of the opened vial 20 - 5 - 5 = 10 mL are thrown away, 160 mL: 8 sealed vials of 20 mL.
    lines = store.stock.register(SHEET)
    assert [moved(line) for line in lines] == [
        ("received", *ml(140, 0, 0), "K01", "N01", *ml(140)),
        ("received", *ml(40, 0, 0), "K01", "W01", *ml(180)),
        ("used", *ml(0, 5, 0), "N01", "N02", *ml(175)),
        ("used", *ml(0, 5, 0), "N01", "N02", *ml(170)),
        ("wasted", *ml(0, 0, 10), "K01", "W01", *ml(160)),
    ]
    (counted,) = [one for one in store.stock.controlled() if one.product.id == PRODUCT]
    assert counted.last is not None
    assert counted.last.said.agrees
    assert [held.free for held in store.stock.holdings(PRODUCT)] == [7, 1]
    (waste,) = store.stock.wasted(2026, 4, clock.now())
    assert (waste.volume, waste.reason.value, waste.at.date()) == (
        ml(10)[0],
        "in use over",
        date(2026, 4, 13),
    )
    assert verify(store.database.path, store.keys).whole
    assert {line.lot for line in lines[1:]} == {LOT}
    store.close()


def test_the_same_in_the_real_window_with_a_picture_of_each_step(tmp_path: Path) -> None:
    clock, home = SetClock(NOW), fresh(tmp_path)
    store, pictures = opened_store(home), tmp_path / "pictures"
    pictures.mkdir()
    with a_window(home, store, clock) as walk:
        play = Play(ward(), lambda order, patient: order_comes(store, clock, order, patient))
        a_vials_life(WindowHand(walk, clock, home.labels, pictures, "vial"), play)
    assert len(list(pictures.glob("vial-*.png"))) >= 15
    assert store.stock.register(SHEET)[-1].balance == ml(160)[0]
    store.close()
