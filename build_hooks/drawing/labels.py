"""Spreads labels along a column, and tells how much room a text takes."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from itertools import accumulate, pairwise
from typing import Final

__all__ = ["fitted", "spread", "text_width", "wrapped"]

# Widths of signs in shares of the type size, ample for common type.
_NARROW: Final = frozenset("iljI.,:;'|!()[]")
_BROAD: Final = frozenset("MWmw@%—")
_EVEN: Final = 0.66
_ELLIPSIS: Final = "…"


def spread(wanted: Sequence[float], sizes: Sequence[float]) -> tuple[float, ...]:
    """Places in the same order, none covering another, as near to the wanted ones as can be.

    The sum of the squares of all displacements is the least possible: with the room of the labels taken out, this is
    isotonic regression, solved by pooling adjacent violators (Ayer, Brunk, Ewing, Reid and Silverman 1955).

    Args:
        wanted: where the middle of each label would like to be, ascending.
        sizes: how much room each label takes along the column.

    Returns:
        Where the middle of each label is, ascending.
    """
    offsets = list(accumulate(((first + second) / 2 for first, second in pairwise(sizes)), initial=0.0))
    # Each block: the sum of its members' wishes, and how many they are; all members of a block stand at its mean.
    blocks: list[tuple[float, int]] = []
    for place, offset in zip(wanted, offsets, strict=False):
        blocks.append((place - offset, 1))
        while len(blocks) > 1 and blocks[-2][0] * blocks[-1][1] > blocks[-1][0] * blocks[-2][1]:
            total, count = blocks.pop()
            blocks[-1] = (blocks[-1][0] + total, blocks[-1][1] + count)
    means = [total / count for total, count in blocks for _ in range(count)]
    return tuple(mean + offset for mean, offset in zip(means, offsets, strict=False))


def _sign_width(sign: str) -> float:
    if unicodedata.combining(sign) or unicodedata.category(sign) in {"Cf", "Mn", "Me"}:
        return 0
    if unicodedata.east_asian_width(sign) in {"W", "F"}:
        return 1.05
    if sign in _NARROW:
        return 0.36
    if sign in _BROAD:
        return 0.95
    if "a" <= sign <= "z":
        return 0.57
    return 0.74 if sign.isupper() else 0.64


def text_width(text: str, size: float, *, even: bool = False) -> float:
    """How wide a text may be [drawing units], at this type size; `even` for a type in which all signs are of one width."""
    return size * sum(max(_sign_width(sign), _EVEN) if even else _sign_width(sign) for sign in text)


def wrapped(text: str, size: float, room: float) -> tuple[str, ...]:
    """The text in lines that fit into the room, broken between words, within a word only where that alone is too long."""
    lines: list[str] = []
    for word in text.split(" "):
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(joined, size) <= room:
            lines[-1] = joined
        else:
            lines += _broken(word, size, room)
    return tuple(lines)


def _broken(word: str, size: float, room: float) -> list[str]:
    pieces = [""]
    for sign in word:
        if pieces[-1] and text_width(pieces[-1] + sign, size) > room:
            pieces.append("")
        pieces[-1] += sign
    return pieces


def fitted(text: str, size: float, room: float) -> str:
    """The text, cut off with an ellipsis where it would not fit into the room."""
    if text_width(text, size) <= room:
        return text
    left = room - text_width(_ELLIPSIS, size)
    kept = 0
    for sign in text:
        left -= size * _sign_width(sign)
        if left < 0:
            break
        kept += 1
    return text[:kept].rstrip() + _ELLIPSIS
