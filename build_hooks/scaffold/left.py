"""Finds what of a starter was left as it was, so that a page that is half filled in is not taken for a standard."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from build_hooks.markdown.lines import lines_outside_code
from build_hooks.own import is_own
from build_hooks.reading.docs_tree import files_of
from build_hooks.reading.problems import Problem, quoted
from build_hooks.reading.sources import read_text
from build_hooks.scaffold.starters import PLACEHOLDERS

__all__ = ["starter_warnings"]

_WRITTEN: Final = frozenset({".md", ".yml"})
# The longer first: one may be the beginning of another. Not in the middle of a sentence of somebody's own.
_LEFT: Final = re.compile(rf"(?<!\w)(?:{'|'.join(sorted(map(re.escape, PLACEHOLDERS), key=len, reverse=True))})(?!\w)")


def starter_warnings(docs: Path) -> tuple[Problem, ...]:
    """A warning for each sentence of a starter in the files that were written by hand.

    Args:
        docs: the docs folder.
    """
    written = (path for path in files_of(docs)[0] if path.suffix in _WRITTEN or is_own(path.relative_to(docs).as_posix()))
    return tuple(warning for path in written for warning in _warnings(path))


def _warnings(path: Path) -> Iterator[Problem]:
    text = read_text(path)[0] or ""
    # A page may show a starter, as a sample of code.
    lines = lines_outside_code(text) if path.suffix == ".md" else dict(enumerate(text.split("\n"), start=1))
    for number, line in lines.items():
        for found in _LEFT.finditer(line):
            message = f"{quoted(found[0])} is the starter's text."
            remedy = "Write what holds in your shop in its place, or take it out."
            yield Problem(path.as_posix(), number, found.start() + 1, "starter-text", message, remedy)
