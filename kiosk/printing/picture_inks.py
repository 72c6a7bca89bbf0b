"""The colours of a picture on paper, by the role of the ink; and how round materials take the light."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

ON_PAPER: Final[Mapping[str, str]] = MappingProxyType(
    {
        "line": "#23282B",
        "faint": "#A9A59C",
        "glass": "#EDF1F1",
        "liquid": "#A9CFD6",
        "rubber": "#3C4245",
        "metal": "#A4AAAD",
        "accent": "#12515F",
        "paper": "#FFFFFF",
        "text": "#181B1D",
        "soft": "#4B5256",
    }
)

ROUND: Final[Mapping[str, tuple[float, float]]] = MappingProxyType(
    {"glass": (1.05, 0.91), "liquid": (1.14, 0.90), "rubber": (1.45, 0.78), "metal": (1.28, 0.76)}
)
"""How much a round material lightens where the light falls, and darkens at its edges."""

STOPS: Final = (0.0, 0.28, 0.60, 1.0)
"""Where across a round thing edge, light, plain colour and other edge lie."""


def lit(colour: str, share: float) -> str:
    """Return ``#rrggbb`` times a share, kept within white."""
    parts = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
    return "#" + "".join(f"{min(255, round(part * share)):02X}" for part in parts)


def sweep(ink: str, inks: Mapping[str, str]) -> tuple[str, str, str, str] | None:
    """Return the four colours across a round material; None for a flat ink."""
    if ink not in ROUND:
        return None
    light, shade = ROUND[ink]
    plain = inks[ink]
    return lit(plain, shade), lit(plain, light), plain, lit(plain, shade)
