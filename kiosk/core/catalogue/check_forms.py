"""The forms a check of a syringe can take, each named on record and label for what it was.

Only the independent second person is asked for by law or by a published list. A site may ask for one of the
weaker ones where nothing else would ask for any: they are more than one person alone, and never less than a
second person who is owed.
"""

from __future__ import annotations

from enum import StrEnum


class CheckForm(StrEnum):
    """What kind of check was made, the weakest first."""

    ONE = "one person"
    WITNESS = "seen by a witness"
    SELF = "self-check after a pause"
    INDEPENDENT = "independent second person"

    @property
    def weight(self) -> int:
        """How much the form is worth beside the others."""
        return list(CheckForm).index(self)
