"""Whether the teeth of a planetary set can mesh, and its planets be spaced evenly."""

from __future__ import annotations

from collections.abc import Iterator

from calc_engine.problems import Problem

__all__ = ["mesh_problems"]


def mesh_problems(
    *, sun: int, ring: int, planet: int | None = None, planets: int | None = None, pairs: bool = False
) -> tuple[Problem, ...]:
    """What keeps sun, planets and ring from being built together, for planets that are not stepped.

    Args:
        sun: teeth of the sun.
        ring: teeth of the ring.
        planet: teeth of a planet, where they are known; not asked of planets in pairs.
        planets: how many planets there are, or pairs of them, where it is known.
        pairs: whether the planets are in pairs, two in mesh with each other between sun and ring.

    Returns:
        Each problem at `sun`, `ring`, `planet` or `planets`, with its remedy; none when they fit. Teeth that are corrected so that they
        run at another centre distance are not considered.

    Source: geometry of equal modules: ring = sun + 2 planet. Even spacing: (sun + ring) / planets is whole, and with planets in pairs
    (ring - sun) / pairs; textbooks of planetary gears, from memory.

    Example:
        >>> [problem.message for problem in mesh_problems(sun=30, ring=72, planet=20)]
        ['A sun of 30 and planets of 20 teeth need a ring of 70, not of 72.']
        >>> mesh_problems(sun=30, ring=72, planet=21, planets=3)
        ()
    """
    if ring <= sun:
        message = f"The ring has {ring} teeth, no more than the sun with {sun}."
        return (Problem("ring", "cannot-mesh", message, "Count again: the planets run between sun and ring."),)
    mesh = () if pairs else _mesh(sun, ring, planet)
    return (*mesh, *_spacing(sun, ring, planets, pairs=pairs))


def _mesh(sun: int, ring: int, planet: int | None) -> Iterator[Problem]:
    if planet is not None and sun + 2 * planet != ring:
        message = f"A sun of {sun} and planets of {planet} teeth need a ring of {sun + 2 * planet}, not of {ring}."
        yield Problem("ring", "cannot-mesh", message, "Count the teeth again: ring = sun + 2 × planet.")
    if planet is None and (ring - sun) % 2:
        message = f"No planet runs between a sun of {sun} and a ring of {ring} teeth: half their difference is not whole."
        yield Problem("ring", "cannot-mesh", message, "Count the teeth again: ring = sun + 2 × planet.")


def _spacing(sun: int, ring: int, planets: int | None, *, pairs: bool) -> Iterator[Problem]:
    between, sign = (ring - sun, "ring − sun") if pairs else (sun + ring, "sun + ring")
    if planets is not None and between % planets:
        what = "pairs of planets" if pairs else "planets"
        message = f"{planets} {what} cannot be spaced evenly: {sign} = {between} does not divide by {planets}."
        yield Problem("planets", "uneven-planets", message, "Count planets and teeth again.")
