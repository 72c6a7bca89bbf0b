"""What can happen to one syringe: a closed set. Old kinds stay readable for ever.

Every event is a frozen value of plain fields, so that the ledger can write it as canonical JSON. ``by``
is the id of the person who did it; the moment stands beside the event in the ledger, not in it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TypeAlias

from kiosk.core.catalogue.container import Container
from kiosk.core.dose.order import Order
from kiosk.core.preparation.dose_events import DoseEvent
from kiosk.core.preparation.form_events import FormEvent
from kiosk.core.preparation.in_use_events import InUseEvent
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class Opened:
    """A preparer took up an order, by ``drug_version`` (0: not noted); ``form`` is a site's weaker check."""

    by: str
    order: Order
    syringe_code: str
    needs_second: bool
    second_reasons: tuple[str, ...] = ()
    form: str = ""
    drug_version: int = 0


@dataclass(frozen=True, slots=True)
class ContainerTaken:
    """A container was scanned or read and accepted; ``enough`` once all taken so far hold the dose."""

    by: str
    container: Container
    read_by: str = "scan"
    enough: bool = True
    second_reasons: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class VolumeCommitted:
    """Somebody worked out the figure to set; ``worked_out`` is the kiosk's own, ``agrees`` compares them."""

    by: str
    figure: Measure
    worked_out: Measure
    agrees: bool


@dataclass(frozen=True, slots=True)
class SyringeTaken:
    """The syringe, and the line to set on it, which carries ``dose_given``."""

    by: str
    syringe: str
    line: Measure
    line_volume: Measure
    dose_given: Measure


@dataclass(frozen=True, slots=True)
class DrawUpDeviceTaken:
    """The device that fills the syringe; empty when the needle is fixed."""

    by: str
    device: str


@dataclass(frozen=True, slots=True)
class NeedleTaken:
    """The needle that will go into the patient."""

    by: str
    needle: str
    gauge: int
    length: Measure


@dataclass(frozen=True, slots=True)
class StepDone:
    """One step of drawing up was done; ``last`` says none is left."""

    by: str
    step: str
    last: bool = False


@dataclass(frozen=True, slots=True)
class PlungerRead:
    """The preparer committed where the plunger stands; ``on_the_line`` compares with the plan.

    ``content`` is what was said of a prefilled syringe instead: ``whole content``, ``content missing`` or
    ``content spoilt``; empty for a reading of a scale.
    """

    by: str
    position: Measure
    on_the_line: bool
    content: str = ""


@dataclass(frozen=True, slots=True)
class CheckerCame:
    """A second person signed on to check, blind."""

    by: str


@dataclass(frozen=True, slots=True)
class Stated:
    """One person's own reading of one matter: ``matter`` is container, figure, needle or plunger.

    ``value`` is its canonical text, ``facts`` the digest it was made for; ``took_s`` is in seconds.
    """

    by: str
    matter: str
    value: str
    facts: str
    round: int
    took_s: int = 0


@dataclass(frozen=True, slots=True)
class Differed:
    """The readings differ on these matters; both redo them blind, or discard after a second time."""

    matters: tuple[str, ...]
    round: int


@dataclass(frozen=True, slots=True)
class Vouched:
    """The needed people vouch for the same facts, each on their own reading."""

    facts: str
    people: tuple[str, ...]
    form: str


@dataclass(frozen=True, slots=True)
class LabelRequested:
    """A label for exactly these facts is about to be printed; durable before anything is sent."""

    by: str
    digest: str
    copy: int = 1
    reason: str = ""


@dataclass(frozen=True, slots=True)
class LabelEnded:
    """How the print ended: ``printed``, ``failed`` or ``unknown``."""

    digest: str
    copy: int
    outcome: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class LabelSeen:
    """A person said what became of a label whose print ended unknown: ``on paper`` or ``no paper``."""

    by: str
    copy: int
    outcome: str


@dataclass(frozen=True, slots=True)
class LabelScannedBack:
    """The label was scanned from the barrel: it is on this syringe."""

    by: str
    syringe_code: str


@dataclass(frozen=True, slots=True)
class RestAccounted:
    """What became of the remainder of one container: ``kept`` or ``wasted``; witnessed where needed.

    ``volume`` is in mL, or a number of whole containers (unit 1) where nothing was drawn and the fill is not
    known. ``discard_after`` is until when one that is kept may be used.
    """

    by: str
    container: str
    volume: Measure
    fate: str
    witness: str = ""
    discard_after: datetime | None = None


@dataclass(frozen=True, slots=True)
class PutBack:
    """A container that was taken but never opened went back where it came from."""

    by: str
    container: str
    witness: str = ""


@dataclass(frozen=True, slots=True)
class InUseLabelEnded:
    """How the in-use label of a vial opened for this syringe came out: as ``LabelEnded`` says.

    ``container`` is the vial as it stands opened, ``taken`` as it was taken; empty in old entries.
    """

    container: str
    outcome: str
    detail: str = ""
    taken: str = ""


@dataclass(frozen=True, slots=True)
class Finished:
    """Sharps are away and the counter is clear."""

    by: str


@dataclass(frozen=True, slots=True)
class Discarded:
    """This syringe will not be given; why, and who saw what was in it thrown away where that is needed."""

    by: str
    reason: str
    witness: str = ""


@dataclass(frozen=True, slots=True)
class Refused:
    """The kiosk refused an action: which, why. Refusals are part of the record."""

    by: str
    action: str
    code: str
    facts: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Acknowledged:
    """A person took a caution or a second-person finding on board, with a reason where one is asked."""

    by: str
    finding: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class ContainerSeenAgain:
    """After a gap, a container already taken was scanned again: this is still what was drawn from."""

    by: str
    container: str


@dataclass(frozen=True, slots=True)
class Resumed:
    """Somebody came back to this syringe after a gap or a restart."""

    by: str


Event: TypeAlias = (
    Opened
    | ContainerTaken
    | VolumeCommitted
    | SyringeTaken
    | DrawUpDeviceTaken
    | NeedleTaken
    | StepDone
    | PlungerRead
    | CheckerCame
    | Stated
    | Differed
    | Vouched
    | LabelRequested
    | LabelEnded
    | LabelSeen
    | LabelScannedBack
    | RestAccounted
    | PutBack
    | InUseLabelEnded
    | Finished
    | Discarded
    | Refused
    | Acknowledged
    | ContainerSeenAgain
    | Resumed
    | FormEvent
    | InUseEvent
    | DoseEvent
)
