"""One row of stock, what is known of it, and what can be done with it."""

from __future__ import annotations

from datetime import datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Final

from kiosk.core.apparatus import drawing
from kiosk.core.catalogue.people import Role
from kiosk.core.findings import Refusal
from kiosk.core.stock.expiry import in_use_is_over, is_expired
from kiosk.core.stock.holding import WHOLE, Holding
from kiosk.core.stock.moments import in_zone
from kiosk.core.stock.waste import Reason, Wasted, summed
from kiosk.core.units import Measure
from kiosk.flow.scans import InUseScan, ProductScan, Scan
from kiosk.pages.keeping_asking import Number, OneOf, with_witness
from kiosk.pages.keeping_letters import Letters
from kiosk.pages.keeping_place import Place, back, back_key, go, heard, keeper, work
from kiosk.pages.parts import Choice, Choices, Ground, InHand, Key, Page
from kiosk.pages.waste_sheet import money
from kiosk.pages.words import Words

if TYPE_CHECKING:
    from kiosk.pages.driver import Driver

# What a hand may say; the kiosk itself says the others.
WASTED_BECAUSE: Final = (Reason.IN_USE_OVER, Reason.EXPIRED, Reason.BROKEN, Reason.RECALLED)
BECAUSE: Final = ("counted_wrong", "found_more", "damaged", "other")
SENT_BECAUSE: Final = ("not_needed", "recalled", "expires_soon", "wrong_delivery")
SOON: Final = timedelta(days=30)
ASIDE_BECAUSE: Final = ("warm", "damaged", "doubted", "other")


def said(words: Words, amount: Measure) -> str:
    """Return an amount of stock for people: a volume, or a number of containers."""
    if amount.unit != WHOLE:
        return words.write(amount)
    return words.say("keeping.row.pieces", count=str(amount.decimal))


def find_row(driver: Driver, found: Scan) -> None:
    """Go to the row that a scanned pack or in-use label names."""
    if not isinstance(found, ProductScan | InUseScan):
        driver.refuse(Refusal("scan_not_wanted_here"))
        return
    container = driver.shelf.container_by_scan(found, driver.desk.now())
    if isinstance(container, Refusal):
        driver.refuse(container)
    else:
        driver.sitting.sound = "accepted"
        go(driver, Row(container.id))


class Row(Place):
    """One container, or so many alike ones of a lot."""

    def __init__(self, container: str) -> None:
        self._id = container

    def _holding(self, driver: Driver) -> Holding:
        """Return the row as it now stands."""
        found = driver.offices.stock.holding(self._id)
        assert found is not None
        return found

    def page(self, driver: Driver) -> Page:
        """Return what is known of the row, and a key for each act that fits it."""
        words, held = driver.words, self._holding(driver)
        rows = tuple(
            Choice(Key(act, words.say(f"keeping.row.{act}"), words.say(f"keeping.row.{act}_hint")))
            for act in acts_of(held, _keeps(driver))
        )
        return Page(
            "keeping-row",
            Ground.BENCH,
            held.container.product.label_name,
            " ".join(facts_of(words, held, driver.desk.now())),
            Choices(rows),
            keys=(back_key(driver),),
            in_hand=in_hand(words, held),
        )

    def press(self, driver: Driver, verb: str, what: str) -> None:
        """Begin an act."""
        held = self._holding(driver)
        if verb not in acts_of(held, _keeps(driver)):
            return
        name = held.container.product.label_name
        if verb == "waste":
            reasons = [(one.value, f"waste_reason.{one.name.lower()}.text") for one in WASTED_BECAUSE]
            go(driver, OneOf("waste-why", reasons, self._waste, name=name))
        elif verb == "count":
            go(driver, Number("count", self._counted, name=name))
        elif verb == "move":
            go(driver, Letters("drawer", self._moved, most=20))
        elif verb == "send-back":
            go(driver, OneOf("send-back-why", _because(SENT_BECAUSE), self._send_back, name=name))
        else:
            key = "aside-why" if verb == "set-aside" else "release-why"
            go(driver, OneOf(key, _because(ASIDE_BECAUSE), self._aside, name=name))

    # -- waste -----------------------------------------------------------------------------------

    def _waste(self, driver: Driver, reason: str) -> None:
        """A reason was chosen: how many, where there are several."""
        held = self._holding(driver)
        back(driver)
        if held.opened or held.free <= 1:
            self._waste_so_many(driver, reason, 1)
        else:
            name = held.container.product.label_name
            go(driver, Number("waste-count", lambda d, n: self._number_of_waste(d, reason, n), 1, name=name))

    def _number_of_waste(self, driver: Driver, reason: str, count: int) -> None:
        """A number was typed."""
        back(driver)
        self._waste_so_many(driver, reason, count)

    def _waste_so_many(self, driver: Driver, reason: str, count: int) -> None:
        """Throw away, before a witness where the drug is controlled."""
        held, room, by = self._holding(driver), driver.offices.stock, keeper(driver)
        amount, name = said(driver.words, held.amount(count)), held.container.product.label_name

        value = worth_said(driver, held, count, reason)

        def act(driver: Driver, witness: str) -> None:
            now = driver.desk.now()
            work(
                driver,
                lambda: room.waste(by, witness, self._id, count, reason, now),
                lambda after: self._done(driver, "wasted", amount=amount, value=value),
            )

        with_witness(driver, _controlled(held), "waste-witness", act, name=name, amount=amount)

    # -- the other acts --------------------------------------------------------------------------

    def _counted(self, driver: Driver, counted: int) -> None:
        """A number was counted: if it is another than booked, why?"""
        held, name = self._holding(driver), self._holding(driver).container.product.label_name
        back(driver)
        if counted == held.free:
            self._correct(driver, counted, "")
        else:
            go(
                driver,
                OneOf(
                    "count-why",
                    _because(BECAUSE),
                    lambda d, why: self._because_of(d, counted, why),
                    name=name,
                ),
            )

    def _because_of(self, driver: Driver, counted: int, why: str) -> None:
        """A reason was chosen."""
        back(driver)
        self._correct(driver, counted, why)

    def _correct(self, driver: Driver, counted: int, why: str) -> None:
        """Make the book say what was counted."""
        room, by, now = driver.offices.stock, keeper(driver), driver.desk.now()
        work(
            driver,
            lambda: room.correct(by, "", self._id, counted, why, now),
            lambda after: self._done(driver, "counted", count=counted),
        )

    def _moved(self, driver: Driver, drawer: str) -> None:
        """Another drawer was named: all that is free of the row goes there."""
        held, room, by, now = self._holding(driver), driver.offices.stock, keeper(driver), driver.desk.now()
        back(driver)
        work(
            driver,
            lambda: room.move(by, self._id, max(held.free, 1), drawer, now),
            lambda after: self._done(driver, "moved", drawer=drawer),
        )

    def _send_back(self, driver: Driver, why: str) -> None:
        """A reason was chosen: how many go back?"""
        held, name = self._holding(driver), self._holding(driver).container.product.label_name
        back(driver)

        def counted(driver: Driver, count: int) -> None:
            back(driver)
            room, by = driver.offices.stock, keeper(driver)

            def act(driver: Driver, witness: str) -> None:
                now = driver.desk.now()
                work(
                    driver,
                    lambda: room.send_back(by, witness, self._id, count, why, now),
                    lambda after: self._done(driver, "sent_back", count=count),
                )

            with_witness(driver, _controlled(held), "send-back-witness", act, name=name)

        go(driver, Number("send-back-count", counted, 1, name=name))

    def _aside(self, driver: Driver, why: str) -> None:
        """A reason was chosen: in quarantine, or out of it."""
        held, room, by, now = self._holding(driver), driver.offices.stock, keeper(driver), driver.desk.now()
        back(driver)
        act = room.release if held.container.set_aside else room.set_aside
        key = "released" if held.container.set_aside else "set_aside"
        work(driver, lambda: act(by, self._id, why, now), lambda after: self._done(driver, key))

    def _done(self, driver: Driver, key: str, **facts: str | int) -> None:
        """Say what is on record now; a row with nothing left is left behind."""
        if self._holding(driver).container.used_up:
            back(driver)
        heard(driver, f"keeping.row.done_{key}", **facts)


def worth_said(driver: Driver, held: Holding, count: int, reason: str) -> str:
    """Return what so much of a row is worth, with its currency, or that it is not known."""
    product, amount = held.container.product, held.amount(count)
    gone = Wasted(product, amount, Reason(reason), driver.desk.now(), keeper(driver))
    return money(summed([gone]), driver.words)


def acts_of(held: Holding, keeps: bool) -> tuple[str, ...]:
    """Return what may be done with a row by this person, the likeliest first."""
    container = held.container
    acts = ["waste"]
    if keeps and not held.opened:
        acts += ["move", "send-back"] if container.product.drug.controlled else ["count", "move", "send-back"]
    if container.set_aside:
        return (*acts, "release") if keeps else tuple(acts)
    return (*acts, "set-aside")


def facts_of(words: Words, held: Holding, now: datetime) -> tuple[str, ...]:
    """Return what is known of a row, in short sentences."""
    one = in_zone(held.container, now)
    facts = [words.say("keeping.row.lot", lot=one.lot, expiry=one.expiry)]
    facts.append(words.say("keeping.row.drawer", drawer=one.drawer))
    if held.opened and one.left is not None:
        facts.append(words.say("keeping.row.left", left=one.left))
        if one.discard_after is not None:
            facts.append(words.say("keeping.row.until", until=one.discard_after))
    elif held.held is not None:
        facts.append(words.say("keeping.row.held", count=held.free))
    if held.in_hand:
        facts.append(words.say("keeping.row.in_hand", count=held.in_hand))
    return tuple(facts)


def mark_of(driver: Driver, held: Holding) -> str:
    """Return the one word that a row in a list carries, the weightiest."""
    one, now, say = held.container, driver.desk.now(), driver.words.say
    if one.recalled:
        return say("keeping.row.is_recalled")
    if one.set_aside:
        return say("keeping.row.is_aside")
    if is_expired(one, now.date()):
        return say("keeping.row.is_expired")
    if in_use_is_over(one, now):
        return say("keeping.row.is_over")
    if one.expiry < (now + SOON).date():
        return say("keeping.row.is_soon")
    return say("keeping.row.is_open") if held.opened else ""


def in_hand(words: Words, held: Holding) -> InHand:
    """Return the container as a picture with its words."""
    product = held.container.product
    full, left = product.contents, held.container.left
    share = Decimal("0.8")
    if left is not None and full is not None and full.value > 0:
        share = Decimal("0.8") * left.over(full, "1").decimal
    return InHand(
        words.say("in_hand.heading"),
        words.say("in_hand.not_to_scale"),
        drawing.container_picture(product.form, left=share),
        product.label_name,
        (words.say("in_hand.form", form=product.form.value),),
        words.say("in_hand.not_to_scale"),
        to_scale=False,
    )


def _because(reasons: tuple[str, ...]) -> list[tuple[str, str]]:
    """Return reasons with their words."""
    return [(reason.replace("_", " "), f"keeping.because.{reason}") for reason in reasons]


def _controlled(held: Holding) -> bool:
    """Say whether a row is of a controlled drug."""
    return held.container.product.drug.controlled


def _keeps(driver: Driver) -> bool:
    """Say whether the person at the screen is a keeper."""
    person = driver.sitting.person
    return person is not None and Role.KEEPER in person.roles
