"""What the written procedures say: in which order their steps fit the parts of a pack, which way round, and with which tool.

The steps are read as text, so that the answer keys of the exercises, which are made from the unit data, are held against what a
rebuilder reads and not against themselves.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from build_hooks.model import Pack, StackEntry, Unit

__all__ = ["Section", "fitted_in_order", "sections_of", "sides_in_steps"]

_STEP: Final = re.compile(r"^\d+\. (.+)$", re.MULTILINE)
_FITS: Final = re.compile(r"^(?:Fit|Set|Lay in|Lay|Lower|Ease|Press)\b (.*)$")
# What ends the name of the thing that is fitted.
_END: Final = re.compile(r"[,.]|\b(?:on|onto|in|into|over|to|round|until|as|with|at|home|down|flat|so|by|hard|and)\b")
_EMPTY: Final = frozenset({"the", "a", "an", "one", "new", "first", "trial", "chosen", "both"})
_ALSO: Final = {"cage": "spring", "seals": "seal"}
_SIDE: Final = re.compile(r"\b(lip|chamfer|dimple|step|dish|rounded edge|(?:flat|closed) side|paint mark) (up|down)\b")
# What the steps call a mark, where that is another word than the data's. The flat side of a cage is its closed side.
_MARKS: Final = {"flat side": "flat", "closed side": "flat", "paint mark": "paint"}


@dataclass(frozen=True, slots=True)
class Section:
    """A section of a page: its heading, its steps in order, the packs that its page shows, and all of its text."""

    heading: str
    steps: tuple[str, ...]
    packs: tuple[str, ...]
    text: str


def sections_of(folder: Path) -> Iterator[Section]:
    """The sections of every page of a unit's folder, page by page."""
    for path in sorted(folder.glob("*.md")):
        text = path.read_text(encoding="utf-8")
        packs = tuple(dict.fromkeys(re.findall(r"^pack: (\S+)$", text, re.MULTILINE)))
        # A short page has no sections: then all of it is one.
        for part in re.split(r"^## ", text, flags=re.MULTILINE)[1:] or [text]:
            heading, _, body = part.partition("\n")
            yield Section(heading, tuple(_STEP.findall(body)), packs, part)


def fitted_in_order(unit: Unit, folder: Path) -> dict[str, list[str]]:
    """For each pack the ids of the parts that the steps fit, each where it is fitted first."""
    found: dict[str, list[str]] = {pack: [] for pack in unit.packs}
    for _, pack, part in _steps_that_fit(unit, folder):
        if part not in found[pack]:
            found[pack].append(part)
    return found


def sides_in_steps(unit: Unit, folder: Path) -> list[tuple[str, str, str]]:
    """Pack and part of each step that says which way round the part goes in, with that side as the data would write it."""
    return [
        (pack, part, f"{_MARKS.get(side[1], side[1])} {side[2]}")
        for step, pack, part in _steps_that_fit(unit, folder)
        if (side := _SIDE.search(step.lower()))
    ]


def _steps_that_fit(unit: Unit, folder: Path) -> Iterator[tuple[str, str, str]]:
    """Each step that fits a part, with the ids of the pack and of the part."""
    here: Pack | None = None
    for section in sections_of(folder):
        if not section.packs:
            continue
        shown = [unit.packs[name] for name in section.packs]
        here = _pack_of(section, shown) or (here if here in shown else shown[0])
        for step in section.steps:
            yield from ((step, pack, part) for pack, part in _fitted(step, here, shown))


def _fitted(step: str, here: Pack, shown: Sequence[Pack]) -> list[tuple[str, str]]:
    """Pack and id of what a step fits: of the pack that the section is about, else of the one other pack that has such a part."""
    named = {pack.id: _parts_in(step, pack) for pack in shown}
    if named[here.id] is not None:
        return [(here.id, part) for part in named[here.id] or ()]
    others = [(pack, parts) for pack, parts in named.items() if parts is not None]
    return [(pack, part) for pack, parts in others for part in parts or ()] if len(others) == 1 else []


def _pack_of(section: Section, shown: Sequence[Pack]) -> Pack | None:
    """The pack that a heading names."""
    words = set(re.findall(r"[a-z-]+", section.heading.lower()))
    return next((pack for pack in shown if pack.id in words), None)


def _parts_in(step: str, pack: Pack) -> list[str] | None:
    """The parts of a pack that a step fits: those whose name ends like the thing and holds all its words.

    None where the pack has no such part; nothing where it is open which of several is meant.
    """
    fits = _FITS.match(step)
    if fits is None or "surface plate" in step:
        return None
    words = [_ALSO.get(word, word) for word in re.findall(r"[a-z-]+", _END.split(fits[1])[0].lower())]
    words = [word for word in words if word not in _EMPTY]
    entries = {entry.part.id: entry for entry in pack.physical_stack if words and _is_named(entry, words)}
    if len(entries) > 1 and "seals" not in step:
        groove = re.search(r"(\w+) groove", step)
        return [part for part, entry in entries.items() if groove and (entry.groove or "").casefold() == groove[1].lower()]
    return list(entries) or None


def _is_named(entry: StackEntry, words: Sequence[str]) -> bool:
    name = re.findall(r"[a-z-]+", entry.part.name.split(",")[0].lower())
    return name[-1] == words[-1] and set(words) <= set(name)
