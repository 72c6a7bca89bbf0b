"""The typed parts a page is made of. All text is ready to show; widgets only lay it out and draw it.

A part with keys (things to touch) names each by ``Key.name``; the driver gets that name back through
``press``. Pictures are values too: primitives in millimetres, see ``kiosk.core.apparatus.picture``.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import TypeAlias

from kiosk.core.apparatus.picture import Picture
from kiosk.pages.part_basics import FindingCard as FindingCard
from kiosk.pages.part_basics import Ground as Ground
from kiosk.pages.part_basics import Key as Key
from kiosk.pages.part_basics import Mark as Mark
from kiosk.pages.part_basics import Slip as Slip
from kiosk.pages.part_basics import StageMark as StageMark
from kiosk.pages.part_basics import Weight as Weight


@dataclass(frozen=True, slots=True)
class NumberEntry:
    """The own number pad: ``typed`` so far, its unit, the value in words, and its keys."""

    typed: str
    unit: str
    words: str
    digits: tuple[Key, ...]
    point: Key
    erase: Key
    commit: Key


@dataclass(frozen=True, slots=True)
class PinEntry:
    """Badge seen, PIN being typed: only the count of digits is known here."""

    person: str
    filled: int
    digits: tuple[Key, ...]
    erase: Key
    commit: Key
    busy: bool = False


@dataclass(frozen=True, slots=True)
class LetterEntry:
    """The own letter keyboard: what is ``typed`` so far under its ``caption``, and its keys.

    ``letters`` are laid out in their order, as many a row as can be touched. ``typed`` is shown as it
    stands; a person at a real keyboard types the same keys (names ``letter:<character>``). ``matches`` are
    what fits so far, to be touched instead of typing on; at most two.
    """

    caption: str
    typed: str
    letters: tuple[Key, ...]
    others: tuple[Key, ...]
    space: Key
    erase: Key
    commit: Key
    matches: tuple[Key, ...] = ()


@dataclass(frozen=True, slots=True)
class ScanWanted:
    """Something is to be scanned; ``instead`` offers the same by hand."""

    what: str
    how: str
    instead: tuple[Key, ...] = ()


@dataclass(frozen=True, slots=True)
class Choice:
    """One line of a choice list: title, one line of reasons, one of details; refused ones say why."""

    key: Key
    details: tuple[str, ...] = ()
    refused: str = ""
    badge: str = ""


@dataclass(frozen=True, slots=True)
class Choices:
    """A ranked list, best first; refused ones after, visible but not to be touched."""

    choices: tuple[Choice, ...]
    more: Key | None = None


@dataclass(frozen=True, slots=True)
class DueRow:
    """One due order."""

    key: Key
    due: str
    patient: str
    place: str
    drug: str
    dose: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class DueList:
    """The orders due, earliest first, ``rows`` being the visible page of them."""

    rows: tuple[DueRow, ...]
    earlier: Key | None
    later: Key | None
    position: str
    empty: str = ""


@dataclass(frozen=True, slots=True)
class StepCard:
    """One step of drawing up, large; ``count`` such as "3 of 9"; ``wait_s`` above zero is timed."""

    count: str
    text: str
    detail: str
    done: Key
    wait_s: int = 0
    left_s: int = 0


@dataclass(frozen=True, slots=True)
class PlungerSetter:
    """The blank syringe, life-size, whose plunger is set to where the real one stands.

    ``steps`` are the keys that move it (names ``plunger:1``, ``plunger:-1``, ``plunger:10`` ... in
    half-lines of the scale). Dragging sends ``type("mm:12.5")``: millimetres along the scale from its
    zero line; ``zero_mm`` and ``scale_mm`` say where zero is and how long the scale is within the
    picture, measured along ``axis`` (``x`` or ``y``, growing away from the tip). ``at_mm`` is where the
    sealing edge stands in ``picture``, from the zero line; ``reading`` and ``words`` say it, or are empty
    where the picture alone is to be read.
    """

    picture: Picture
    axis: str
    zero_mm: Decimal
    scale_mm: Decimal
    steps: tuple[Key, ...]
    by_number: Key
    commit: Key
    at_mm: Decimal = Decimal(0)
    reading: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True)
class Working:
    """The two written forms of the working, and whether the committed figure agrees."""

    verdict: str
    agrees: bool
    mine: str
    kiosk: str
    columns: tuple[tuple[str, tuple[str, ...]], ...]
    go_on: Key


@dataclass(frozen=True, slots=True)
class Comparison:
    """Where readings agree or differ, never what they were."""

    rows: tuple[tuple[str, str, bool], ...]
    go_on: Key


@dataclass(frozen=True, slots=True)
class Statement:
    """A plain page of text with keys: an order to take up, a rest to account for, a trouble."""

    lines: tuple[str, ...]
    keys: tuple[Key, ...]


@dataclass(frozen=True, slots=True)
class Line:
    """One line to read: when (may be empty), what, and smaller under it what belongs to it."""

    at: str
    text: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Lines:
    """A list to read, not to touch, page by page; ``empty`` says that there is nothing."""

    lines: tuple[Line, ...]
    empty: str = ""


Control: TypeAlias = (
    NumberEntry
    | PinEntry
    | LetterEntry
    | Lines
    | ScanWanted
    | Choices
    | DueList
    | StepCard
    | Working
    | Comparison
    | Statement
    | PlungerSetter
)


@dataclass(frozen=True, slots=True)
class InHand:
    """The object column: a picture in millimetres, drawn life-size, with what it is in words.

    ``scale_word`` stands beside it ("life size"); ``reduced_word`` instead where the screen is too small
    and the picture had to be drawn smaller ("drawn smaller than life"). A picture that is ``to_scale`` of
    nothing real has no rule of millimetres beside it.
    """

    heading: str
    scale_word: str
    picture: Picture | None
    title: str
    lines: tuple[str, ...] = ()
    reduced_word: str = ""
    to_scale: bool = True


@dataclass(frozen=True, slots=True)
class Foot:
    """Who is signed on as what, the clock, the devices, and the way to stop safely."""

    signed_on_as: str
    signed_on: str
    clock: str
    devices: tuple[str, ...]
    stop: Key | None


@dataclass(frozen=True, slots=True)
class Page:
    """One screen. ``id`` names it for tests and pictures; ``heard`` says what a scan was taken for.

    ``banner`` stands on every screen of the lab; ``sound`` is ``accepted``, ``refused`` or empty.
    """

    id: str
    ground: Ground
    question: str
    help: str
    control: Control
    slip: Slip | None = None
    stages: tuple[StageMark, ...] = ()
    findings: tuple[FindingCard, ...] = ()
    in_hand: InHand | None = None
    foot: Foot | None = None
    heard: str = ""
    sound: str = ""
    keys: tuple[Key, ...] = ()
    banner: str = ""
    right_to_left: bool = False
