"""A prefilled syringe as a syringe: its size, its lines, what of it may be a dose."""

from __future__ import annotations

from dataclasses import replace

import pytest

from kiosk.core.apparatus.choices import SyringeOption
from kiosk.core.apparatus.prefilled import (
    is_graduated,
    is_own,
    is_prefilled,
    is_whole,
    own_option,
    own_syringe,
)
from kiosk.core.catalogue.container import Form, PrefilledBarrel, Product
from kiosk.core.catalogue.devices import Tip
from kiosk.core.catalogue.routes import Route, Site
from tests.core.apparatus.samples import a_container, a_drug, a_needle, a_plan, an_order, ml, mm, tables

LINED = PrefilledBarrel(Tip.LOCK, ml("0.5"), ml("1"), mm("14.6"))


def filled(contents: str, barrel: PrefilledBarrel | None = None) -> Product:
    return replace(a_container(Form.PREFILLED, contents=contents).product, barrel=barrel)


def option(product: Product, volume: str, **order: object) -> SyringeOption:
    return own_option(a_plan(volume), an_order(**order), product, tables())  # type: ignore[arg-type]


def ids(found: SyringeOption) -> list[str]:
    return [finding.id for finding in found.findings]


def test_it_is_as_long_as_its_content_stands_in_its_bore() -> None:
    syringe = own_syringe(filled("10", LINED), tables())
    # 10 mL in a bore of 14.6 mm: 10,000 / (3.14159 / 4 x 213.16) = 59.7 mm. Hand arithmetic.
    assert syringe.scale_length == mm("59.7")
    assert is_own(syringe.id)
    assert is_graduated(syringe)


def test_without_a_known_barrel_it_has_one_line_and_a_typical_bore() -> None:
    syringe = own_syringe(filled("0.4"), tables())
    assert not is_graduated(syringe)
    assert syringe.barrel_bore == mm("4.7")  # of a typical 1 mL barrel, barrel_bore.csv
    assert syringe.nominal == ml("0.4")


def test_without_labelled_contents_it_is_no_syringe() -> None:
    with pytest.raises(ValueError, match="nobody knows"):
        own_syringe(replace(filled("1"), contents=None), tables())


def test_the_whole_content_is_given_as_it_is() -> None:
    found = option(filled("1"), "1")
    assert found.allowed
    assert found.findings == ()
    assert found.setting is not None
    assert is_whole(found.syringe, found.setting.line)
    assert found.setting.tolerance.value == 0
    assert found.setting.dose_given == a_plan("1").dose


def test_a_content_within_the_allowed_error_is_given_whole_and_says_so() -> None:
    # 0.97 mL wanted, 1 mL held: 3.1 % more, 5 % allowed.
    found = option(filled("1"), "0.97")
    assert ids(found) == ["whole_not_exact"]
    assert str(found.findings[0].facts["percent"]) == "3.1"
    assert found.allowed


def test_an_insulin_content_must_be_the_dose_exactly() -> None:
    insulin = a_drug("insulin", unit="units", insulin=True)
    found = option(filled("1"), "0.97", drug=insulin, route=Route.SUBCUTANEOUS, site=Site.ABDOMEN)
    assert not found.allowed


@pytest.mark.parametrize("barrel", [None, PrefilledBarrel(Tip.LOCK)])
def test_part_of_one_without_lines_is_refused(barrel: PrefilledBarrel | None) -> None:
    found = option(filled("1", barrel), "0.5")
    assert ids(found) == ["prefilled_part_dose"]
    assert found.setting is None


def test_part_of_one_with_lines_stands_on_a_line() -> None:
    found = option(filled("10", LINED), "5")
    assert found.allowed
    assert found.setting is not None
    assert found.setting.line == ml("5")
    assert not is_whole(found.syringe, found.setting.line)


def test_part_between_two_lines_is_refused_where_the_nearest_is_too_far() -> None:
    assert ids(option(filled("10", LINED), "1.2")) == ["prefilled_part_dose"]  # 1 mL is 17 % off


def test_a_full_barrel_with_lines_is_not_called_too_full() -> None:
    assert option(filled("10", LINED), "9.5").findings == ()


def test_a_fixed_needle_that_does_not_suit_the_site_is_refused() -> None:
    short = PrefilledBarrel(Tip.FIXED, needle=a_needle(27, "12.7"))
    assert ids(option(filled("1", short), "1")) == ["fixed_needle_wrong_length"]  # deltoid, 65 kg
    under_skin = {"route": Route.SUBCUTANEOUS, "site": Site.ABDOMEN}
    assert option(filled("1", short), "1", **under_skin).allowed
    assert ids(option(filled("1", short), "1", route=Route.INTRAVENOUS, site=Site.CANNULA)) == [
        "fixed_needle_for_route"
    ]


def test_only_what_is_prefilled_throughout_is_its_own_syringe() -> None:
    one, other = a_container(Form.PREFILLED), a_container(Form.SINGLE_DOSE_VIAL, id="c2")
    assert is_prefilled((one,))
    assert not is_prefilled((one, other))
    assert not is_prefilled(())
