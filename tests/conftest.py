"""Where no display is asked for, Qt draws off the screen; set before any test imports it."""

from __future__ import annotations

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
