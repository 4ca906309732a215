"""Drawings of what seals, as it is found: lips, hard rings, the lands that they run on, the bores that they run in."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Final

from calc_engine import Element
from calc_engine.practice.finding_ink import Point, Sector, area, blob, circle, closed, hatch, line, polar, stroke, words
from calc_engine.practice.generator import Generator

__all__ = [
    "bore_scored", "bore_sound", "land_sharp", "land_stepped", "lip_nicked", "lip_rolled", "lip_sound", "ring_gap",
]  # fmt: skip

_SEAL: Final = Sector((160, 420), 300, 372, Fraction(1, 16))


def _box(left: float, top: float, right: float, bottom: float) -> list[Point]:
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


def _solid(points: list[Point], spacing: float, *, falling: bool = False) -> Iterable[Element]:
    """A cut through steel or aluminium."""
    yield area(closed(points), "paper")
    yield hatch(points, spacing, falling=falling)
    yield line(closed(points), "bold")


# --- lips: piston and bore cut through, the chamber below -------------------------------------------------------------------


def _piston_and_bore() -> Iterable[Element]:
    yield from _solid([(20, 40), (190, 40), (190, 74), (132, 74), (132, 124), (190, 124), (190, 150), (20, 150)], 13)
    yield from _solid(_box(236, 14, 300, 186), 11, falling=True)
    yield words(76, 172, "piston")
    yield words(268, 200, "bore")


def lip_sound() -> Iterable[Element]:
    """The lip leans out to the wall and touches it along its whole edge."""
    yield from _piston_and_bore()
    yield area("M134 76H176L188 84Q206 104 234 132Q237 138 230 142Q204 130 182 122H134z", "ink")


def lip_rolled() -> Iterable[Element]:
    """The lip is folded back under the seal; between seal and wall there is daylight."""
    yield from _piston_and_bore()
    yield area("M134 76H176Q200 78 209 92Q215 104 205 112Q194 118 178 110L160 101Q156 106 162 110L184 120V122H134z", "ink")
    yield line("M214 60V150", "dash")


def _lip_seen() -> Iterable[Element]:
    """A piece of the seal seen from its open side: the body below, the edge of the lip above with its notch."""
    yield area(closed(_SEAL.outline(0, 0.62)), "rubber")
    edge = [_SEAL.at(-1 + step / 24, 1.0) for step in range(49)]
    edge[29:32] = [_SEAL.at(0.17, 1.0), _SEAL.at(0.2, 0.66), _SEAL.at(0.225, 0.8), _SEAL.at(0.26, 1.0)]
    lip = [*edge, *(_SEAL.at(1 - step / 24, 0.6) for step in range(49))]
    yield area(closed(lip), "ink")
    yield line(_SEAL.arc(0.3), "thin")
    yield line(closed(_SEAL.outline(0, 0.62)), "bold")


def lip_nicked() -> Iterable[Element]:
    """A notch in the edge of the lip, seen larger in a round inset."""
    yield from _lip_seen()
    x, y = _SEAL.at(0.21, 0.85)
    yield circle(x, y, 15, "ring")
    yield circle(160, 152, 46, "face")
    yield line(f"M{x - 4:.0f} {y + 14:.0f}L176 108", "thin")
    yield area(
        closed([(116, 142), (148, 140), (153, 168), (158, 158), (163, 170), (172, 139), (204, 142), (199, 176), (184, 191),
                (160, 197), (136, 191), (121, 176)]), "ink",
    )  # fmt: skip


# --- hard rings and lands -------------------------------------------------------------------------------------------------


def ring_gap() -> Iterable[Element]:
    """A hard ring alone in its bore; its two ends face each other with a gap between them, seen larger in a round inset."""
    centre: Point = (106, 104)
    yield circle(*centre, 92, "paper")
    yield circle(*centre, 82, "face")
    gap = Fraction(1, 90)
    for radius in (81, 68):
        steps = [polar(centre, radius, gap + (1 - 2 * gap) * Fraction(step, 60)) for step in range(61)]
        yield line(stroke(steps), "bold")
    for turn in (gap, -gap):
        yield line(stroke([polar(centre, 68, turn), polar(centre, 81, turn)]), "bold")
    for step in range(40):
        turn = gap + (1 - 2 * gap) * Fraction(2 * step + 1, 80)
        yield line(stroke([polar(centre, 70, turn), polar(centre, 79, turn)]), "thin")
    yield circle(106, 30, 16, "ring")
    yield circle(254, 92, 62, "face")
    yield line("M122 32L194 76", "thin")
    yield area("M200 64Q224 56 244 56V126Q222 124 196 116Q192 90 200 64z", "steel")
    yield area("M308 64Q284 56 264 56V126Q286 124 312 116Q316 90 308 64z", "steel")
    yield line("M203 56Q254 36 305 56", "heavy")


def _groove(wall: list[Point]) -> list[Point]:
    """A shaft cut through at a ring groove: what its right wall looks like is given from the bottom of the groove up."""
    return [(20, 60), (118, 60), (118, 150), *wall, (300, 60), (300, 190), (20, 190)]


def _ring_in_groove(left: float, lift: float) -> Iterable[Element]:
    ring = _box(left, 46 - lift, left + 66, 134 - lift)
    yield area(closed(ring), "ghost")
    yield line(closed(ring), "dash")


def land_sharp() -> Iterable[Element]:
    """Both walls of the groove are straight, their edges sharp; a new ring stands in it with a narrow gap beside it."""
    yield from _solid(_groove([(190, 150), (190, 60)]), 12)
    yield from _ring_in_groove(119, 0)
    yield words(152, 36, "new ring")


def land_stepped() -> Iterable[Element]:
    """One wall of the groove is straight; the other has a hollow with a ledge below it and a rounded edge above."""
    yield from _solid(_groove([(190, 150), (190, 126), (207, 122), (209, 84), (212, 70), (222, 61), (236, 60)]), 12)
    yield from _ring_in_groove(119, 0)
    yield words(152, 36, "new ring")


# --- bores: the near half cut away, the far wall in sight -------------------------------------------------------------------


def _bore() -> Iterable[Element]:
    yield area("M60 22H260V176H60z", "steel")
    for down in range(34, 176, 9):
        yield line(f"M62 {down}Q160 {down + 10} 258 {down}", "faint")
    yield from _solid([(16, 14), (48, 14), (60, 28), (60, 176), (16, 176)], 12)
    yield from _solid([(304, 14), (272, 14), (260, 28), (260, 176), (304, 176)], 12, falling=True)
    yield line("M48 14Q160 26 272 14M60 28Q160 40 260 28M60 176Q160 190 260 176", "bold")
    yield words(160, 198, "bottom")
    yield words(160, 12, "mouth")


def bore_sound() -> Iterable[Element]:
    """Only fine even lines round the bore."""
    yield from _bore()


def bore_scored() -> Iterable[Element]:
    """Three deep lines run down the wall, from the mouth towards the bottom."""
    yield from _bore()
    draw = Generator(6)
    for across, top, bottom in ((132, 36, 168), (146, 44, 150), (196, 60, 174)):
        way = [(across + draw.between(-2, 2), top + (bottom - top) * step / 9) for step in range(10)]
        yield line(stroke([(x + 3, y) for x, y in way]), "white")
        yield line(stroke(way), "heavy")
    yield area(closed(blob((133, 40), 5, 8, 3)), "ink")
