"""What a manual said at some time: its data, its calculations, and its pages piece by piece. Plain data, kept in each built site."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from datetime import date
from pathlib import Path, PurePosixPath
from typing import Any, Final

from build_hooks.changes.calculation_facts import calculation_facts
from build_hooks.library import pages_of
from build_hooks.own import is_own
from build_hooks.page.source import PageSource, read_page
from build_hooks.reading.addresses import OWN_FOLDER
from build_hooks.reading.docs_tree import files_of
from build_hooks.reading.sources import read_mapping, read_text

__all__ = [
    "CHANGES_TITLE",
    "FACTS_FILE",
    "Facts",
    "PageFacts",
    "Piece",
    "facts_of",
    "facts_of_pages",
    "read_facts",
    "written_facts",
]

FACTS_FILE: Final = f"{OWN_FOLDER}/said.json"

CHANGES_TITLE: Final = "# What changed"
"""The first line of a page that tells changes; it is itself no change."""

# Of shop.yml only what pages and data speak of; the PINs of seniors stay where they are.
_OF_THE_SHOP: Final = ("gauges", "tools", "consumables", "waits")
_MARKER: Final = re.compile(r'<div data-bench-block="(?P<number>\d+)"></div>')
_BOX: Final = re.compile(r"(?:!!!|\?\?\?\+?)[ \t]+(?P<name>[\w-]+)")
_RULE: Final = re.compile(r"\|[-:| ]+")
_STARTS: Final = (
    ("heading", re.compile(r"#{1,6}[ \t]+(?P<text>.*?)[ \t]*#*$")),
    ("step", re.compile(r"\d{1,9}\.[ \t]+(?P<text>.*)$")),
    ("point", re.compile(r"[*+-][ \t]+(?P<text>.*)$")),
    ("row", re.compile(r"(?P<text>\|.*)$")),
)


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of a page: a heading, a step, a point, a row of a table, a text, a block, or a box by its signal word."""

    kind: str
    text: str


@dataclass(frozen=True, slots=True)
class PageFacts:
    """What a page said.

    Attributes:
        title: what it was called.
        status: its status, as it was written; empty where the page said nothing of itself.
        pieces: its text from top to bottom.
    """

    title: str
    status: Mapping[str, Any]
    pieces: tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class Facts:
    """What a manual said.

    Attributes:
        data: of each data file and each calculation, by its path below the docs folder, what was written there.
        pages: the pages by their paths.
    """

    data: Mapping[str, Any]
    pages: Mapping[str, PageFacts]


def facts_of(docs: Path) -> Facts:
    """What the files of a docs folder say now. They need not be sound: what cannot be read is left out.

    Args:
        docs: the folder with shop.yml, units and pages.
    """
    found = ((path, read_text(path)[0]) for path in pages_of(docs))
    sources = {path.relative_to(docs).as_posix(): read_page(text, path.as_posix())[0] for path, text in found if text is not None}
    return facts_of_pages(docs, sources)


def facts_of_pages(docs: Path, sources: Mapping[str, PageSource]) -> Facts:
    """The same where the pages were read already.

    Args:
        docs: the folder, for its data files.
        sources: the pages that authors wrote, by their paths.
    """
    told = {path: source for path, source in sources.items() if not source.text.startswith(f"{CHANGES_TITLE}\n")}
    return Facts(dict(_data_of(docs)), {path: _page_facts(path, source) for path, source in told.items()})


def written_facts(facts: Facts) -> str:
    """The same as JSON, as a built site keeps it."""
    return json.dumps(asdict(facts), ensure_ascii=False, indent=1) + "\n"


def read_facts(text: str) -> Facts:
    """What `written_facts` wrote.

    Raises:
        ValueError: it is something else.
    """
    try:
        found = json.loads(text)
        pages = {
            str(path): PageFacts(
                str(page["title"]), dict(page["status"]), tuple(Piece(str(p["kind"]), str(p["text"])) for p in page["pieces"])
            )
            for path, page in found["pages"].items()
        }
        return Facts(dict(found["data"]), pages)
    except (AttributeError, KeyError, TypeError) as error:
        raise ValueError(str(error)) from error


def _data_of(docs: Path) -> Iterator[tuple[str, Any]]:
    for path in files_of(docs)[0]:
        name = path.relative_to(docs).as_posix()
        if is_own(name) and (said := calculation_facts(read_text(path)[0] or "")):
            yield name, said
        if path.suffix != ".yml":
            continue
        root, _ = read_mapping(path)
        if root is None:
            continue
        plain = root.plain()
        yield name, _texts({key: plain[key] for key in _OF_THE_SHOP if key in plain} if name == "shop.yml" else plain)


def _texts(value: Any) -> Any:
    """The same with dates as texts, as JSON has them."""
    if isinstance(value, dict):
        return {str(key): _texts(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_texts(item) for item in value]
    return value.isoformat() if isinstance(value, date) else value


def _page_facts(path: str, source: PageSource) -> PageFacts:
    pieces = tuple(_pieces(source))
    heading = next((piece.text for piece in pieces if piece.kind == "heading"), PurePosixPath(path).stem)
    status = {key: str(value) for key, value in source.facts.status or () if value is not None}
    return PageFacts(source.facts.title or heading, status, pieces)


def _pieces(source: PageSource) -> Iterator[Piece]:
    kind, lines = "", list[str]()
    for line in (*source.text.split("\n"), ""):
        body = line.strip()
        begun = _begun(body, source)
        # A box holds its text behind a blank line as well; what stands there with a sign of its own begins anew.
        if (begun is None and body) or (not body and kind and not lines):
            kind = kind or "text"
            lines += [body] if body else []
            continue
        if kind and lines and not _RULE.fullmatch(lines[0]):
            yield Piece(kind, " ".join(" ".join(lines).split()))
        kind, lines = begun or ("", [])


def _begun(body: str, source: PageSource) -> tuple[str, list[str]] | None:
    """The piece that a line begins, and the line's own text; None for a line that goes on with what stands before it."""
    if marker := _MARKER.match(body):
        number = int(marker["number"])
        tree = source.bodies[number]
        return source.fences[number].name, ["" if tree is None else json.dumps(_texts(tree.plain()), ensure_ascii=False)]
    if box := _BOX.match(body):
        return box["name"].casefold(), []
    for kind, pattern in _STARTS:
        if found := pattern.match(body):
            return kind, [found["text"]]
    return None
