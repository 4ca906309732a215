"""What next: a complaint and what was found so far, drawn from a decision tree; asked for the next check, or the end it comes to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from calc_engine import Element, element, sentence
from calc_engine.practice.exercise import Ask, AskOption, Exercise, Mark, chosen, read_answer
from calc_engine.practice.generator import Generator, generator_for, in_turn
from calc_engine.practice.standards import End, Step, Tree
from calc_engine.practice.unit import ExerciseUnit, Pack

__all__ = ["KIND", "NextCheckKey", "make", "mark", "why_not"]

KIND: Final = "next"
_MOST_OTHERS: Final = 4
_FEWEST_OTHERS: Final = 2


@dataclass(frozen=True, slots=True)
class _Case:
    """An end with the way to it, how many of its questions are answered, and the complaint."""

    way: tuple[Step, ...]
    end: End
    answered: int
    complaint: str

    @property
    def right(self) -> str:
        """The id of what comes next."""
        return self.end.id if self.answered == len(self.way) else self.way[self.answered].question.id

    @property
    def found(self) -> tuple[Step, ...]:
        """What was found so far."""
        return self.way[: self.answered]


@dataclass(frozen=True, slots=True)
class NextCheckKey:
    """What the exercise is marked by: the tree, the case, and by the id of each option what of the tree it is."""

    tree: Tree
    case: _Case
    nodes: dict[str, str]


def why_not(unit: ExerciseUnit, pack: Pack) -> str | None:
    """Why no fair exercise can be made; None when one can."""
    if pack.id not in unit.trees:
        return "This is asked of a decision tree of the standards."
    tree = unit.trees[pack.id]
    if not _cases(tree):
        return "No end of the tree has a complaint."
    if len(tree.questions) + len(tree.ends) <= _FEWEST_OTHERS + 1:
        return "The tree has too few questions and ends to choose from."
    return None


def _cases(tree: Tree) -> list[_Case]:
    """Every case: at least one question is answered, and the last one answered leads on to what is asked for."""
    return [
        _Case(way, end, answered, complaint)
        for way, end in tree.ways()
        for complaint in end.complaints
        for answered in range(1, len(way) + 1)
    ]


def make(unit: ExerciseUnit, pack: Pack, seed: int) -> Exercise[NextCheckKey] | None:
    """A complaint with findings. In a set none comes twice before each has come once. None when `why_not` says why.

    Args:
        unit: the standards.
        pack: stands for a decision tree.
        seed: decides all that is drawn; the same one gives the same exercise.
    """
    if why_not(unit, pack) is not None:
        return None
    tree = unit.trees[pack.id]
    case = in_turn(_cases(tree), seed, KIND, unit.id, pack.id)
    draw = generator_for(seed, KIND, unit.id, pack.id, "options")
    nodes = draw.shuffled((case.right, *_others(tree, case, draw)))
    options = tuple(AskOption(f"option-{number}", tree.label_of(name)) for number, name in enumerate(nodes, 1))
    return Exercise(
        kind=KIND,
        seed=seed,
        unit=unit.id,
        pack=pack.id,
        title=f"{pack.name}: what next?",
        question=f"The customer says: “{sentence(case.complaint)}” Here is what was found so far. What comes next?",
        given={"complaint": case.complaint, "found": [[step.question.id, step.branch.answer] for step in case.found]},
        shown=_found_list(case),
        asks=(Ask("next", "choice", "What comes next", options),),
        key=NextCheckKey(tree, case, {option.id: name for option, name in zip(options, nodes, strict=True)}),
    )


def _found_list(case: _Case) -> Element:
    rows = (
        piece for step in case.found for piece in (element("dt", {}, step.question.asks), element("dd", {}, step.branch.answer))
    )
    return element("div", {"class": "practice-readings practice-found"}, element("dl", {}, *rows))


def _others(tree: Tree, case: _Case, draw: Generator) -> tuple[str, ...]:
    """What could be taken for it: first what the branches lead to that were left last and what comes too early, then anything else."""
    taken = {tree.label_of(case.right)}
    last = case.found[-1]
    near = [branch.to for branch in last.question.branches]
    early = [step.branch.to for step in case.way[case.answered :]]
    rest = [name for name in (*tree.questions, *tree.ends) if name != tree.start]
    found: list[str] = []
    for name in (*draw.shuffled(near)[:2], *draw.shuffled(early)[:1], *draw.shuffled(rest)):
        if len(found) < _MOST_OTHERS and tree.label_of(name) not in taken:
            taken.add(tree.label_of(name))
            found.append(name)
    return tuple(found)


def mark(exercise: Exercise[NextCheckKey], given: object) -> Mark:
    """Marks what comes next, and tells a wrong answer by the branch where it leaves the way.

    Raises:
        Refused: the answer is missing or no option.

    Args:
        exercise: as it was made.
        given: the answer by the id of each ask.
    """
    key = exercise.key
    case = key.case
    asked = exercise.asks[0]
    answer = read_answer(exercise.asks, given)
    right = next(option for option, name in key.nodes.items() if name == case.right)
    marked = chosen(asked, answer, right)
    last = case.found[-1]
    why = [] if marked.right else [_where_it_leaves(key, key.nodes[str(answer["next"])])]
    why.append(f"“{last.question.asks}” {sentence(last.branch.answer)} That leads on to: {sentence(marked.answer)}")
    working = tuple(f"{step.question.check}: {step.branch.answer}" for step in case.found)
    return Mark((marked,), tuple(why), (*working, marked.answer), (key.tree.page,))


def _where_it_leaves(key: NextCheckKey, name: str) -> str:
    """Why what was chosen does not come next: it was answered already, comes later, or stands behind another branch."""
    found = key.case.found
    label = key.tree.label_of(name)
    for step in found:
        if step.question.id == name:
            return f"“{label}” is answered already: {sentence(step.branch.answer)}"
    ways = [(_shared(way, found), way) for way in key.tree.ways_to(name)]
    shared, way = max(ways, key=lambda pair: pair[0])
    if shared == len(found):
        return f"“{label}” comes later. First: {sentence(key.tree.label_of(key.case.right))}"
    left, here = way[shared], found[shared]
    return (
        f"“{label}” stands behind another branch. To “{here.question.asks}” the answer would have to be: "
        f"{sentence(left.branch.answer)} Here it is: {sentence(here.branch.answer)}"
    )


def _shared(way: tuple[Step, ...], found: tuple[Step, ...]) -> int:
    """How many steps two ways have in common."""
    return next((at for at, (one, other) in enumerate(zip(way, found, strict=False)) if one != other), min(len(way), len(found)))
