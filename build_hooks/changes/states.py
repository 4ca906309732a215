"""A manual as it was: at a git revision, in a built site, or in a docs folder."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import tarfile
import tempfile
from pathlib import Path

from build_hooks.changes.facts import FACTS_FILE, Facts, facts_of, read_facts

__all__ = ["NoStateError", "facts_at"]


class NoStateError(Exception):
    """There is no manual by that name. Its message says what would be right."""


def facts_at(name: str, docs: Path) -> Facts:
    """What a manual said at some time.

    Args:
        name: the folder of a built site or of a docs folder; else a git revision.
        docs: the docs folder, for a revision.

    Raises:
        NoStateError: it is none of these.
    """
    folder = Path(name)
    if (folder / FACTS_FILE).is_file():
        try:
            return read_facts((folder / FACTS_FILE).read_text(encoding="utf-8"))
        except ValueError as error:
            raise NoStateError(f"{(folder / FACTS_FILE).as_posix()} is damaged. Build that site again.") from error
    if (folder / "shop.yml").is_file():
        return facts_of(folder)
    if folder.is_dir():
        raise NoStateError(
            f"{name} is neither a site that was built with this version nor a docs folder. Name one of these, or a git revision."
        )
    return _at_revision(name, docs)


def _at_revision(revision: str, docs: Path) -> Facts:
    if not docs.is_dir():
        raise NoStateError(f"There is no folder {docs.as_posix()}. Name the folder that holds shop.yml, with --docs.")
    git = shutil.which("git")
    if git is None:
        raise NoStateError(f"“{revision}” is no folder, and git is not installed. Name the folder of a built site.")
    # Behind --end-of-options nothing is taken for an option, whatever the revision is called.
    commit = _git(git, docs, "rev-parse", "--verify", "--end-of-options", f"{revision}^{{commit}}")
    files = commit and _archive(git, docs, commit.decode().strip())
    if not files:
        raise NoStateError(
            f"“{revision}” is no folder of a built site, and no git revision that has {docs.as_posix()}. "
            "Name a folder, a tag or a commit, for example HEAD~1."
        )
    with tempfile.TemporaryDirectory() as folder:
        with tarfile.open(fileobj=io.BytesIO(files)) as archive:
            archive.extractall(folder, filter="data")
        return facts_of(Path(folder))


def _archive(git: str, docs: Path, commit: str) -> bytes | None:
    """The docs folder as it was, packed. Git packs a folder below the one it is called in only by its name from the top."""
    top = _git(git, docs, "rev-parse", "--show-toplevel")
    below = _git(git, docs, "rev-parse", "--show-prefix")
    if top is None or below is None:
        return None
    tree = f"{commit}:{os.fsdecode(below).strip().rstrip('/')}"
    return _git(git, Path(os.fsdecode(top).rstrip("\n")), "archive", "--format=tar", tree)


def _git(git: str, folder: Path, *arguments: str) -> bytes | None:
    """What git says; None if it refuses."""
    done = subprocess.run([git, *arguments], cwd=folder, capture_output=True, check=False)  # noqa: S603 - git itself, no shell
    return None if done.returncode else done.stdout
