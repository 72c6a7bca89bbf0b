"""The demo ward holds what a demonstration needs, on any day it is built, and says that it is invented.

Counts and kinds are those the first issue asks for.
"""

from __future__ import annotations

import re
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from kiosk.core.catalogue.container import Form
from kiosk.core.catalogue.devices import DrawUpKind, Tip
from kiosk.core.catalogue.people import Role
from kiosk.core.catalogue.routes import Route
from kiosk.core.catalogue.strength import Powder
from kiosk.core.checks.check import ContainerCase, OrderCase, run
from kiosk.core.checks.container_checks import CONTAINER_CHECKS
from kiosk.core.checks.order_checks import order_checks
from kiosk.core.checks.second_person import second_reasons
from kiosk.core.dose.order import DosePerBody, DoseRange, FixedDose
from kiosk.core.findings import Level
from kiosk.core.stock.expiry import is_expired, is_opened, order_of_use
from kiosk.core.stock.in_use import discard_limits
from kiosk.core.units import Measure
from kiosk.feeds.pack_code import code_of
from kiosk.feeds.scan import what_is
from kiosk.feeds.ward import Ward, read_ward
from kiosk.flow.scans import BadgeScan, ProductScan
from kiosk.tables.check_tables import order_tables
from kiosk.tables.resources import demo_db
from kiosk.tables.stock_figures import in_use_figures
from kiosk.tables.unsafe_forms import unsafe_forms

NOW = datetime(2026, 11, 25, 6, 0, tzinfo=ZoneInfo("Europe/Berlin"))
TABLES = order_tables(unsafe_forms())
ORDER_CHECKS = order_checks(TABLES)
# What a stop or a second person is shown for on purpose; every other order may be prepared at once.
MEANT = {
    "O05": {"allergic_to_drug": Level.STOP},
    "O14": {"allergy_may_cross": Level.SECOND_PERSON},
    "O29": {"dose_tenfold_above": Level.STOP},
    "O30": {"given_too_recently": Level.STOP},
}


@pytest.fixture(scope="module")
def ward() -> Ward:
    return read_ward(demo_db(), NOW)


@pytest.mark.parametrize(
    "today",
    [
        datetime(2026, 1, 1, 0, 1, tzinfo=UTC),
        datetime(2028, 2, 29, 23, 59, tzinfo=UTC),
        datetime(2026, 3, 29, 1, 30, tzinfo=ZoneInfo("Europe/Berlin")),
        datetime(2026, 10, 25, 2, 30, tzinfo=ZoneInfo("Europe/Berlin")),
        datetime(2035, 12, 31, 12, 0, tzinfo=ZoneInfo("Pacific/Auckland")),
    ],
)
def test_it_can_be_built_on_any_day_and_is_about_that_day(today: datetime) -> None:
    ward = read_ward(demo_db(), today)
    from_now = [order.due.astimezone(UTC) - today.astimezone(UTC) for order in ward.orders]
    assert all(timedelta(0) < time < timedelta(hours=4) for time in from_now)
    assert all(patient.born < today.date() for patient in ward.patients)
    assert all(p.weighed is None or p.weighed.on <= today.date() for p in ward.patients)
    assert any(is_expired(c, today.date()) for c in ward.containers)


def test_there_is_enough_of_everything(ward: Ward) -> None:
    assert len(ward.patients) >= 12
    assert len(ward.staff) >= 10
    assert len(ward.products) >= 40
    assert len(ward.orders) == 30
    assert {product.form for product in ward.products} == set(Form)
    assert {order.route for order in ward.orders} == set(Route)
    assert {type(order.dose) for order in ward.orders} == {FixedDose, DosePerBody, DoseRange}


def test_people_of_every_role_and_a_trainee_work_here(ward: Ward) -> None:
    roles = {role for one in ward.staff for role in one.person.roles}
    assert roles == set(Role)
    assert [one.person.id for one in ward.staff if one.person.trainee]
    assert sum(Role.KEEPER in one.person.roles for one in ward.staff) >= 2
    assert len({one.pin for one in ward.staff}) == len(ward.staff)
    for one in ward.staff:
        assert what_is(one.badge, NOW) == BadgeScan(one.badge)


def test_patients_of_every_age_and_a_weight_in_pounds(ward: Ward) -> None:
    ages = sorted((NOW.date() - patient.born).days for patient in ward.patients)
    assert ages[0] < 28
    assert any(28 <= age < 365 for age in ages)
    assert any(365 * 2 <= age < 365 * 12 for age in ages)
    assert ages[-1] > 365 * 85
    assert any(p.weighed and p.weighed.weight.unit == "lb" for p in ward.patients)


def test_devices_of_every_kind_stand_ready(ward: Ward) -> None:
    assert {syringe.tip for syringe in ward.syringes} == set(Tip)
    assert {device.kind for device in ward.draw_up_devices} == set(DrawUpKind)
    assert {needle.gauge for needle in ward.needles} >= {18, 21, 23, 25, 27, 30, 31}
    insulin = [s.nominal for s in ward.syringes if s.insulin_strength == Measure.of(100, "units/mL")]
    assert [n.value for n in insulin] == [30, 50, 100]
    # ISO 7886-1:1993 Table 1: least scale length for 1, 2, 5, 10, 20 mL (from memory)
    least = {1: 57, 2: 27, 3: 27, 5: 36, 10: 44, 20: 52}
    for syringe in ward.syringes:
        if not syringe.is_insulin:
            assert syringe.scale_length.value >= least[int(syringe.capacity.value)]


def test_shelves_hold_an_expired_a_recalled_a_stale_and_a_nearly_stale_one(ward: Ward) -> None:
    opened = [c for c in ward.containers if c.discard_after is not None]
    left = [c.discard_after - NOW for c in opened if c.discard_after]
    assert any(is_expired(c, NOW.date()) for c in ward.containers)
    assert any(c.recalled for c in ward.containers)
    assert any(time < timedelta(0) for time in left)
    assert any(timedelta(0) < time < timedelta(hours=6) for time in left)


def test_every_opened_vial_is_discarded_when_its_time_in_use_says(ward: Ward) -> None:
    for vial in ward.containers:
        if vial.opened_at is not None:
            assert vial.discard_after == discard_limits(vial, vial.opened_at, in_use_figures())[0].at


def test_every_pack_scans_as_what_it_is(ward: Ward) -> None:
    for container in ward.containers:
        assert what_is(code_of(container), NOW) == ProductScan(
            container.product.gtin, container.lot, container.expiry, container.serial
        )


def test_every_number_has_the_prefix_for_demonstrations(ward: Ward) -> None:
    numbers = [product.gtin for product in ward.products]
    numbers += [item.gtin for item in ward.syringes] + [item.gtin for item in ward.needles]
    assert all(number.startswith("0952") for number in numbers)


@pytest.mark.parametrize("number", range(1, 31))
def test_an_order_is_held_up_only_where_that_is_the_point_of_it(ward: Ward, number: int) -> None:
    order = next(o for o in ward.orders if o.id == f"O{number:02d}")
    found = {f.id: f.level for f in run(ORDER_CHECKS, OrderCase(order, NOW)) if f.level is not Level.NOTE}
    assert found == MEANT.get(order.id, {})


def test_every_order_that_may_be_prepared_finds_a_fit_container(ward: Ward) -> None:
    for order in ward.orders:
        fit = [
            c
            for c in order_of_use(ward.containers, NOW)
            if not any(
                f.level is Level.STOP
                for f in run(CONTAINER_CHECKS, ContainerCase(order, c, (), NOW, ward.containers))
            )
        ]
        assert fit, order.as_written


def test_the_first_journey_needs_no_second_person_and_raises_no_caution(ward: Ward) -> None:
    order = next(o for o in ward.orders if o.id == "O01")
    assert second_reasons(order, ward.staff[0].person, None, TABLES.policy) == ()
    first = order_of_use((c for c in ward.containers if c.product.drug.id == order.drug.id), NOW)[0]
    assert first.product.form is Form.GLASS_AMPOULE
    found = run(CONTAINER_CHECKS, ContainerCase(order, first, (), NOW, ward.containers))
    assert {f.level for f in found} <= {Level.NOTE}


def test_the_second_journey_is_insulin_from_an_open_vial_with_a_second_person(ward: Ward) -> None:
    order = next(o for o in ward.orders if o.id == "O02")
    assert order.dose == FixedDose(Measure.of(20, "units"))
    assert second_reasons(order, ward.staff[0].person, None, TABLES.policy)
    vials = {
        c.product.id: c for c in ward.containers if c.product.drug.id == order.drug.id and not is_opened(c)
    }
    for name, stops in {
        "insulin-soluble-100-10ml": set(),
        "insulin-soluble-500-20ml": {"not_the_strength_asked"},
        "insulin-soluble-40-10ml": {"not_the_strength_asked"},
    }.items():
        found = run(CONTAINER_CHECKS, ContainerCase(order, vials[name], (), NOW))
        assert {f.id for f in found if f.level is Level.STOP} == stops


@pytest.mark.parametrize(
    ("order_id", "wrong"), [("O03", "heparin-1000-10ml"), ("O04", "adrenaline-1mg-10ml")]
)
def test_the_third_journey_has_a_wrong_strength_at_hand(ward: Ward, order_id: str, wrong: str) -> None:
    order = next(o for o in ward.orders if o.id == order_id)
    container = next(c for c in ward.containers if c.product.id == wrong)
    found = run(CONTAINER_CHECKS, ContainerCase(order, container, (), NOW))
    assert [f.id for f in found if f.level is Level.STOP] == ["wrong_strength_for_route"]


def test_every_powder_can_be_made_up_for_every_route_it_is_made_for(ward: Ward) -> None:
    powders = [p for p in ward.products if isinstance(p.strength, Powder)]
    assert len(powders) >= 5
    assert all(product.strength.make_ups for product in powders)  # type: ignore[union-attr]


def test_every_file_says_that_it_is_invented() -> None:
    for path in demo_db().glob("*.csv"):
        assert path.read_text().startswith("# Invented"), path.name
    assert "Not for clinical use" in (demo_db() / "README.md").read_text()


def test_the_readme_names_the_badges_and_pins_that_the_list_has(ward: Ward) -> None:
    text = (demo_db() / "README.md").read_text()
    told = re.findall(r"`(PB1\w+)` \| (\d+) \| ([\w ]+) \|", text)
    assert told == [(one.badge, one.pin, one.person.name) for one in ward.staff]
    for lot in re.findall(r"`(TW\w+)`", text):
        assert any(c.lot == lot for c in ward.containers), lot


def test_the_build_script_counts_the_lists_and_prints_the_codes() -> None:
    script = Path(demo_db()) / "build.py"
    done = subprocess.run(
        [sys.executable, str(script), "--codes"], capture_output=True, text=True, check=True
    )
    assert "  30 orders" in done.stdout
    assert "PB1N01L" in done.stdout
    assert "Not for clinical use" in done.stdout
