"""Drawings of friction plates and steel plates as they are found."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from calc_engine import Element
from calc_engine.practice.finding_ink import PLATE, Point, area, blob, circle, closed, grain, hatch, line, stroke, words
from calc_engine.practice.generator import Generator

__all__ = [
    "lining_burnt", "lining_even", "lining_flaked", "lining_glazed", "lining_thin", "steel_coned", "steel_cracked", "steel_even",
    "steel_spots",
]  # fmt: skip

_GROOVES: Final = (-0.72, -0.24, 0.24, 0.72)
_GROOVE: Final = 0.045  # half its width, along the plate
_TEETH: Final = 9
_LUGS: Final = (-0.66, 0.0, 0.66)
_LUG: Final = 0.1


def _box(left: float, top: float, right: float, bottom: float) -> list[Point]:
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


# --- friction plates ------------------------------------------------------------------------------------------------------


def _cut_plate(left: float, lining: float, groove: float) -> Iterable[Element]:
    """A plate cut through and lying flat: a core of steel between two linings, each with three grooves."""
    right, core_top, core_bottom = left + 128, 92, 116
    for top, bottom, is_upper in ((core_top - lining, core_top, True), (core_bottom, core_bottom + lining, False)):
        outer, way = (top, 1) if is_upper else (bottom, -1)
        inner = bottom if is_upper else top
        edge: list[Point] = [(left, inner), (left, outer)]
        for middle in (left + 26, left + 64, left + 102):
            edge += [
                (middle - 6, outer),
                (middle - 6, outer + way * groove),
                (middle + 6, outer + way * groove),
                (middle + 6, outer),
            ]
        edge += [(right, outer), (right, inner)]
        yield area(closed(edge), "paper")
        yield hatch(edge, 7, crossed=True)
        yield line(closed(edge))
    core = _box(left - 8, core_top, right + 8, core_bottom)
    yield area(closed(core), "paper")
    yield hatch(core, 11)
    yield line(closed(core), "bold")


def lining_thin() -> Iterable[Element]:
    """A new plate and a worn one, cut through."""
    yield from _cut_plate(16, 34, 24)
    yield from _cut_plate(176, 9, 2)
    yield line("M10 58H310M10 150H310", "dash")
    yield words(80, 184, "new")
    yield words(240, 184, "found")


def _friction_outline(kind: str) -> Iterable[Element]:
    """The plate from above: core with teeth inside, and the lining on it."""
    teeth: list[Point] = []
    for tooth in range(_TEETH):
        left = -1 + 2 * tooth / _TEETH
        width = 2 / _TEETH
        for along, out in ((0.0, -0.24), (0.2, -0.24), (0.32, -0.46), (0.68, -0.46), (0.8, -0.24), (1.0, -0.24)):
            teeth.append(PLATE.at(left + along * width, out))
    rim = [PLATE.at(1 - step / 12, 0.02) for step in range(25)]
    yield area(closed([*teeth, *rim]), "paper")
    yield hatch([*teeth, *rim], 10)
    yield line(closed([*teeth, *rim]))
    yield area(closed(PLATE.outline()), kind)


def _edge() -> Element:
    return line(closed(PLATE.outline()), "bold")


def _grooves(kind: str) -> Iterable[Element]:
    for middle in _GROOVES:
        yield area(closed(PLATE.outline(0, 1, middle - _GROOVE, middle + _GROOVE)), kind)


def lining_even() -> Iterable[Element]:
    """Matt lining with open grooves."""
    yield from _friction_outline("lining")
    yield grain(PLATE, 11, 900, [(middle - 0.06, middle + 0.06) for middle in _GROOVES])
    yield from _grooves("ink")
    yield _edge()


def lining_glazed() -> Iterable[Element]:
    """Lining like a mirror: a lamp is seen in it, the grooves are closed, there is no grain."""
    yield from _friction_outline("gloss")
    for low, high, left, right in ((0.66, 0.8, -0.95, 0.55), (0.84, 0.88, -0.8, 0.2), (0.2, 0.3, -0.15, 0.95)):
        yield area(closed(PLATE.outline(low, high, left, right)), "shine")
    for middle in _GROOVES:
        yield line(PLATE.across(middle), "thin")
    x, y = PLATE.at(0.48, 0.56)
    yield area(closed([(x - 20, y - 16), (x + 16, y - 20), (x + 20, y + 14), (x - 16, y + 18)]), "shine")
    yield line(stroke([(x - 2, y - 18), (x + 2, y + 16)]) + stroke([(x - 18, y), (x + 18, y - 3)]), "thin")
    for along, out in ((-0.5, 0.42), (0.86, 0.62)):
        x, y = PLATE.at(along, out)
        yield line(
            f"M{x - 11:.0f} {y:.0f}h22M{x:.0f} {y - 11:.0f}v22M{x - 6:.0f} {y - 6:.0f}l12 12M{x - 6:.0f} {y + 6:.0f}l12 -12",
            "white",
        )
    yield _edge()


def lining_burnt() -> Iterable[Element]:
    """Black lining, cracked and gone in places; black crumbs lie below."""
    yield from _friction_outline("char")
    for along, out, across, high, seed in ((-0.55, 0.7, 34, 20, 3), (0.1, 0.32, 26, 18, 5), (0.62, 0.74, 30, 17, 8)):
        patch = blob(PLATE.at(along, out), across, high, seed)
        yield area(closed(patch), "paper")
        yield hatch(patch, 8)
        yield line(closed(patch))
    draw = Generator(21)
    for along in (-0.85, -0.3, -0.08, 0.3, 0.42, 0.88):
        way = [PLATE.at(along + draw.between(-4, 4) / 100, step / 7) for step in range(8)]
        yield line(stroke(way), "white")
    for x, y in ((40, 186), (66, 194), (262, 190), (288, 184), (278, 198)):
        yield area(closed(blob((x, y), 6, 4, x)), "ink")
    yield _edge()


def lining_flaked() -> Iterable[Element]:
    """Lining that is sound in itself has come off in pieces; three flakes lie beside the plate."""
    yield from _friction_outline("lining")
    yield grain(PLATE, 12, 900, [(middle - 0.06, middle + 0.06) for middle in _GROOVES])
    yield from _grooves("ink")
    for along, out, across, high, seed in ((-0.46, 0.62, 40, 28, 4), (0.5, 0.5, 44, 33, 9), (0.02, 0.86, 22, 12, 2)):
        patch = blob(PLATE.at(along, out), across, high, seed, 22)
        yield area(closed(patch), "paper")
        yield hatch(patch, 9)
        yield line(closed(patch), "bold")
    for x, y, size, seed in ((34, 186, 22, 4), (292, 184, 24, 9), (258, 196, 12, 2)):
        flake = blob((x, y), size, size / 2.2, seed, 22)
        yield area(closed([(across + 2, down + 4) for across, down in flake]), "ink")
        yield area(closed(flake), "lining")
        yield line(closed(flake))
    yield _edge()


# --- steel plates ---------------------------------------------------------------------------------------------------------


def _steel_outline(kind: str) -> Iterable[Element]:
    """The plate from above: a ring with lugs outside."""
    edge: list[Point] = []
    for step in range(97):
        along = -1 + step / 48
        proud = any(abs(along - lug) < _LUG for lug in _LUGS)
        edge.append(PLATE.at(along, 1.2 if proud else 1.0))
    edge += [PLATE.at(1 - step / 12, 0) for step in range(25)]
    yield area(closed(edge), kind)
    yield line(closed(edge), "bold")


def _turned() -> Iterable[Element]:
    """Fine lines in the direction of turning."""
    for step in range(1, 12):
        yield line(PLATE.arc(step / 12, -0.97, 0.97), "faint")


def steel_even() -> Iterable[Element]:
    """A dull plate with fine lines all round, the same everywhere."""
    yield from _steel_outline("steel")
    yield from _turned()


def steel_spots() -> Iterable[Element]:
    """Dark blue spots at even distances, each with a paler rim."""
    yield from _steel_outline("steel")
    yield from _turned()
    for along in (-0.75, -0.25, 0.25, 0.75):
        middle = PLATE.at(along, 0.52)
        yield area(closed(blob(middle, 32, 29, 7, 6)), "straw")
        yield area(closed(blob(middle, 25, 22, 7, 8)), "blue")
        yield area(closed(blob(middle, 13, 11, 6, 10)), "ink")


def steel_cracked() -> Iterable[Element]:
    """Fine cracks from edge to edge, side by side all along the ring."""
    yield from _steel_outline("steel")
    yield from _turned()
    draw = Generator(4)
    for crack in range(15):
        along = -0.93 + crack * 0.133
        low, high = draw.between(0, 25) / 100, draw.between(72, 100) / 100
        way = [PLATE.at(along + draw.between(-2, 2) / 100, low + (high - low) * step / 9) for step in range(10)]
        yield line(stroke(way), "bold")
        if crack % 2:
            yield line(stroke([way[5], PLATE.at(along + 0.05, (low + high) / 2 + 0.14)]))


def steel_coned() -> Iterable[Element]:
    """A steel plate cut through on a surface plate: both cuts slope, only the outer edges touch; a dial stands on either edge."""
    yield area("M6 150H314V176H6z", "paper")
    yield hatch(_box(6, 150, 314, 176), 12)
    yield line("M6 150H314", "heavy")
    for left, outer, inner in ((True, 44, 124), (False, 276, 196)):
        cut: list[Point] = [(outer, 150), (inner, 116), (inner, 100), (outer, 134)]
        yield area(closed(cut), "paper")
        yield hatch(cut, 8, falling=not left)
        yield line(closed(cut), "bold")
    yield line("M124 100H196M124 116H196", "thin")
    for x, tip, turn in ((54, 130, -9), (118, 103, 10)):
        yield line(f"M{x} {tip}V{tip - 26}", "bold")
        yield circle(x, tip - 44, 18, "face")
        yield line(f"M{x} {tip - 44}l{turn} -11", "bold")
    yield words(160, 194, "surface plate")
