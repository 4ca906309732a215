"""Puts the rules to the shop, each unit and each page."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date
from itertools import islice
from pathlib import Path
from typing import Final

from build_hooks.library import Library
from build_hooks.page.source import PageSource
from build_hooks.process.time_limit import LONGEST, LimitError, at_most, too_slow
from build_hooks.reading.problems import MOST_FAULTS, Fault, Mark, Problem
from build_hooks.reading.sources import read_mapping, read_text
from build_hooks.trade.cavities import cavity_warnings
from build_hooks.trade.counts import count_warnings, count_warnings_of_data
from build_hooks.trade.figures import figure_warnings
from build_hooks.trade.hazards import hazard_warnings
from build_hooks.trade.kits import kit_warnings, limit_warnings
from build_hooks.trade.lengths import length_warnings
from build_hooks.trade.look_alikes import look_alike_warnings
from build_hooks.trade.rings import ring_warnings
from build_hooks.trade.sides import side_warnings
from build_hooks.trade.sound_unit import SoundUnit, sound_units
from build_hooks.trade.stacks import stack_warnings
from build_hooks.trade.tidy import shop_names, tidy_warnings
from build_hooks.trade.trade_page import TradePage, listed_parts, trade_page

__all__ = ["trade_warnings"]

_OF_UNITS: Final[tuple[Callable[[SoundUnit], Iterator[Fault]], ...]] = (
    length_warnings,
    stack_warnings,
    cavity_warnings,
    count_warnings_of_data,
    look_alike_warnings,
    ring_warnings,
    kit_warnings,
    limit_warnings,
)
_OF_PAGES: Final[tuple[Callable[[TradePage], Iterator[Fault]], ...]] = (
    hazard_warnings,
    count_warnings,
    figure_warnings,
    side_warnings,
)
_DUE: Final = re.compile(r"\breview_due:[ \t]*(?=\d)")


def trade_warnings(library: Library, pages: Sequence[tuple[PageSource, str | None]], today: date) -> tuple[Problem, ...]:
    """What somebody who knows the trade would ask about.

    Args:
        library: shop and units, found sound.
        pages: those that authors wrote, each with the id of its unit.
        today: the day of the check.

    Returns:
        Warnings by file and place. None of them stops a build. Of a page or a unit that takes longer than it may, that alone.
    """
    read = [trade_page(source, unit_id, library) for source, unit_id in pages]
    found = [
        *_of_shop(library),
        *(warning for unit in sound_units(library) for warning in _of_unit(unit, read, today)),
        *(warning for page in read for warning in _in_time(page.source.path, _of_page(page, today))),
    ]
    return tuple(sorted(found, key=lambda warning: warning.place))


def _of_shop(library: Library) -> Iterator[Problem]:
    path = library.docs / "shop.yml"
    root, _ = read_mapping(path)
    if root is not None:
        yield from _in_time(path.as_posix(), shop_names(root))


def _of_unit(unit: SoundUnit, pages: Iterable[TradePage], today: date) -> tuple[Problem, ...]:
    listed = frozenset(part for page in pages if page.unit is unit.unit for part in listed_parts(page))
    return _in_time(unit.path, _unit_faults(unit, listed, today))


def _unit_faults(unit: SoundUnit, listed: frozenset[str], today: date) -> Iterator[Fault]:
    for check in _OF_UNITS:
        yield from check(unit)
    yield from tidy_warnings(unit, listed, today)


def _in_time(path: str, faults: Iterable[Fault]) -> tuple[Problem, ...]:
    try:
        with at_most(LONGEST):
            return tuple(Problem.of(path, fault) for fault in islice(faults, MOST_FAULTS))
    except LimitError:
        return (too_slow(path),)


def _of_page(page: TradePage, today: date) -> Iterator[Fault]:
    for check in _OF_PAGES:
        yield from check(page)
    status = page.source.facts.status
    if status is not None and status.review_due is not None and status.review_due < today:
        mark = _place_of_due(Path(page.source.path))
        yield Fault(
            mark, "review-past-due", f"The review was due on {status.review_due}.", "Look at it again, and set the next day."
        )


def _place_of_due(path: Path) -> Mark:
    """Where the day stands in the head of a page."""
    text, _ = read_text(path)
    found = _DUE.search(text or "")
    if text is None or found is None:
        return Mark(1, 1)
    before = text[: found.end()].replace("\r\n", "\n").split("\n")
    return Mark(len(before), len(before[-1]) + 1)
