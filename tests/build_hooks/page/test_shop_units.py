"""The forms of a shop that reads in inches, as the build makes them."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest
from bs4 import BeautifulSoup, Tag

from build_hooks.library import load
from build_hooks.page.pages import read_pages

SHOP: Final = """\
name: Quay Lane
units: inch
gauges:
  metric-dial: {name: Metric dial, kind: dial, resolution: 0.01 mm, max_error: 0.02 mm}
  inch-dial: {name: Inch dial, kind: dial, resolution: 0.001 in, max_error: 0.0005 in}
"""
UNIT: Final = """\
name: Oak 2
parts:
  plate: {name: Steel plate, kind: steel, thickness: 1.80 mm}
  ring-a: {name: Thin ring, kind: snap-ring, thickness: 1.50 mm, mark: blue}
  ring-b: {name: Thick ring, kind: snap-ring, thickness: 1.70 mm, mark: red}
drums: {drum: {name: Drum}}
packs:
  low:
    name: Low pack
    drum: drum
    stack: [plate, ring-a, {measure: With the dial.}]
    clearance: {min: 0.90 mm, max: 1.40 mm, method: dial, source: FL-1, revision: A}
shafts:
  input: {name: Input shaft, end_play: {min: 0.20 mm, max: 0.50 mm, source: FL-1, revision: A}}
selective:
  ring: {name: Ring, choices: [ring-a, ring-b], tightens: [low]}
"""


def told(tmp_path: Path, block: str, shop: str = SHOP) -> tuple[list[str], Tag]:
    """The problems of a page with one calc block, and the form of the block."""
    docs = tmp_path / "docs"
    (docs / "units" / "oak-2").mkdir(parents=True)
    (docs / "shop.yml").write_text(shop, encoding="utf-8")
    (docs / "units" / "oak-2" / "unit.yml").write_text(UNIT, encoding="utf-8")
    (docs / "units" / "oak-2" / "page.md").write_text(f"```calc\n{block}\n```\n", encoding="utf-8")
    library, problems = load(docs)
    assert library is not None
    assert problems == ()
    pages, found = read_pages(docs, library)
    made = pages.by_path["units/oak-2/page.md"].blocks[0]
    told = [str(problem).removeprefix((docs / "units/oak-2/page.md").as_posix()) for problem in found]
    return told, BeautifulSoup(made, "html.parser")


def form(tmp_path: Path, block: str, shop: str = SHOP) -> Tag:
    """The form of a block without problems."""
    problems, made = told(tmp_path, block, shop)
    assert problems == []
    return made


@pytest.mark.parametrize(
    "block",
    [
        "calculation: pack-clearance\npack: low",
        "calculation: end-play\nshaft: input",
        "calculation: set-clearances\ndrum: drum",
        "calculation: choose-parts\npacks: [low]\nexample: {clearances: {low: 0.046 in}}",
        "calculation: indicator-angle",
    ],
)
def test_every_form_of_an_inch_shop_starts_in_inches(block: str, tmp_path: Path) -> None:
    """Whatever fills it: each blank for a length has the inch behind it, also on paper, and the example is answered in inches."""
    made = form(tmp_path, block)
    assert made.select_one("input[name=units][checked]")["value"] == "inch"
    assert made.select_one("form")["data-units"] == "inch"
    assert {str(unit.text) for unit in made.select("[data-bench=unit]")} <= {"in", "deg"}
    figures = made.select_one("[data-bench=result]").text
    assert " in" in figures
    assert " mm" not in made.select_one(".bench-working").text


def test_without_the_key_a_shop_is_metric(tmp_path: Path) -> None:
    """As every shop was before there was a choice."""
    made = form(tmp_path, "calculation: pack-clearance\npack: low", SHOP.replace("units: inch\n", ""))
    assert made.select_one("input[name=units][checked]")["value"] == "metric"
    assert {unit.text for unit in made.select("[data-bench=unit]")} == {"mm"}


def test_a_block_starts_in_the_units_that_it_names(tmp_path: Path) -> None:
    """Also one that takes nothing from the unit data."""
    made = form(tmp_path, "calculation: indicator-angle\nunits: metric")
    assert made.select_one("input[name=units][checked]")["value"] == "metric"
    assert [unit.text for unit in made.select("[data-bench=unit]")] == ["mm", "deg"]


def test_a_gauge_that_is_not_named_is_one_that_shows_the_shops_units(tmp_path: Path) -> None:
    """A shop that reads in inches takes its inch dial, though the metric one comes first."""
    made = form(tmp_path, "calculation: pack-clearance\npack: low")
    assert made.select_one('input[name="gauge.resolution"]')["value"] == "0.001 in"


def test_limits_keep_the_unit_of_their_source(tmp_path: Path) -> None:
    """The same figure in inches stands beside it, and says that it is converted."""
    made = form(tmp_path, "calculation: pack-clearance\npack: low")
    row = made.select_one('[data-row="limits.max"]')
    assert row.select_one("input")["value"] == "1.40 mm"
    assert row.select_one('.bench-converted[data-system="inch"]').text == "0.0551 in, converted"


@pytest.mark.parametrize(
    ("block", "problem"),
    [
        (
            "calculation: pack-clearance\npack: low\nexample: 0.046",
            ":4:10: The example must name fields of the calculation. Write for example example: {lifts: [0.052 in, 0.054 in]}.",
        ),
        (
            "calculation: pack-clearance\npack: low\nexample: {lifts: [0.046]}",
            ":4:19: The example has no answer: “0.046” has no unit. Write the unit too, for example 0.034 in.",
        ),
        (
            "calculation: choose-parts\npacks: [low]",
            ":2:1: The example must give the clearances. Write example: {clearances: {forward: 0.053 in}}.",
        ),
        (
            "calculation: set-clearances\ndrum: drum\nexample: {low: 0.046}",
            ":4:16: The readings of low must be named. Write for example {lifts: [0.052 in, 0.054 in]}.",
        ),
        (
            "calculation: indicator-angle\nunits: inches",
            ":3:8: “inches” is not a choice of units. Did you mean “inch”?",
        ),
    ],
)
def test_a_block_of_an_inch_shop_is_mended_by_examples_in_inches(block: str, problem: str, tmp_path: Path) -> None:
    """The whole message."""
    assert told(tmp_path, block)[0] == [problem]
