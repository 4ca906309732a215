"""How large letters must be to be read from across the bay: worked out by the engine, not by eye."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from build_hooks.model import Screen
from calc_engine import Dimension, answer, parse_quantity

__all__ = ["CAPITAL_SHARE", "MINUTES_OF_ARC", "SIZE_WITHOUT_SCREEN", "LetterSize", "letter_size"]

# Preferred for text that must be read at a glance: 20 minutes of arc (NUREG-0700 rev. 3, 11.4.1.5-1; ISO 9241 gives 20 to 22).
MINUTES_OF_ARC: Final = 20
# A capital's height as a share of the type size, read from the font's own tables (capHeight 668 of 1000 units).
CAPITAL_SHARE: Final = Fraction(668, 1000)
# Where no screen is described, a 43 inch one at 3.5 m is taken: its letters, as a percentage of the picture's height.
SIZE_WITHOUT_SCREEN: Final = "5.70"


@dataclass(frozen=True, slots=True)
class LetterSize:
    """The smallest type of a screen.

    Attributes:
        capital_mm: height of a capital on the glass [mm].
        screen_mm: height of the picture [mm].
        size_vh: type size as a percentage of the picture's height; it holds at every resolution.
    """

    capital_mm: Fraction
    screen_mm: Fraction
    size_vh: Fraction


def letter_size(screen: Screen) -> LetterSize:
    """The type size at which a capital subtends 20 minutes of arc.

    Args:
        screen: its diagonal, its pixels for the shape of the picture, and the reading distance.

    Returns:
        The size, as a share of the picture's height, so that it holds at 720, 1080 and 2160 lines alike.

    Source: height = 2 d tan(a/2), by the engine's sight-size; the picture's height from its diagonal by Pythagoras.
    """
    reply = answer("sight-size", {"distance": str(screen.distance), "arc_minutes": MINUTES_OF_ARC, "units": "metric"})
    capital = parse_quantity(reply["result"]["height"], Dimension.LENGTH, "").base
    width, height = screen.pixels.width, screen.pixels.height
    # Twelve digits of a root are far more than a screen's data sheet has.
    slant = Fraction(round((width**2 + height**2) ** 0.5 * 10**6), 10**6)
    picture = screen.diagonal.base * height / slant
    return LetterSize(capital, picture, capital / CAPITAL_SHARE / picture * 100)
