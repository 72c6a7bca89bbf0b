"""Where no display is asked for, Qt draws off the screen; set before any test imports it.

No generated case is timed: a busy machine must not fail a test of what is right. The same cases are made on
every run, so that a test that passed yesterday passes today; ``KIOSK_EXPLORE=1`` makes new ones, and twenty
times as many where a test sets no number of its own.
"""

from __future__ import annotations

import os
from collections.abc import Callable

import pytest
from hypothesis import settings

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
settings.register_profile("same", deadline=None, derandomize=True)
settings.register_profile("explore", deadline=None, max_examples=2000)
settings.load_profile("explore" if os.environ.get("KIOSK_EXPLORE") else "same")

_TABLE = "table told at the end"


@pytest.fixture
def tell_at_the_end(record_property: Callable[[str, object], None]) -> Callable[[str], None]:
    """Have a table printed under the test run, whichever worker it was made by."""
    return lambda table: record_property(_TABLE, table)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print the tables that tests have asked for."""
    for outcome in ("passed", "failed"):
        for report in terminalreporter.stats.get(outcome, ()):
            for name, table in getattr(report, "user_properties", ()):
                if name == _TABLE:
                    terminalreporter.section(table.splitlines()[0])
                    terminalreporter.write_line("\n".join(table.splitlines()[1:]))
