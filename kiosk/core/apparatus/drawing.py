"""The pictures of the bench, all from the same figures that the checks use. One door for pages and print."""

from __future__ import annotations

from kiosk.core.apparatus.container_drawing import container_picture
from kiosk.core.apparatus.gauge_page import gauge_page
from kiosk.core.apparatus.gauge_strip import gauge_strip, length_strip
from kiosk.core.apparatus.needle_drawing import needles_picture
from kiosk.core.apparatus.set_drawing import set_picture
from kiosk.core.apparatus.syringe_drawing import syringe_picture
from kiosk.core.apparatus.syringe_shape import ScalePlace, position_at, reading_at, scale_place

__all__ = [
    "ScalePlace",
    "container_picture",
    "gauge_page",
    "gauge_strip",
    "length_strip",
    "needles_picture",
    "position_at",
    "reading_at",
    "scale_place",
    "set_picture",
    "syringe_picture",
]
