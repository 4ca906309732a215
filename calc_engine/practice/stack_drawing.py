"""A stack drawn as it stands, open end up: number 1 at the bottom. Hatch tells the material, a sign the way round."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from calc_engine import Element, element
from calc_engine.practice.part_kinds import PLATES
from calc_engine.practice.seen import Row

__all__ = ["stack_drawing"]

# Drawing units of one part: the picture scales with its line of text.
_WIDTH: Final = 120
_HEIGHT: Final = 26
_TOP: Final = 7
_BOTTOM: Final = 19
_HATCH: Final = 6
# Where a part begins and ends: drum at the left, hub at the right, as in the drawings of the packs.
_REACH: Final = {
    "friction": (28, 108),
    "snap-ring": (4, 36),
    "hub": (80, 116),
    "piston": (12, 108),
    "return-spring": (28, 100),
    "retainer": (44, 100),
    "seal": (16, 28),
    "lip-seal": (16, 32),
}
_PLATE_REACH: Final = (12, 92)


def stack_drawing(rows: Sequence[Row], labels: Mapping[str, str]) -> Element:
    """The stack as a list drawn upside down, so that it stands as the parts do.

    Args:
        rows: the parts in the order they went in.
        labels: what is seen of each part, by its id.

    Returns:
        An ordered list; each item holds a small section of its part and its label. All that the section shows stands in words.
    """
    count = len(rows)
    items = [_item(number, row, labels[row.part.id]) for number, row in reversed(list(enumerate(rows, 1)))]
    return element(
        "figure",
        {"class": "practice-stack"},
        element("p", {"class": "practice-stack-end"}, "Open end"),
        element("ol", {"class": "practice-stack-list", "reversed": "", "start": str(count)}, *items),
        element("p", {"class": "practice-stack-end"}, "Piston end: number 1 went in first"),
    )


def _item(number: int, row: Row, label: str) -> Element:
    groove = f"{row.groove} groove" if row.groove else None
    facts = " · ".join(fact for fact in (label, row.side, groove) if fact)
    return element(
        "li",
        {"value": str(number), "data-number": str(number)},
        element("span", {"class": "practice-stack-number"}, str(number)),
        _section(row),
        element("span", {"class": "practice-stack-label"}, facts),
    )


def _section(row: Row) -> Element:
    kind = row.part.kind
    left, right = _REACH.get(kind, _PLATE_REACH)
    if kind == "snap-ring" and row.groove is None:
        left = _PLATE_REACH[0]
    return element(
        "svg",
        {"viewBox": f"0 0 {_WIDTH} {_HEIGHT}", "aria-hidden": "true", "class": "practice-section"},
        element("path", {"class": "practice-wall", "d": f"M10 0V{_HEIGHT}" if row.groove is None else _notched_wall()}),
        *_body(kind, left, right),
        _sign(row.side, left, right) if row.side else None,
    )


def _notched_wall() -> str:
    return f"M10 0V{_TOP}H2V{_BOTTOM}H10V{_HEIGHT}"


def _body(kind: str, left: int, right: int) -> list[Element]:
    if kind == "wave":
        # Its waves run round the drum: cut through it is flat, and a sign tells it from a steel plate.
        band = element("path", {"class": "practice-steel", "d": f"M{left} {_TOP}H{right}V{_BOTTOM}H{left}z"})
        wave = "".join("q4 -8 8 0t8 0" for _ in range(3))
        return [band, element("path", {"class": "practice-wave", "d": f"M{left + 16} 13{wave}"})]
    if kind == "return-spring":
        coils = "".join(f"l4 {_BOTTOM - _TOP}l4 {_TOP - _BOTTOM}" for _ in range((right - left) // 8))
        return [element("path", {"class": "practice-spring", "d": f"M{left} {_TOP}{coils}"})]
    if kind == "lip-seal":
        return [element("path", {"class": "practice-seal", "d": f"M{left} 10H{right}V16H{left}z"})]
    outline = element("path", {"class": f"practice-{_material(kind)}", "d": f"M{left} {_TOP}H{right}V{_BOTTOM}H{left}z"})
    return [outline, element("path", {"class": "practice-hatch", "d": _hatch(kind, left, right)})]


def _material(kind: str) -> str:
    if kind == "friction":
        return "lining"
    return "seal" if kind == "seal" else "steel"


def _hatch(kind: str, left: int, right: int) -> str:
    """45 degree strokes; a lining is crossed by a second set."""
    tall = _BOTTOM - _TOP
    rising = [f"M{x} {_BOTTOM}l{tall} {-tall}" for x in range(left, right - tall + 1, _HATCH)]
    if kind == "friction":
        return "".join(rising + [f"M{x} {_TOP}l{tall} {tall}" for x in range(left, right - tall + 1, _HATCH)])
    return "".join(rising) if kind in PLATES | {"snap-ring", "shim", "thrust-washer", "retainer"} else ""


def _sign(side: str, left: int, right: int) -> Element:
    """The mark of a part at the face or edge that it is seen on."""
    mark, _, direction = side.rpartition(" ")
    of = f"practice-sign practice-sign-{mark.replace(' ', '-')}"
    middle = (left + right) // 2
    if direction in {"up", "down"}:
        up = direction == "up"
        face, out = (_TOP, -5) if up else (_BOTTOM, 5)
        shapes = {
            "chamfer": f"M{left + 10} {face}L{left} {face - out}",
            "dimple": f"M{middle - 5} {face}q5 {-2 * out} 10 0",
            "lip": f"M{left} {face}l-4 {out}M{right} {face}l4 {out}",
            "step": f"M{middle} {face}v{out}H{left}v{-out}",
            "tooth": f"M{middle - 4} {face}l4 {out}l4 {-out}",
            "dish": f"M{left} {face + out}Q{middle} {face - out} {right} {face + out}",
            "flat": f"M{left} {face}H{right}",
            "paint": f"M{middle - 6} {face}v{out}h12v{-out}z",
            "rounded edge": f"M{left} {face - out}Q{left} {face} {left - out} {face}M{right + out} {face}Q{right} {face} {right} {face - out}"
            if up
            else f"M{left} {face - out}Q{left} {face} {left + out} {face}M{right - out} {face}Q{right} {face} {right} {face - out}",
        }
        return element("path", {"class": of, "d": shapes[mark]})
    edge, out = (right, 5) if direction == "in" else (left, -5)
    return element("path", {"class": of, "d": f"M{edge} {_TOP + 2}l{out} 4l{-out} 4z"})
