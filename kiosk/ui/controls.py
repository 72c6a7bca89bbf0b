"""Which widget shows which control: the one list of part types."""

from __future__ import annotations

from importlib import import_module

from PySide6.QtWidgets import QWidget

from kiosk.pages.parts import (
    Choices,
    Comparison,
    Control,
    DueList,
    LetterEntry,
    Lines,
    NumberEntry,
    PinEntry,
    PlungerSetter,
    ScanWanted,
    Statement,
    StepCard,
    Working,
)
from kiosk.ui.hands import Hands, Say
from kiosk.ui.look import Look
from kiosk.ui.part import ControlWidget

WIDGETS: dict[type[Control], tuple[str, str]] = {
    NumberEntry: ("number_pad", "NumberPad"),
    PinEntry: ("number_pad", "PinPad"),
    LetterEntry: ("letters", "LetterPad"),
    Lines: ("lines", "LineList"),
    ScanWanted: ("statement", "ScanPage"),
    Choices: ("choices", "ChoiceList"),
    DueList: ("choices", "DuePage"),
    StepCard: ("statement", "StepPage"),
    Working: ("comparison", "WorkingPage"),
    Comparison: ("comparison", "ComparisonPage"),
    Statement: ("statement", "StatementPage"),
    PlungerSetter: ("plunger", "PlungerPage"),
}
"""Module and class of each part's widget. A module is loaded when its part is first shown."""


def control_widget(part: Control, look: Look, hands: Hands, say: Say, parent: QWidget) -> ControlWidget:
    """Return a new widget for a control."""
    kind = widget_class(type(part))
    return kind(look, hands, say, parent)


def widget_class(part: type[Control]) -> type[ControlWidget]:
    """Return the widget class of a part type. Raises ``KeyError`` for a part nobody placed here."""
    module, name = WIDGETS[part]
    found: type[ControlWidget] = getattr(import_module(f"kiosk.ui.{module}"), name)
    return found
