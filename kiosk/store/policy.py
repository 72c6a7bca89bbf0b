"""The figures of signing on. One value, handed in when a store is opened."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import timedelta
from typing import Final


@dataclass(frozen=True, slots=True)
class HashCost:
    """How slow a PIN is to check: argon2id with ``passes`` over ``kibibytes`` of memory in ``lanes``."""

    passes: int
    kibibytes: int
    lanes: int


# Source: RFC 9106 (2021), section 4, second recommended option, for a machine short of memory; seen.
RFC_9106_LOW_MEMORY: Final = HashCost(passes=3, kibibytes=65536, lanes=4)


@dataclass(frozen=True, slots=True)
class SignOnPolicy:
    """How often a PIN may be tried, how soon again, and what it must be like.

    ``tries`` wrong ones in a row lock the badge until a keeper releases it. After the n-th wrong one the
    next must wait ``first_wait`` doubled n - 1 times. Source of both: common practice, no source;
    NIST SP 800-63B (2017), 5.2.2 allows at most 100 tries in a row; from memory.
    """

    tries: int = 5
    first_wait: timedelta = timedelta(seconds=1)
    least_digits: int = 4
    most_digits: int = 12
    cost: HashCost = field(default=RFC_9106_LOW_MEMORY)
