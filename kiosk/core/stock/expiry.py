"""Which container to take first: in date, the open vial, the same lot, the earliest expiry."""

from __future__ import annotations

import re
from calendar import IllegalMonthError, monthrange
from collections.abc import Iterable
from datetime import date, datetime

from kiosk.core.catalogue.container import Container, Form, Product
from kiosk.core.findings import Refusal
from kiosk.core.stock.moments import is_past

KEPT_FORMS = frozenset({Form.MULTI_DOSE_VIAL})


def may_be_kept(container: Container) -> bool:
    """Say whether this kind of container may be used again once opened.

    Only a multi-dose vial may; ampoules, single-dose and powder vials and prefilled syringes never.
    Source: CDC injection safety guidance; USP <797> (opened ampoules are never stored).
    """
    return may_be_kept_form(container.product)


def may_be_kept_form(product: Product) -> bool:
    """Say whether containers of this product may be used again once opened."""
    return product.form in KEPT_FORMS


def is_opened(container: Container) -> bool:
    """Say whether somebody has already drawn from, or broken, this very container."""
    return container.opened_at is not None or container.left is not None


def is_expired(container: Container, today: date) -> bool:
    """Say whether the pack's last day has passed; the day itself still counts as in date."""
    return container.expiry < today


def in_use_is_over(container: Container, now: datetime) -> bool:
    """Say whether an opened container has reached its discard time."""
    return container.discard_after is not None and is_past(container.discard_after, now)


def is_empty(container: Container) -> bool:
    """Say whether nothing is left to take."""
    return container.used_up or (container.left is not None and container.left.value <= 0)


def is_usable(container: Container, now: datetime, order_id: str = "") -> bool:
    """Say whether this container could be taken now, for the order given or for none in particular."""
    if container.recalled or container.set_aside or is_empty(container) or is_expired(container, now.date()):
        return False
    if container.reserved_for not in ("", order_id):
        return False
    if not is_opened(container):
        return True
    known = container.opened_at is not None and container.discard_after is not None
    return may_be_kept(container) and known and not in_use_is_over(container, now)


def order_of_use(
    containers: Iterable[Container], now: datetime, taken: tuple[Container, ...] = (), order_id: str = ""
) -> tuple[Container, ...]:
    """Return the usable containers, the one to take first in front.

    First those of a lot already in the syringe, then open vials, then the earliest expiry; equal ones
    by lot and id, so that the answer never depends on the order they came in.
    """
    lots = {(c.product.id, c.lot) for c in taken}

    def rank(c: Container) -> tuple[bool, bool, date, str, str]:
        return ((c.product.id, c.lot) not in lots, not is_opened(c), c.expiry, c.lot, c.id)

    return tuple(sorted((c for c in containers if is_usable(c, now, order_id)), key=rank))


def read_expiry(text: str) -> date | Refusal:
    """Return the last day of use written ``2027-01-31``, or ``2027-01`` for the last day of that month.

    Refusal ``expiry_not_read``.
    """
    written = re.fullmatch(r"(\d{4})[-./ ](\d{2})(?:[-./ ](\d{2}))?", text.strip())
    if written is None:
        return Refusal("expiry_not_read", {"text": text})
    year, month, day = (int(part) if part else 0 for part in written.groups())
    try:
        return date(year, month, day or monthrange(year, month)[1])
    except (ValueError, IllegalMonthError):
        return Refusal("expiry_not_read", {"text": text})
