"""What is wrong with the names of members in a gear train."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Mapping, Sequence

from calc_engine.gears.elements import Element
from calc_engine.problems import Problem

__all__ = ["joined_to_itself", "unknown_members"]


def unknown_members(
    members: Sequence[str], joined: Sequence[Sequence[str]], elements: Sequence[Element], input_: str, output: str
) -> Iterable[Problem]:
    """The problem of each name that is no member and no shaft.

    Args:
        members: of all sets.
        joined: names that are one piece; one without a point that is no member is a shaft.
        elements: which may join and hold members, and shafts that are joined, driven or drive.
        input_: the member or shaft that is driven.
        output: the one that drives.
    """
    shafts = [name for name in dict.fromkeys((input_, output, *(name for group in joined for name in group))) if "." not in name]
    for index, group in enumerate(joined):
        for at, name in enumerate(group):
            yield from _unknown(name, members, shafts, f"joined.{index}.{at}")
    for index, element in enumerate(elements):
        for at, name in enumerate(element.members):
            place = f"elements.{index}.holds" if element.joins is None else f"elements.{index}.joins.{at}"
            yield from _unknown(name, members, shafts, place)
    yield from _unknown(input_, members, shafts, "input")
    yield from _unknown(output, members, shafts, "output")


def _unknown(name: str, members: Sequence[str], shafts: Sequence[str], place: str) -> Iterable[Problem]:
    if name in members or name in shafts:
        return
    near = difflib.get_close_matches(name, [*members, *shafts], 1)
    remedy = f"Did you mean “{near[0]}”?" if near else f"Name one of: {', '.join([*members, *shafts])}."
    if "." not in name:
        remedy += " A shaft that only elements name goes into “joined” as well, in a list of its own if need be."
    yield Problem(place, "unknown-member", f"There is no member “{name}”.", remedy)


def joined_to_itself(
    joined: Sequence[Sequence[str]], elements: Sequence[Element], ends: tuple[str, str], piece_of: Mapping[str, str]
) -> Iterable[Problem]:
    """The problem of each member that is joined to itself, and of an output that is the input.

    Args:
        joined: names that are one piece.
        elements: clutches and brakes.
        ends: input and output.
        piece_of: the piece of each name.
    """
    for index, group in enumerate(joined):
        for at, name in enumerate(group):
            if name in group[:at]:
                yield Problem(f"joined.{index}.{at}", "one-piece", f"“{name}” is joined to itself.", "Name each member once.")
    for index, element in enumerate(elements):
        if element.joins is not None and _are_one_piece(element.joins, piece_of):
            first, second = element.joins
            what = f"“{first}” to itself" if first == second else f"“{first}” and “{second}”, which are one piece already"
            yield Problem(
                f"elements.{index}.joins", "one-piece", f"“{element.name}” joins {what}.", "Name members of two pieces."
            )
    if _are_one_piece(ends, piece_of):
        yield Problem(
            "output", "one-piece", f"Input “{ends[0]}” and output “{ends[1]}” are one piece.", "Name a member of another piece."
        )


def _are_one_piece(names: Sequence[str], piece_of: Mapping[str, str]) -> bool:
    pieces = [piece_of.get(name) for name in names]
    return pieces[0] is not None and pieces[0] == pieces[1]
