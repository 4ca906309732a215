"""Which pages set or check a pack: found in their Markdown, before any page is made."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from pathlib import PurePosixPath
from typing import Final

from build_hooks.library import Library
from build_hooks.markdown.fences import cut_fences
from build_hooks.model import Unit
from build_hooks.reading.addresses import address_of

__all__ = ["Procedures", "procedures_in"]

type Procedures = Mapping[tuple[str, str], tuple[tuple[str, str], ...]]
"""By the ids of unit and pack, the title and address of each page or passage, from the top of the site."""

_FOLDER: Final = "units"
_FORMS: Final = ("calc",)
_NAMED: Final = re.compile(r"^(pack|drum):\s*(\S+)\s*$", re.MULTILINE)
_HEADING: Final = re.compile(r"^# (.+)$", re.MULTILINE)
_AIR_CHECK: Final = re.compile(r"^#{2,} Air check\s*$", re.MULTILINE)


def procedures_in(texts: Mapping[str, str], library: Library) -> Procedures:
    """The procedures of every pack: pages of its unit with a form for the pack or its drum, and their air check.

    Args:
        texts: the Markdown of the authors' pages by their path below the docs folder.
        library: the units.
    """
    found: dict[tuple[str, str], tuple[tuple[str, str], ...]] = {}
    for path, text in texts.items():
        parts = PurePosixPath(path).parts
        unit = library.units.get(parts[1]) if len(parts) > 2 and parts[0] == _FOLDER else None  # noqa: PLR2004 - units/UNIT/PAGE
        if unit is None:
            continue
        for pack in dict.fromkeys(_packs_of(unit, text)):
            found[unit.id, pack] = (*found.get((unit.id, pack), ()), *_ways(path, text))
    return found


def _packs_of(unit: Unit, text: str) -> Iterator[str]:
    for fence in cut_fences(text, _FORMS)[1]:
        for kind, name in _NAMED.findall(fence.body):
            yield from (
                pack.id for pack in unit.packs.values() if name == (pack.id if kind == "pack" else pack.drum and pack.drum.id)
            )


def _ways(path: str, text: str) -> Iterator[tuple[str, str]]:
    title = _HEADING.search(text)
    address = address_of(path).removesuffix("index.html")
    yield (title[1].strip() if title else path, address)
    if _AIR_CHECK.search(text):
        yield ("Air check", f"{address}#air-check")
