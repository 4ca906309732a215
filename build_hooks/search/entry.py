"""What can be found: one entry for each section, stack, spec, part, calculation and word of the trade."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Entry", "IndexedPage", "Kind"]


class Kind(StrEnum):
    """What an entry is; the browser says it in words."""

    PROCEDURE = "procedure"
    STANDARD = "standard"
    GUIDE = "guide"
    UNIT = "unit"
    STACK = "stack"
    SPEC = "spec"
    PART = "part"
    CALCULATION = "calculation"
    WORD = "word"


@dataclass(frozen=True, slots=True)
class IndexedPage:
    """A finished page of the manual.

    Attributes:
        source_path: its path below the docs folder, with forward slashes.
        title: what it is called.
        html: its content, blocks and all.
        unit_id: the unit it belongs to, if any.
        made: whether it was made from the engine's catalogue.
        description: a sentence of the author's about it.
        asked_as: what people say when they look for it.
    """

    source_path: str
    title: str
    html: str
    unit_id: str | None = None
    made: bool = False
    description: str = ""
    asked_as: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that can be found.

    Attributes:
        kind: what it is.
        title: what it is called.
        page: where it belongs: the title of its page, or the name of its unit.
        url: where it stands, from the root of the site; a folder ends with a slash.
        said: what every result shows of it, such as limits with their source, or a meaning.
        text: what is searched; a result shows the piece of it that was found.
        words: what is searched and never shown.
        asked: what people say when they look for it; searched and never shown.
    """

    kind: Kind
    title: str
    page: str
    url: str
    said: str = ""
    text: str = ""
    words: str = ""
    asked: str = ""
