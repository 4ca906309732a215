"""A gear train: which members are one piece, and what speeds and torques come of the elements that are on.

Every set gives one equation of its three speeds; a clutch that is on makes two speeds equal, a brake makes one nothing. The torques
are the other side of the same coin: a set shares its torque among its members in fixed parts, and on every piece the torques
balance. Both are systems of linear equations, solved exactly.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal, Protocol

from calc_engine.gears.planetary_set import PlanetarySet
from calc_engine.maths.linear import Equation, solve

__all__ = ["HeldOrJoined", "Motion", "SetInTrain", "State", "Torques", "Train", "motion", "pieces", "torques", "train_of"]

State = Literal["fixed", "free", "locked"]
_ONE: Final = Fraction(1)
_NONE: Final = Fraction(0)
type Speeds = Mapping[str, Fraction]


class HeldOrJoined(Protocol):
    """A brake, which holds a member, or a clutch, which joins two."""

    @property
    def name(self) -> str:
        """By which gears call it."""

    @property
    def members(self) -> Sequence[str]:
        """The member that a brake holds, or the two that a clutch joins."""


@dataclass(frozen=True, slots=True)
class SetInTrain:
    """A planetary set where it is built in.

    Attributes:
        planetary: its teeth.
        members: the names of its first wheel, its second wheel and its carrier.
        shares: what belongs to each member, see `PlanetarySet.shares`.
        of_pieces: the same for each piece; members that are one piece count together.
        planet_turns: see `PlanetarySet.planet_turns`.
    """

    planetary: PlanetarySet
    members: tuple[str, str, str]
    shares: tuple[Fraction, Fraction, Fraction]
    of_pieces: Mapping[str, Fraction]
    planet_turns: Fraction | None

    @property
    def name(self) -> str:
        """Of the set."""
        return self.planetary.name


@dataclass(frozen=True, slots=True)
class Train:
    """A gear train.

    Attributes:
        sets: its planetary sets.
        piece_of: for each member and each shaft the name of the piece that it belongs to.
        elements: clutches and brakes.
        input: the member or shaft that is driven.
        output: the member or shaft that drives.
    """

    sets: Sequence[SetInTrain]
    piece_of: Mapping[str, str]
    elements: Sequence[HeldOrJoined]
    input: str
    output: str

    def pieces_of(self, element: HeldOrJoined) -> list[str]:
        """The piece that a brake holds, or the two that a clutch joins."""
        return [self.piece_of[member] for member in element.members]


def pieces(names: Iterable[str], joined: Iterable[Iterable[str]]) -> dict[str, str]:
    """Which names are of one piece.

    Args:
        names: of members and shafts.
        joined: those that are one piece, in lists; lists with a name in common are one piece altogether.

    Returns:
        For each name the first name of its piece, in the order of `names`.

    Example:
        >>> pieces(["input", "a.sun", "b.sun", "b.ring"], [["b.sun", "a.sun"], ["input", "a.sun"]])
        {'input': 'input', 'a.sun': 'input', 'b.sun': 'input', 'b.ring': 'b.ring'}
    """
    order = {name: at for at, name in enumerate(names)}
    together = {name: [name] for name in order}
    for group in joined:
        merged = list({id(together[name]): together[name] for name in group}.values())
        whole = [name for part in merged for name in part]
        together.update(dict.fromkeys(whole, whole))
    return {name: min(together[name], key=order.__getitem__) for name in order}


def train_of(
    sets: Sequence[PlanetarySet], joined: Sequence[Sequence[str]], elements: Sequence[HeldOrJoined], ends: tuple[str, str]
) -> Train:
    """The train that is described.

    Args:
        sets: its planetary sets.
        joined: members and shafts that are one piece, in lists.
        elements: clutches and brakes.
        ends: input and output.
    """
    members = [each.members for each in sets]
    shafts = (*ends, *(name for group in joined for name in group))
    piece_of = pieces(dict.fromkeys((*shafts, *(name for of_set in members for name in of_set))), joined)
    built = [_built_in(planetary, names, piece_of) for planetary, names in zip(sets, members, strict=True)]
    return Train(built, piece_of, elements, *ends)


def _built_in(planetary: PlanetarySet, members: tuple[str, str, str], piece_of: Mapping[str, str]) -> SetInTrain:
    shares = planetary.shares
    of_pieces: dict[str, Fraction] = {}
    for member, share in zip(members, shares, strict=True):
        piece = piece_of[member]
        of_pieces[piece] = of_pieces.get(piece, _NONE) + share
    return SetInTrain(planetary, members, shares, of_pieces, planetary.planet_turns)


@dataclass(frozen=True, slots=True)
class Motion:
    """How a train turns with some elements on.

    Attributes:
        state: fixed, the output follows from the input; free, it does not; locked, the input cannot turn.
        speeds: of each piece whose speed follows from the input's, which is 1; none when locked.
        output: speed of the output; None when it does not follow.
        ratio: input speed over output speed; None when there is no one output speed, or the output is held still.
    """

    state: State
    speeds: Speeds
    output: Fraction | None
    ratio: Fraction | None


def motion(train: Train, on: Collection[str]) -> Motion:
    """How a train turns when the input has speed 1.

    Args:
        train: the train.
        on: the names of the elements that are on; all others let go.

    Returns:
        Its state and its speeds.

    Source: the equation of Willis for each set, see `PlanetarySet.k`.
    """
    equations = [Equation(each.of_pieces) for each in train.sets]
    equations += [_speeds_of_element(train.pieces_of(element)) for element in train.elements if element.name in on]
    speeds = solve([*equations, Equation({train.piece_of[train.input]: _ONE}, _ONE)])
    if speeds is None:
        return Motion("locked", {}, None, None)
    output = speeds.get(train.piece_of[train.output])
    return Motion("free" if output is None else "fixed", speeds, output, _ONE / output if output else None)


def _speeds_of_element(held: Sequence[str]) -> Equation[str]:
    return Equation(dict(zip(held, (_ONE, -_ONE), strict=False)))


@dataclass(frozen=True, slots=True)
class Torques:
    """The torques of a train for input torque 1. What cannot be told, because more is on than is needed, is absent.

    Attributes:
        sets: for each set the torque on its first wheel; those on its other members are as its shares.
        elements: for each element that is on: of a brake what it puts on its member, of a clutch what passes from its first
            member to its second.
        output: what the load puts on the output.
    """

    sets: Mapping[str, Fraction]
    elements: Mapping[str, Fraction]
    output: Fraction | None


type _Unknown = tuple[Literal["set", "element", "output"], str]


def torques(train: Train, on: Collection[str]) -> Torques:
    """The torques that balance an input torque of 1.

    Args:
        train: the train; its state with these elements on must be fixed, with an output that turns.
        on: the names of the elements that are on.

    Returns:
        Every torque that follows.

    Source: equilibrium of each piece, without losses and masses; the parts of a set follow from its equation of Willis by virtual work.
    """
    balance: dict[str, dict[_Unknown, Fraction]] = {piece: {} for piece in train.piece_of.values()}
    for each in train.sets:
        for piece, share in each.of_pieces.items():
            balance[piece]["set", each.name] = -share
    for element in train.elements:
        if element.name in on:
            held = train.pieces_of(element)
            for piece, sign in zip(held, (_ONE,) if len(held) == 1 else (-_ONE, _ONE), strict=True):
                balance[piece]["element", element.name] = sign
    balance[train.piece_of[train.output]]["output", train.output] = _ONE
    driven = train.piece_of[train.input]
    found = solve(Equation(row, -_ONE if piece == driven else _NONE) for piece, row in balance.items())
    # An input that drives the output always has a balance.
    assert found is not None  # noqa: S101
    return Torques(_named("set", found), _named("element", found), found.get(("output", train.output)))


def _named(what: str, found: Mapping[_Unknown, Fraction]) -> dict[str, Fraction]:
    return {name: value for (kind, name), value in found.items() if kind == what}
