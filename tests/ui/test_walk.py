"""Walking through the real window with nothing on a screen, in a process of its own."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from kiosk.ui.walk import offscreen

CODE = """
import sys
from pathlib import Path
from kiosk.hardware.wedge import Wedge
from kiosk.tables.resources import resources
from kiosk.tables.words import words
from kiosk.ui.app import Outfit
from kiosk.ui.walk import NoSuchKey, Walk, offscreen
from tests.ui.sample_pages import english, trouble
from tests.ui.small_driver import SmallDriver

folder = Path(sys.argv[1])
outfit = Outfit(resources(), words("en").__getitem__, Wedge, lambda bug: trouble(english))
walk = Walk(outfit, (1280, 800), offscreen(1280, 800, folder))
driver = SmallDriver()
walk.begin(lambda background: driver)
walk.press("digit:0", "point", "digit:5")
walk.scan("K7704")
walk.kiosk.worker(lambda: 5, lambda answer: setattr(driver, "typed", "1.5"))
walk.settle()
walk.grab(folder / "walk.png")
screen = walk.app.primaryScreen().size()
try:
    walk.press("nowhere")
except NoSuchKey as missing:
    print(missing)
print(screen.width(), screen.height(), walk.page.control.typed, driver.calls[-1])
driver.broken = True
try:
    walk.press("digit:1")
    walk.page
except RuntimeError as bug:
    print("stopped:", bug)
walk.close()
"""


def test_a_walk_presses_scans_waits_and_takes_pictures(tmp_path):
    ran = subprocess.run(
        [sys.executable, "-c", CODE, str(tmp_path)], capture_output=True, text=True, check=False
    )
    lines = ran.stdout.splitlines()
    assert lines[0] == "no key 'nowhere' to touch on page 'volume'", ran.stderr
    assert lines[1] == "1280 800 1.5 ('scan', 'K7704')"
    assert lines[2] == "stopped: a bug in the flow"
    picture = (tmp_path / "walk.png").read_bytes()
    assert picture[16:24] == (1280).to_bytes(4, "big") + (800).to_bytes(4, "big")


def test_the_screen_that_is_not_there_has_the_size_asked_for(tmp_path):
    plugin, value = offscreen(1920, 1080, tmp_path, dpi=141)
    assert plugin == "-platform"
    path = value.removeprefix("offscreen:configfile=")
    with open(path, encoding="utf-8") as file:
        (screen,) = json.load(file)["screens"]
    assert (screen["width"], screen["height"], screen["logicalDpi"]) == (1920, 1080, 141)


@pytest.mark.parametrize("module", ["kiosk.ui.app", "kiosk.ui.walk"])
def test_nothing_heavy_is_imported_before_the_first_paint(module):
    heavy = ["sqlalchemy", "pint", "reportlab", "argon2", "biip", "zxingcpp", "pypdfium2", "numpy", "msgspec"]
    code = f"import sys, {module}; print([m for m in {heavy!r} if m in sys.modules])"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"
