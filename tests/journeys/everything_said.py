"""Everything a window says, shown or hidden: for proving that something is not among it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from fractions import Fraction
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.ui import flow

NUMBER = re.compile(r"(?<![\d.,])\d+(?:[.,]\d+)?(?![\d])")
# What a widget holds besides the parts it shows: its look, its hands, other widgets.
NOT_SHOWN = {"look", "hands", "say", "owner", "on_painted", "setting"}


def strings_in(value: Any, depth: int = 0) -> Iterator[str]:
    """Yield every text in a value made of parts, pictures, lists and mappings."""
    if isinstance(value, str):
        yield value
    elif is_dataclass(value) and not isinstance(value, type):
        for field in fields(value):
            yield from strings_in(getattr(value, field.name), depth + 1)
    elif isinstance(value, (tuple, list, set, frozenset)):
        for one in value:
            yield from strings_in(one, depth + 1)
    elif isinstance(value, dict):
        for one in value.values():
            yield from strings_in(one, depth + 1)


def said_by(widget: QWidget) -> Iterator[str]:
    """Yield every text that one widget carries, painted or spoken, now or when it is asked."""
    yield widget.windowTitle()
    yield widget.accessibleName()
    yield widget.accessibleDescription()
    yield widget.toolTip()
    yield widget.statusTip()
    yield widget.whatsThis()
    yield widget.objectName()
    text = getattr(widget, "text", None)
    if callable(text):
        yield str(text())
    for name, value in vars(widget).items():
        if name not in NOT_SHOWN and not isinstance(value, QWidget):
            yield from strings_in(value)


class Everything:
    """Listens to a window opened after it: what all widgets carry and paint, what lies on the clipboard."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.painted: list[str] = []
        self._of_other_tests = QApplication.allWidgets()  # held, so that none of their ids comes again
        real = flow.broken

        def heard(text: str, *rest: Any, **more: Any) -> Any:
            self.painted.append(text)
            return real(text, *rest, **more)

        monkeypatch.setattr(flow, "broken", heard)

    def forget(self) -> None:
        """Let go of what was painted before."""
        self.painted.clear()

    def now(self) -> list[str]:
        """Return every text there is now, and all that was painted since ``forget``."""
        QApplication.processEvents()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
        others = {id(widget) for widget in self._of_other_tests}
        ours = [widget for widget in QApplication.allWidgets() if id(widget) not in others]
        assert len(ours) > 20
        carried = [text for widget in ours for text in said_by(widget)]
        return [*carried, *self.painted, QApplication.clipboard().text()]


def numbers_in(text: str) -> set[Fraction]:
    """Return every number written in a text, by an English or a French hand."""
    return {Fraction(found.replace(",", ".")) for found in NUMBER.findall(text)}
