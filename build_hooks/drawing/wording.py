"""What a drawing says in words: its title, its description for a reader who cannot see it, and what of it is to scale."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from build_hooks.drawing.parts import DrawnPart, DrawnStack
from build_hooks.drawing.sizes import SCALED, Scale

__all__ = ["description", "part_title", "scale_note", "title"]

_MOST_EXCEPTIONS: Final = 4
_LONGEST_TURN: Final = 4


def title(stacks: Sequence[DrawnStack], form: str) -> str:
    """The title of a drawing of these stacks; `form` says which kind of drawing it is."""
    names = " and ".join(dict.fromkeys(stack.title for stack in stacks)) or "Empty drum"
    drum = next((stack.drum_name for stack in stacks if stack.drum_name), None)
    return f"{names}{f' in {drum}' if drum else ''}: {form}"


def part_title(part: DrawnPart) -> str:
    """A part in words: number, name, side, groove, and what needs care."""
    words = [f"{part.number}: {part.name}"]
    if part.side_mark and part.side_direction:
        words.append(f"{part.side_mark} {part.side_direction}")
    if part.waves:
        words.append(f"{part.waves} {'wave' if part.waves == 1 else 'waves'}")
    if part.groove:
        words.append(f"in the {part.groove} groove")
    if part.shared:
        words.append("shared by two packs")
    if part.once_only:
        words.append("always new")
    if part.look_alike:
        words.append("has a look-alike")
    return ", ".join(words)


def description(stacks: Sequence[DrawnStack], scale: Scale, *, exploded: bool) -> str:
    """All that the drawing shows, as sentences."""
    form = (
        "Exploded half section, the parts apart in the order they go in"
        if exploded
        else "Half section, the drum's wall at the left and the axis at the right"
    )
    sentences = [stack.description.strip() for stack in stacks if stack.description.strip()]
    sentences.append(f"{form}.")
    for stack in stacks:
        if not stack.parts:
            sentences.append(f"{stack.title}: no parts are listed.")
            continue
        sentences.append(f"{stack.title}, from the bottom: {'; '.join(_runs(stack.parts))}.")
        if stack.pressed_from is not None:
            sentences.append(f"Its piston presses it from the {stack.pressed_from}.")
        sentences += [
            f"{hole.name}, {'a check ball in' if hole.ball else 'through'} the {hole.through}: to the chamber of {stack.title}."
            for hole in stack.holes
        ]
        held = [
            f"{ring.name} {where} it" for ring, where in ((stack.holders.below, "under"), (stack.holders.above, "over")) if ring
        ]
        if held:
            sentences.append(f"What holds {stack.parts[0].number}: {' and '.join(held)}.")
        if stack.clearance is not None:
            between = f"between {stack.clearance.below} and {stack.clearance.above}"
            sentences.append(f"Clearance {stack.clearance.label}, {between}.")
    sentences.append(scale_note(stacks, scale))
    return " ".join(sentences)


def _runs(parts: Sequence[DrawnPart]) -> list[str]:
    """The parts in words, those that come in turn said once: "8 to 17: 5 times in turn steel plate, friction plate"."""
    said: list[str] = []
    at = 0
    while at < len(parts):
        turn, times = _turn(parts, at)
        if times > 1:
            names = ", then ".join(part_title(part).partition(": ")[2] for part in parts[at : at + turn])
            said.append(f"{parts[at].number} to {parts[at + turn * times - 1].number}: {times} times {names}")
        else:
            said.append(part_title(parts[at]))
        at += turn * times
    return said


def _turn(parts: Sequence[DrawnPart], start: int) -> tuple[int, int]:
    """The shortest run of parts from `start` that comes again at once, and how many times it comes."""
    for turn in range(1, _LONGEST_TURN + 1):
        first = [_said(part) for part in parts[start : start + turn]]
        times = 1
        while [_said(part) for part in parts[start + times * turn : start + (times + 1) * turn]] == first:
            times += 1
        if times > 1:
            return turn, times
    return 1, 1


def _said(part: DrawnPart) -> str:
    return f"{part.part_id} {part_title(part).partition(': ')[2]}"


def scale_note(stacks: Sequence[DrawnStack], scale: Scale) -> str:
    """What of the drawing is to scale."""
    measured = [part for stack in stacks for part in stack.parts if part.kind in SCALED]
    false = list(dict.fromkeys(part.number for part in measured if not scale.is_true(part)))
    if not measured or len(false) > max(_MOST_EXCEPTIONS, len(measured) // 2):
        return "Not to scale."
    wide = any(stack.clearance is not None and not scale.is_true_clearance(stack.clearance.size_mm) for stack in stacks)
    exceptions = [*([f"step {', '.join(map(str, false))}"] if false else []), *(["the clearance"] if wide else [])]
    note = "Plates and rings to scale in thickness" + (f", but for {' and '.join(exceptions)}" if exceptions else "")
    return f"{note}. All else not to scale."
