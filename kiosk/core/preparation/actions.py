"""What a person may try at the desk: a closed set, each with who tries it (``by``, a person id)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from kiosk.core.catalogue.container import Container
from kiosk.core.dose.order import Order
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class TakeUp:
    """Start a syringe for an order. ``dealt_with`` are the cautions the preparer acted on."""

    by: str
    order: Order
    syringe_code: str
    dealt_with: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TakeContainer:
    """Hold up a container. ``insisted`` are cautions shown before and answered by doing it again.

    ``beside`` is what else of this drug, and of drugs that look like it, stands at the counter.
    """

    by: str
    container: Container
    read_by: str = "scan"
    insisted: tuple[str, ...] = ()
    beside: tuple[Container, ...] = ()


@dataclass(frozen=True, slots=True)
class TakeSplit:
    """Share the dose out over so many syringes, as ``container`` and the site ask for."""

    by: str
    parts: int
    container: Container


@dataclass(frozen=True, slots=True)
class CommitFigure:
    """Commit the figure to set: mL, or units for insulin."""

    by: str
    figure: Measure


@dataclass(frozen=True, slots=True)
class TakeSyringe:
    """Take a syringe."""

    by: str
    syringe: str


@dataclass(frozen=True, slots=True)
class TakeDrawUpDevice:
    """Take what fills the syringe; empty for a fixed needle."""

    by: str
    device: str


@dataclass(frozen=True, slots=True)
class TakeNeedle:
    """Take the needle that will go into the patient."""

    by: str
    needle: str


@dataclass(frozen=True, slots=True)
class DoStep:
    """Say that a step of drawing up is done."""

    by: str
    step: str


@dataclass(frozen=True, slots=True)
class ReadPlunger:
    """Commit where the plunger stands, in the scale's unit; or the ``content`` of a prefilled syringe."""

    by: str
    position: Measure
    content: str = ""


@dataclass(frozen=True, slots=True)
class ComeToCheck:
    """Sign on as the second person."""

    by: str


@dataclass(frozen=True, slots=True)
class BeginSelfCheck:
    """After the pause, begin to read everything again, alone."""

    by: str


@dataclass(frozen=True, slots=True)
class ComeToWitness:
    """Sign on as somebody who saw the syringe, the container and the order together."""

    by: str


@dataclass(frozen=True, slots=True)
class MakeStatement:
    """Commit one's own reading of one matter; ``value`` in the canonical form of two_people."""

    by: str
    matter: str
    value: str
    took_s: int = 0


@dataclass(frozen=True, slots=True)
class AskForLabel:
    """Ask for the label; a further copy needs a ``reason`` and voids the one before.

    ``held`` are the containers drawn from, as the shelf knows them now.
    """

    by: str
    reason: str = ""
    held: tuple[Container, ...] = ()


@dataclass(frozen=True, slots=True)
class EndLabel:
    """What the printer answered. The desk says this, not a person."""

    digest: str
    copy: int
    outcome: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class SayLabel:
    """Say whether a label whose print ended unknown is there: ``on paper`` or ``no paper``."""

    by: str
    outcome: str


@dataclass(frozen=True, slots=True)
class ScanBack:
    """Scan the label on the barrel."""

    by: str
    syringe_code: str


@dataclass(frozen=True, slots=True)
class AccountRest:
    """Say what became of the remainder of a container: ``kept`` or ``wasted``."""

    by: str
    container: str
    fate: str
    witness: str = ""


@dataclass(frozen=True, slots=True)
class EndInUseLabel:
    """How the in-use label of an opened vial came out. The desk says this, not a person.

    ``container`` is the vial as it stands opened, ``taken`` as it was taken.
    """

    container: str
    outcome: str
    detail: str = ""
    taken: str = ""


@dataclass(frozen=True, slots=True)
class AskInUseLabel:
    """Ask for the in-use label of a vial that goes back; a copy of one that came out needs a ``reason``."""

    by: str
    container: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class SayInUseLabel:
    """Say what became of an in-use label: ``on paper``, ``no paper``, or written ``by hand`` on the vial."""

    by: str
    container: str
    outcome: str


@dataclass(frozen=True, slots=True)
class Finish:
    """Sharps away, counter clear."""

    by: str


@dataclass(frozen=True, slots=True)
class Discard:
    """Give this syringe up, with a reason.

    ``rests`` says for each container taken (by id) what becomes of it: ``put back`` unopened, ``kept`` or
    ``wasted``. What nobody speaks of counts as wasted. ``witness`` sees controlled stock go.
    """

    by: str
    reason: str
    rests: tuple[tuple[str, str], ...] = ()
    witness: str = ""


@dataclass(frozen=True, slots=True)
class Resume:
    """Come back to a half-made syringe after a gap or a restart."""

    by: str


Action: TypeAlias = (
    TakeUp
    | TakeContainer
    | TakeSplit
    | CommitFigure
    | TakeSyringe
    | TakeDrawUpDevice
    | TakeNeedle
    | DoStep
    | ReadPlunger
    | ComeToCheck
    | BeginSelfCheck
    | ComeToWitness
    | MakeStatement
    | AskForLabel
    | EndLabel
    | SayLabel
    | ScanBack
    | AccountRest
    | EndInUseLabel
    | AskInUseLabel
    | SayInUseLabel
    | Finish
    | Discard
    | Resume
)
