"""Loads what the standards say as data, the folders ``findings`` and ``trees``, and says everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from itertools import islice
from pathlib import Path
from typing import Final

from build_hooks.checks.standards import finding_faults, tree_faults
from build_hooks.markdown.fences import cut_fences
from build_hooks.markdown.passages import passage_of, title_of
from build_hooks.model import Gauge, Keys, read_model
from build_hooks.model.standards import FindingSet, Tree
from build_hooks.reading.addresses import address_of
from build_hooks.reading.ids import is_id
from build_hooks.reading.memory import Memory, Same
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import MOST_FAULTS, Fault, Problem, Problems, in_order, quoted
from build_hooks.reading.sources import mapping_of, read_text
from calc_engine import System

__all__ = ["PagePlace", "Standards", "load_standards"]

_FOLDERS: Final = ("findings", "trees")


@dataclass(frozen=True, slots=True)
class PagePlace:
    """A place in the manual: what it is called, and its address below the site."""

    title: str
    address: str


@dataclass(frozen=True, slots=True)
class Standards:
    """What the standards say as data.

    Attributes:
        findings: the sets of findings by their ids.
        trees: the decision trees by their ids.
        places: where the page says so, by the ids of set and finding.
        titles: what the pages that trees name are called, by their paths.
        at_fault: whether any of their files has problems, so that what is missing may be missing for that reason.
    """

    findings: Mapping[str, FindingSet] = field(default_factory=dict)
    trees: Mapping[str, Tree] = field(default_factory=dict)
    places: Mapping[tuple[str, str], PagePlace] = field(default_factory=dict)
    titles: Mapping[str, str] = field(default_factory=dict)
    at_fault: bool = False

    @property
    def practised(self) -> dict[str, str]:
        """What can be asked about, with its name, by its id."""
        findings = {name: each.name for name, each in self.findings.items()}
        return findings | {name: tree.name for name, tree in self.trees.items()}


def load_standards(
    docs: Path, files: tuple[Path, ...], gauges: Mapping[str, Gauge] | None, units: System, memory: Memory
) -> tuple[Standards, tuple[Problem, ...]]:
    """The findings and trees of a docs folder.

    Args:
        docs: the folder.
        files: all its files.
        gauges: the shop's by their ids; None where the shop could not be read.
        units: the shop's, for the examples in messages.
        memory: what was read before. Where nothing has changed, the very same object comes back.

    Returns:
        What is sound of them, and every problem.
    """
    problems = Problems()
    texts: dict[str, str] = {}
    for path in files:
        here = path.relative_to(docs).parts
        if len(here) == 2 and here[0] in _FOLDERS and path.suffix in {".yml", ".yaml"}:  # noqa: PLR2004 - FOLDER/NAME.yml
            problems.extend(_misnamed(path))
            text, unreadable = read_text(path)
            problems.extend(unreadable)
            if text is not None and path.suffix == ".yml" and is_id(path.stem):
                texts["/".join(here)] = text
    pages = {path.relative_to(docs).as_posix(): path for path in files if path.suffix == ".md"}
    roots = {name: mapping_of(text, (docs / name).as_posix()) for name, text in texts.items()}
    named = {page for root, _ in roots.values() if root is not None for page in _pages_in(root)}
    read = {name: read_text(pages[name])[0] if name in named else None for name in pages}
    made_of = (tuple(texts.items()), tuple(read.items()), None if gauges is None else Same(gauges), units, bool(problems))
    made = partial(_standards_of, docs, roots, read, gauges, units, at_fault=bool(problems))
    standards, found = memory.made("standards", "", made_of, made)
    problems.extend(found)
    return standards, problems.in_order()


def _misnamed(path: Path) -> Iterator[Problem]:
    if path.suffix == ".yaml":
        yield Problem(path.as_posix(), 1, 1, "misnamed", f"This file is called {path.name}.", f"Rename it to {path.stem}.yml.")
    elif not is_id(path.stem):
        remedy = "Use small letters, figures and hyphens, for example plates.yml."
        yield Problem(path.as_posix(), 1, 1, "bad-id", f"{quoted(path.name)} cannot be its name.", remedy)


def _pages_in(root: Node) -> Iterator[str]:
    """The pages that a file names."""
    things = [root]
    for key in ("findings", "ends"):
        node = root.get(key)
        things += () if node is None else node.children.values()
    yield from (page for thing in things if (page := thing.text_of("page")) is not None)


def _standards_of(
    docs: Path,
    roots: Mapping[str, tuple[Node | None, tuple[Problem, ...]]],
    pages: Mapping[str, str | None],
    gauges: Mapping[str, Gauge] | None,
    units: System,
    *,
    at_fault: bool,
) -> tuple[Standards, tuple[Problem, ...]]:
    problems = Problems()
    findings: dict[str, FindingSet] = {}
    trees: dict[str, Tree] = {}
    for name, (root, unreadable) in roots.items():
        path = (docs / name).as_posix()
        problems.extend(unreadable)
        if root is None:
            continue
        folder, _, file = name.partition("/")
        id_ = file.removesuffix(".yml")
        if folder == "findings":
            sense = tuple(islice(finding_faults(root, pages, gauges), MOST_FAULTS))
            found = _sound(FindingSet, root, sense, units, path, problems)
            if found is not None and not unreadable:
                findings[id_] = found
        else:
            sense = tuple(islice(tree_faults(id_, root, pages, _showing(id_, pages)), MOST_FAULTS))
            tree = _sound(Tree, root, sense, units, path, problems)
            if tree is not None and not unreadable:
                trees[id_] = tree
            if f"findings/{file}" in roots:
                message = f"There is a set of findings {quoted(id_)} too."
                problems.add(
                    Problem(path, 1, 1, "duplicate-id", message, "Rename one of the two files: exercises name them alike.")
                )
    places = {
        (name, finding.id): _place(finding.page, finding.says, pages)
        for name, each in findings.items()
        for finding in each.findings.values()
    }
    titles = {name: title_of(text) or name for name, text in pages.items() if text is not None}
    return Standards(findings, trees, places, titles, at_fault or bool(problems)), problems.in_order()


def _sound[M: Keys](
    model: type[M], root: Node, sense: tuple[Fault, ...], units: System, path: str, problems: Problems
) -> M | None:
    found, shape = read_model(model, root, units)
    faults = in_order((*shape, *sense))
    problems.extend(Problem.of(path, fault) for fault in faults)
    return None if faults else found


def _showing(tree: str, pages: Mapping[str, str | None]) -> set[str]:
    """The pages with a block that shows a tree."""
    found = set()
    for name, text in pages.items():
        for fence in cut_fences(text or "", ("tree",))[1]:
            body = mapping_of(fence.body, name)[0]
            if body is not None and body.text_of("tree") == tree:
                found.add(name)
    return found


def _place(page: str, says: str, pages: Mapping[str, str | None]) -> PagePlace:
    """Where a page says something."""
    text = pages[page] or ""
    title, address = title_of(text) or page, address_of(page).removesuffix("index.html")
    passage = passage_of(text, says)
    if passage is None or passage.anchor is None:
        return PagePlace(title, address)
    return PagePlace(f"{title}: {passage.heading}", f"{address}#{passage.anchor}")
