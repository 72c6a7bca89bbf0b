"""PINs: hashed with argon2id, checked slowly and always for as long."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from kiosk.core.findings import Refusal
from kiosk.store.policy import HashCost, SignOnPolicy

if TYPE_CHECKING:
    from argon2 import PasswordHasher


@lru_cache(maxsize=4)
def hasher(cost: HashCost) -> PasswordHasher:
    """Return the hasher of one cost; the library is loaded at the first use."""
    from argon2 import PasswordHasher, Type

    return PasswordHasher(cost.passes, cost.kibibytes, cost.lanes, type=Type.ID)


@lru_cache(maxsize=4)
def dummy_hash(cost: HashCost) -> str:
    """Return a hash that no PIN fits: checked where there is none, so that the time tells nothing."""
    return hasher(cost).hash(b"no PIN is like this")


def pin_hash(peppered: bytes, cost: HashCost) -> str:
    """Return what is stored of a PIN already peppered."""
    return hasher(cost).hash(peppered)


def pin_fits(peppered: bytes, stored: str | None, cost: HashCost) -> bool:
    """Say whether a peppered PIN is the one stored. Takes as long where nothing is stored."""
    from argon2.exceptions import VerificationError

    try:
        hasher(cost).verify(stored or dummy_hash(cost), peppered)
    except VerificationError:
        return False
    return stored is not None


def pin_trouble(pin: str, policy: SignOnPolicy) -> Refusal | None:
    """Return why a new PIN will not do, or None: digits only, long enough, no run, no single digit."""
    if not (pin.isascii() and pin.isdigit()):
        return Refusal("pin_digits_only")
    if not policy.least_digits <= len(pin) <= policy.most_digits:
        return Refusal("pin_length", {"least": policy.least_digits, "most": policy.most_digits})
    steps = {int(b) - int(a) for a, b in pairwise(pin)}
    if steps in ({0}, {1}, {-1}):
        return Refusal("pin_too_simple")
    return None
