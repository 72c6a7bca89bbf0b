"""What a page is built from: the words, the moment, the syringe, and what the person has typed so far."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.people import Person
from kiosk.core.dose.order import Order
from kiosk.core.preparation.plans import Rules
from kiosk.core.preparation.state import Preparation
from kiosk.core.units import Measure
from kiosk.pages.parts import FindingCard
from kiosk.pages.words import Words

if TYPE_CHECKING:
    from kiosk.pages.keeping_place import Place


@dataclass(slots=True)
class Sitting:
    """What is going on at the screen and not (yet) on record. Kept by the driver alone.

    ``keeping`` are the places of the keeper's desk that led here, the one on show last; empty elsewhere.
    ``too_much`` is the container held up last whose volume the site does not take in one go.
    ``touched`` is when somebody last did something, by a clock that nobody sets; while ``locked_at`` (by the
    hands and by that clock) stands, nothing but a badge counts.
    """

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
    cautioned: tuple[str, tuple[str, ...]] = ("", ())
    dealt_with: tuple[str, ...] = ()
    seen: tuple[Container, ...] = ()
    printing: bool = False
    preparation: str = ""
    trouble: str = ""
    keeping: list[Place] = field(default_factory=list)
    touched: timedelta | None = None
    locked_at: tuple[datetime, timedelta] | None = None
    too_much: Container | None = None

    @property
    def locked(self) -> bool:
        """The screen was left: figures are hidden, the work is kept."""
        return self.locked_at is not None

    def fresh_eyes(self) -> None:
        """Forget everything on the screen before another person looks at it."""
        self.typed, self.plunger, self.seen = "", None, ()
        self.cards, self.heard, self.showing = (), "", ""
        self.guest = None


@dataclass(frozen=True, slots=True)
class View:
    """The frozen look at things from which one page follows.

    ``beside`` is what stands at the counter of the ordered drug and of its look-alikes, while one is sought.
    """

    words: Words
    now: datetime
    rules: Rules
    sitting: Sitting
    state: Preparation | None = None
    due: tuple[Order, ...] = ()
    devices: tuple[str, ...] = ()
    left: tuple[Preparation, ...] = ()
    beside: tuple[Container, ...] = ()
    marks_at: dict[str, datetime] = field(default_factory=dict)

    @property
    def the(self) -> Preparation:
        """The open syringe; asking without one is a bug."""
        assert self.state is not None
        return self.state
