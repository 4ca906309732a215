"""A photo block that is being written: as text, and from the text of one that is there already."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Annotated, Final

from pydantic import BaseModel, ConfigDict, Field

from build_hooks.blocks import Trouble
from build_hooks.blocks.photo import PhotoBody, refuse_many
from build_hooks.markdown.fences import cut_fences
from build_hooks.model import read_model
from build_hooks.reading.problems import START, Mark, Problem
from build_hooks.reading.sources import mapping_of
from build_hooks.scaffold.writing import quoted_value

__all__ = ["Draft", "Point", "Read", "block_text", "draft_of", "missing"]

_NAME: Final = "photo"
_BESIDE: Final = ("unit", "pack", "part")
_MARKS: Final = re.compile(r"^\s*(?:```|~~~)", re.MULTILINE)
_PLAIN: Final = re.compile(r"[A-Za-z.][\w./-]*")
_NOT_TEXT: Final = frozenset({"true", "false", "null"})

type Percent = Annotated[float, Field(ge=0, le=100, allow_inf_nan=False)]


class Point(BaseModel):
    """A call-out whose words may still be missing.

    Attributes:
        at: in percent from the left and from the upper edge.
        words: what is there.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)
    at: tuple[Percent, Percent]
    words: str


class Draft(BaseModel):
    """A block of which anything may still be missing.

    Attributes:
        shows: what is to be seen.
        points: the call-outs in their order.
        beside: unit, pack and part that the block names.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)
    shows: str
    points: tuple[Point, ...]
    beside: dict[str, str]


@dataclass(frozen=True, slots=True)
class Read:
    """What a text was read as.

    Attributes:
        draft: the block; None if it could not be read.
        file: the picture that it names.
        problems: why it could not be read, in sentences with their places.
    """

    draft: Draft | None = None
    file: str = ""
    problems: tuple[str, ...] = field(default=())


def block_text(file: str, draft: Draft) -> str:
    """The block as it goes into a page.

    Args:
        file: the picture, from the page's own folder.
        draft: what else it says.
    """
    return f"```{_NAME}\n{_body(file, draft)}```\n"


def _body(file: str, draft: Draft) -> str:
    points = [f"  - {{at: [{_figure(p.at[0])}, {_figure(p.at[1])}], text: {_quoted(p.words)}}}" for p in draft.points]
    lines = [
        f"file: {_plain(file)}",
        f"shows: {_quoted(draft.shows)}",
        *(["callouts:", *points] if points else []),
        *(f"{key}: {_plain(draft.beside[key])}" for key in _BESIDE if key in draft.beside),
    ]
    return "".join(f"{line}\n" for line in lines)


def _figure(percent: float) -> str:
    return f"{percent:.6f}".rstrip("0").rstrip(".")


def _quoted(words: str) -> str:
    # On one line, whatever was pasted into it.
    return quoted_value(" ".join(words.split()))


def _plain(text: str) -> str:
    return text if _PLAIN.fullmatch(text) and text not in _NOT_TEXT else quoted_value(text)


def missing(file: str, draft: Draft) -> tuple[str, ...]:
    """What the build would say about the block as it is now, each with the part of the page that mends it.

    Args:
        file: the picture, from the page's own folder.
        draft: what else it says.
    """
    _, problems = _read(_body(file, draft), START)
    return tuple(f"{_part(problem.line, draft)}: {_said(problem)}" for problem in problems)


def _said(problem: Problem) -> str:
    # The remedy of the build would be to take the key out.
    return "Say what is to be seen." if problem.code == "empty" else f"{problem.message} {problem.remedy}"


def _part(line: int, draft: Draft) -> str:
    """What stands in a line of `_body`."""
    number = line - 3
    if line == 2:  # noqa: PLR2004 - below the file
        return "Description"
    return f"Call-out {number}" if 0 < number <= len(draft.points) else "Block"


def draft_of(text: str) -> Read:
    """The block in a text that an author pasted: with its marks, a page with one block, or what stands between the marks.

    Args:
        text: what was pasted.
    """
    text = text.replace("\r\n", "\n")
    _, fences = cut_fences(text, {_NAME})
    if len(fences) > 1:
        return Read(problems=(f"There are {len(fences)} photo blocks in this. Paste one of them.",))
    if not fences and _MARKS.search(text):
        return Read(problems=("There is no photo block in this. Paste one that begins with ```photo.",))
    body, at = (fences[0].body, Mark(fences[0].line + 1, fences[0].indent + 1)) if fences else (text, START)
    typed, problems = _read(body, at)
    if typed is None:
        return Read(problems=tuple(f"Line {one.line}, column {one.column}: {one.message} {one.remedy}" for one in problems))
    beside = {key: str(value) for key in _BESIDE if (value := getattr(typed, key)) is not None}
    points = tuple(Point(at=callout.at, words=callout.text) for callout in typed.callouts)
    return Read(Draft(shows=typed.shows, points=points, beside=beside), typed.file)


def _read(body: str, at: Mark) -> tuple[PhotoBody | None, tuple[Problem, ...]]:
    """The body as a build reads it, or what it would say about it."""
    root, problems = mapping_of(body, _NAME, at)
    if root is None or problems:
        return None, problems
    typed, faults = read_model(PhotoBody, root)
    if typed is None:
        return None, tuple(Problem.of(_NAME, fault) for fault in faults)
    try:
        refuse_many(typed)
    except Trouble as trouble:
        mark = root.children["callouts"].items[int(trouble.path[1])].mark
        return None, (Problem(_NAME, mark.line, mark.column, trouble.code, trouble.message, trouble.remedy),)
    return typed, ()
