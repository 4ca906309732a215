"""The tree block: a decision tree as steps, each question with its answers and what they lead to."""

from __future__ import annotations

from pydantic import Field

from build_hooks.blocks.context import HELD_BACK, Context, Trouble, known_or_trouble
from build_hooks.learning.standards_data import tree_anchor
from build_hooks.model import Keys
from build_hooks.model.fields import Reference
from build_hooks.model.standards import Tree, TreeAnswer, TreeEnd, TreeQuestion
from build_hooks.reading.addresses import address_of
from calc_engine import Element, capitalised, element, sentence

__all__ = ["TreeBody", "render_tree"]


class TreeBody(Keys):
    """The body of a tree block."""

    tree: Reference = Field(description="The file of the folder trees, without its ending.", examples=["incoming"])


def render_tree(body: TreeBody, context: Context) -> Element:
    """The questions in the order of the file, the answers below each: a link to the next question, or what to do.

    Raises:
        Trouble: there is no such tree.
    """
    standards = context.library.standards
    if standards.at_fault and body.tree not in standards.trees:
        raise Trouble(("tree",), HELD_BACK, "The standards' data have problems of their own.", "Mend findings and trees first.")
    tree = known_or_trouble(standards.trees, body.tree, ("tree",), "tree")
    top = context.identity(tree_anchor(body.tree))
    numbers = {name: number for number, name in enumerate(tree.questions, 1)}
    return element(
        "section",
        {"class": "bench-tree", "data-bench": "tree", "id": top, "aria-label": tree.name},
        element(
            "ol",
            {"class": "bench-tree-questions"},
            *(_question(question, tree, numbers, top, context) for question in tree.questions.values()),
        ),
    )


def _question(question: TreeQuestion, tree: Tree, numbers: dict[str, int], top: str, context: Context) -> Element:
    return element(
        "li",
        {"id": f"{top}-{question.id}"},
        element("p", {"class": "bench-tree-check"}, element("strong", {}, sentence(question.check)), f" {question.asks}"),
        element("ul", {}, *(_answer(answer, tree, numbers, top, context) for answer in question.answers)),
    )


def _answer(answer: TreeAnswer, tree: Tree, numbers: dict[str, int], top: str, context: Context) -> Element:
    number = numbers.get(answer.leads_to)
    then: tuple[Element | str, ...]
    if number is None:
        then = _end(tree.ends[answer.leads_to], context)
    else:
        question = tree.questions[answer.leads_to]
        then = (element("a", {"href": f"#{top}-{question.id}"}, f"Go to {number}: {question.check}"),)
    return element(
        "li",
        {"data-leads": answer.leads_to},
        element("span", {"class": "bench-tree-answer"}, capitalised(answer.answer)),
        element("span", {"class": "bench-tree-arrow", "aria-hidden": "true"}, " → "),
        element("span", {"class": "bench-tree-then"}, *then),
    )


def _end(end: TreeEnd, context: Context) -> tuple[Element | str, ...]:
    said: list[Element | str] = []
    if end.suspect is not None:
        said += [element("strong", {}, f"Suspect: {end.suspect}."), " "]
    said.append(sentence(end.do))
    if end.page is not None:
        address = address_of(end.page).removesuffix("index.html")
        title = context.library.standards.titles.get(end.page, end.page)
        said += [" See ", element("a", {"href": f"{context.root}{address}"}, title), "."]
    return tuple(said)
