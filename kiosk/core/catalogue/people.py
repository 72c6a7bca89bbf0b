"""Patients, and the people who work at the counter."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from kiosk.core.units import Measure


class Role(StrEnum):
    """What a person may do at the counter. On one syringe nobody holds two."""

    PREPARER = "preparer"
    CHECKER = "second checker"
    WITNESS = "witness"
    KEEPER = "keeper"


@dataclass(frozen=True, slots=True)
class Person:
    """A member of staff. ``initials`` stand on labels. Secrets are kept elsewhere."""

    id: str
    name: str
    initials: str
    roles: frozenset[Role]
    trainee: bool = False


@dataclass(frozen=True, slots=True)
class Weighed:
    """A body weight and the day it was measured."""

    weight: Measure
    on: date


@dataclass(frozen=True, slots=True)
class Patient:
    """A patient with two identifiers: ``number`` and ``born`` besides the name.

    ``sex`` is ``female``, ``male`` or empty when unknown. ``earlier`` are former weights, oldest first.
    """

    id: str
    name: str
    number: str
    born: date
    sex: str
    place: str
    weighed: Weighed | None = None
    earlier: tuple[Weighed, ...] = ()
    height: Measure | None = None
    allergies: tuple[str, ...] = ()
