"""A planetary set: its teeth, its three members and the equation of Willis that ties their speeds."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.declare.fields import count, flag, text
from calc_engine.problems import Problem
from calc_engine.quantities.phrases import listed

__all__ = ["CARRIER", "MOST_TEETH", "PlanetarySet"]

MOST_TEETH: Final = 1000
CARRIER: Final = "carrier"
# The two wheels in the middle of a set, the first and the second; any other two are none.
_PAIRS_OF_WHEELS: Final = (("sun", "ring"), ("sun", "sun2"), ("ring", "ring2"))
_WHEELS: Final = ("sun", "ring", "sun2", "ring2")
_OTHER_WHEEL: Final = {"sun": "ring", "ring": "sun", "sun2": "sun", "ring2": "ring"}


def _teeth(label: str, help: str) -> int | None:  # noqa: A002 - as in `fields`
    found: int | None = count(label, help, most=MOST_TEETH, optional=True)
    return found


@dataclass(frozen=True, slots=True)
class PlanetarySet:
    """A planetary set. Its members are its two wheels and its carrier."""

    name: str = text("Name of the set", "By which its members are called: NAME.sun, NAME.ring, NAME.carrier.", role="identity")
    sun: int | None = _teeth("Teeth of the sun", "Leave it out of a set with two rings.")
    ring: int | None = _teeth("Teeth of the ring", "Leave it out of a set with two suns.")
    planets: int | None = count("Number of planets", "Or of pairs. It changes no ratio.", most=100, optional=True)
    pairs: bool | None = flag(
        "Planets in pairs",
        "Two planets in mesh with each other between sun and ring, one on the sun and one in the ring.",
        optional=True,
    )
    planet_at_sun: int | None = _teeth("Planet teeth at the sun", "Of a stepped planet, or of the planet of a pair.")
    planet_at_ring: int | None = _teeth("Planet teeth at the ring", "Of a stepped planet, or of the planet of a pair.")
    sun2: int | None = _teeth("Teeth of the second sun", "Only of a set with two suns; its member is NAME.sun2.")
    ring2: int | None = _teeth("Teeth of the second ring", "Only of a set with two rings; its member is NAME.ring2.")
    planet_at_first: int | None = _teeth("Planet teeth at the first", "Of a stepped planet: where it meshes with sun or ring.")
    planet_at_second: int | None = _teeth("Planet teeth at the second", "Where it meshes with the second sun or ring.")

    def problems(self, field: str) -> Iterable[Problem]:
        """Says when there are not two wheels, or planet teeth that do not belong to them."""
        given = tuple(wheel for wheel in _WHEELS if getattr(self, wheel) is not None)
        if given not in _PAIRS_OF_WHEELS:
            yield _not_two_wheels(given, field)
            return
        simple = given == _PAIRS_OF_WHEELS[0]
        used, unused = (self._at_wheels, self._at_suns_or_rings) if simple else (self._at_suns_or_rings, self._at_wheels)
        yield from _half_given(used(), field)
        for name, value in unused().items():
            if value is not None:
                yield _without_meaning(name, used(), given, field)
        if self.pairs and not simple:
            yield Problem(
                f"{field}.pairs",
                "not-used",
                f"Planets in pairs: no meaning with {given[0]} and {given[1]}.",
                "Leave it out, or give the teeth of sun and ring.",
            )

    def _at_wheels(self) -> dict[str, int | None]:
        return {"planet_at_sun": self.planet_at_sun, "planet_at_ring": self.planet_at_ring}

    def _at_suns_or_rings(self) -> dict[str, int | None]:
        return {"planet_at_first": self.planet_at_first, "planet_at_second": self.planet_at_second}

    @property
    def wheels(self) -> tuple[str, str]:
        """The kinds of its two wheels, the first and the second."""
        return next(pair for pair in _PAIRS_OF_WHEELS if all(getattr(self, wheel) is not None for wheel in pair))

    @property
    def teeth(self) -> tuple[int, int]:
        """Of its two wheels."""
        first, second = self.wheels
        return getattr(self, first), getattr(self, second)

    @property
    def planet_teeth(self) -> tuple[int, int] | None:
        """Where the planet meshes with the first wheel and with the second; None when they are not given, and alike."""
        first, second = self.planet_at_sun or self.planet_at_first, self.planet_at_ring or self.planet_at_second
        return None if first is None or second is None else (first, second)

    @property
    def members(self) -> tuple[str, str, str]:
        """The names of its first wheel, its second wheel and its carrier."""
        first, second = self.wheels
        return f"{self.name}.{first}", f"{self.name}.{second}", f"{self.name}.{CARRIER}"

    @property
    def k(self) -> Fraction:
        """The ratio of Willis: first - carrier = -k (second - carrier), positive for sun and ring with single planets.

        Source: R. Willis, Principles of Mechanism (1841), as every textbook of mechanisms has it; with sun and ring, planets that
        are not stepped drop out.
        """
        first, second = self.teeth
        at_first, at_second = self.planet_teeth or (1, 1)
        size = Fraction(second * at_first, first * at_second)
        return size if self.wheels == _PAIRS_OF_WHEELS[0] and not self.pairs else -size

    @property
    def planet_turns(self) -> Fraction | None:
        """Speed of the planet on its pin for each turn of the first wheel, both relative to the carrier; of a pair, the one at the sun.

        None when its teeth are not given and do not follow from sun and ring.
        """
        (first, second), outside = self.teeth, self.wheels[0] == "sun"
        if self.planet_teeth is not None:
            at_first = Fraction(self.planet_teeth[0])
        elif self.wheels == _PAIRS_OF_WHEELS[0] and not self.pairs and second > first and (second - first) % 2 == 0:
            at_first = Fraction(second - first, 2)
        else:
            return None
        return -first / at_first if outside else first / at_first

    @property
    def shares(self) -> tuple[Fraction, Fraction, Fraction]:
        """What belongs to each member: their speeds times these add up to nothing, and their torques are as these to each other."""
        return Fraction(1), self.k, -1 - self.k


def _not_two_wheels(given: tuple[str, ...], field: str) -> Problem:
    remedy = "Give the teeth of sun and ring, of sun and sun2, or of ring and ring2."
    if not given:
        return Problem(f"{field}.sun", "missing", "The set has no wheels.", remedy)
    if len(given) == 1:
        return Problem(f"{field}.{_OTHER_WHEEL[given[0]]}", "missing", f"The set has only one wheel, {given[0]}.", remedy)
    if len(given) > len(_PAIRS_OF_WHEELS[0]):
        remedy += " A third wheel on the same planets is a set of its own: join its carrier to this one."
    return Problem(f"{field}.{given[-1]}", "both-given", f"{listed(given)} do not make one set.", remedy)


def _half_given(teeth: dict[str, int | None], field: str) -> Iterable[Problem]:
    missing = [name for name, value in teeth.items() if value is None]
    if len(missing) == 1:
        other = next(name for name in teeth if name != missing[0])
        yield Problem(
            f"{field}.{missing[0]}",
            "missing",
            f"Only {other} is given of the planet.",
            f"Give {missing[0]} as well; for a planet that is not stepped, leave both out.",
        )


def _without_meaning(name: str, used: dict[str, int | None], given: tuple[str, ...], field: str) -> Problem:
    return Problem(
        f"{field}.{name}",
        "not-used",
        f"{name} has no meaning with {given[0]} and {given[1]}.",
        f"For a stepped planet give {' and '.join(used)} here.",
    )
