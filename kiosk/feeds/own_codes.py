"""The codes of our own that come in by scanner: badges, order slips, syringe and in-use labels.

Each begins with three characters that say what it is and ends with a check character (ISO/IEC 7064:2003,
MOD 37,36): ``PB1`` a badge, ``PO1`` an order slip, ``PC1`` a syringe, ``PV1`` an opened container. The
last two are made and read in ``kiosk.core.label.code``; here are the two that carry longer names.
"""

from __future__ import annotations

import re
from typing import Final

from kiosk.core.label.code import ALPHABET, check_character

BADGE: Final = "PB1"
ORDER: Final = "PO1"
SEAL: Final = "PS1 "
"""What the slip of a seal begins with; whether it is genuine only the counter's key can tell."""
_NAME: Final = re.compile(r"[0-9A-Z]{1,16}")


def make_own(kind: str, name: str) -> str:
    """Return the code of a badge or an order slip. Raises ``ValueError`` for a name no code can hold."""
    if kind not in (BADGE, ORDER) or not _NAME.fullmatch(name):
        raise ValueError(f"no such code: {kind!r} {name!r}")
    return kind + name + check_character(kind + name)


def plain(text: str) -> str:
    """Return a code in capitals without spaces and hyphens, as people write them apart."""
    return re.sub(r"[\s-]", "", text).upper()


def read_own(text: str) -> tuple[str, str] | None:
    """Return the kind and the name of a badge or order code; None when it is neither, or misread."""
    code = plain(text)
    kind, name, check = code[:3], code[3:-1], code[-1:]
    if kind not in (BADGE, ORDER) or not _NAME.fullmatch(name) or check not in ALPHABET:
        return None
    return (kind, name) if check_character(kind + name) == check else None
