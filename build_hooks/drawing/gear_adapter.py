"""From the gear set of a unit and the figures of its gears to what is drawn."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from string import ascii_uppercase
from typing import Final

from build_hooks.drawing.gear_levers import lever_picture
from build_hooks.drawing.gear_lines import line_picture
from build_hooks.drawing.gear_parts import DrawnElement, DrawnGear, DrawnMember, DrawnSet, GearPiece
from build_hooks.drawing.ink import gear_svg
from build_hooks.gears import GearFigures, lever_places
from build_hooks.model import CASE, GearSet, PlanetarySet
from calc_engine import Element, listed

__all__ = ["draw_levers", "draw_lines", "gear_drawn", "speeds_said"]

_LETTERS: Final = ascii_uppercase


def draw_levers(drawn: DrawnGear, unit_name: str) -> Element:
    """The sets as levers, with the speeds of one gear."""
    title = f"{unit_name}, gear {drawn.label}: levers"
    return gear_svg(lever_picture(drawn), title, speeds_said(drawn), kind="levers")


def draw_lines(drawn: DrawnGear, unit_name: str) -> Element:
    """Who is joined to whom in one gear."""
    title = f"{unit_name}, gear {drawn.label}: who is joined to whom"
    return gear_svg(line_picture(drawn), title, _joints_said(drawn), kind="lines")


def speeds_said(drawn: DrawnGear) -> str:
    """The speed of every piece in a sentence."""
    said = [f"{piece.name} {_speed(piece)}" for piece in drawn.pieces if not piece.is_case]
    return f"With the input turning at 1: {'; '.join(said)}."


def _speed(piece: GearPiece) -> str:
    if piece.speed is None:
        return "at any speed"
    return "still" if piece.speed == 0 else f"{piece.speed:.2f}".replace("-", "−")


def _joints_said(drawn: DrawnGear) -> str:
    names = [piece.name for piece in drawn.pieces]
    on = [
        f"{element.name} {'joins' if len(element.pieces) > 1 else 'holds'} {listed([names[at] for at in element.pieces], 'and')}"
        for element in drawn.elements
        if element.is_on
    ]
    return f"On: {'; '.join(on)}." if on else "Nothing is on."


def gear_drawn(gear_set: GearSet, found: GearFigures, every: Sequence[GearFigures]) -> DrawnGear:
    """One gear of a gear set as it is drawn.

    Args:
        gear_set: the gear set.
        found: the figures of the gear.
        every: those of all gears, for a scale that is the same in each drawing.
    """
    names = _pieces(gear_set)
    order = {piece: at for at, piece in enumerate(names)}
    piece_of = {name: order[piece] for name, piece in gear_set.pieces.items() if piece in order}
    speeds = [float(speed) for gear in every for speed in gear.speeds.values()]
    return DrawnGear(
        found.row.label,
        tuple(_set(each, piece_of) for each in gear_set.sets.values()),
        tuple(_drawn_pieces(gear_set, names, found)),
        tuple(
            DrawnElement(
                element.name,
                tuple(piece_of[member] for member in element.members),
                known in gear_set.at_work(found.row),
                element.turns_freely is not None,
            )
            for known, element in gear_set.elements.items()
        ),
        min(0.0, *speeds),
        max(1.0, *speeds),
    )


def _pieces(gear_set: GearSet) -> dict[str, list[str]]:
    """The names in each piece by its first one: the input's first, the output's last but one, the case at the end."""
    pieces = gear_set.pieces
    found: dict[str, list[str]] = {}
    for name, piece in pieces.items():
        found.setdefault(piece, []).append(name)
    last = (pieces[gear_set.output], pieces.get(CASE, CASE))
    return {piece: names for piece, names in found.items() if piece not in last} | {piece: found.get(piece, []) for piece in last}


def _drawn_pieces(gear_set: GearSet, names: Mapping[str, Sequence[str]], found: GearFigures) -> Iterator[GearPiece]:
    for at, (piece, members) in enumerate(names.items()):
        is_case = at == len(names) - 1
        speed = found.speeds.get(piece)
        # A piece of members of sets alone is called by these; one with a shaft, by the shaft first.
        told = [name.replace(".", " ") for name in sorted(members, key=lambda name: "." in name) if name != CASE]
        yield GearPiece(
            "" if is_case else _LETTERS[at % len(_LETTERS)],
            ", ".join(("case", *told) if is_case else told),
            0.0 if is_case else None if speed is None else float(speed),
            is_input=gear_set.pieces[gear_set.input] == piece,
            is_output=gear_set.pieces[gear_set.output] == piece,
            is_case=is_case,
        )


def _set(planetary: PlanetarySet, piece_of: Mapping[str, int]) -> DrawnSet:
    places = lever_places(planetary)
    members = tuple(DrawnMember(kind, float(place), piece_of[f"{planetary.id}.{kind}"]) for kind, place in places.items())
    return DrawnSet(planetary.id, teeth_said(planetary), members)


def teeth_said(planetary: PlanetarySet) -> str:
    """The teeth of a set in a few signs."""
    wheels = ", ".join(f"{wheel} {getattr(planetary, wheel)}" for wheel in planetary.wheels)
    return f"{wheels}, pairs" if planetary.pairs else wheels
