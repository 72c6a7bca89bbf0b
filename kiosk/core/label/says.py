"""What our labels say, as text in safe notation. Layout is printing's business."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Shape(StrEnum):
    """Which label it is: along the barrel beside the scale, or a flag that stands off a thin barrel."""

    ALONG = "along"
    FLAG = "flag"


@dataclass(frozen=True, slots=True)
class Captions:
    """The small words before the values, in the label's language. An empty one is left out."""

    number: str = ""
    born: str = ""
    prepared: str = ""
    discard_after: str = ""
    by: str = ""
    checked_by: str = ""
    copy: str = ""
    opened: str = ""
    left: str = ""
    fold: str = ""


@dataclass(frozen=True, slots=True)
class LabelFields:
    """Everything the label prints, already worded and already safe.

    ``code`` is the kiosk's own syringe code, the payload of the Data Matrix. ``second`` is the second
    person's initials, or empty; ``check_form`` names the kind of check that was made. ``training``
    is the text of a training banner, empty on the ward.
    """

    code: str
    drug: str
    dose: str
    volume: str
    strength: str
    route: str
    patient: str
    patient_number: str
    patient_born: str
    place: str
    prepared: str
    discard_after: str
    prepared_by: str
    second: str
    check_form: str
    copy: int = 1
    training: str = ""
    warnings: tuple[str, ...] = ()
    shape: Shape = Shape.ALONG
    captions: Captions = Captions()


@dataclass(frozen=True, slots=True)
class InUseFields:
    """What the label of an opened multi-dose vial prints. ``left`` is the volume still in it."""

    code: str
    drug: str
    strength: str
    opened: str
    discard_after: str
    opened_by: str
    left: str
    training: str = ""
    captions: Captions = Captions()
