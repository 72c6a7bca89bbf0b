"""What stands behind the keeper's desk of a counter, and the site's own rules for signing on."""

from __future__ import annotations

from datetime import timedelta, tzinfo
from typing import TYPE_CHECKING

from kiosk.flow.keeping import Offices
from kiosk.wiring.forgetting import Forgetting
from kiosk.wiring.home import Home
from kiosk.wiring.policies import SitePolicies, site_of
from kiosk.wiring.record_office import RecordDesk
from kiosk.wiring.staff_lists import InboxLists
from kiosk.wiring.stock_desk import StockPapers

if TYPE_CHECKING:
    from kiosk.pages.words import Words
    from kiosk.store.opening import Store
    from kiosk.store.policy import SignOnPolicy


def offices(store: Store, home: Home, words: Words, zone: tzinfo | None = None) -> Offices:
    """Return the offices of a counter. Their heavy rooms come in when something is asked of them."""
    record = RecordDesk(store, home, words, zone)
    papers = StockPapers(store, home, words)
    return Offices(
        staff=store.staff,
        lists=InboxLists(store, home),
        record=record,
        stock=store.stock,
        stock_desk=papers,
        policies=SitePolicies(store, home),
        forgetting=Forgetting(store, home),
        drugs=store.drugs,
    )


def sign_on_policy(home: Home) -> SignOnPolicy:
    """Return how PINs are judged at this counter. Raises ``BadTable`` for a site's looser figure."""
    from kiosk.store.policy import SignOnPolicy
    from kiosk.tables.sign_on import sign_on_figures

    figures = sign_on_figures(site_of(home))
    return SignOnPolicy(
        tries=int(figures.tries.value.value),
        first_wait=timedelta(seconds=float(figures.first_wait.value.to("s").value)),
        least_digits=int(figures.least_digits.value.value),
    )
