"""The README of the calculation panel, held to the markup that the build writes and to what the scripts look for."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from bs4 import BeautifulSoup

from build_hooks.forms.form import Form, TrialPack, TrialShape
from build_hooks.forms.panel import form_of
from build_hooks.markdown.html import html_of
from calc_engine import CATALOGUE, work_out
from tests.build_hooks.browser.test_floors import BROWSER

PANEL: Final = BROWSER / "calc-panel"
README: Final = (PANEL / "README.md").read_text(encoding="utf-8")
# In a selector, set as an attribute, compared.
_IN_SCRIPTS: Final = re.compile(r'(?:data-bench=|"data-bench"[,:] |dataset\.bench [!=]?==? )"?([a-z-]+)')


def listed(written_by: str) -> set[str]:
    """The marks of the README's table."""
    return set(re.findall(rf"^\| `([a-z-]+)` \|.*\| {written_by} \|$", README, re.MULTILINE))


def panels() -> Iterator[BeautifulSoup]:
    """A panel of each calculation, as a page has it."""
    for name, calculation in CATALOGUE.items():
        example = dict(calculation.example)
        form = Form(calculation, name, "Title", "", example, work_out(name, example), preset={"units": "metric"})
        yield BeautifulSoup(html_of(form_of(form)), "html.parser")
    name, example = "set-clearances", dict(CATALOGUE["set-clearances"].example)
    trial = TrialShape(["forward ring", "reaction plate"], [TrialPack("forward", "dial", ["Limits"])])
    drum = Form(CATALOGUE[name], "drum", "Title", "", example, work_out(name, example), preset={"units": "metric"}, trial=trial)
    yield BeautifulSoup(html_of(form_of(drum)), "html.parser")
    name, example = "which-element", dict(CATALOGUE["which-element"].example)
    leads = {"low brake": (("Set the low brake", "low-brake/"),)}
    suspects = Form(CATALOGUE[name], "suspects", "Title", "", example, work_out(name, example), leads=leads)
    yield BeautifulSoup(html_of(form_of(suspects)), "html.parser")
    name, example = "gear-train", dict(CATALOGUE["gear-train"].example)
    tried = {**example, "gears": [{"name": gear["name"]} for gear in example["gears"]]}
    choices = {"gears.0.on": [element["name"] for element in example["elements"]]}
    what_if = Form(CATALOGUE[name], "what-if", "Title", "", example, work_out(name, example), preset=tried, choices=choices)
    yield BeautifulSoup(html_of(form_of(what_if)), "html.parser")
    name, example = "end-play", dict(CATALOGUE["end-play"].example)
    sizes = {"fitted": [size["id"] for size in example["choices"]]}
    shaft = Form(CATALOGUE[name], "shaft", "Title", "", example, work_out(name, example), choices=sizes)
    yield BeautifulSoup(html_of(form_of(shaft)), "html.parser")


def marks(markup: BeautifulSoup) -> set[str]:
    """The values of `data-bench` in it."""
    return {str(found["data-bench"]) for found in markup.select("[data-bench]")}


def test_the_readme_lists_what_the_build_writes() -> None:
    """Every mark of a panel, and none that no panel has."""
    assert listed("the build") == set().union(*map(marks, panels()))


def test_the_readme_lists_what_the_scripts_use() -> None:
    """A script looks for no mark that nobody writes."""
    used = {mark for path in PANEL.rglob("*.js") for mark in _IN_SCRIPTS.findall(path.read_text(encoding="utf-8"))}
    assert used - listed("the build") == listed("a script")


def test_the_example_is_markup_that_the_build_writes() -> None:
    """Its elements with their marks are found in the panel of that calculation, in this order."""
    (example,) = re.findall(r"```html\n(.*?)```", README, re.DOTALL)
    built = next(panel for panel in panels() if panel.select_one("[data-calculator=sight-size]"))
    order = iter(outline(built))
    assert [item for item in outline(BeautifulSoup(example, "html.parser")) if item not in order] == []


def outline(markup: BeautifulSoup) -> list[tuple[str, str, bool]]:
    """The marked elements in order, and whether each is within the form."""
    found = markup.select("[data-bench]")
    return [(one.name, str(one["data-bench"]), one.find_parent("form") is not None) for one in found]
