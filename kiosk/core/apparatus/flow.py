"""Laminar flow through a needle (Hagen-Poiseuille): pressure, thumb force, speed.

An estimate for choosing, never a dose: bores vary, the fourth power magnifies it, so a force is shown to
one figure. Pressure drop = 128 x viscosity x length x flow / (pi x bore^4).
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Final, NewType

from kiosk.core.units import Measure

Pascals = NewType("Pascals", Decimal)
Newtons = NewType("Newtons", Decimal)
MetresPerSecond = NewType("MetresPerSecond", Decimal)

PI: Final = Decimal("3.141592653589793238462643383")


def pressure_drop(viscosity_mpa_s: Decimal, length: Measure, bore: Measure, flow: Measure) -> Pascals:
    """Return the pressure lost along a tube; ``flow`` in mL/s. mPa s, mm and mL/s cancel to pascals."""
    along, across, rate = _mm(length), _mm(bore), _plain(flow.to("mL/s").value)
    return Pascals(128 * viscosity_mpa_s * along * rate / (PI * across**4))


def mean_speed(bore: Measure, flow: Measure) -> MetresPerSecond:
    """Return the mean speed in a bore."""
    return MetresPerSecond(4 * _plain(flow.to("mL/s").value) / (PI * _mm(bore) ** 2))


def reynolds(viscosity_mpa_s: Decimal, bore: Measure, flow: Measure) -> Decimal:
    """Return the Reynolds number for a liquid as dense as water; above about 2000 the law reads low."""
    rate = _plain(flow.to("mL/s").value)
    return 4 * 1000 * rate / (PI * _mm(bore) * viscosity_mpa_s)


def thumb_force(drop: Pascals, barrel_width: Measure, friction: Newtons) -> Newtons:
    """Return the force on the plunger that a pressure asks for in a barrel of this inner width."""
    area_mm2 = PI * _mm(barrel_width) ** 2 / 4
    return Newtons(drop * area_mm2 / 1_000_000 + friction)


def one_figure(value: Decimal) -> Decimal:
    """Round a positive number to one significant figure, halves up, as plain as it can be written."""
    if value <= 0:
        return Decimal(0)
    unit = Decimal(1).scaleb(value.adjusted())
    rounded = Decimal(int(value / unit + Decimal("0.5"))) * unit
    return Decimal(f"{rounded:f}")


def _mm(length: Measure) -> Decimal:
    """Return a length in mm as a Decimal."""
    return _plain(length.to("mm").value)


def _plain(value: Fraction) -> Decimal:
    """Return a Fraction as a Decimal, to 28 digits."""
    return Decimal(value.numerator) / Decimal(value.denominator)
