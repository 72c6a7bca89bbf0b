"""Which widget shows which control: the one list of part types."""

from __future__ import annotations

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


def control_widget(part: Control, look: Look, hands: Hands, say: Say, parent: QWidget) -> ControlWidget:
    """Return a new widget for a control. Modules load when first needed: the first paint needs only one."""
    return _kind(part)(look, hands, say, parent)


def _kind(part: Control) -> type[ControlWidget]:
    """Return the widget class of a part."""
    match part:
        case Statement() | ScanWanted() | StepCard():
            from kiosk.ui import statement

            return {
                Statement: statement.StatementPage,
                ScanWanted: statement.ScanPage,
                StepCard: statement.StepPage,
            }[type(part)]
        case NumberEntry() | PinEntry():
            from kiosk.ui import number_pad

            return number_pad.NumberPad if isinstance(part, NumberEntry) else number_pad.PinPad
        case Choices() | DueList():
            from kiosk.ui import choices

            return choices.ChoiceList if isinstance(part, Choices) else choices.DuePage
        case Working() | Comparison():
            from kiosk.ui import comparison

            return comparison.WorkingPage if isinstance(part, Working) else comparison.ComparisonPage
        case LetterEntry():
            from kiosk.ui import letters

            return letters.LetterPad
        case Lines():
            from kiosk.ui import lines

            return lines.LineList
        case PlungerSetter():
            from kiosk.ui import plunger

            return plunger.PlungerPage
