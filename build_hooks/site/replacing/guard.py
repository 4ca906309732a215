"""Which folders a command may replace: an empty one, and one that an earlier call of ours has made."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Final

from build_hooks.reading.addresses import OWN_FOLDER
from build_hooks.site.replacing.faults import NotMadeError

__all__ = ["PROJECT", "is_ours", "refuse_what_is_not_ours", "settled"]

# The one source in which a made folder may lie.
PROJECT: Final = "the project folder"

# Folders of version control: a made folder that somebody keeps a history in is no longer ours alone.
_HISTORIES: Final = (".git", ".hg", ".svn")


def settled(path: Path) -> Path:
    """A path whose folders are no links and no dots; its own name may still be that of a link."""
    path = path.absolute()
    return path.resolve() if path.name == ".." else path.parent.resolve() / path.name


def is_ours(folder: Path) -> bool:
    """Whether a folder is a built site, or a copy of one that opens by double-click."""
    return not folder.is_symlink() and (folder / "index.html").is_file() and (folder / OWN_FOLDER).is_dir()


def refuse_what_is_not_ours(target: Path, option: str, sources: Mapping[str, Path]) -> None:
    """Sees to it that putting a folder in a place loses nothing that somebody wrote.

    Args:
        target: the place.
        option: the option of the command that names the place.
        sources: folders that hold what is not made by us, by what they are called in a message; only in `PROJECT` may the
            place lie.

    Raises:
        NotMadeError: something else is there, or the place holds a source or lies in one where nothing made belongs.
    """
    target = settled(target)
    why = _why_not(target, {name: source.resolve() for name, source in sources.items()})
    if why is not None:
        raise NotMadeError(f"{target.as_posix()}: {why}. Name another folder with {option}.")


def _why_not(target: Path, sources: Mapping[str, Path]) -> str | None:
    if target == target.parent:
        return "this is the root of the file system"
    if target.is_symlink():
        return "this is a link, which a folder would replace"
    for name, source in sources.items():
        if target == source:
            return f"this is {name}"
        if target in source.parents:
            return f"{name} lies in here"
        if source in target.parents and name != PROJECT:
            return f"this lies in {name}"
    return _what_is_there(target)


def _what_is_there(target: Path) -> str | None:
    if not target.exists():
        return None
    if not target.is_dir() or (any(target.iterdir()) and not is_ours(target)):
        return "something else is here"
    history = next((name for name in _HISTORIES if (target / name).exists()), None)
    return None if history is None else f"a history is kept here, in {history}"
