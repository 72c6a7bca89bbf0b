"""The fields of a syringe label, as text in safe notation. Layout is printing's business."""

from __future__ import annotations

from dataclasses import dataclass


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
