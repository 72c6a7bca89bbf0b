"""Says in one line what this machine lacks to open a window, before Qt is imported. No Qt here.

Qt's wheels bring Qt, not the system libraries under it. Without them the import fails one library at a
time; here all of them are tried, and the Debian packages named (seen on a bare Debian 12).
"""

from __future__ import annotations

import ctypes
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

ALWAYS: Mapping[str, str] = {
    "libglib-2.0.so.0": "libglib2.0-0",
    "libGL.so.1": "libgl1",
    "libEGL.so.1": "libegl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libdbus-1.so.3": "libdbus-1-3",
}
BY_PLATFORM: Mapping[str, Mapping[str, str]] = {
    "xcb": {
        "libxcb-cursor.so.0": "libxcb-cursor0",
        "libxcb-icccm.so.4": "libxcb-icccm4",
        "libxcb-image.so.0": "libxcb-image0",
        "libxcb-keysyms.so.1": "libxcb-keysyms1",
        "libxcb-randr.so.0": "libxcb-randr0",
        "libxcb-render-util.so.0": "libxcb-render-util0",
        "libxcb-shape.so.0": "libxcb-shape0",
        "libxcb-sync.so.1": "libxcb-sync1",
        "libxcb-xfixes.so.0": "libxcb-xfixes0",
        "libxcb-xkb.so.1": "libxcb-xkb1",
        "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
        "libX11-xcb.so.1": "libx11-xcb1",
    },
    "wayland": {
        "libwayland-client.so.0": "libwayland-client0",
        "libwayland-cursor.so.0": "libwayland-cursor0",
        "libwayland-egl.so.1": "libwayland-egl1",
    },
}


@dataclass(frozen=True, slots=True)
class NoDisplay:
    """No window can be opened here: ``why`` is ``none`` (no display at all) or ``unreachable``."""

    why: str


@dataclass(frozen=True, slots=True)
class MissingLibraries:
    """System libraries that are not there, and the Debian packages that bring them."""

    libraries: tuple[str, ...]
    packages: tuple[str, ...]

    def line(self) -> str:
        """Return the one line a person needs."""
        names = " ".join(self.packages)
        return f"Qt cannot start: system libraries are missing. Install them with: apt-get install {names}"


def loads(library: str) -> bool:
    """Say whether a shared library can be loaded here."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def platform(environ: Mapping[str, str]) -> str:
    """Return the window system Qt would use: its plugin's name, or nothing when there is no display."""
    chosen = environ.get("QT_QPA_PLATFORM", "").split(";")[0].split(":")[0]
    if chosen:
        return "wayland" if chosen.startswith("wayland") else chosen
    if environ.get("WAYLAND_DISPLAY"):
        return "wayland"
    return "xcb" if environ.get("DISPLAY") else ""


def missing_libraries(plugin: str, there: Callable[[str], bool] = loads) -> MissingLibraries | None:
    """Return what Qt with this plugin lacks here, or nothing. Loads the libraries it finds."""
    needed = {**ALWAYS, **BY_PLATFORM.get(plugin, {})}
    lacking = tuple(library for library in needed if not there(library))
    if not lacking:
        return None
    return MissingLibraries(lacking, tuple(dict.fromkeys(needed[library] for library in lacking)))


def no_display(environ: Mapping[str, str]) -> NoDisplay | None:
    """Return why no window can be shown, or nothing when one can (or Qt was told where to draw)."""
    plugin = platform(environ)
    if not plugin:
        return NoDisplay("none")
    if plugin == "xcb" and not _x_answers():
        return NoDisplay("unreachable")
    if plugin == "wayland" and not _wayland_answers(environ):
        return NoDisplay("unreachable")
    return None


def _x_answers() -> bool:
    """Say whether the X server of this session lets us in."""
    try:
        xcb = ctypes.CDLL("libxcb.so.1")
    except OSError:
        return True  # the missing library is the trouble then, and is named by missing_libraries
    xcb.xcb_connect.restype = ctypes.c_void_p
    xcb.xcb_connection_has_error.argtypes = [ctypes.c_void_p]
    xcb.xcb_disconnect.argtypes = [ctypes.c_void_p]
    connection = xcb.xcb_connect(None, None)
    refused = bool(xcb.xcb_connection_has_error(connection))
    xcb.xcb_disconnect(connection)
    return not refused


def _wayland_answers(environ: Mapping[str, str]) -> bool:
    """Say whether the compositor's socket is there."""
    name = environ.get("WAYLAND_DISPLAY", "wayland-0")
    return Path(environ.get("XDG_RUNTIME_DIR", f"/run/user/{os.getuid()}"), name).exists()
