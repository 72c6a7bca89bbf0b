"""What a choice of device answers: every candidate with its reasons, best first."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from kiosk.core.catalogue.devices import DrawUpDevice, InjectionNeedle, Syringe
from kiosk.core.findings import Finding
from kiosk.core.units import Measure


@dataclass(frozen=True, slots=True)
class Setting:
    """Where the plunger is set on one syringe for one exact volume.

    ``line`` is the scale reading to set, in the scale's unit (mL, or units on an insulin barrel);
    ``volume`` the same in mL; ``dose_given`` what that volume carries; ``off_by`` its rounding error as
    a share of the dose; ``tolerance`` the published tolerance of the barrel at that volume, in mL;
    ``least`` and ``most`` the dose when the barrel is at either end of it. ``reading`` is half the
    distance between two lines, in mL: how finely the scale can be read. ``worst`` is the worst case as a
    share of the dose: the rounding, plus the larger of tolerance and reading. ``source`` names the
    tolerance's.
    """

    line: Measure
    volume: Measure
    on_a_line: bool
    dose_given: Measure
    off_by: Decimal
    tolerance: Measure
    least: Measure
    most: Measure
    reading: Measure | None = None
    worst: Decimal = Decimal(0)
    source: str = ""


@dataclass(frozen=True, slots=True)
class SyringeOption:
    """One syringe, allowed or not. ``setting`` is None when it cannot measure the volume at all."""

    syringe: Syringe
    setting: Setting | None
    findings: tuple[Finding, ...]

    @property
    def allowed(self) -> bool:
        """No stop stands against it."""
        return self.setting is not None and not any(f.level == "stop" for f in self.findings)


@dataclass(frozen=True, slots=True)
class DrawUpOption:
    """One draw-up device for these containers and this syringe, allowed or not. None is "no device"."""

    device: DrawUpDevice | None
    findings: tuple[Finding, ...]

    @property
    def allowed(self) -> bool:
        """No stop stands against it."""
        return not any(f.level == "stop" for f in self.findings)


@dataclass(frozen=True, slots=True)
class NeedleOption:
    """One injection needle for this patient, route, site and liquid, allowed or not.

    ``seconds`` and ``newtons`` are the time and thumb force to inject the volume, where known, rounded
    for show.
    """

    needle: InjectionNeedle
    findings: tuple[Finding, ...]
    seconds: Decimal | None = None
    newtons: Decimal | None = None

    @property
    def allowed(self) -> bool:
        """No stop stands against it."""
        return not any(f.level == "stop" for f in self.findings)


@dataclass(frozen=True, slots=True)
class DrawUpStep:
    """One step of drawing up. ``does`` is a words key (``step.<does>.text`` and ``.detail``).

    ``amount`` fills it; ``what`` is the name of the container or device meant; ``wait`` is a timed step.
    """

    id: str
    does: str
    amount: Measure | None = None
    wait: Measure | None = None
    source: str = ""
    what: str = ""
