"""Which tests belong to the files that were changed, for `make quick`: run with ``python -m tests.changed_rooms``."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path, PurePosixPath

__all__ = ["changed_files", "places_to_test"]

_PACKAGES = ("calc_engine", "build_hooks")
# Where nothing was changed, or only files that no room's tests know.
QUICKEST = ("tests/calc_engine/maths", "tests/calc_engine/quantities")


def places_to_test(changed: Iterable[str], root: Path) -> tuple[str, ...]:
    """The tests that a change needs first.

    Args:
        changed: paths of changed files from the root, with forward slashes.
        root: the root of the project.

    Returns:
        Folders and files of tests from the root, in order, none inside another: the room's for a file in a room, those of the
        same name for a module at the root of a package, a changed test itself; the engine's quickest where there are none.
    """
    found = {place for path in changed for place in _places(PurePosixPath(path), root)}
    outer = {place for place in found if not any(str(above) in found for above in PurePosixPath(place).parents)}
    return tuple(sorted(outer)) or QUICKEST


# A calculation is also held by tests that read the whole catalogue; a table of published cases by those that read it.
_CATALOGUE = (
    "tests/published",
    "tests/calc_engine/test_answer.py",
    "tests/calc_engine/test_docstrings.py",
    "tests/calc_engine/test_layers.py",
    "tests/calc_engine/test_version.py",
    "tests/build_hooks/forms",
    "tests/build_hooks/search/test_entries.py",
    "tests/test_developers.py",
)


def _places(path: PurePosixPath, root: Path) -> Iterable[str]:
    yield from (place for place in _of_catalogue(path) if (root / place).exists())
    first, *inside = path.parts
    if first == "tests" and path.name.startswith("test_") and path.suffix == ".py":
        place = path
    elif first in _PACKAGES and len(inside) > 1:
        place = PurePosixPath("tests", first, inside[0])
    elif first in _PACKAGES and inside:
        place = PurePosixPath("tests", first, f"test_{path.stem}.py")
    else:
        return
    # A test that was removed, or a room that is tested from elsewhere, has nothing to run.
    if (root / place).exists() and (place.suffix or any((root / place).rglob("test_*.py"))):
        yield str(place)


def _of_catalogue(path: PurePosixPath) -> tuple[str, ...]:
    if path.is_relative_to("calc_engine/calculations") or path.is_relative_to("calc_engine/catalogue.py"):
        return _CATALOGUE
    return _CATALOGUE[:1] if path.is_relative_to("tests/published") else ()


def changed_files(root: Path) -> tuple[str, ...]:
    """The files that differ from where this branch left main, or from the last commit on main itself, with new ones.

    Args:
        root: the root of the project, a git work tree.
    """
    base = _git(root, "merge-base", "HEAD", "main") or ("HEAD",)
    return (*_git(root, "diff", "--name-only", base[0]), *_git(root, "ls-files", "--others", "--exclude-standard"))


def _git(root: Path, *arguments: str) -> tuple[str, ...]:
    done = subprocess.run(["git", *arguments], cwd=root, capture_output=True, text=True, check=False)
    return tuple(done.stdout.splitlines()) if done.returncode == 0 else ()


if __name__ == "__main__":
    ROOT = Path(__file__).parent.parent
    sys.stdout.write("\n".join(places_to_test(changed_files(ROOT), ROOT)) + "\n")
