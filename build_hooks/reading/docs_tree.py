"""The files of a docs folder, and every entry that nothing should be read from: links out of it, loops, pipes, odd names."""

from __future__ import annotations

import errno
import stat
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from build_hooks.reading.problems import START, Fault, Problem

__all__ = ["MOST_FILES", "files_of", "leads_out", "odd_fault"]

# Links between folders can multiply a few files without end.
MOST_FILES: Final = 20_000


def files_of(docs: Path) -> tuple[tuple[Path, ...], tuple[Problem, ...]]:
    """Every file of a docs folder in order of its path, without hidden ones and those in hidden folders.

    Links are followed as long as they stay in the folder, as the builder follows them.

    Args:
        docs: the folder.

    Returns:
        The plain files, none where there are more than `MOST_FILES`; and a problem for each entry that is none or leads
        elsewhere, and for each folder that cannot be read.
    """
    walk = _Walk(docs.resolve())
    waiting: list[tuple[Path, tuple[Path, ...]]] = [(docs, (walk.base,))]
    while waiting and walk.size <= MOST_FILES:
        folder, above = waiting.pop()
        waiting += walk.through(folder, above)
    if walk.size > MOST_FILES:
        # Nothing of them is read, and what is wrong with each would fill the screen for hours.
        message, remedy = f"There are more than {MOST_FILES} files in here, or too many links.", "Look for links between folders."
        return (), (Problem(docs.as_posix(), 1, 1, "too-many-files", message, remedy),)
    return tuple(sorted(walk.files)), tuple(sorted(walk.problems, key=lambda problem: problem.place))


def leads_out(path: Path, docs: Path) -> bool:
    """Whether a path below a docs folder is, by way of a link, one of something outside: `files_of` refuses it, and nobody reads it."""
    return not path.resolve().is_relative_to(docs.resolve())


def odd_fault(path: Path) -> Fault | None:
    """What keeps an entry of a folder from being read as a file: a link to nothing, a loop, a pipe, a device.

    Args:
        path: the entry.

    Returns:
        The fault; None for a plain file, a folder, and for what is not there or cannot be asked.
    """
    try:
        mode = path.stat().st_mode
    except OSError as error:
        if error.errno == errno.ELOOP:
            return Fault(START, "link-loop", "This link leads back to itself.", "Put the file itself here, or remove the link.")
        if path.is_symlink():
            return Fault(START, "dead-link", "This link leads to nothing.", "Put the file itself here, or remove the link.")
        return None
    if stat.S_ISREG(mode) or stat.S_ISDIR(mode):
        return None
    return Fault(START, "not-a-file", "This is not a plain file.", "Put a plain file here.")


@dataclass(slots=True)
class _Walk:
    """What was found so far below a folder, whose own path holds no links."""

    base: Path
    files: list[Path] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    links: int = 0

    @property
    def size(self) -> int:
        """How much was found; a followed link counts as much as twenty files, for it multiplies them."""
        return len(self.files) + len(self.problems) + 20 * self.links

    def refuse(self, path: Path, code: str, message: str, remedy: str) -> None:
        self.problems.append(Problem(path.as_posix(), 1, 1, code, message, remedy))

    def through(self, folder: Path, above: tuple[Path, ...]) -> Iterator[tuple[Path, tuple[Path, ...]]]:
        """Takes in the files of a folder; yields the folders in it, each with itself and those above it, links resolved."""
        try:
            names = sorted(path.name for path in above[-1].iterdir() if not path.name.startswith("."))
        except OSError as error:
            self.refuse(folder, "unreadable", f"The folder cannot be read: {error.strerror}.", "Check who may read it.")
            return
        for name in names:
            path = folder / name
            if not _is_utf8(name):
                self.refuse(path, "bad-name", "The name of this file is not UTF-8.", "Rename it.")
            elif (fault := odd_fault(above[-1] / name)) is not None:
                self.problems.append(Problem.of(path.as_posix(), fault))
            elif (real := self._inside(path, above)) is not None:
                if real.is_dir():
                    yield path, (*above, real)
                else:
                    self.files.append(path)

    def _inside(self, path: Path, above: tuple[Path, ...]) -> Path | None:
        """Where an entry really is; None for a link that leads out of the docs folder or back to a folder it lies in."""
        # By way of the folder's real path: one that goes through many links is slow, and at forty the system gives up.
        entry = above[-1] / path.name
        if not entry.is_symlink():
            return entry
        self.links += 1
        real = entry.resolve()
        if not real.is_relative_to(self.base):
            remedy = "Put the file or folder itself here, or a link within the docs folder."
            self.refuse(path, "leads-out", "This link leads out of the docs folder.", remedy)
            return None
        if real in above:
            self.refuse(path, "link-loop", "This link leads back to a folder that it lies in.", "Remove it.")
            return None
        return real


def _is_utf8(name: str) -> bool:
    try:
        name.encode()
    except UnicodeEncodeError:
        return False
    return True
