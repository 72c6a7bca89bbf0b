"""Invented labels: plain ones, the longest that must still print, in both languages and both shapes."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from kiosk.core.label.code import Kind, printed_code
from kiosk.core.label.fields import captions
from kiosk.core.label.says import InUseFields, LabelFields, Shape
from kiosk.printing.faces import Faces, Fonts, faces
from kiosk.tables.resources import resource
from kiosk.tables.words import words

FONTS = Fonts(resource("fonts", "PrepCounterSans-Regular.ttf"), resource("fonts", "PrepCounterSans-Bold.ttf"))


@cache
def bundled() -> Faces:
    return faces(FONTS)


def plain(language: str = "en") -> LabelFields:
    said = words(language)
    return LabelFields(
        code=printed_code(Kind.SYRINGE, "A30001K"),
        drug="prochlorPERazine",
        dose="12.5 mg",
        volume="in 1 mL",
        strength="12.5 mg/mL",
        route=said["label.route.intramuscular"],
        patient="Ines Halvard",
        patient_number="40 118",
        patient_born="3 Apr 1961",
        place="Bay 3, bed 2",
        prepared="25 Nov 2026 14:05",
        discard_after="25 Nov 2026 18:02",
        prepared_by="RO",
        second="MK",
        check_form=said["label.check_form.independent_second_person"],
        captions=captions(said),
    )


def french() -> LabelFields:
    return replace(
        plain("fr"),
        dose="12,5 mg",
        volume="dans 1 mL",
        strength="12,5 mg/mL",
        patient="Inès Hälvard-Groß",
        patient_born="28 sept. 1961",
        prepared="28 sept. 2026 20:48",
        discard_after="28 sept. 2026 23:59",
        place="Baie 3, lit 2",
    )


def longest() -> LabelFields:
    return replace(
        plain(),
        drug="medroxyPROGESTERone acetate suspension",
        dose="1,200,000 units",
        volume="in 4 mL",
        strength="300,000 units/mL",
        patient="Maximiliana Wolfenstein-Hausenberg",
        patient_number="4 011 852 339",
        patient_born="28 Sep 1961",
        prepared_by="MWH",
        second="ABC",
    )


def insulin() -> LabelFields:
    said = words("en")
    return replace(
        plain(),
        drug="insulin isophane",
        dose="20 units",
        volume="in 0.2 mL",
        strength="100 units/mL",
        route=said["label.route.subcutaneous"],
    )


def alone() -> LabelFields:
    return replace(plain(), second="", check_form=words("en")["label.check_form.one_person"])


def copied(label: LabelFields, copy: int = 2) -> LabelFields:
    return replace(label, copy=copy, code=printed_code(Kind.SYRINGE, f"A30001K{copy}"))


def training(label: LabelFields, language: str = "en") -> LabelFields:
    return replace(label, training=words(language)["label.training"])


EVERY_LABEL: dict[str, LabelFields] = {
    f"{name} {shape}": replace(label, shape=shape)
    for name, label in {
        "plain": plain(),
        "french": french(),
        "longest": longest(),
        "insulin": insulin(),
        "alone": alone(),
        "copy": copied(insulin()),
        "copy of the longest": copied(longest()),
        "training": training(plain()),
        "training in french": training(french(), "fr"),
        "training copy": copied(training(insulin())),
        "training copy in french": copied(training(french(), "fr"), 9),
    }.items()
    for shape in Shape
}


def in_use(language: str = "en") -> InUseFields:
    return InUseFields(
        code=printed_code(Kind.CONTAINER, "C001"),
        drug="insulin isophane",
        strength="100 units/mL",
        opened="15 Mar 2026 14:05",
        discard_after="12 Apr 2026 14:05",
        opened_by="RO",
        left="8.2 mL",
        captions=captions(words(language)),
    )


EVERY_IN_USE: dict[str, InUseFields] = {
    "plain": in_use(),
    "french": replace(in_use("fr"), opened="28 sept. 2026 20:48", discard_after="28 déc. 2026 23:59"),
    "longest in training": replace(
        in_use(),
        drug="medroxyPROGESTERone acetate suspension",
        strength="300,000 units/mL",
        opened_by="MWH",
        training=words("en")["label.training"],
    ),
    "training in french": replace(in_use("fr"), training=words("fr")["label.training"]),
}


def written(tmp_path: Path, pdf: bytes) -> Path:
    path = tmp_path / "label.pdf"
    path.write_bytes(pdf)
    return path
