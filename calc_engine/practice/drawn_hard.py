"""Drawings of hard parts as they are found: bushings, shafts, one-way clutches, teeth, thrust faces; and of the pan's magnet."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Final

from calc_engine import Element
from calc_engine.practice.circle import on_circle
from calc_engine.practice.finding_ink import PLATE, Point, area, blob, circle, closed, hatch, line, polar, stroke, words
from calc_engine.practice.generator import Generator

__all__ = [
    "bushing_even", "bushing_through", "face_even", "face_needles", "magnet_paste", "magnet_splinters", "race_dents", "race_sound",
    "shaft_sound", "shaft_step", "sprag_flat", "tooth_pits", "tooth_sound",
]  # fmt: skip

_MAGNET: Final[Point] = (160, 100)


def _box(left: float, top: float, right: float, bottom: float) -> list[Point]:
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


# --- bushings and shafts --------------------------------------------------------------------------------------------------


def _bushing() -> Iterable[Element]:
    """A bushing in its bore, the near half cut away; the inside of the far half is in sight, with the hole of its feed."""
    yield area("M58 24H262V170Q160 196 58 170z", "lead")
    for left, right, falling in ((14, 46, False), (274, 306, True)):
        body = _box(left, 24, right, 170)
        yield area(closed(body), "paper")
        yield hatch(body, 12, falling=falling)
        yield line(closed(body), "bold")
    for left in (46, 262):
        yield area(closed(_box(left, 24, left + 12, 170)), "ink")
    yield line("M58 24Q160 46 262 24M58 170Q160 196 262 170", "bold")
    for down in range(40, 170, 8):
        yield line(f"M60 {down}Q160 {down + 23} 260 {down}", "faint")
    yield circle(206, 110, 9, "ink")


def bushing_even() -> Iterable[Element]:
    """The same grey all over, with fine lines all round."""
    yield from _bushing()


def bushing_through() -> Iterable[Element]:
    """In the middle a large patch of another colour: the layer below."""
    yield from _bushing()
    for middle, across, high, seed in (((130, 112), 52, 38, 5), ((216, 66), 22, 15, 2), ((80, 160), 16, 9, 7)):
        patch = blob(middle, across, high, seed, 18)
        yield area(closed(patch), "copper")
        yield hatch(patch, 6, falling=True)
        yield line(closed(patch), "bold")
    yield words(160, 210, "copper-coloured")


def _shaft(middle: list[Point], below: list[Point]) -> Iterable[Element]:
    outline = [(14, 66), *middle, (306, 66), (306, 142), *below, (14, 142)]
    yield area(closed(outline), "steel")
    for down in (74, 82, 126, 134):
        yield line(f"M16 {down}H304", "faint")
    yield line(closed(outline), "bold")
    yield line("M6 104H314", "dash")
    yield circle(160, 104, 8, "ink")


def shaft_sound() -> Iterable[Element]:
    """One size from end to end; where the bushing ran there is an even shine."""
    yield from _shaft([], [])
    yield area("M100 67H220V141H100z", "shine")
    for across in range(106, 220, 8):
        yield line(f"M{across} 68V140", "faint")
    yield line("M14 66H306M14 142H306", "bold")
    yield circle(160, 104, 8, "ink")
    yield line("M100 40V56M220 40V56M100 48H220", "thin")
    yield words(160, 34, "bushing ran here")


def shaft_step() -> Iterable[Element]:
    """Where the bushing ran the shaft is thinner, with a ledge at either end and lines round it."""
    yield from _shaft([(100, 66), (101, 76), (219, 76), (220, 66)], [(220, 142), (219, 132), (101, 132), (100, 142)])
    for across in (101, 219):
        yield line(f"M{across} 68V140", "heavy")
    for across in (112, 121, 127, 143, 152, 171, 184, 190, 206):
        yield line(f"M{across} 77V131", "thin")
    yield line("M100 40V56M220 40V56M100 48H220", "thin")
    yield words(160, 34, "bushing ran here")


# --- one-way clutches -----------------------------------------------------------------------------------------------------


def _race() -> Iterable[Element]:
    """The inner race from the side: a short cylinder whose track is in sight."""
    yield area("M40 52V158Q160 196 280 158V52Q160 90 40 52z", "steel")
    yield area("M40 52Q160 90 280 52Q160 14 40 52z", "paper")
    yield area("M84 51Q160 72 236 51Q160 30 84 51z", "ink")
    yield line("M40 52V158Q160 196 280 158V52Q160 90 40 52Q160 14 280 52", "bold")
    yield line("M40 70Q160 108 280 70M40 142Q160 180 280 142", "thin")


def _track(x: float) -> float:
    """How far down the front of the cylinder hangs at a place."""
    part = (x - 40) / 240
    return 76 * part * (1 - part)


def race_sound() -> Iterable[Element]:
    """The track shines evenly."""
    yield from _race()
    yield area(
        closed([*((x, 84 + _track(x)) for x in range(42, 279, 6)), *((x, 122 + _track(x)) for x in range(278, 41, -6))]), "shine"
    )


def race_dents() -> Iterable[Element]:
    """Short dents stand side by side at even distances all along the track."""
    yield from _race()
    for x in range(58, 272, 17):
        top = 86 + _track(x)
        yield line(f"M{x + 3} {top:.0f}v34", "white")
        yield line(f"M{x} {top:.0f}v34", "heavy")


def _sprag(left: float, upper: list[Point]) -> Iterable[Element]:
    """A sprag from the side: two rounded ends and a waist."""
    centre = (left, 62.0)
    lower = [polar((left - 6, 138), 30, Fraction(1, 4) + Fraction(step, 24)) for step in range(13)]
    outline = [
        *upper,
        (left + 22, 86),
        (left + 12, 104),
        (left + 16, 120),
        *lower,
        (left - 24, 110),
        (left - 14, 98),
        (left - 26, 84),
    ]
    yield area(closed(outline), "paper")
    yield hatch(outline, 9)
    yield line(closed(outline), "heavy")
    yield circle(*centre, 2, "ink")


def sprag_flat() -> Iterable[Element]:
    """Two sprags, a new one with round ends and the one found: its upper end is cut off straight."""
    yield from _sprag(84, [polar((84, 62), 34, Fraction(step, 24) - Fraction(1, 4)) for step in range(13)])
    # What is left of the round end at either side of the flat.
    sides = [[polar((236, 62), 34, sign * Fraction(step, 24)) for step in (6, 5, 4)] for sign in (-1, 1)]
    yield from _sprag(236, [*sides[0], *reversed(sides[1])])
    yield line(stroke([sides[0][-1], sides[1][-1]]), "cut")
    yield words(84, 194, "new")
    yield words(236, 194, "found")


# --- teeth ----------------------------------------------------------------------------------------------------------------


def _tooth() -> Iterable[Element]:
    """One tooth of a gear, its flank towards the reader, its neighbours cut off."""
    yield area("M8 176L28 120H72L84 176z", "paper")
    yield area("M312 176L292 120H248L236 176z", "paper")
    yield line("M8 176L28 120H72L84 176M312 176L292 120H248L236 176", "bold")
    flank = [(100.0, 30.0), (220.0, 30.0), (250.0, 176.0), (70.0, 176.0)]
    yield area(closed(flank), "steel")
    yield area("M100 30L114 14H234L220 30z", "paper")
    yield area("M220 30L234 14L264 160L250 176z", "paper")
    yield line("M100 30L114 14H234L264 160L250 176M220 30L234 14", "bold")
    yield line(closed(flank), "bold")
    yield line("M2 176H318", "heavy")


def tooth_sound() -> Iterable[Element]:
    """An even shine over the whole width of the flank."""
    yield from _tooth()
    yield area("M93 66H227L238 120H82z", "shine")
    for down in range(74, 120, 7):
        yield line(f"M94 {down}H226", "faint")


def tooth_pits() -> Iterable[Element]:
    """Holes with ragged edges lie close together across the middle of the flank."""
    yield from _tooth()
    draw = Generator(15)
    for pit in range(18):
        row, place = divmod(pit, 9)
        middle = (98 + place * 15 + draw.between(-4, 4), 88 + 24 * row + draw.between(-9, 9))
        size = draw.between(4, 9)
        yield area(closed(blob((middle[0] + 1.5, middle[1] + 1.5), size + 1.5, size * 0.8 + 1.5, pit + 2, 28)), "paper")
        yield area(closed(blob(middle, size, size * 0.8, pit + 2, 28)), "ink")


# --- thrust faces ---------------------------------------------------------------------------------------------------------


def _face() -> Iterable[Element]:
    yield area(closed(PLATE.outline()), "steel")


def face_even() -> Iterable[Element]:
    """A dull ring of one width runs all along the face."""
    yield from _face()
    yield area(closed(PLATE.outline(0.25, 0.75)), "shine")
    for step in range(1, 10):
        yield line(PLATE.arc(0.25 + step / 20), "faint")
    yield line(PLATE.arc(0.25) + PLATE.arc(0.75), "thin")
    yield line(closed(PLATE.outline()), "bold")


def face_needles() -> Iterable[Element]:
    """Short dents lie side by side like the spokes of a wheel, all along the face."""
    yield from _face()
    for step in range(23):
        along = -0.96 + step * 0.0873
        yield line(PLATE.across(along + 0.014, 0.24, 0.78), "white")
        yield line(PLATE.across(along, 0.24, 0.78), "heavy")
    yield line(closed(PLATE.outline()), "bold")


# --- the magnet -----------------------------------------------------------------------------------------------------------


def _magnet() -> Iterable[Element]:
    yield circle(*_MAGNET, 58, "steel")
    yield circle(*_MAGNET, 58, "ring")
    yield circle(*_MAGNET, 20, "face")


def magnet_paste() -> Iterable[Element]:
    """A soft even coat lies on the magnet, with a smooth edge; a finger has drawn a clean streak through it."""
    coat = [polar(_MAGNET, 69 + 0.8 * on_circle(Fraction(step * 5 % 16, 16))[0], Fraction(step, 48)) for step in range(48)]
    yield area(closed(coat), "paste")
    draw = Generator(33)
    specks = []
    for _ in range(420):
        x, y = polar(_MAGNET, draw.between(22, 68), Fraction(draw.between(0, 359), 360))
        specks.append(f"M{x:.0f} {y:.0f}h1")
    yield line("".join(specks), "thin")
    yield circle(*_MAGNET, 20, "face")
    yield area("M186 62Q204 84 200 118Q196 124 190 120Q192 92 178 70Q178 62 186 62z", "steel")
    yield line("M186 62Q204 84 200 118Q196 124 190 120Q192 92 178 70Q178 62 186 62", "thin")


def magnet_splinters() -> Iterable[Element]:
    """Long pointed pieces and angular chips stand out from the magnet on all sides."""
    yield from _magnet()
    draw = Generator(8)
    for step in range(26):
        turn = Fraction(step, 26) + Fraction(draw.between(-9, 9), 1000)
        start, length = draw.between(34, 60), draw.between(18, 46)
        root, tip = polar(_MAGNET, start, turn), polar(_MAGNET, start + length, turn + Fraction(draw.between(-30, 30), 1000))
        wide = draw.between(2, 5)
        side = polar(root, wide, turn + Fraction(1, 4))
        other = polar(root, wide, turn - Fraction(1, 4))
        yield area(closed([side, tip, other, polar(root, 3, turn + Fraction(1, 2))]), "ink")
    for step in range(9):
        at = polar(_MAGNET, draw.between(26, 66), Fraction(step, 9) + Fraction(1, 31))
        chip = [polar(at, draw.between(5, 11), Fraction(corner, 5) + Fraction(step, 17)) for corner in range(5)]
        yield area(closed(chip), "paper")
        yield hatch(chip, 4)
        yield line(closed(chip), "bold")
