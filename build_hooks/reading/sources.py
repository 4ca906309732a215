"""Reads data files: bytes to text to a tree of values with their places, and whatever is wrong on the way."""

from __future__ import annotations

import re
import textwrap
from pathlib import Path
from typing import Final

from build_hooks.reading.docs_tree import odd_fault
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import START, Fault, Mark, Problem, mark_at
from build_hooks.reading.yaml_tree import tree_of

__all__ = ["LARGEST_FILE", "mapping_of", "read_mapping", "read_text"]

LARGEST_FILE: Final = 1_000_000  # bytes; the data of a large unit takes about a tenth

_LONE_RETURN: Final = re.compile("\r(?!\n)")


def read_text(path: Path) -> tuple[str | None, tuple[Problem, ...]]:
    """The text of a file.

    Args:
        path: a file, in UTF-8 with or without byte order mark.

    Returns:
        The text, or None and the problem that was in the way.
    """
    try:
        data = _bytes_of(path)
        return _decoded(data), ()
    except _Unreadable as unreadable:
        return None, (Problem.of(path.as_posix(), unreadable.fault),)


def read_mapping(path: Path) -> tuple[Node | None, tuple[Problem, ...]]:
    """The tree of a data file, whose top level is keys with values.

    Returns:
        The root, or None if the file could not be read to its end; and the problems, by place.
    """
    text, problems = read_text(path)
    return (None, problems) if text is None else mapping_of(text, path.as_posix())


def mapping_of(text: str, path: str, at: Mark = START) -> tuple[Node | None, tuple[Problem, ...]]:
    """The tree of a YAML text, whose top level is keys with values.

    Args:
        text: the YAML.
        path: the file it stands in.
        at: where in that file it starts, for a block of a page; every line is taken to start in this column.

    Returns:
        The root, or None if the text could not be read to its end; and the problems, by place.
    """
    padded = text if at == START else "\n" * (at.line - 1) + textwrap.indent(text, " " * (at.column - 1))
    root, faults = tree_of(padded)
    faults = faults or _root_faults(root, at)
    return (root if root is not None and root.is_mapping else None), tuple(Problem.of(path, fault) for fault in faults)


def _root_faults(root: Node | None, at: Mark) -> tuple[Fault, ...]:
    if root is None or root.value is None:
        return (Fault(at, "empty", "There is nothing in here.", "Write key: value, for example name: Alder 4."),)
    if not root.is_mapping:
        return (
            Fault(root.mark, "wrong-type", "Keys with values are wanted here.", "Write key: value, for example name: Alder 4."),
        )
    return ()


class _Unreadable(Exception):  # noqa: N818 - the file's fault, not ours
    def __init__(self, code: str, message: str, remedy: str, mark: Mark = START) -> None:
        super().__init__(message)
        self.fault = Fault(mark, code, message, remedy)


def _bytes_of(path: Path) -> bytes:
    try:
        if path.is_dir():
            raise _Unreadable("not-a-file", "This is a folder, and a file is wanted.", "Rename the folder.")
        odd = odd_fault(path)
        if odd is not None:
            raise _Unreadable(odd.code, odd.message, odd.remedy)
        with path.open("rb") as file:
            data = file.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "its name is not possible"
        raise _Unreadable("unreadable", f"The file cannot be read: {why}.", "Check that it is there and may be read.") from error
    if len(data) > LARGEST_FILE:
        raise _Unreadable(
            "too-large", f"The file is larger than {LARGEST_FILE // 1000} kB.", "Split it up, or check that it is the right file."
        )
    return data


def _decoded(data: bytes) -> str:
    try:
        # A return by itself ends a line in YAML 1.2 (5.4) and in CommonMark (2.1); so it does for whatever counts lines here.
        return _LONE_RETURN.sub("\n", data.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        # With a byte order mark the count starts behind it.
        raw = error.object
        before = raw[: error.start].decode("utf-8")
        message = f"The byte 0x{raw[error.start]:02X} here is not UTF-8."
        raise _Unreadable("not-utf-8", message, "Save the file as UTF-8.", mark_at(before, len(before))) from error
