"""The lines of a page that are shown as text, not as code."""

from __future__ import annotations

import re
from typing import Final

__all__ = ["lines_outside_code"]

_FENCE: Final = re.compile(r"`{3,}|~{3,}")


def lines_outside_code(lines: list[str]) -> dict[int, str]:
    """The lines of a page without its listings and comments.

    Args:
        lines: all lines of the page.

    Returns:
        Those that are shown as text, by their number from 0.
    """
    kept: dict[int, str] = {}
    fence = ""
    comment = False
    for number, line in enumerate(lines):
        body = line.strip()
        opened = _FENCE.match(body)
        if fence:
            fence = "" if len(body) >= len(fence) and set(body) == {fence[0]} else fence
        elif opened is not None:
            fence = opened[0]
        elif comment or body.startswith("<!--"):
            comment = "-->" not in body
        else:
            kept[number] = line
    return kept
