"""What the window is given to speak with: a driver, met by shape, and the words of the interface."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol, TypeAlias, TypeVar

from kiosk.pages.parts import Page

T = TypeVar("T")
Say: TypeAlias = Callable[[str], str]
"""Gives the sentence of a words key such as ``ui.next_page`` in the language in use."""


class Driver(Protocol):
    """Holds the flow. After every call the window reads ``page`` again and shows it."""

    def page(self) -> Page:
        """Return what is to be seen now."""
        ...

    def press(self, name: str) -> None:
        """A key was touched."""
        ...

    def scan(self, text: str) -> None:
        """A symbol was scanned; empty text means a scan that broke off and says nothing."""
        ...

    def type(self, text: str) -> None:
        """A person typed something that is no key of this page."""
        ...

    def tick(self) -> None:
        """Time has passed."""
        ...

    def scanner(self, there: bool) -> None:
        """The scanner on a port of its own came or went."""
        ...


class Background(Protocol):
    """Runs a slow job off the interface thread."""

    def __call__(self, job: Callable[[], T], then: Callable[[T], None]) -> None:
        """Run ``job`` elsewhere, then ``then`` with its answer here, then show the page anew."""
        ...


class Hands(Protocol):
    """What widgets may do: nothing but hand on what was touched or typed."""

    def press(self, name: str) -> None:
        """Hand on the name of a key."""
        ...

    def type(self, text: str) -> None:
        """Hand on typed text."""
        ...
