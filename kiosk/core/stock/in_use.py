"""Opening a multi-dose vial: until when it may be used, and what it then holds.

The maker's time in use counts where there is one, else the published default; a site may shorten either.
The pack's own expiry still holds. Source: CDC injection safety guidance, USP <797>; TJC MM.03.01.01 asks
for the discard date on the vial, not only the opening date.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from kiosk.core.catalogue.container import Container, Product
from kiosk.core.findings import Refusal
from kiosk.core.stock.expiry import is_opened, may_be_kept
from kiosk.core.stock.figures import InUseFigures
from kiosk.core.stock.moments import end_of, is_past, plus
from kiosk.core.units import Measure

MAKER = "stated on the pack"
SITE = "this site's policy"


@dataclass(frozen=True, slots=True)
class DiscardLimit:
    """One reason to discard an open vial at a moment, with its source."""

    at: datetime
    source: str


def time_in_use(product: Product, figures: InUseFigures, site: Measure | None = None) -> tuple[Measure, str]:
    """Return how long a vial may be used once opened, and who says so: the maker, else the default.

    ``site`` is the site's own limit; it counts only where it is shorter.
    """
    span, source = product.in_use or figures.multi_dose_vial, MAKER
    if product.in_use is None:
        source = dict(figures.sources).get("multi_dose_vial", "")
    return (site, SITE) if site is not None and site < span else (span, source)


def discard_limits(
    container: Container, opened_at: datetime, figures: InUseFigures, site: Measure | None = None
) -> tuple[DiscardLimit, ...]:
    """Return why and when a vial opened at an aware moment must be discarded, the earliest first."""
    span, source = time_in_use(container.product, figures, site)
    limits = [
        DiscardLimit(plus(opened_at, span), source),
        DiscardLimit(end_of(container.expiry, opened_at), MAKER),
    ]
    return tuple(sorted(limits, key=lambda limit: limit.at.timestamp()))


def open_vial(
    container: Container, at: datetime, figures: InUseFigures, site: Measure | None = None
) -> Container | Refusal:
    """Return the vial as it stands once opened at an aware moment: full, with its discard time.

    Refusals: ``single_use_not_kept`` for any other form, ``vial_already_open``, ``vial_fill_unknown``, and
    ``vial_past_discard`` for one that would already have to be discarded.
    """
    product = container.product
    if not may_be_kept(container):
        return Refusal("single_use_not_kept", {"form": product.form.value})
    if is_opened(container):
        return Refusal("vial_already_open", {"container": product.label_name, "lot": container.lot})
    if product.contents is None:
        return Refusal("vial_fill_unknown", {"container": product.label_name})
    until = discard_limits(container, at, figures, site)[0].at
    if is_past(until, at):
        return Refusal("vial_past_discard", {"container": product.label_name, "discard_after": until})
    return replace(container, left=product.contents.to("mL"), opened_at=at, discard_after=until)


def draw(container: Container, volume: Measure, figures: InUseFigures) -> Container | Refusal:
    """Return an open vial after ``volume`` was drawn from it; it is used up once nearly empty.

    Refusals: ``vial_not_open``, ``volume_not_positive``, ``not_enough_left``.
    """
    name = container.product.label_name
    if container.left is None or container.opened_at is None:
        return Refusal("vial_not_open", {"container": name})
    if volume.value <= 0:
        return Refusal("volume_not_positive", {"volume": volume})
    left = container.left.to("mL") - volume
    if left.value < 0:
        return Refusal("not_enough_left", {"container": name, "left": container.left, "volume": volume})
    return replace(container, left=left, used_up=left <= figures.nearly_empty)
