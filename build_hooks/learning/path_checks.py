"""Do the steps of a path make sense: is everything there that they name, and does each ask for one thing only?

The checks read the tree and not the model, as those of the unit data do, so that a fault in one key hides none in the next.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from build_hooks.checks import status_faults
from build_hooks.learning.exercises import practised_in, subject_ids
from build_hooks.learning.path_data import FIRST_EDITION, Step
from build_hooks.library import STANDARDS, Library
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, did_you_mean, known_names, listed, quoted

__all__ = ["Known", "circle_through", "path_faults", "practice_faults"]

_FORMS: Final = ("page", "practice", "task")
_LAST_EDITION: Final = "Z"


@dataclass(frozen=True, slots=True)
class Known:
    """What a path may name.

    Attributes:
        library: the units.
        pages: paths of the authors' pages below the docs folder.
        paths: ids of all paths.
        kinds: the kinds of exercise.
        why_not: why no fair exercise of a kind can be made of a pack (kind, unit, pack); None when one can.
    """

    library: Library
    pages: Collection[str]
    paths: Collection[str]
    kinds: Collection[str]
    why_not: Callable[[str, str, str], str | None]


def path_faults(path_id: str, root: Node, known: Known) -> Iterator[Fault]:
    """Faults in the sense of a path.

    Args:
        path_id: the name of its file.
        root: its tree.
        known: what it may name.
    """
    yield from status_faults(root.get("status"))
    steps = root.get("steps")
    if steps is not None and steps.value == ():
        yield Fault(steps.mark, "no-steps", "This path has no steps.", "Write what is to be read, practised and done, in order.")
    items = () if steps is None else steps.items
    for step in items:
        yield from _form(step)
        yield from _senior(step, known.library)
        yield from _named_pages(step, known)
        practice = step.get("practice")
        if practice is not None and practice.is_mapping:
            yield from practice_faults(practice, known)
    yield from _ids(items)
    yield from _editions(root, [step.text_of("id") for step in items])
    yield from _needs(path_id, root, known)


def _form(step: Node) -> Iterator[Fault]:
    if not step.is_mapping:
        return
    given = [form for form in _FORMS if form in step.children]
    if not given and all(step.lacks(form, Step.model_fields) for form in _FORMS):
        yield Fault(step.mark, "empty-step", "This step asks for nothing.", f"Add {listed(_FORMS)}.")
    for form in given[1:]:
        message = f"This step has a {given[0]} and a {form}."
        yield Fault(step.keys[form], "two-forms", message, "Make two steps of it.")
    if "task" in step.children:
        if step.lacks("seen_by", Step.model_fields):
            message = "The task does not say who must see it done."
            yield Fault(step.mark, "not-seen", message, "Add it, for example seen_by: senior.")
        return
    for key in ("standard", "seen_by"):
        if key in step.children and given:
            yield Fault(step.keys[key], "no-task", f"{quoted(key)} belongs to a task.", "Take it out, or make the step a task.")


def _senior(step: Node, library: Library) -> Iterator[Fault]:
    """A task that nobody could sign."""
    seen_by = step.get("seen_by")
    if seen_by is not None and "task" in step.children and not library.shop_at_fault and not library.shop.seniors:
        remedy = "Add them to shop.yml, for example seniors: {fennick: {name: M. Fennick}}."
        yield Fault(seen_by.mark, "no-senior", "Nobody could sign this task: the shop names no seniors.", remedy)


def _named_pages(step: Node, known: Known) -> Iterator[Fault]:
    for key in ("page", "standard"):
        named = step.get(key)
        if named is not None and named.text is not None and named.text not in known.pages:
            remedy = (
                did_you_mean(named.text, known.pages) or "Write its path below the docs folder, for example standards/seals.md."
            )
            yield Fault(named.mark, "unknown-page", f"There is no page {quoted(named.text)}.", remedy)


def practice_faults(practice: Node, known: Known) -> Iterator[Fault]:
    """Faults in the choice of an exercise.

    Args:
        practice: keys kind, unit and pack, as far as they are there.
        known: what may be named.
    """
    kind, unit_node, pack = (practice.get(key) for key in ("kind", "unit", "pack"))
    if kind is not None and kind.text is not None and kind.text not in known.kinds:
        remedy = known_names(kind.text, known.kinds, "kind of exercise")
        yield Fault(kind.mark, "unknown-kind", f"There is no kind of exercise {quoted(kind.text)}.", remedy)
    if unit_node is None or unit_node.text is None or unit_node.text in known.library.units_at_fault:
        return
    unit = unit_node.text
    if unit == STANDARDS and known.library.standards.at_fault:
        return
    if unit not in subject_ids(known.library):
        yield _unknown(unit_node, subject_ids(known.library), "unit")
    elif pack is not None and pack.text is not None and pack.text not in practised_in(known.library, unit):
        yield _unknown(pack, practised_in(known.library, unit), "pack")
    elif kind is not None and pack is not None and kind.text in known.kinds and pack.text is not None:
        reason = known.why_not(str(kind.text), unit, pack.text)
        if reason is not None:
            yield Fault(
                practice.mark, "no-exercise", f"No fair exercise can be made of this. {reason}", "Choose another kind or pack."
            )


def _unknown(node: Node, known: Collection[str], what: str) -> Fault:
    written = node.text or ""
    message = f"There is no {what} {quoted(written)}."
    return Fault(node.mark, "unknown-reference", message, known_names(written, known, what))


def _ids(steps: Collection[Node]) -> Iterator[Fault]:
    seen: set[str] = set()
    for step in steps:
        node = step.get("id")
        if node is None or node.text is None:
            continue
        if node.text in seen:
            message = f"A second step is called {quoted(node.text)}."
            yield Fault(node.mark, "duplicate-id", message, "Give each step its own id: the record goes by it.")
        seen.add(node.text)


def _editions(root: Node, step_ids: Collection[str | None]) -> Iterator[Fault]:
    edition, changes = root.get("edition"), root.get("changes")
    letter = None if edition is None else edition.text
    told = {} if changes is None else changes.children
    if edition is not None and letter is not None and len(letter) == 1 and FIRST_EDITION <= letter <= _LAST_EDITION:
        for needed in (chr(code) for code in range(ord(FIRST_EDITION) + 1, ord(letter) + 1)):
            if needed not in told:
                message = f"Nothing says what edition {needed} changed."
                yield Fault(
                    edition.mark,
                    "no-changes",
                    message,
                    f"Add it under changes, for example {needed}: {{what: ..., steps: [...]}}.",
                )
        for extra in told:
            if changes is not None and not FIRST_EDITION < extra <= letter:
                remedy = "Take it out." if extra <= FIRST_EDITION else "Raise the edition, or take it out."
                message = f"This tells of edition {extra}, and the path is edition {letter}."
                yield Fault(changes.keys[extra], "wrong-edition", message, remedy)
    for change in told.values():
        touched = change.get("steps")
        for node in () if touched is None else touched.items:
            if node.text is not None and node.text not in step_ids:
                yield _unknown(node, [name for name in step_ids if name], "step")


def _needs(path_id: str, root: Node, known: Known) -> Iterator[Fault]:
    needs = root.get("needs")
    for node in () if needs is None else needs.items:
        if node.text == path_id:
            yield Fault(node.mark, "needs-itself", "This path needs itself.", "Take it out.")
        elif node.text is not None and node.text not in known.paths:
            yield _unknown(node, [name for name in known.paths if name != path_id], "path")


def circle_through(path_id: str, needs: Mapping[str, tuple[str, ...]]) -> tuple[str, ...] | None:
    """The paths by way of which a path needs itself, if it does and not at once.

    Args:
        path_id: the path.
        needs: what each path needs.
    """
    waiting: list[tuple[str, ...]] = [(name,) for name in needs.get(path_id, ()) if name != path_id]
    seen: set[str] = set()
    while waiting:
        way = waiting.pop(0)
        for name in needs.get(way[-1], ()):
            if name == path_id:
                return way
            if name not in seen:
                seen.add(name)
                waiting.append((*way, name))
    return None
