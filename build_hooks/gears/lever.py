"""Where the members of a planetary set stand on its lever."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from build_hooks.model import PlanetarySet

__all__ = ["lever_places"]


def lever_places(planetary: PlanetarySet) -> Mapping[str, Fraction]:
    """For each wheel and the carrier its place on the lever, from 0 at one end to 1 at the other.

    The speeds of the members lie on a straight line over these places: first - carrier = -k (second - carrier).

    Args:
        planetary: a sound set.

    Source: the equation of Willis, R. Willis, Principles of Mechanism (1841), as every textbook of mechanisms has it.
    """
    first, second = planetary.wheels
    steps = (planetary.planet or 1, planetary.planet2 or 1) if planetary.planet2 else (1, 1)
    size = Fraction(getattr(planetary, second) * steps[0], getattr(planetary, first) * steps[1])
    k = -size if planetary.pairs or planetary.wheels != ("sun", "ring") else size
    places = {first: -k, "carrier": Fraction(0), second: Fraction(1)}
    low, high = min(places.values()), max(places.values())
    return {kind: (place - low) / (high - low) for kind, place in places.items()}
