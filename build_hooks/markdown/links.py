"""Links and pictures of a page that lead to no file of the manual."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Collection, Iterator
from pathlib import PurePosixPath
from typing import Final
from urllib.parse import unquote

from build_hooks.markdown.lines import lines_outside_code, without_code
from build_hooks.reading.problems import Fault, Mark, in_order, nearest, quoted

__all__ = ["link_faults"]

_INLINE: Final = re.compile(r"\]\(\s*<?(?P<target>[^\s<>()]+)")
_DEFINED: Final = re.compile(r"^ {0,3}\[(?!\^)[^\]\n]+\]:\s*<?(?P<target>[^\s<>]+)")
_ELSEWHERE: Final = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:|/|#|\?")
# One slip of the keyboard in a short name, two or three in a long one; in another folder less.
_NEAR: Final = 0.75
_NEARER: Final = 0.85
# A page as it is served, not as it is written: Markdown's builder leaves it alone, and so does this.
_SERVED: Final = frozenset({"", ".html"})


def link_faults(page: str, source_path: str, files: Collection[str], unsure: Collection[str] = ()) -> tuple[Fault, ...]:
    """Finds links to files that are not there.

    Args:
        page: the Markdown without front matter and without blocks of ours, as many lines as the file has.
        source_path: the page's path below the docs folder, with forward slashes.
        files: every page and other file of the manual, in the same way.
        unsure: folders of pages that are made from data with problems of their own: which there will be is not known yet.

    Returns:
        A fault for each, at its target, by place. Addresses of other hosts, and places within a page, are not looked at.
    """
    folder = posixpath.dirname(source_path)
    return in_order(
        Fault(Mark(number, column), "broken-link", f"{quoted(target)} is no file of the manual.", _remedy(target, folder, files))
        for number, line in lines_outside_code(page).items()
        for column, target in _targets(line)
        if (path := _path_of(target, folder)) not in files
        and ("\\" in target or PurePosixPath(path).suffix not in _SERVED)
        and posixpath.dirname(path) not in unsure
    )


def _path_of(target: str, folder: str) -> str:
    """The file that a link leads to, below the docs folder."""
    return posixpath.normpath(posixpath.join(folder, unquote(re.split(r"[#?]", target)[0])))


def _targets(line: str) -> Iterator[tuple[int, str]]:
    """The targets of a line, with their columns."""
    shown = without_code(line)
    for pattern in (_INLINE, _DEFINED):
        for link in pattern.finditer(shown):
            if not _ELSEWHERE.match(link["target"]):
                yield link.start("target") + 1, link["target"]


def _remedy(target: str, folder: str, files: Collection[str]) -> str:
    """The file that may be meant, if any is near."""
    # As Windows shows paths; in an address a folder ends with the other stroke.
    slashed = target.replace("\\", "/")
    path = _path_of(slashed, folder)
    if slashed != target and (path in files or PurePosixPath(path).suffix in _SERVED):
        return f"Write it with forward slashes: {quoted(slashed)}."
    meant = _meant(PurePosixPath(path), [PurePosixPath(file) for file in sorted(files)])
    if meant is None:
        return "Correct the path: it begins at this page's own folder."
    return f"Did you mean {quoted(posixpath.relpath(meant, folder or '.'))}?"


def _meant(wanted: PurePosixPath, files: list[PurePosixPath]) -> PurePosixPath | None:
    """A file of the same kind: in the folder with a name that is near, else elsewhere with the same name, else a nearer one."""
    alike = [file for file in files if file.suffix == wanted.suffix]
    here = {file.stem: file for file in alike if file.parent == wanted.parent}
    # Every folder may have an index: its name says nothing. The folder's own name does.
    index = wanted.stem == "index"
    elsewhere = {_name(file, index): file for file in reversed(alike) if (file.stem == "index") is index}
    name = _name(wanted, index)
    if not index and (near := nearest(wanted.stem, here, _NEAR)) is not None:
        return here[near]
    if name in elsewhere:
        return elsewhere[name]
    near = nearest(name, elsewhere, _NEARER)
    return None if near is None else elsewhere[near]


def _name(file: PurePosixPath, index: bool) -> str:
    return file.parent.name if index else file.stem
