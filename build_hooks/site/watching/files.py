"""Whether a file has changed, by its time and size; asked again and again, which works on every disk and share."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Final

__all__ = ["changes", "states_of"]

_ASK_AGAIN: Final = 0.1  # seconds

type States = Mapping[str, tuple[int, int]]


def states_of(*places: Path) -> States:
    """Time and size of every file, by its path.

    Args:
        places: files, and folders with all that is in them; hidden files and what cannot be read are left out.
    """
    return {entry.path: state for place in places for entry, state in _files(place)} | {
        str(place): (place.stat().st_mtime_ns, place.stat().st_size) for place in places if place.is_file()
    }


def _files(folder: Path) -> Iterator[tuple[os.DirEntry[str], tuple[int, int]]]:
    waiting = [str(folder)] if folder.is_dir() else []
    while waiting:
        try:
            entries = list(os.scandir(waiting.pop()))
        except OSError:
            continue
        for entry in entries:
            # Links are not followed into folders: they could lead round in a circle.
            if entry.name.startswith("."):
                continue
            if entry.is_dir(follow_symlinks=False):
                waiting.append(entry.path)
            else:
                # An editor may have replaced it meanwhile.
                try:
                    found = entry.stat()
                except OSError:
                    continue
                yield entry, (found.st_mtime_ns, found.st_size)


def changes(
    look: Callable[[], States], seen: States | None = None, wait: Callable[[float], object] = time.sleep
) -> Iterator[States]:
    """Each new state of some files, as soon as it is there.

    Args:
        look: gives the states.
        seen: what was seen before; None gives the first state at once.
        wait: waits some seconds; what it returns says whether to stop.
    """
    while True:
        found = look()
        if found != seen:
            seen = found
            yield found
        elif wait(_ASK_AGAIN):
            return
