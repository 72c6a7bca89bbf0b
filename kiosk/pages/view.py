"""What a page is built from: the words, the moment, the syringe, and what the person has typed so far."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.people import Person
from kiosk.core.dose.order import Order
from kiosk.core.preparation.plans import Rules
from kiosk.core.preparation.state import Preparation
from kiosk.core.units import Measure
from kiosk.pages.parts import FindingCard
from kiosk.pages.words import Words


@dataclass(slots=True)
class Sitting:
    """What is going on at the screen and not (yet) on record. Kept by the driver alone."""

    person: Person | None = None
    guest: Person | None = None
    badge: str = ""
    badge_of: Person | None = None
    pin: str = ""
    busy: bool = False
    asked: str = ""
    typed: str = ""
    order: Order | None = None
    due_from: int = 0
    cards: tuple[FindingCard, ...] = ()
    heard: str = ""
    sound: str = ""
    showing: str = ""
    plunger: Measure | None = None
    since: datetime | None = None
    cautioned: tuple[str, str] = ("", "")
    dealt_with: tuple[str, ...] = ()
    seen: tuple[Container, ...] = ()
    printing: bool = False
    preparation: str = ""
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class View:
    """The frozen look at things from which one page follows."""

    words: Words
    now: datetime
    rules: Rules
    sitting: Sitting
    state: Preparation | None = None
    due: tuple[Order, ...] = ()
    devices: tuple[str, ...] = ()
    marks_at: dict[str, datetime] = field(default_factory=dict)

    @property
    def the(self) -> Preparation:
        """The open syringe; asking without one is a bug."""
        assert self.state is not None
        return self.state
