"""The label's fields as pieces to set, shared by every shape of label."""

from __future__ import annotations

from dataclasses import fields as names_of

from kiosk.core.label.says import Captions, InUseFields, LabelFields
from kiosk.printing.rows import Piece


def texts_of(fields: LabelFields) -> tuple[str, ...]:
    """Return every value the label must print, in reading order; empty ones left out.

    The place is not among them: it helps to bring the syringe round, identifies nobody, and is printed
    where there is room.
    """
    said = (
        fields.training,
        fields.drug,
        fields.dose,
        fields.volume,
        fields.strength,
        fields.route,
        *fields.warnings,
        fields.patient,
        fields.patient_number,
        fields.patient_born,
        fields.prepared,
        fields.prepared_by,
        fields.second,
        fields.check_form,
        fields.discard_after,
        copy_text(fields),
    )
    return tuple(text for text in said if text)


def in_use_texts_of(fields: InUseFields) -> tuple[str, ...]:
    """Return every value the in-use label prints, in reading order; empty ones left out."""
    said = (
        fields.training,
        fields.drug,
        fields.strength,
        fields.discard_after,
        fields.opened,
        fields.opened_by,
        fields.left,
    )
    return tuple(text for text in said if text)


def captions_of(captions: Captions) -> tuple[str, ...]:
    """Return the small words themselves."""
    return tuple(getattr(captions, name.name) for name in names_of(Captions))


def copy_text(fields: LabelFields) -> str:
    """Return the words of a further copy, such as ``copy 2``; nothing on the first label."""
    return f"{fields.captions.copy} {fields.copy}".strip() if fields.copy > 1 else ""


def captioned(caption: str, value: str) -> str:
    """Return a value behind its small word; nothing for no value."""
    return f"{caption} {value}".strip() if value else ""


def dose(fields: LabelFields, size: float) -> tuple[Piece, ...]:
    """Return the dose, bold, and beside it the volume that carries it, a fifth smaller."""
    return (Piece(fields.dose, size, bold=True), Piece(fields.volume, size * 0.8, gap=size * 0.42))


def patient_marks(fields: LabelFields, size: float) -> tuple[Piece, ...]:
    """Return the patient's number and birthday."""
    says = fields.captions
    return (
        Piece(captioned(says.number, fields.patient_number), size),
        Piece(captioned(says.born, fields.patient_born), size, gap=1.8),
    )


def made(fields: LabelFields, size: float) -> tuple[Piece, ...]:
    """Return when it was prepared and by whom."""
    says = fields.captions
    return (
        Piece(captioned(says.prepared, fields.prepared), size),
        Piece(says.by, size, gap=0.6),
        Piece(fields.prepared_by, size, bold=True, gap=0.6),
    )


def checked(fields: LabelFields, size: float) -> tuple[Piece, ...]:
    """Return who checked it and how; with no second person only how, which then says so."""
    by = fields.captions.checked_by if fields.second else ""
    return (
        Piece(by, size),
        Piece(fields.second, size, bold=True, gap=0.6),
        Piece(fields.check_form, size, gap=0.9),
    )


def discard(fields: LabelFields, small: float, size: float) -> tuple[Piece, ...]:
    """Return the moment to discard it, large, behind its small words."""
    return (
        Piece(fields.captions.discard_after, small),
        Piece(fields.discard_after, size, bold=True, gap=0.9),
    )
