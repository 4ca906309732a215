"""Learning paths that lead to what has changed, without saying that it is to be read again."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, Final

from build_hooks.changes.compare import differ
from build_hooks.changes.facts import Facts, PageFacts

__all__ = ["paths_to_read_again"]

_PATH_FILE: Final = re.compile(r"learning/(?P<id>[^/]+)\.yml")
_UNIT_FILE: Final = re.compile(r"units/(?P<id>[^/]+)/unit\.yml")
_TREE_FILE: Final = re.compile(r"trees/[^/]+\.yml")
_CALCULATION: Final = re.compile(r'"calculation": "([^"]+)"')
_OWN_FILE: Final = re.compile(r"calculations/[^/]+\.py")


def paths_to_read_again(old: Facts, new: Facts) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """The learning paths whose edition is the same although what they lead to has changed.

    Args:
        old: what a manual said.
        new: what it says.

    Returns:
        Each path's name with the titles of its pages that changed in more than their status, and with the names of the findings and
        trees that changed and are practised in it.
    """
    data = {name for name in new.data if name in old.data and differ(old.data[name], new.data[name])}
    pages = {path for path, page in new.pages.items() if path in old.pages and page.pieces != old.pages[path].pieces}
    # A unit that is new has changed for the pages that were there before it.
    units = tuple(f"units/{unit}/" for unit in _units(old, new, data))
    pages |= {path for path in new.pages if path.startswith(units)}
    pages |= set(_pages_of_trees(new, data)) | set(_pages_with_calculations(new, data))
    found = []
    for name, path in new.data.items():
        before = old.data.get(name)
        if not _PATH_FILE.fullmatch(name) or not isinstance(path, dict) or not isinstance(before, dict):
            continue
        again = tuple(dict.fromkeys(_changed_in(path, new, pages, data)))
        if again and path.get("edition") == before.get("edition"):
            found.append((str(path.get("name", name)), again))
    return tuple(found)


def _changed_in(path: Mapping[str, Any], new: Facts, pages: set[str], data: set[str]) -> Iterator[str]:
    steps = path.get("steps")
    for step in steps if isinstance(steps, list) else ():
        if not isinstance(step, dict):
            continue
        yield from (new.pages[page].title for key in ("page", "standard") if (page := str(step.get(key))) in pages)
        practice = step.get("practice")
        if isinstance(practice, dict) and practice.get("unit") == "standards":
            for file in (f"findings/{practice.get('pack')}.yml", f"trees/{practice.get('pack')}.yml"):
                if file in data:
                    yield str(new.data[file].get("name", file))


def _units(old: Facts, new: Facts, data: set[str]) -> Iterator[str]:
    for name in new.data:
        unit = _UNIT_FILE.fullmatch(name)
        if unit and (name in data or name not in old.data):
            yield unit["id"]


def _pages_of_trees(new: Facts, data: set[str]) -> Iterator[str]:
    """The pages that show a tree which has changed."""
    for name in data:
        if _TREE_FILE.fullmatch(name) and (page := str(new.data[name].get("page"))) in new.pages:
            yield page


def _pages_with_calculations(new: Facts, data: set[str]) -> Iterator[str]:
    """The pages with a form for a calculation of the manual's own which has changed."""
    names = {str(new.data[name].get("name")) for name in data if _OWN_FILE.fullmatch(name)}
    if not names:
        return
    for path, page in new.pages.items():
        if _calculations_in(page) & names:
            yield path


def _calculations_in(page: PageFacts) -> set[str]:
    return {found[1] for piece in page.pieces if piece.kind == "calc" for found in _CALCULATION.finditer(piece.text)}
