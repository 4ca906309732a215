"""The picture files of a docs folder: what is wrong with each, how much they come to, and how they go into the site."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Final

from build_hooks.pictures.made import PictureFault, forget_all_but, picture_of, state_of
from build_hooks.reading.problems import Problem

__all__ = [
    "BUDGET",
    "fault_of",
    "is_picture",
    "picture_faults",
    "picture_problems",
    "picture_warnings",
    "states_of_files",
    "write_pictures",
]

BUDGET: Final = 40_000_000
"""Bytes of all pictures together that every tablet can be expected to keep. Common practice, no source."""

_MADE_ANEW: Final = frozenset({".jpg", ".jpeg", ".png", ".webp"})
# Nobody takes what a camera wrote out of these, and few browsers show them.
_REFUSED: Final = frozenset({".heic", ".heif", ".avif", ".tif", ".tiff", ".dng", ".bmp", ".jfif", ".jpe"})


def is_picture(path: Path) -> bool:
    """Whether a file goes into the site as a picture made anew."""
    return path.suffix.casefold() in _MADE_ANEW


def picture_faults(files: Iterable[Path]) -> Mapping[Path, PictureFault]:
    """Makes every picture that has changed; later ones who ask find it made.

    This comes before the pages are made: a page may take only so long, and its pictures are no fault of its text.

    Args:
        files: every file of a docs folder.

    Returns:
        What is wrong with those that cannot go into the site.
    """
    there = tuple(files)
    forget_all_but(there)
    return {path: fault for path in there if (fault := fault_of(path)) is not None}


def states_of_files(files: Iterable[Path]) -> frozenset[tuple[Path, tuple[int, ...]]]:
    """What a page that shows pictures depends on: which files there are, and the state of each.

    Args:
        files: those that a block may name as its picture.
    """
    found = set()
    for path in files:
        # An editor may have replaced it meanwhile; then it has another state the next time.
        with suppress(OSError):
            found.add((path, state_of(path)))
    return frozenset(found)


def picture_problems(docs: Path, faults: Mapping[Path, PictureFault], shown: Collection[str]) -> tuple[Problem, ...]:
    """Pictures that cannot go into the site.

    Args:
        docs: the folder.
        faults: what is wrong with each.
        shown: those that photo blocks name, by their path below the folder: what is wrong with them is told there.
    """
    return tuple(
        Problem(path.as_posix(), 1, 1, fault.code, fault.message, fault.remedy)
        for path, fault in faults.items()
        if path.relative_to(docs).as_posix() not in shown
    )


def fault_of(path: Path) -> PictureFault | None:
    """Why a file cannot go into the site; None for a sound picture, and for what is no picture by its name."""
    ending = path.suffix.casefold()
    if ending in _REFUSED:
        what = "HEIC picture" if ending in {".heic", ".heif"} else f"file {ending}"
        message = f"A {what} is not taken: few browsers show it, and what the camera wrote into it would stay."
        return PictureFault("heic" if "HEIC" in what else "no-picture", message, "Save it as a JPEG or PNG.")
    if not is_picture(path):
        return None
    try:
        picture_of(path)
    except PictureFault as fault:
        return fault
    except OSError as error:
        return PictureFault("unreadable", f"The picture cannot be read: {error.strerror}.", "Check who may read it.")
    return None


def picture_warnings(docs: Path, files: Iterable[Path], budget: int = BUDGET) -> tuple[Problem, ...]:
    """A warning where the pictures come to more than every tablet can be expected to keep.

    Args:
        docs: the folder.
        files: every file in it; all pictures are sound.
        budget: in bytes, as they go into the site.
    """
    sizes = {path: len(picture_of(path).content) for path in files if is_picture(path)}
    total = sum(sizes.values())
    if total <= budget:
        return ()
    largest = max(sizes, key=lambda path: (sizes[path], path))
    message = (
        f"The {len(sizes)} pictures come to {_megabytes(total)}; every tablet keeps them all, and more than "
        f"{_megabytes(budget)} may not fit. The largest is {largest.relative_to(docs).as_posix()}, {_megabytes(sizes[largest])}."
    )
    remedy = "Take out what no step needs, or save photographs as JPEG in place of PNG."
    return (Problem((docs / "shop.yml").as_posix(), 1, 1, "pictures-over-budget", message, remedy),)


def _megabytes(size: int) -> str:
    return f"{size / 1_000_000:.1f} MB"


def write_pictures(docs: Path, files: Iterable[Path], site: Path) -> None:
    """Puts every picture as it is to be seen in the place of the author's file.

    Args:
        docs: the folder.
        files: every file in it; all pictures are sound.
        site: the built site, where the builder has put the files as they are.
    """
    for path in files:
        target = site / path.relative_to(docs)
        if is_picture(path) and target.is_file():
            target.write_bytes(picture_of(path).content)
