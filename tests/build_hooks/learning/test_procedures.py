"""The answer keys of the exercises say what the written procedures say: the order of the parts, and the tool of a seal."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from build_hooks.learning.unit_data import unit_data
from build_hooks.library import Library, load
from calc_engine.practice import KINDS, read_unit
from tests.build_hooks.learning.procedures import fitted_in_order, sections_of, sides_in_steps

DOCS = Path(__file__).parents[3] / "docs"
# How many parts of each pack the steps name one by one. Fewer would mean that the steps are no longer understood here.
NAMED = {
    ("alder-4", "forward"): 13, ("alder-4", "direct"): 9, ("alder-4", "intermediate"): 10, ("alder-4", "low-reverse"): 10,
    ("hazel-2", "high"): 8, ("hazel-2", "low"): 2, ("rowan-6", "low"): 5, ("rowan-6", "drive"): 4, ("rowan-6", "reduction"): 4,
}  # fmt: skip
# What leads a seal into its bore, by the word that a step has for it.
LEADS = {"seal sleeve": "seal-sleeve", "seal wire": "seal-wire"}


def _library(docs: Path) -> Library:
    library, problems = load(docs)
    assert library is not None
    assert problems == ()
    return library


def _contradicted(docs: Path) -> list[tuple[str, str, list[str]]]:
    """The packs whose key calls the order of the written steps wrong, with that order."""
    library = _library(docs)
    found = []
    for unit in library.units.values():
        data = json.loads(json.dumps(unit_data(unit, library.shop)))
        for pack, fitted in fitted_in_order(unit, docs / "units" / unit.id).items():
            if not _is_right(data, pack, fitted):
                found.append((unit.id, pack, fitted))
    return found


def _is_right(data: dict[str, object], pack: str, fitted: list[str]) -> bool:
    """Whether the order exercise of a pack takes the list with the parts that the steps name in the order of the steps."""
    unit = read_unit(data)
    exercise = KINDS["order"].make(unit, unit.packs[pack], 1)
    assert exercise is not None
    waiting: dict[str, list[str]] = {}
    for card, entry in exercise.key.cards.items():
        waiting.setdefault(entry.part.id, []).append(card)
    of_steps = iter(fitted)
    order: list[str] = []
    seen: set[str] = set()
    for entry in exercise.key.entries:
        part = entry.part.id
        named_here = part in fitted and part not in seen
        seen.add(part)
        order.append(waiting[next(of_steps) if named_here else part].pop(0))
    given = {ask.id: ask.options[0].id for ask in exercise.asks if ask.form == "choice"}
    marked = KINDS["order"].mark(exercise, {**given, "order": order})
    return marked.asks[0].right


def test_no_key_contradicts_the_written_steps() -> None:
    """For every pack of the demo the order of the steps is right in the exercise; and the steps are understood."""
    assert _contradicted(DOCS) == []
    named = {
        (unit.id, pack): len(fitted)
        for unit in _library(DOCS).units.values()
        for pack, fitted in fitted_in_order(unit, DOCS / "units" / unit.id).items()
    }
    assert {pack: named[pack] for pack, least in NAMED.items() if named[pack] < least} == {}


def _turned(docs: Path) -> list[tuple[str, str, str]]:
    """The parts that a step and the data put in a different way round, with the side of the step."""
    return [
        (unit.id, part, side)
        for unit in _library(docs).units.values()
        for pack, part, side in sides_in_steps(unit, docs / "units" / unit.id)
        if side not in {str(entry.side) for entry in unit.packs[pack].physical_stack if entry.part.id == part}
    ]


def test_steps_and_data_agree_which_way_round_a_part_goes_in() -> None:
    """Wherever a step says a side; and enough of them do, or the steps are no longer understood here."""
    assert _turned(DOCS) == []
    said = {unit.id: len(sides_in_steps(unit, DOCS / "units" / unit.id)) for unit in _library(DOCS).units.values()}
    assert {unit: count for unit, count in said.items() if count < {"alder-4": 21, "rowan-6": 5, "hazel-2": 3}[unit]} == {}


def test_a_part_turned_over_in_a_step_is_found(tmp_path: Path) -> None:
    """Planted in the page of a copy."""
    docs = tmp_path / "docs"
    shutil.copytree(DOCS / "units", docs / "units")
    shutil.copy(DOCS / "shop.yml", docs / "shop.yml")
    page = docs / "units/alder-4/front-drum-assemble.md"
    text = page.read_text(encoding="utf-8")
    assert text.count("on the support ring, chamfer up") == 1
    page.write_text(text.replace("on the support ring, chamfer up", "on the support ring, chamfer down"), encoding="utf-8")
    assert _turned(docs) == [("alder-4", "reaction-plate-500", "chamfer down")]


def _swapped_steps(docs: Path) -> None:
    """The page has the retainer before the spring."""
    page = docs / "units/alder-4/front-drum-assemble.md"
    text = page.read_text(encoding="utf-8")
    first, second = (
        "1. Set the spring cage on the piston, closed side up, each coil in its pocket.\n",
        "2. Lay the retainer on the spring, lip up.\n",
    )
    assert first + second in text
    page.write_text(text.replace(first + second, f"1.{second[2:]}2.{first[2:]}"), encoding="utf-8")


def _no_freedom(docs: Path) -> None:
    """The data no longer says that the seals may be on their piston before the spring is in."""
    data = docs / "units/alder-4/unit.yml"
    text = data.read_text(encoding="utf-8")
    line = "        any_time_before: direct-piston-housing\n"
    assert text.count(line) == 2
    data.write_text(text.replace(line, ""), encoding="utf-8")


def _swapped_parts(docs: Path) -> None:
    """The list has the support ring of the Rowan on top of the centre plate."""
    data = docs / "units/rowan-6/unit.yml"
    lines = data.read_text(encoding="utf-8").splitlines(keepends=True)
    at = next(number for number, line in enumerate(lines) if "{part: centre-support-ring" in line)
    lines[at], lines[at + 1] = lines[at + 1], lines[at]
    data.write_text("".join(lines), encoding="utf-8")


@pytest.mark.parametrize(
    ("plant", "found"),
    [
        (_swapped_steps, {("alder-4", "forward")}),
        (_no_freedom, {("alder-4", "direct")}),
        (_swapped_parts, {("rowan-6", "low")}),
    ],
)
def test_a_contradiction_is_found_from_either_side(
    plant: Callable[[Path], None], found: set[tuple[str, str]], tmp_path: Path
) -> None:
    """Planted in the page or in the data of a copy, it is found in its pack and in no other."""
    docs = tmp_path / "docs"
    shutil.copytree(DOCS / "units", docs / "units")
    shutil.copy(DOCS / "shop.yml", docs / "shop.yml")
    plant(docs)
    assert {(unit, pack) for unit, pack, _ in _contradicted(docs)} == found


def test_a_seal_is_led_in_by_the_tool_of_the_written_steps() -> None:
    """Of every seal that the data names a tool for, a step of the same section names it; where a step names one, the data does."""
    library = _library(DOCS)
    for unit in library.units.values():
        of_steps, of_data = set(), set()
        for pack in unit.packs.values():
            of_data |= {(pack.id, entry.tool) for entry in pack.physical_stack if "seal" in entry.part.kind and entry.tool}
        for section in sections_of(DOCS / "units" / unit.id):
            pack_id = next(
                (name for name in section.packs if name in section.heading.casefold()),
                section.packs[0] if section.packs else None,
            )
            of_steps |= {(pack_id, tool) for step in section.steps for word, tool in LEADS.items() if word in step}
        assert of_data == of_steps


def test_every_tool_of_a_part_is_in_a_list_of_tools_of_its_unit() -> None:
    """A tool that the data names is one that a page of the unit tells the reader to lay out."""
    library = _library(DOCS)
    for unit in library.units.values():
        listed = " ".join(section.text for section in sections_of(DOCS / "units" / unit.id))
        named = {entry.tool for pack in unit.packs.values() for entry in pack.physical_stack if entry.tool}
        assert {tool for tool in named if tool not in listed} == set()
