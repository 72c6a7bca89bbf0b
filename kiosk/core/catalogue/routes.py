"""Routes and injection sites, by the trade's words."""

from __future__ import annotations

from enum import StrEnum


class Route(StrEnum):
    """How the dose enters the patient. The value is the stable id; words are in resources/words."""

    INTRAMUSCULAR = "intramuscular"
    SUBCUTANEOUS = "subcutaneous"
    INTRADERMAL = "intradermal"
    INTRAVENOUS = "intravenous"
    ORAL = "oral"


class Site(StrEnum):
    """Where the needle goes in."""

    DELTOID = "deltoid"
    VENTROGLUTEAL = "ventrogluteal"
    VASTUS_LATERALIS = "vastus lateralis"
    DORSOGLUTEAL = "dorsogluteal"
    ABDOMEN = "abdomen"
    UPPER_OUTER_ARM = "upper outer arm"
    THIGH = "thigh"
    FOREARM = "forearm"
    CANNULA = "cannula"
