"""The second check of one syringe as the record has it, for the keeper's report on independence."""

from __future__ import annotations

from collections.abc import Iterable

from kiosk.core.checks.independence import Reading, SecondCheck
from kiosk.core.preparation import events as e


def check_made(preparation: str, happened: Iterable[e.Event]) -> SecondCheck | None:
    """Return who checked whom and what each stated, or None when nobody came to check.

    A matter that the kiosk found to differ counts as wrong for both in that round: when both said the
    same, both were wrong alike. The last who came to check is the checker.
    """
    made = tuple(happened)
    preparer = next((event.by for event in made if isinstance(event, e.Opened)), "")
    checkers = [event.by for event in made if isinstance(event, e.CheckerCame)]
    if not preparer or not checkers:
        return None
    differed = {(d.round, matter) for d in made if isinstance(d, e.Differed) for matter in d.matters}
    readings = tuple(
        Reading(s.by, s.matter, s.value, s.took_s, s.round, (s.round, s.matter) not in differed)
        for s in made
        if isinstance(s, e.Stated)
    )
    return SecondCheck(preparation, preparer, checkers[-1], readings)
