"""How long a name is kept: calendar months by hand, with a child's age counted too."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from kiosk.core.catalogue.retention import Retention, months_after
from kiosk.core.units import Measure

# 8 years, 25 years of age: NHS England, Records Management Code of Practice 2021, Appendix II.
KEPT = Retention(
    identifiers=Measure.of("96", "month"),
    identifiers_child=Measure.of("300", "month"),
    tries=Measure.of("30", "day"),
    papers=Measure.of("30", "day"),
    record=Measure.of("96", "month"),
)


@pytest.mark.parametrize(
    ("last", "born", "due"),
    [
        (date(2018, 3, 16), date(1950, 2, 28), date(2026, 3, 16)),
        (date(2018, 3, 16), date(2010, 6, 1), date(2035, 6, 1)),  # a child of 7: until 25
        (date(2018, 3, 16), date(1995, 1, 5), date(2026, 3, 16)),  # 23 then: eight years end after 25
        (date(2016, 2, 29), date(1950, 1, 1), date(2024, 2, 29)),
        (date(2017, 2, 28), date(2000, 2, 29), date(2025, 2, 28)),
    ],
)
def test_a_patient_is_forgotten_after_the_later_of_two_terms(last: date, born: date, due: date) -> None:
    assert KEPT.forgotten_from(last, born) == due


def test_a_day_that_a_month_lacks_is_its_last() -> None:
    assert months_after(date(2024, 2, 29), 12) == date(2025, 2, 28)
    assert months_after(date(2024, 1, 31), 1) == date(2024, 2, 29)
    assert months_after(date(2024, 12, 15), 1) == date(2025, 1, 15)


def test_tries_and_papers_go_by_days_and_the_record_by_its_last_entry() -> None:
    now = datetime(2026, 3, 31, 3, 0, tzinfo=UTC)
    assert KEPT.tries_before(now) == KEPT.papers_before(now) == datetime(2026, 3, 1, 3, 0, tzinfo=UTC)
    assert KEPT.record_until(date(2026, 3, 15)) == date(2034, 3, 15)
