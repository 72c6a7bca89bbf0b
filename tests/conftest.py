"""Where no display is asked for, Qt draws off the screen; set before any test imports it.

No generated case is timed: a busy machine must not fail a test of what is right.
"""

from __future__ import annotations

import os

from hypothesis import settings

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
