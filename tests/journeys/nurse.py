"""A nurse who makes one syringe at the real counter, page by page, and remembers what was taken."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from kiosk.core.apparatus.prefilled import is_own, own_syringe
from kiosk.core.catalogue.container import Container
from kiosk.core.catalogue.devices import Syringe
from kiosk.pages.parts import Choice, Choices, DueList, Page, StepCard
from kiosk.tables.device_tables import device_tables
from kiosk.walkthrough.journeys import sign_on, symbol, take_up, type_figure
from tests.counter import ward
from tests.journeys.counters import the_cast
from tests.journeys.driver_hand import DriverHand, keys_of

WITNESS, WITNESS_PIN = "PB1W01N", "3658"  # Tam Gorsewick, demo_db/README.md


@dataclass
class Made:
    """What was taken and done on the way."""

    syringe: str = ""
    device: str = ""
    needle: str = ""
    steps: list[str] = field(default_factory=list)
    rests: list[str] = field(default_factory=list)
    last_look: tuple[str, ...] = ()
    checked: bool = False
    witnessed: bool = False
    prefilled: Container | None = None


class Nurse:
    """Works by what is on the screen alone; ``made`` is what came of it."""

    def __init__(self, hand: DriverHand) -> None:
        self.hand = hand
        self.made = Made()
        self.cast = the_cast()

    # -- the order and the stock ---------------------------------------------------------------

    def begin(self, order: str, chosen: str = "") -> Page:
        """Sign on, take an order up; choose a dose first where the order leaves a choice."""
        self.made = Made()
        if self.hand.page().id == "door":
            sign_on(self.hand, self.cast, "preparer")
        while any(key.name == "earlier" and key.enabled for key in keys_of(self.hand.wait("due"))):
            self.hand.press("earlier")
        take_up(self.hand, order)
        if self.hand.page().id == "order-range":
            type_figure(self.hand, chosen)
            self.hand.press("commit")
        if any(key.name == "take-up" and key.enabled for key in keys_of(self.hand.page())):
            self.hand.press("take-up")
        return self.hand.page()

    def take(self, *containers: Container) -> Page:
        """Scan containers; a caution is read and answered by scanning again."""
        for container in containers:
            for _ in range(3):
                self.hand.pass_time(3)
                self.hand.scan(symbol(container))
                cards = self.hand.page().findings
                if not cards or cards[0].level != "caution":
                    break
        return self.hand.page()

    def work_out(self, figure: str) -> Page:
        """Commit the figure and see the kiosk agree."""
        self.hand.wait("volume")
        type_figure(self.hand, figure)
        self.hand.press("commit")
        page = self.hand.wait("working")
        assert page.control.agrees, page.control  # type: ignore[union-attr]
        self.hand.press("go-on")
        return self.hand.page()

    # -- the apparatus -------------------------------------------------------------------------

    def fit(self, syringe: str = "", needle: str = "") -> Page:
        """Take the best syringe, draw-up device and needle wherever one is asked for, or the named ones."""
        if self.hand.page().id == "syringe":
            self.made.syringe = self._choose(syringe)
        if self.hand.page().id == "draw-up-device":
            self.made.device = self._choose()
        if self.hand.page().id == "needle":
            self.made.needle = self._choose(needle)
        return self.hand.page()

    def _choose(self, wanted: str = "") -> str:
        """Press the first live choice, or the wanted one; return its id."""
        choices = self._choices()
        live = [choice.key.name for choice in choices if choice.key.enabled]
        name = f"choose:{wanted}" if wanted else live[0]
        self.hand.press(name)
        return name.removeprefix("choose:")

    def _choices(self) -> tuple[Choice, ...]:
        control = self.hand.page().control
        assert isinstance(control, Choices), self.hand.page().id
        return control.choices

    def draw(self) -> Page:
        """Do every step, waiting where one is timed."""
        while isinstance(card := self.hand.page().control, StepCard):
            self.made.steps.append(card.text)
            if card.left_s:
                self.hand.pass_time(card.left_s)
            (done,) = (key for key in keys_of(card) if key.name.startswith("step-done"))
            self.hand.press(done.name)
        return self.hand.page()

    # -- reading and checking ------------------------------------------------------------------

    def read(self, line: str) -> Page:
        """Set the plunger to a line, in the scale's own unit; a whole prefilled syringe is looked at."""
        if self.hand.page().id in ("content", "check-content"):
            if line == "whole":
                self.hand.press("choose:whole content")
                return self.hand.page()
            self.hand.press("by-scale")
        self._set(Decimal(line))
        self.hand.press("commit")
        return self.hand.page()

    def _set(self, line: Decimal) -> None:
        """Move the plunger by half-lines of the very syringe in hand."""
        half_lines = Fraction(line) / self.barrel().graduation.value * 2
        assert half_lines.denominator == 1, f"{line} is not on a line"
        for key, count in zip(("plunger:10", "plunger:1"), divmod(int(half_lines), 10), strict=True):
            for _ in range(count):
                self.hand.press(key)

    def barrel(self) -> Syringe:
        """The syringe in hand, from the ward's own lists."""
        if self.made.prefilled is not None:
            return own_syringe(self.made.prefilled.product, device_tables())
        return next(s for s in ward().syringes if s.id == self.made.syringe)

    def check(self, containers: Sequence[Container], figure: str, line: str) -> Page:
        """Let the second person do it all again, blind, and see them agree."""
        self.hand.wait("call-second")
        sign_on(self.hand, self.cast, "checker")
        self.hand.wait("check-container")
        self.take(*containers)
        self.hand.wait("check-figure")
        type_figure(self.hand, figure)
        self.hand.press("commit")
        self.hand.wait("check-needle")
        self._choose_needle()
        self.read(line)
        page = self.hand.wait("compare")
        assert all(agree for _, _, agree in page.control.rows), page.control  # type: ignore[union-attr]
        self.made.checked = True
        self.hand.press("go-on")
        return self.hand.page()

    def _choose_needle(self) -> None:
        """Say which needle is on the syringe: the one fitted, the fixed one, or none."""
        names = [choice.key.name for choice in self._choices()]
        fitted = f"choose:{self.made.needle}"
        fixed = [name for name in names if name.endswith("-needle")]
        self.hand.press(fitted if self.made.needle else fixed[0] if fixed else "choose:")

    # -- the end -------------------------------------------------------------------------------

    def label_and_rest(self) -> None:
        """Print, scan back, account for every container (before a witness where asked), clear the counter."""
        self.hand.wait("label")
        self.hand.press("print")
        self.hand.wait("scan-back")
        self.hand.scan(self.hand.label_code())
        while (page := self.hand.page()).id == "rest":
            if not [key for key in keys_of(page) if key.name.startswith("rest:")]:
                self._witness()
                page = self.hand.page()
            self.made.rests.append(page.question)
            self.hand.press(next(key.name for key in keys_of(page) if key.name.startswith("rest:")))
        page = self.hand.wait("sharps")
        self.made.last_look = page.control.lines  # type: ignore[union-attr]
        self.hand.press("finish")
        assert isinstance(self.hand.wait("due").control, DueList)

    def _witness(self) -> None:
        """Call the witness."""
        self.hand.scan(WITNESS)
        for digit in WITNESS_PIN:
            self.hand.press(f"digit:{digit}")
        self.hand.press("commit")
        self.made.witnessed = True

    def label(self) -> str:
        """Everything that the newest label says, as text."""
        return self.hand.label_text()

    def own(self, container: Container) -> None:
        """Note that the container is its own syringe."""
        self.made.prefilled = container
        self.made.syringe = f"prefilled:{container.product.id}"
        assert is_own(self.made.syringe)
