"""Patience with a record that cannot be written: what is owed to it is not tried at every tick.

Each try may have to wait for another program that holds the record, and meanwhile no key answers.
"""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

# Long beside the two seconds that one try may wait: common practice, no source.
BETWEEN_TRIES: Final = timedelta(seconds=10)


def may_try(driver: Driver) -> bool:
    """Say whether what is owed to the record may be tried now."""
    return driver.try_after is None or driver.desk.steady() >= driver.try_after


def failed(driver: Driver) -> None:
    """A try came to nothing: leave the record alone for a while."""
    driver.try_after = driver.desk.steady() + BETWEEN_TRIES
