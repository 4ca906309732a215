"""The working of a gear train, line by line: the equation of Willis of each set, what is known, and what follows."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Final

from calc_engine.gears.planetary_set import PlanetarySet
from calc_engine.gears.train import Motion, SetInTrain, Torques, Train, pieces
from calc_engine.quantities.answer_units import equals_number, plain
from calc_engine.quantities.phrases import listed

__all__ = ["exact", "fraction_and_decimals", "line_of_set", "lines_of_pieces", "lines_of_speeds", "lines_of_torques"]

# A fraction that is longer says less than its decimals.
_LONGEST: Final = 15


def exact(value: Fraction) -> str:
    """A figure of the working: a whole number or a fraction; one that is too long to read as decimals."""
    written = str(value)
    return written if len(written) <= _LONGEST else f"{plain(value, 6)}…"


def fraction_and_decimals(value: Fraction) -> str:
    """A result: the fraction, and its decimals behind it."""
    return exact(value) if value.denominator == 1 or len(str(value)) > _LONGEST else f"{value} {equals_number(value)}"


def _factor(value: Fraction) -> str:
    """A figure within a product or a sum."""
    return f"({exact(value)})" if value < 0 or value.denominator != 1 else exact(value)


def line_of_set(planetary: PlanetarySet) -> str:
    """The equation of Willis of a set, with its teeth."""
    first, second = planetary.wheels
    (n1, n2), stepped = planetary.teeth, planetary.planet_teeth
    teeth = f"{second} / {first}" if stepped is None else f"{second} / {first} × planet at {first} / planet at {second}"
    figures = f"{n2} / {n1}" if stepped is None else f"{n2} / {n1} × {stepped[0]} / {stepped[1]}"
    sign = "-" if planetary.k < 0 else ""
    why = " (planets in pairs)" if planetary.pairs else f" ({first} and {second} turn alike)" if planetary.k < 0 else ""
    return (
        f"{planetary.name}: k = {sign}{teeth} = {sign}{figures} = {exact(planetary.k)}{why}; "
        f"Willis: n({first}) − n(carrier) = −k × (n({second}) − n(carrier))"
    )


def lines_of_pieces(piece_of: Mapping[str, str]) -> Iterator[str]:
    """The members that are one piece for good."""
    for group in _groups(piece_of):
        yield f"one piece: {' = '.join(group)}"


def _groups(piece_of: Mapping[str, str]) -> list[list[str]]:
    found: dict[str, list[str]] = {}
    for name, piece in piece_of.items():
        found.setdefault(piece, []).append(name)
    return [names for names in found.values() if len(names) > 1]


def lines_of_speeds(train: Train, on: Collection[str], moved: Motion) -> Iterator[str]:
    """What is on, what each set gives, and the ratio.

    Args:
        train: the train.
        on: the names of the elements that are on.
        moved: what came of it.
    """
    yield _what_is_on(train, on)
    if moved.state == "locked":
        return
    turning = _turning_together(train, on)
    speeds = {turning[piece]: speed for piece, speed in moved.speeds.items()}
    known = {turning[train.piece_of[train.input]]: Fraction(1)} | {piece: Fraction(0) for piece in _held(train, on, turning)}
    left = list(train.sets)
    while solved := next((each for each in left if len(_unknown(each, train, turning, known)) == 1), None):
        left.remove(solved)
        (piece,) = _unknown(solved, train, turning, known)
        if piece in speeds:
            yield f"{_willis(solved, train, turning, known)}: n({piece}) = {fraction_and_decimals(speeds[piece])}"
            known[piece] = speeds[piece]
    yield from _solved_together(left, train, turning, known, speeds)
    yield from _ratio(train, moved)


def _what_is_on(train: Train, on: Collection[str]) -> str:
    said = [f"n({train.input}) = 1"]
    for element in train.elements:
        if element.name in on:
            members = [f"n({member})" for member in element.members]
            said.append(f"{element.name}: {members[0]} = {members[1] if len(members) > 1 else 0}")
    return "; ".join(said)


def _turning_together(train: Train, on: Collection[str]) -> dict[str, str]:
    """For each piece the first one of those that the clutches that are on make one with it."""
    clutched = (train.pieces_of(element) for element in train.elements if element.name in on and len(element.members) > 1)
    return pieces(dict.fromkeys(train.piece_of.values()), clutched)


def _held(train: Train, on: Collection[str], turning: Mapping[str, str]) -> set[str]:
    brakes = (element for element in train.elements if element.name in on and len(element.members) == 1)
    return {turning[train.pieces_of(brake)[0]] for brake in brakes}


def _unknown(planetary: SetInTrain, train: Train, turning: Mapping[str, str], known: Mapping[str, Fraction]) -> list[str]:
    """The pieces whose speed the equation of a set tells; of one that all its members belong to it tells nothing."""
    shares: dict[str, int] = {}
    for member, share in zip(planetary.members, planetary.shares, strict=True):
        piece = turning[train.piece_of[member]]
        shares[piece] = shares.get(piece, 0) + share
    return [piece for piece, share in shares.items() if share and piece not in known]


def _willis(planetary: SetInTrain, train: Train, turning: Mapping[str, str], known: Mapping[str, Fraction]) -> str:
    """The equation of a set with every speed that is known put in."""
    names = [turning[train.piece_of[member]] for member in planetary.members]
    first, second, carrier = (_factor(known[name]) if name in known else f"n({name})" for name in names)
    return f"{planetary.name}: {first} − {carrier} = {exact(-planetary.planetary.k)} × ({second} − {carrier})"


def _solved_together(
    left: Sequence[SetInTrain],
    train: Train,
    turning: Mapping[str, str],
    known: Mapping[str, Fraction],
    speeds: Mapping[str, Fraction],
) -> Iterable[str]:
    """The sets of which none can be solved by itself."""
    wanted = {piece: None for each in left for piece in _unknown(each, train, turning, known)}
    for each in left:
        if _unknown(each, train, turning, known):
            yield _willis(each, train, turning, known)
    found = [f"n({piece}) = {fraction_and_decimals(speeds[piece])}" for piece in wanted if piece in speeds]
    open_ones = [f"n({piece})" for piece in wanted if piece not in speeds]
    if found:
        yield f"together: {', '.join(found)}"
    if open_ones:
        yield f"open: {listed(open_ones)} may have any speed that fits"


def _ratio(train: Train, moved: Motion) -> Iterable[str]:
    if moved.output is None:
        return
    if moved.ratio is None:
        yield f"n({train.output}) = 0: no ratio"
    else:
        yield f"ratio = n({train.input}) / n({train.output}) = 1 / {_factor(moved.output)} = {fraction_and_decimals(moved.ratio)}"


def lines_of_torques(train: Train, on: Sequence[str], found: Torques) -> Iterator[str]:
    """How each set shares its torque, and what the elements carry, for input torque 1.

    Args:
        train: the train.
        on: the names of the elements that are on.
        found: the torques.
    """
    for each in train.sets:
        if each.name in found.sets:
            first, second = each.planetary.wheels
            shared = ", ".join(exact(share * found.sets[each.name]) for share in each.shares)
            yield f"{each.name}: torques {first} : {second} : carrier = 1 : k : −(1 + k) = {shared}"
    carried = [
        f"{name} carries {fraction_and_decimals(value)}"
        for name, value in ((name, found.elements.get(name)) for name in on)
        if value is not None
    ]
    if found.output is not None:
        carried.append(f"the output gives {fraction_and_decimals(-found.output)}")
    if carried:
        yield "for input torque 1: " + "; ".join(carried)
