"""The figures of signing on, as a site may make them stricter: tries, waits, idleness."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace

from kiosk.core.catalogue.check_tables import Figure
from kiosk.core.findings import Refusal


@dataclass(frozen=True, slots=True)
class SignOnFigures:
    """Every field is a row of sign_on.csv.

    ``tries`` wrong PINs in a row lock a badge; after the first the next waits ``first_wait``, then twice as
    long each time. A PIN has ``least_digits`` or more. A screen untouched for ``idle`` hides its figures; a
    filled syringe left for longer than ``left_alone`` is not trusted.
    """

    tries: Figure
    first_wait: Figure
    least_digits: Figure
    idle: Figure
    left_alone: Figure


def site_figures(published: SignOnFigures, own: Iterable[Figure]) -> SignOnFigures | Refusal:
    """Return the figures with a site's own in their place.

    Refuses ``policy_unknown_figure`` and ``policy_looser`` (facts ``figure``, ``published``, ``site``).
    """
    names = {field.name for field in fields(SignOnFigures)}
    made = published
    for figure in own:
        if figure.name not in names:
            return Refusal("policy_unknown_figure", {"figure": figure.name})
        was: Figure = getattr(published, figure.name)
        if not was.allows(figure.value):
            facts = {"published": was.value, "site": figure.value}
            return Refusal("policy_looser", {"figure": figure.name, **facts})
        made = replace(made, **{figure.name: replace(figure, stricter=was.stricter)})
    return made
