"""A step with air, a press, hot fluid or a lift, on a page that has warned of nothing before it.

Source: ANSI Z535.6 and IEC/IEEE 82079-1, instructions for use: a signal word stands before the step that it warns of. That these four
are what hurts people at the bench is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from build_hooks.model import Pack
from build_hooks.plain_writing.scanner import Block, Kind
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault
from build_hooks.trade.trade_page import TradePage

__all__ = ["hazard_warnings"]

# For people; a notice is for parts.
_SIGNALS: Final = frozenset({"danger", "warning", "caution"})
_PRESSES: Final = r"(?:the|a|an)\s+(?:loaded\s+)?(?:screw|spring|lever|arbor|bench|hydraulic|shop)?[\s-]*press"
_HAZARDS: Final = {
    "compressed air": re.compile(
        r"\b(?:compressed\s+air|shop\s+air|air\s+(?:gun|nozzle|line)|(?:with|by|using)\s+air\b(?!\s+(?:off|out))|nozzle\b"
        r"|feed\s+(?:the|each|every|one)\s+(?:[\w-]+\s+){0,2}?circuit|blow\s+(?:\w+\s+){0,4}?(?:through|out|off|dry|clean))",
        re.IGNORECASE,
    ),
    "a press": re.compile(
        rf"\b(?:(?:with|in|under|load|set|bring|close|lower|let|take|pump|work|release|square)\s+(?:\w+\s+)?{_PRESSES}(?!\w|\s+(?:plate|fit))"
        rf"|press\s+(?:foot|bridge|ram)\b)",
        re.IGNORECASE,
    ),
    "hot fluid": re.compile(
        r"\b(?:hot|boiling|scalding)\s+(?:\w+\s+)?(?:fluid|oil|water|bath|cleaner)\b|\bwhile\s+(?:it|the\s+(?:fluid|oil))\s+is\s+(?:still\s+)?hot\b",
        re.IGNORECASE,
    ),
    "a lift": re.compile(
        r"\b(?:hoist|crane|jack|(?:vehicle|two-post|four-post)\s+lift|on\s+(?:the|a)\s+lift|(?:raise|lower)\s+the\s+(?:vehicle|car|van|bus|truck))\b",
        re.IGNORECASE,
    ),
}


def hazard_warnings(page: TradePage) -> Iterator[Fault]:
    """The first step of each hazard that no signal word of the page stands before."""
    told: set[str] = set()
    for block in page.blocks:
        if _warns(block, page):
            return
        if block.kind is not Kind.STEP:
            continue
        for hazard, pattern in _HAZARDS.items():
            found = pattern.search(block.passage.plain)
            if found is not None and hazard not in told:
                told.add(hazard)
                message = f"This step works with {hazard}, and no signal word stands before it on this page."
                remedy = "Put a warning or caution before the list: what can happen, and how to keep clear."
                yield Fault(block.passage.mark(found.start()), "hazard-unwarned", message, remedy)


def _warns(block: Block, page: TradePage) -> bool:
    """Whether a block is a signal word, or a stack list that shows one of its data."""
    if block.kind is Kind.BOX:
        return block.name in _SIGNALS
    if block.kind is not Kind.BLOCK:
        return False
    name, body = page.block_of(block)
    return name == "stack" and body is not None and _has_caution(body, page)


def _has_caution(body: Node, page: TradePage) -> bool:
    packs = () if page.unit is None else page.unit.packs.values()
    shown = (pack for pack in packs if pack.id == body.text_of("pack") or (pack.drum and pack.drum.id == body.text_of("drum")))
    return any(map(_is_cautioned, shown))


def _is_cautioned(pack: Pack) -> bool:
    cautions = [entry.caution for entry in pack.physical_stack] + [pack.measure.caution if pack.measure else None]
    return any(caution is not None and caution.signal in _SIGNALS for caution in cautions)
