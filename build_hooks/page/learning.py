"""The learning part of a manual: its paths, found sound, and the pages that are made of them."""

from __future__ import annotations

from dataclasses import dataclass

from build_hooks.learning.exercises import offers_by_unit, why_no_exercise
from build_hooks.learning.path_data import Path
from build_hooks.learning.paths import read_paths
from build_hooks.library import Library
from build_hooks.page.learning_pages import learning_pages
from build_hooks.page.pages import MadePage, Pages
from build_hooks.reading.memory import Memory
from build_hooks.reading.problems import Problem
from calc_engine.practice import KINDS

__all__ = ["Learning", "read_learning"]


@dataclass(frozen=True, slots=True)
class Learning:
    """The learning part of a manual.

    Attributes:
        paths: the sound paths, those that need no other first.
        pages: each page of it, by its path below the docs folder.
    """

    paths: tuple[Path, ...]
    pages: dict[str, MadePage]


def read_learning(library: Library, pages: Pages, memory: Memory | None = None) -> tuple[Learning, tuple[Problem, ...]]:
    """The paths of a docs folder and the pages made of them.

    Args:
        library: what its data files say.
        pages: the authors' pages.
        memory: the exercises that units were found to offer before.

    Returns:
        The learning part, and every problem of the paths; with a problem in any of them, or in what they lean on, no page is
        made.
    """
    offers = offers_by_unit(library, memory or Memory())
    named = (*pages.by_path, *pages.unread)
    paths, problems = read_paths(library, named, tuple(KINDS), why_no_exercise(library, offers))
    if problems or pages.unread or library.at_fault:
        return Learning(paths, {}), problems
    return Learning(paths, learning_pages(library, paths, pages, offers)), ()
