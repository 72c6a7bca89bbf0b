"""Trade item numbers (GTIN): proved by their check digit, kept as fourteen digits."""

from __future__ import annotations

from typing import Final

LENGTHS: Final = (8, 12, 13, 14)


def check_digit(body: str) -> str:
    """Return the check digit of the digits before it: weights 3 and 1 from the right, modulo 10.

    Source: GS1 General Specifications, check digit calculation.
    """
    total = sum(int(digit) * (3 if place % 2 == 0 else 1) for place, digit in enumerate(reversed(body)))
    return str(-total % 10)


def gtin14(text: str) -> str | None:
    """Return a GTIN-8, -12, -13 or -14 as fourteen digits; None when its length or check digit is wrong.

    A number of zeros alone passes the check digit and names nothing: it is refused.
    """
    if not text.isascii() or not text.isdigit() or len(text) not in LENGTHS or not text.strip("0"):
        return None
    return text.zfill(14) if check_digit(text[:-1]) == text[-1] else None
