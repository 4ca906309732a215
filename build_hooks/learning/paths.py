"""Reads the paths of a docs folder: every file, and every problem of every one."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from itertools import islice
from pathlib import Path as File
from typing import Final

from build_hooks.learning.path_checks import Known, circle_through, path_faults
from build_hooks.learning.path_data import Path, PathData
from build_hooks.library import Library
from build_hooks.model import read_model
from build_hooks.reading.docs_tree import leads_out
from build_hooks.reading.ids import is_id
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import MOST_FAULTS, Fault, Problem, Problems, in_order, listed, quoted
from build_hooks.reading.sources import read_mapping

__all__ = ["RESERVED", "page_names", "read_paths"]

RESERVED: Final = ("index", "practice", "record")
"""Addresses below learning/ that are not those of a path."""


def page_names(docs: File) -> frozenset[str]:
    """The pages that are made of the learning part once all is sound, by their paths below the docs folder.

    Args:
        docs: the folder.
    """
    return frozenset(f"learning/{name}.md" for name in (*RESERVED, *_stems(docs / "learning")))


def _stems(folder: File) -> tuple[str, ...]:
    """The names of all paths, those at fault included."""
    return tuple(sorted({file.stem for file in folder.glob("*.y*ml") if not file.name.startswith(".")}))


@dataclass(frozen=True, slots=True)
class _Read:
    """A file as far as it could be read."""

    file: File
    root: Node
    data: PathData | None
    faults: tuple[Fault, ...]


def read_paths(
    library: Library, pages: Collection[str], kinds: Collection[str], why_not: Callable[[str, str, str], str | None]
) -> tuple[tuple[Path, ...], tuple[Problem, ...]]:
    """Every path of a docs folder.

    Args:
        library: what its data files say.
        pages: paths of its pages below the docs folder.
        kinds: the kinds of exercise.
        why_not: why no fair exercise of a kind can be made of a pack (kind, unit, pack); None when one can.

    Returns:
        The sound paths, those that need no other first; and every problem, by place.
    """
    problems = Problems()
    # Walking the docs folder has reported what leads out of it.
    files = tuple(file for file in _files(library.docs / "learning", problems) if not leads_out(file, library.docs))
    known = Known(library, pages, _stems(library.docs / "learning"), kinds, why_not)
    found = [read for file in files if (read := _read(file, known, problems)) is not None]
    needs = {read.file.stem: read.data.needs for read in found if read.data is not None}
    paths: dict[str, Path] = {}
    for read in found:
        faults = in_order((*read.faults, *_circle(read, needs)))
        problems.extend(Problem.of(read.file.as_posix(), fault) for fault in faults)
        if read.data is not None and not faults:
            paths[read.file.stem] = Path(read.file.stem, read.data)
    return _by_need(paths), problems.in_order()


def _files(folder: File, problems: Problems) -> tuple[File, ...]:
    if not folder.is_dir():
        return ()
    for file in sorted(folder.iterdir()):
        if file.suffix == ".yaml":
            problems.add(_of_file(file, "misnamed", f"This file is called {file.name}.", f"Rename it to {file.stem}.yml."))
    files = tuple(sorted(file for file in folder.iterdir() if file.suffix == ".yml" and not file.name.startswith(".")))
    for file in files:
        if file.stem in RESERVED:
            message = f"A path cannot be called {quoted(file.stem)}: that page is made by itself."
            problems.add(_of_file(file, "reserved", message, f"Rename it to something else than {listed(RESERVED)}."))
        elif not is_id(file.stem):
            remedy = "Use small letters, figures and hyphens, for example first-week.yml."
            problems.add(_of_file(file, "bad-id", f"{quoted(file.name)} cannot be the name of a path.", remedy))
    return files


def _of_file(file: File, code: str, message: str, remedy: str) -> Problem:
    return Problem(file.as_posix(), 1, 1, code, message, remedy)


def _read(file: File, known: Known, problems: Problems) -> _Read | None:
    root, unreadable = read_mapping(file)
    problems.extend(unreadable)
    if root is None:
        return None
    data, shape = read_model(PathData, root)
    faults = in_order((*shape, *islice(path_faults(file.stem, root, known), MOST_FAULTS)))
    return _Read(file, root, None if unreadable else data, faults)


def _circle(read: _Read, needs: Mapping[str, tuple[str, ...]]) -> tuple[Fault, ...]:
    way = circle_through(read.file.stem, needs)
    node = read.root.get("needs")
    if way is None or node is None:
        return ()
    mark = next((item.mark for item in node.items if item.text == way[0]), node.mark)
    message = f"This path needs itself, by way of {listed([quoted(name) for name in way], 'and')}."
    return (Fault(mark, "needs-itself", message, "Let one of them need the other, not both."),)


def _by_need(paths: Mapping[str, Path]) -> tuple[Path, ...]:
    """In the order in which a new starter can take them; there is no circle among sound ones."""
    ordered: dict[str, Path] = {}

    def place(path: Path) -> None:
        for name in path.data.needs:
            if name in paths and name not in ordered:
                place(paths[name])
        ordered.setdefault(path.id, path)

    for path in paths.values():
        place(path)
    return tuple(ordered.values())
