"""What a machine lacks is named in one line, before Qt is imported."""

from __future__ import annotations

import subprocess
import sys

import pytest

from kiosk.ui.libraries import (
    ALWAYS,
    BY_PLATFORM,
    MissingLibraries,
    NoDisplay,
    loads,
    missing_libraries,
    no_display,
    platform,
)


def test_a_missing_library_is_named_by_its_debian_package():
    lacking = missing_libraries("xcb", lambda name: name not in ("libGL.so.1", "libxcb-cursor.so.0"))
    assert lacking == MissingLibraries(("libGL.so.1", "libxcb-cursor.so.0"), ("libgl1", "libxcb-cursor0"))
    assert lacking.line().endswith("apt-get install libgl1 libxcb-cursor0")
    assert "\n" not in lacking.line()


def test_all_that_a_bare_debian_lacks_is_named_at_once():
    # the lists seen in a bare Debian 12: six for the offscreen platform, more for X
    offscreen = missing_libraries("offscreen", lambda name: False)
    assert set(offscreen.packages) >= {
        "libglib2.0-0",
        "libgl1",
        "libegl1",
        "libxkbcommon0",
        "libfontconfig1",
        "libdbus-1-3",
    }
    x = missing_libraries("xcb", lambda name: False)
    assert {"libxcb-cursor0", "libxcb-icccm4", "libxcb-keysyms1", "libxkbcommon-x11-0"} <= set(x.packages)


def test_with_everything_there_nothing_is_said():
    assert missing_libraries("wayland", lambda name: True) is None


def test_this_machine_can_draw_off_the_screen():
    assert missing_libraries("offscreen") is None


def test_a_library_that_is_nowhere_does_not_load():
    assert not loads("libkiosk-never-heard-of.so.9")
    assert loads("libc.so.6")


@pytest.mark.parametrize(
    ("environ", "plugin"),
    [
        ({}, ""),
        ({"DISPLAY": ":0"}, "xcb"),
        ({"WAYLAND_DISPLAY": "wayland-0", "DISPLAY": ":0"}, "wayland"),
        ({"QT_QPA_PLATFORM": "offscreen:configfile=/x.json"}, "offscreen"),
        ({"QT_QPA_PLATFORM": "wayland-egl;xcb"}, "wayland"),
    ],
)
def test_the_window_system_is_the_one_qt_would_take(environ, plugin):
    assert platform(environ) == plugin


def test_no_display_at_all_is_said():
    assert no_display({}) == NoDisplay("none")
    assert no_display({"QT_QPA_PLATFORM": "offscreen"}) is None


def test_a_compositor_that_does_not_answer_is_said(tmp_path):
    environ = {"WAYLAND_DISPLAY": "wayland-9", "XDG_RUNTIME_DIR": str(tmp_path)}
    assert no_display(environ) == NoDisplay("unreachable")
    (tmp_path / "wayland-9").touch()
    assert no_display(environ) is None


def test_an_x_server_that_does_not_answer_is_said():
    code = "import os; from kiosk.ui.libraries import no_display; print(no_display(os.environ))"
    environ = {"DISPLAY": ":9731", "PATH": ""}
    ran = subprocess.run(
        [sys.executable, "-c", code], env=environ, capture_output=True, text=True, check=True
    )
    assert ran.stdout.strip() == "NoDisplay(why='unreachable')"


def test_asking_does_not_import_qt():
    code = "import sys, kiosk.ui.libraries; print('PySide6' in sys.modules)"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "False"


def test_every_library_has_one_package():
    for names in (ALWAYS, *BY_PLATFORM.values()):
        for library, package in names.items():
            assert ".so." in library
            assert package == package.lower()
