"""Loads the shop and every unit of a docs folder, and says everything that is wrong with them."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from build_hooks.checks import check_shop, check_unit, gauge_kinds, shop_warnings, tool_ids, units_of
from build_hooks.model import Shop, Unit, WrittenUnit, read_model, resolved_unit
from build_hooks.model.keys import Keys
from build_hooks.own import Own
from build_hooks.reading.docs_tree import files_of, leads_out
from build_hooks.reading.ids import is_id
from build_hooks.reading.memory import Memory
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, Problem, Problems, quoted
from build_hooks.reading.sources import mapping_of, read_mapping, read_text
from build_hooks.standards import Standards, load_standards
from calc_engine import System

__all__ = [
    "STANDARDS",
    "Library",
    "ShopRead",
    "UnitsRead",
    "load",
    "pages_of",
    "shop_from",
    "unit_from",
    "warnings_of_shop",
]


STANDARDS: Final = "standards"
"""What exercises on the standards name in the place of a unit."""


@dataclass(frozen=True, slots=True)
class Library:
    """What the data files of a docs folder say.

    Attributes:
        docs: the folder.
        shop: the shop; a bare stand-in if `shop_at_fault`.
        units: the sound units by their ids.
        units_at_fault: ids of the units that are there but have problems, so that a page that names one is not blamed.
        shop_at_fault: whether shop.yml has problems.
        standards: the findings and decision trees of the standards.
        own: the calculations of the manual's own; `load` runs none, see `build_hooks.own.read_own`.
    """

    docs: Path
    shop: Shop
    units: Mapping[str, Unit]
    units_at_fault: frozenset[str] = frozenset()
    shop_at_fault: bool = False
    standards: Standards = field(default_factory=Standards)
    own: Own = field(default_factory=Own)

    @property
    def at_fault(self) -> bool:
        """Whether any data file has problems, so that what is missing may be missing for that reason."""
        return self.shop_at_fault or bool(self.units_at_fault) or self.standards.at_fault


class UnitsRead(Mapping[str, Unit]):
    """The units of a library, with a note of which of them were asked for: what is made of them depends on no others."""

    def __init__(self, units: Mapping[str, Unit]) -> None:
        """Takes the units; none has been asked for."""
        self._units = units
        self._asked: dict[str, Unit | None] = {}
        self._all = False

    def __getitem__(self, unit_id: str) -> Unit:
        """One unit, noted also where it is not there."""
        self._asked[unit_id] = self._units.get(unit_id)
        return self._units[unit_id]

    def __iter__(self) -> Iterator[str]:
        """All of them, in their order."""
        self._all = True
        return iter(self._units)

    def __len__(self) -> int:
        """How many there are, which depends on all."""
        self._all = True
        return len(self._units)

    def are_in(self, units: Mapping[str, Unit]) -> bool:
        """Whether whatever was asked for would be found again, the very same, among these units."""
        if self._all and tuple(self._units) != tuple(units):
            return False
        asked = self._units if self._all else self._asked
        return all(units.get(unit_id) is unit for unit_id, unit in asked.items())


def pages_of(docs: Path) -> tuple[Path, ...]:
    """The Markdown pages of a docs folder, in order of their paths."""
    return tuple(path for path in files_of(docs)[0] if path.suffix == ".md")


def load(docs: Path, memory: Memory | None = None) -> tuple[Library | None, tuple[Problem, ...]]:
    """Everything that the data files of a docs folder say.

    Args:
        docs: the folder with shop.yml and units/.
        memory: what was read before. A file that says the same gives the very same shop or unit again.

    Returns:
        The library as far as it is sound, or None if there is no such folder; and every problem, by place.
    """
    if not docs.is_dir():
        path = docs.as_posix()
        return None, (
            Problem(path, 1, 1, "no-docs", "There is no such folder.", "Name the folder that holds shop.yml, with --docs."),
        )
    problems, memory = Problems(), memory or Memory()
    files, unreadable = files_of(docs)
    problems.extend(unreadable)
    problems.extend(_misplaced(docs, files))
    shop = _load_shop(docs / "shop.yml", problems, memory)
    units: dict[str, Unit] = {}
    at_fault: set[str] = set()
    for folder in _unit_folders(docs, problems, at_fault):
        unit = _load_unit(folder, shop, problems, memory)
        if unit is None:
            at_fault.add(folder.name)
        else:
            units[unit.id] = unit
    stand_in = memory.made("stand-in", "shop", shop.units, lambda: Shop(name="?", units=shop.units))
    gauges = None if shop.sound is None else shop.sound.gauges
    standards, found = load_standards(docs, files, gauges, shop.units, memory)
    problems.extend(found)
    library = Library(docs, shop.sound or stand_in, units, frozenset(at_fault), shop.sound is None, standards)
    return library, problems.in_order()


def warnings_of_shop(library: Library) -> tuple[Problem, ...]:
    """What in shop.yml works, but should not stay so."""
    path = library.docs / "shop.yml"
    root, _ = read_mapping(path)
    return () if root is None else tuple(Problem.of(path.as_posix(), fault) for fault in shop_warnings(root, library.shop))


def _misplaced(docs: Path, files: tuple[Path, ...]) -> Iterator[Problem]:
    """Data files that nothing would read where they are, or as they are called."""
    for path in files:
        here = path.relative_to(docs).parts
        if path.name in {"unit.yaml", "shop.yaml"}:
            yield _of_file(path, "misnamed", f"This file is called {path.name}.", f"Rename it to {path.stem}.yml.")
        elif path.name == "unit.yml" and not (len(here) == 3 and here[0] == "units"):  # noqa: PLR2004 - units/<unit>/unit.yml
            yield _of_file(path, "misplaced", "A unit's data is not read from here.", "Move it to units/<unit>/unit.yml.")
        elif path.name == "shop.yml" and len(here) > 1:
            yield _of_file(path, "misplaced", "The shop's data is not read from here.", "Move it to the top of the docs folder.")


def _of_file(path: Path, code: str, message: str, remedy: str) -> Problem:
    return Problem(path.as_posix(), 1, 1, code, message, remedy)


def _by_number(folder: Path) -> tuple[str | int, ...]:
    """What folders are sorted by: the figures in a name count as a number, so that oak-2 comes before oak-10."""
    return tuple(int(piece) if at % 2 else piece for at, piece in enumerate(re.split(r"([0-9]+)", folder.name)))


def _unit_folders(docs: Path, problems: Problems, nothing_read: set[str]) -> Iterator[Path]:
    """The folders of the units that have data, with a problem for each that is none; the names of the others are added."""
    units = docs / "units"
    if not units.is_dir() or leads_out(units, docs):
        return
    try:
        found = (path for path in units.iterdir() if path.is_dir() and not path.name.startswith("."))
        folders = sorted(found, key=_by_number)
    except OSError:
        # Walking the docs folder has reported it.
        return
    for folder in folders:
        if not is_id(folder.name):
            problems.add(_of_file(folder, "bad-id", f"{quoted(folder.name)} cannot be the name of a unit's folder.",
                                  "Use small letters, figures and hyphens, for example alder-4."))  # fmt: skip
        if folder.name == STANDARDS:
            remedy = "Rename the folder: exercises name the shop's standards so."
            problems.add(_of_file(folder, "reserved", f"A unit cannot be called {quoted(STANDARDS)}.", remedy))
        nothing_read.add(folder.name)
        if leads_out(folder / "unit.yml", docs):
            # Walking the docs folder has reported it.
            continue
        if os.path.lexists(folder / "unit.yml"):
            nothing_read.discard(folder.name)
            yield folder
            continue
        if not os.path.lexists(folder / "unit.yaml"):
            remedy = f"Write one: benchleaf new unit {folder.name}."
            problems.add(_of_file(folder, "no-unit", "This unit's folder has no unit.yml.", remedy))


@dataclass(frozen=True, slots=True)
class ShopRead:
    """What is known of the shop.

    Attributes:
        units: what it reads in, also where the rest is at fault.
        sound: all of it, if nothing in it is wrong.
        gauges: the kinds of its gauges by their ids, if it is sound.
        tools: the ids of its tools, if it is sound.
    """

    units: System = "metric"
    sound: Shop | None = None
    gauges: Mapping[str, str] | None = None
    tools: tuple[str, ...] | None = None


def _load_shop(path: Path, problems: Problems, memory: Memory) -> ShopRead:
    if not os.path.lexists(path):
        if not os.path.lexists(path.with_suffix(".yaml")):
            remedy = "Write one that begins with the shop's name, for example name: Fennick Lane Rebuilders."
            problems.add(_of_file(path, "no-shop", "There is no shop.yml.", remedy))
        return ShopRead()
    if leads_out(path, path.parent):
        return ShopRead()
    text, unreadable = read_text(path)
    problems.extend(unreadable)
    if text is None:
        return ShopRead()
    read, found = memory.made("shop", "", (text, path.as_posix()), lambda: shop_from(text, path.as_posix()))
    problems.extend(found)
    return read


def shop_from(text: str, path: str) -> tuple[ShopRead, tuple[Problem, ...]]:
    """What the text of shop.yml says, and everything that is wrong with it; `path` is how problems name it."""
    root, read = mapping_of(text, path)
    if root is None:
        return ShopRead(), read
    units = units_of(root)
    shop, faults = _checked(Shop, root, check_shop(root), units)
    found = (*read, *(Problem.of(path, fault) for fault in faults))
    if read or shop is None:
        # Whatever is missing may be what could not be read: no unit is blamed for naming it.
        return ShopRead(units), found
    return ShopRead(units, shop, gauge_kinds(root), tool_ids(root)), found


def _load_unit(folder: Path, shop: ShopRead, problems: Problems, memory: Memory) -> Unit | None:
    path = folder / "unit.yml"
    text, unreadable = read_text(path)
    problems.extend(unreadable)
    if text is None:
        return None
    gauges = None if shop.gauges is None else tuple(shop.gauges.items())
    made_of = (text, path.as_posix(), shop.units, gauges, shop.tools)
    unit, found = memory.made("unit", folder.name, made_of, lambda: unit_from(text, path, shop))
    problems.extend(found)
    return unit


def unit_from(text: str, path: Path, shop: ShopRead) -> tuple[Unit | None, tuple[Problem, ...]]:
    """The unit that the text of a unit.yml describes, None where anything is wrong with it; and what that is.

    Args:
        text: the whole file.
        path: where it lies; its folder is the unit's id.
        shop: what is known of the shop that it belongs to.
    """
    root, read = mapping_of(text, path.as_posix())
    if root is None:
        return None, read
    sense = check_unit(root, shop.gauges, shop.tools, shop.units)
    written, faults = _checked(WrittenUnit, root, sense, shop.units)
    found = (*read, *(Problem.of(path.as_posix(), fault) for fault in faults))
    return (None if read or written is None else resolved_unit(path.parent.name, written)), found


def _checked[M: Keys](model: type[M], root: Node, sense: tuple[Fault, ...], units: System) -> tuple[M | None, tuple[Fault, ...]]:
    """The model if both its shape and its sense are sound, and all faults."""
    found, shape = read_model(model, root, units)
    faults = (*shape, *sense)
    return (None if faults else found), faults
