"""The pages of the learning part: one for each path, the index of them, practice, and the record."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import ceil
from typing import Any, Final
from urllib.parse import urlencode

from build_hooks.learning.exercises import Offers, practice_element, practised_in, subject_name
from build_hooks.learning.path_data import Path, Practice, Step, editions_of
from build_hooks.library import Library
from build_hooks.markdown.html import markdown_text
from build_hooks.page.pages import MadePage, Pages, block_page
from build_hooks.page.rendering import root_of
from build_hooks.wall.sizes import letter_size
from calc_engine import Element, element, encode, uncapitalised
from calc_engine.practice import KINDS

__all__ = ["FOLDER", "learning_pages"]

FOLDER: Final = "learning"
_ABOUT_RECORD: Final = (
    "Who has read what, practised what, and been seen doing what. The record stays on this machine, in this browser. "
    "It goes elsewhere only as a file that you save."
)
_ABOUT_PRACTICE: Final = (
    "Exercises made from the data of this manual. The same set number gives the same exercises again: a trainer can set it."
)
_ASKED_INDEX: Final = (
    "training", "courses", "learn the trade", "teach me", "how do I learn this", "training plan", "lessons", "school for beginners",
    "apprentice training", "what can I learn here", "learning paths", "capacitación", "aprender", "cursos", "Ausbildung", "formation",
)  # fmt: skip
_ASKED_PRACTICE: Final = (
    "quiz", "test myself", "exercise", "exercises", "practise reading a gauge", "practice questions", "flash cards", "try it on the screen",
    "train on the screen", "game", "questions about a pack", "set number of an exercise", "same exercises for everybody", "learn the order",
    "practicar", "ejercicios", "examen", "üben", "exercices",
)  # fmt: skip
_ASKED_RECORD: Final = (
    "what have I learned", "who has passed what", "my progress", "training record", "signed off for", "who is allowed to do what",
    "certificate of training", "export my progress", "trainer signs", "senior signature", "who has read the page", "proof of training",
    "am I signed off", "skills list", "registro de aprendizaje", "mi progreso", "Lernfortschritt", "carnet de formation",
)  # fmt: skip
_NEEDS_SCRIPT: Final = "Without the page's script nothing is kept here: work down the list with a senior and a pen."


def learning_pages(library: Library, paths: Iterable[Path], pages: Pages, offers: Offers) -> dict[str, MadePage]:
    """Every page of the learning part.

    Args:
        library: shop and units.
        paths: the sound paths, in the order in which they can be taken.
        pages: the authors' pages, for their titles.
        offers: the exercises that each unit offers.

    Returns:
        Each page by its path below the docs folder.
    """
    known = {path.id: path for path in paths}
    manual = library.shop.name
    data = _data(library, known, pages)
    made = {
        f"{FOLDER}/index.md": block_page(
            "Learning", _index_text(known), _index_element(known, data, manual), asked_as=_ASKED_INDEX
        ),
        f"{FOLDER}/practice.md": block_page(
            "Practice", _ABOUT_PRACTICE, practice_element(library, data, offers), asked_as=_ASKED_PRACTICE
        ),
        f"{FOLDER}/record.md": block_page("Record", _ABOUT_RECORD, _record_element(data, manual), asked_as=_ASKED_RECORD),
    }
    for path in known.values():
        block = _path_element(path, known, data, pages, manual)
        about = markdown_text(path.data.about)
        made[f"{FOLDER}/{path.id}.md"] = block_page(path.data.name, about, block, path.data.status, path.data.asked_as)
    return made


# --- what the page's script is told ---------------------------------------------------------------------------------------


def _data(library: Library, known: Mapping[str, Path], pages: Pages) -> str:
    screens = [
        # Rounded up: a letter may be larger than it must be.
        {"id": name, "name": screen.name, "size": f"{ceil(letter_size(screen).size_vh * 1000) / 1000:.3f}vh"}
        for name, screen in library.shop.screens.items()
    ]
    seniors = [
        {"name": senior.name, **({"pin": senior.pin} if senior.pin is not None else {})}
        for senior in library.shop.seniors.values()
    ]
    paths = [_path_data(path, library, pages) for path in known.values()]
    return encode({"paths": paths, "screens": screens, "seniors": seniors})


def _path_data(path: Path, library: Library, pages: Pages) -> dict[str, Any]:
    return {
        "id": path.id,
        "name": path.data.name,
        "edition": path.data.edition,
        "editions": list(editions_of(path.data)),
        "changes": [
            {"edition": edition, "what": change.what, "steps": list(change.steps)}
            for edition, change in sorted(path.data.changes.items())
        ],
        "needs": list(path.data.needs),
        "steps": [_step_data(step, library, pages) for step in path.data.steps],
    }


def _step_data(step: Step, library: Library, pages: Pages) -> dict[str, Any]:
    told: dict[str, Any] = {"id": step.id, "form": _form(step), "title": _title(step, library, pages)}
    if step.practice is not None:
        told["practice"] = step.practice.model_dump()
    if step.seen_by is not None:
        told["seen_by"] = step.seen_by
    return told


def _form(step: Step) -> str:
    return "page" if step.page is not None else "practice" if step.practice is not None else "task"


def _title(step: Step, library: Library, pages: Pages) -> str:
    if step.page is not None:
        return pages.title(step.page)
    if step.practice is not None:
        return _practice_title(step.practice, library)
    return step.task or ""


def _practice_title(practice: Practice, library: Library) -> str:
    practised = practised_in(library, practice.unit)[practice.pack]
    return f"{KINDS[practice.kind].title}: {subject_name(library, practice.unit)}, {practised}"


def _script(data: str) -> Element:
    return element("script", {"type": "application/json", "data-bench": "learning"}, data)


# --- a path ---------------------------------------------------------------------------------------------------------------


def _path_element(path: Path, known: Mapping[str, Path], data: str, pages: Pages, manual: str) -> Element:
    root = root_of(f"{FOLDER}/{path.id}.md")
    needs = [known[name] for name in path.data.needs]
    return element(
        "bench-path",
        {"data-bench": "path", "data-path": path.id, "data-manual": manual, "class": "bench-learning"},
        _script(data),
        element("p", {"class": "bench-needs-script"}, _NEEDS_SCRIPT),
        _needs_line(needs, root) if needs else None,
        _changes(path),
        element("ol", {"class": "bench-steps"}, *(_step(path, step, root, pages) for step in path.data.steps)),
    )


def _needs_line(needs: Iterable[Path], root: str) -> Element:
    links = [
        element("li", {"data-needs": path.id}, element("a", {"href": f"{root}{FOLDER}/{path.id}/"}, path.data.name))
        for path in needs
    ]
    return element(
        "div",
        {"class": "bench-needs", "data-bench": "needs"},
        element("p", {}, "First finish:"),
        element("ul", {}, *links),
    )


def _changes(path: Path) -> Element:
    """What the newest edition changed, for everybody; the page's script says whom it touches."""
    edition = path.data.edition
    change = path.data.changes.get(edition)
    said = f" {change.what}" if change else " The first edition."
    return element("p", {"class": "bench-edition"}, element("strong", {}, f"Edition {edition}."), said)


def _step(path: Path, step: Step, root: str, pages: Pages) -> Element:
    return element(
        "li",
        {"data-step": step.id, "data-form": _form(step), "id": step.id},
        element("p", {"class": "bench-step-heading"}, step.heading) if step.heading is not None else None,
        element("p", {"class": "bench-step-what"}, *_what(path, step, root, pages)),
    )


def _what(path: Path, step: Step, root: str, pages: Pages) -> list[Element | str]:
    if step.page is not None:
        return [_word("Read"), " ", element("a", {"href": _address(step.page, root)}, pages.title(step.page))]
    if step.practice is not None:
        asked = {**step.practice.model_dump(), "path": path.id, "step": step.id}
        kind = KINDS[step.practice.kind]
        link = element("a", {"href": f"{root}{FOLDER}/practice/?{urlencode(asked)}", "data-bench": "practise"}, kind.title)
        return [_word("Practise"), " ", link, f": {step.practice.count} right, {uncapitalised(kind.about)}"]
    told: list[Element | str] = [_word("Task"), f" {step.task}"]
    if step.standard is not None:
        told += [" By the page ", element("a", {"href": _address(step.standard, root)}, pages.title(step.standard)), "."]
    return [*told, element("span", {"class": "bench-seen-by"}, f" Seen by: {step.seen_by}.")]


def _word(text: str) -> Element:
    return element("strong", {"class": "bench-step-word"}, text)


def _address(page: str, root: str) -> str:
    """The address of a page, seen from one of ours."""
    name = page.removesuffix(".md")
    folder = name.removesuffix("index") if name == "index" or name.endswith("/index") else f"{name}/"
    return f"{root}{folder}" or "./"


# --- index and record -----------------------------------------------------------------------------------------------------


def _index_text(known: Mapping[str, Path]) -> str:
    if not known:
        return "No path has been written yet. There is practice all the same."
    return (
        "You read a page. You practise it here. You do its task at the bench, and a senior watches and signs. "
        "Practise anything at any time on the page [Practice](practice.md); who may do what stands in the [record](record.md)."
    )


def _index_element(known: Mapping[str, Path], data: str, manual: str) -> Element:
    return element(
        "bench-paths",
        {"data-bench": "paths", "data-manual": manual, "class": "bench-learning"},
        _script(data),
        element("p", {"class": "bench-needs-script"}, _NEEDS_SCRIPT),
        element("ul", {"class": "bench-path-list"}, *(_card(path, known) for path in known.values())),
    )


def _card(path: Path, known: Mapping[str, Path]) -> Element:
    needs = ", ".join(known[name].data.name for name in path.data.needs)
    steps = len(path.data.steps)
    return element(
        "li",
        {"data-path": path.id},
        element("p", {"class": "bench-path-name"}, element("a", {"href": f"{path.id}/"}, path.data.name)),
        element("p", {}, path.data.about),
        element(
            "p",
            {"class": "bench-path-facts"},
            f"Edition {path.data.edition} · {steps} steps{f' · needs {needs}' if needs else ''}",
        ),
    )


def _record_element(data: str, manual: str) -> Element:
    return element(
        "bench-record",
        {"data-bench": "record", "data-manual": manual, "class": "bench-learning"},
        _script(data),
        element("p", {"class": "bench-needs-script"}, "Without the page's script there is no record here: keep it on paper."),
    )
