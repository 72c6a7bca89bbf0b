"""PySide6 must not lose references to None.

PySide6 6.12.0 on Python 3.11 takes one reference from None at nearly every Qt call that returns nothing; a
painting loop then ends in "none_dealloc". 6.8 to 6.11 do not. From Python 3.12 None cannot be lost.
"""

from __future__ import annotations

import sys

from PySide6.QtCore import QObject, QPointF
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtWidgets import QApplication, QWidget

CALLS = 2000


def lost(act) -> int:
    """Return how many references to None an act loses when done CALLS times."""
    act()
    before = sys.getrefcount(None)
    for _ in range(CALLS):
        act()
    return before - sys.getrefcount(None)


def test_painting_loses_no_reference_to_none(qapp: QApplication) -> None:
    image = QImage(64, 64, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    colour, one, other = QColor("red"), QPointF(0, 0), QPointF(9, 9)
    acts = (
        lambda: painter.setPen(colour),
        lambda: painter.drawLine(one, other),
        lambda: painter.save(),
        lambda: painter.restore(),
        lambda: painter.setBrush(colour),
    )
    losses = [lost(act) for act in acts[:2]]
    losses.append(lost(lambda: (painter.save(), painter.restore())))
    losses.append(lost(acts[4]))
    painter.end()
    assert max(losses) < CALLS / 10, losses


def test_widgets_and_the_event_loop_lose_no_reference_to_none(qapp: QApplication) -> None:
    widget, thing = QWidget(), QObject()
    acts = {
        "update": lambda: widget.update(),
        "setObjectName": lambda: thing.setObjectName("x"),
        "resize": lambda: widget.resize(10, 10),
        "processEvents": lambda: qapp.processEvents(),
    }
    losses = {name: lost(act) for name, act in acts.items()}
    widget.deleteLater()
    assert max(losses.values()) < CALLS / 10, losses
