"""A page as its author wrote it: front matter, text, and our blocks with their places."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import PurePosixPath
from typing import Annotated, Final

from pydantic import Field

from build_hooks.blocks import BLOCKS
from build_hooks.checks import status_faults
from build_hooks.markdown.fences import Fence, cut_fences, misspelt_fences, open_fences
from build_hooks.markdown.signal_words import signal_faults
from build_hooks.model import Keys, Status, read_model
from build_hooks.model.fields import Reference, Text
from build_hooks.page.asked import asked_faults, asked_marks
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Mark, Problem
from build_hooks.reading.sources import mapping_of

__all__ = ["OPEN_BLOCK", "PageFacts", "PageSource", "read_page", "unit_of"]

OPEN_BLOCK: Final = "open-block"
"""The code of a fence without an end: what stands behind it is read wrongly."""

_FRONT_MATTER: Final = re.compile(r"\A---[ \t]*\n(?P<body>.*?)^(?:---|\.\.\.)[ \t]*(?:\n|\Z)", re.DOTALL | re.MULTILINE)


class PageFacts(Keys):
    """What a page's front matter may say of it."""

    title: Text | None = Field(
        None, description="The page's title, where its heading is not to serve.", examples=["Set the clearance"]
    )
    description: Text | None = Field(None, description="A sentence for the search and for shared links.", examples=["..."])
    unit: Reference | None = Field(
        None, description="The unit the page is about, when it stands elsewhere.", examples=["alder-4"]
    )
    status: Status | None = Field(None, description="Draft or approved, by whom, and when it must be looked at again.")
    asked_as: tuple[Text, ...] = Field(
        (),
        description="What people say when they look for this page, and what it does not say itself.",
        examples=["[stopped halfway, somebody else carries on]"],
    )
    search: Annotated[dict[str, object] | None, Field(description="Read by the search.")] = None
    hide: tuple[Text, ...] = Field((), description="Read by the theme: navigation, toc.", examples=["[toc]"])


@dataclass(frozen=True, slots=True)
class PageSource:
    """One page.

    Attributes:
        path: as it is named in problems.
        facts: its front matter; empty facts when there is none or it is wrong.
        text: the Markdown with a marker for each block, as many lines as the page has.
        fences: our blocks, in the order of the markers.
        bodies: the tree of each block's body; None where it could not be read.
        facts_at_fault: whether the front matter is wrong, so that nobody knows what it meant to say.
        asked: what people ask the page for, without case, and where it stands.
    """

    path: str
    facts: PageFacts
    text: str
    fences: tuple[Fence, ...]
    bodies: tuple[Node | None, ...]
    facts_at_fault: bool = False
    asked: Mapping[str, Mark] = field(default_factory=dict)


def unit_of(facts: PageFacts, source_path: str) -> str | None:
    """The unit a page belongs to: named in its front matter, else the folder under ``units``.

    Args:
        facts: its front matter.
        source_path: the page's path below the docs folder, with forward slashes.
    """
    if facts.unit is not None:
        return facts.unit
    folders = PurePosixPath(source_path).parts
    return folders[1] if len(folders) > 2 and folders[0] == "units" else None  # noqa: PLR2004 - units/NAME/page.md


def read_page(text: str, path: str) -> tuple[PageSource, tuple[Problem, ...]]:
    """Takes a page apart.

    Args:
        text: the whole file.
        path: as it is named in problems.

    Returns:
        The page, and what is wrong with its front matter, its signal words, the name or the YAML of a block.
    """
    text = text.replace("\r\n", "\n")
    facts, asked, found = _facts(text, path)
    problems = list(found)
    without = _blanked(text)
    marked, fences = cut_fences(without, BLOCKS)
    problems.extend(
        Problem.of(path, fault)
        for fault in (*misspelt_fences(without, BLOCKS), *open_fences(without, BLOCKS), *signal_faults(marked))
    )
    bodies: list[Node | None] = []
    for fence in fences:
        if not fence.closed:
            remedy = "Put the closing marks on a line of their own behind it."
            problems.append(
                Problem(path, fence.line, fence.indent + 1, OPEN_BLOCK, f"The {fence.name} block has no end.", remedy)
            )
            bodies.append(None)
            continue
        body, faults = mapping_of(fence.body, path, Mark(fence.line + 1, fence.indent + 1))
        problems.extend(faults)
        bodies.append(body)
    return PageSource(path, facts, marked, fences, tuple(bodies), bool(found), asked), tuple(problems)


def _facts(text: str, path: str) -> tuple[PageFacts, dict[str, Mark], tuple[Problem, ...]]:
    match = _FRONT_MATTER.match(text)
    if match is None:
        return PageFacts.model_validate({}), {}, ()
    root, problems = mapping_of(match["body"], path, Mark(2, 1))
    if root is None:
        return PageFacts.model_validate({}), {}, problems
    facts, faults = read_model(PageFacts, root)
    found = (*faults, *status_faults(root.get("status")), *asked_faults(root))
    return facts or PageFacts.model_validate({}), asked_marks(root), (*problems, *(Problem.of(path, fault) for fault in found))


def _blanked(text: str) -> str:
    """The page with its front matter as empty lines, so that lines keep their numbers."""
    match = _FRONT_MATTER.match(text)
    return text if match is None else "\n" * match[0].count("\n") + text[match.end() :]
