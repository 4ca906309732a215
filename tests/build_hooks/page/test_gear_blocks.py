"""The applied chart, what each pack holds, and the forms that a gear set fills, on a made-up unit of one planetary set."""

from __future__ import annotations

import json
from datetime import date
from math import pi
from pathlib import Path
from typing import Final

import pytest
from bs4 import BeautifulSoup, Tag

from build_hooks.edition import prepare
from build_hooks.gears import figures_of, holdings_of
from build_hooks.library import load
from build_hooks.model import Unit

UNIT: Final = """\
name: Ash 9
invented: true
parts:
  steel: {name: Steel plate, kind: steel, thickness: 2.00 mm}
  friction: {name: Friction plate, kind: friction, thickness: 1.80 mm, outer: 140 mm, inner: 110 mm}
  piston: {name: Piston, kind: piston, outer: 130 mm, inner: 70 mm}
packs:
  low:
    name: Low brake
    grip: {friction_coefficient: 0.12, spring_force: 800 N, source: shop standard FL-1, revision: A}
    stack: [piston, {repeat: 4, of: [steel, friction]}, steel]
  high:
    name: High clutch
    stack: [{repeat: 1, of: [steel, friction]}, steel]
gear_set:
  input: set.sun
  output: set.carrier
  sets: {set: {sun: 30, ring: 70, planet: 20, planets: 4}}
  elements:
    low: {name: Low brake, holds: set.ring, pack: low}
    high: {name: High clutch, joins: [set.sun, set.ring], pack: high}
  chart:
    - {gear: 1, on: [low]}
    - {gear: 2, on: [high]}
    - {gear: N}
  input_torque: 200 N.m
  pressure: 1200 kPa
  source: shop standard FL-2
"""
PAGE: Final = """# Gears

```applied
unit: ash-9
```

```calc
calculation: which-element
unit: ash-9
example: {seen: [{gear: "1", what: slips}]}
```

```calc
calculation: gear-train
unit: ash-9
```
"""


@pytest.fixture
def docs(tmp_path: Path) -> Path:
    """A manual of that unit and a page."""
    (tmp_path / "units" / "ash-9").mkdir(parents=True)
    (tmp_path / "shop.yml").write_text("name: Ash Lane\n", encoding="utf-8")
    (tmp_path / "units" / "ash-9" / "unit.yml").write_text(UNIT, encoding="utf-8")
    (tmp_path / "page.md").write_text(PAGE, encoding="utf-8")
    return tmp_path


def unit_of(docs: Path) -> Unit:
    """The unit."""
    library, problems = load(docs)
    assert library is not None, problems
    return library.units["ash-9"]


def blocks_of(docs: Path) -> list[BeautifulSoup]:
    """The blocks of the page, in order."""
    edition, problems = prepare(docs, date(2026, 11, 28))
    assert edition is not None, list(problems)
    return [BeautifulSoup(block, "html.parser") for block in edition.pages.by_path["page.md"].blocks]


def cells(row: Tag) -> list[str]:
    """The texts of a row."""
    return [cell.get_text(" ", strip=True) for cell in row.select("th, td")]


def test_what_a_pack_holds_is_that_of_the_textbook_formulas(docs: Path) -> None:
    """Uniform wear, T = N mu F (ro + ri)/2 with two faces a plate, and F = p A less the springs: Shigley, machine design (from memory)."""
    unit = unit_of(docs)
    assert unit.gear_set is not None
    holdings, unknown = holdings_of(unit, unit.gear_set, figures_of(unit.gear_set))
    (low,) = holdings
    force = 1.2 * pi / 4 * (130**2 - 70**2) - 800

    def torque(plates: int, newtons: float) -> float:
        return 2 * plates * 0.12 * newtons * (0.070 + 0.055) / 2

    assert float(low.wanted.value) == pytest.approx(200 * 70 / 30)
    assert float(low.holds.value) == pytest.approx(torque(4, force))
    assert float(low.reserve) == pytest.approx(torque(4, force) / (200 * 70 / 30))
    assert low.fewer is not None
    assert float(low.fewer) == pytest.approx(torque(3, force) / (200 * 70 / 30))
    assert float(low.lower) == pytest.approx(torque(4, 0.8 * (force + 800) - 800) / (200 * 70 / 30))
    assert [(each.element, each.missing) for each in unknown] == [
        ("high", ("its friction coefficient", "the diameters of its lining and piston"))
    ]


def test_the_chart_has_ratio_torque_and_what_is_on(docs: Path) -> None:
    """First gear 1 + 70/30, held by 70/30 of the torque; second one to one. What is not known is said, not left out."""
    applied = blocks_of(docs)[0]
    rows = [cells(row) for row in applied.select(".bench-applied-chart tr")]
    assert rows[0] == ["Gear", "1", "2", "N"]
    assert rows[1] == ["Low brake", "● 2.33", "off", "off"]
    assert rows[2][:2] == ["High clutch", "off"]
    assert next(row for row in rows if row[0] == "Ratio")[1:3] == ["3.333", "1.000"]
    held = [cells(row) for row in applied.select(".bench-holding-table tbody tr")]
    assert held == [["Low brake", "1", "466.67 N·m", "630.58 N·m", "1.35", "1.01", "1.06"]]
    assert "High clutch: not known, for the data do not give its friction coefficient or the diameters" in applied.get_text(" ")


def test_hot_fluid_has_a_column_where_the_data_give_its_friction(docs: Path) -> None:
    """Torque goes with the friction coefficient: 1.35 at 0.12 is 1.13 at 0.10. The working says so."""
    path = docs / "units" / "ash-9" / "unit.yml"
    path.write_text(
        UNIT.replace("friction_coefficient: 0.12,", "friction_coefficient: 0.12, friction_hot: 0.10,"), encoding="utf-8"
    )
    applied = blocks_of(docs)[0]
    assert [head.get_text() for head in applied.select(".bench-holding-table th[scope=col]")][-1] == "In hot fluid"
    assert cells(applied.select(".bench-holding-table tbody tr")[0])[-1] == "1.13"
    working = [line.get_text() for line in applied.select(".bench-working li")]
    assert "in hot fluid:" in working
    assert working[-1] == "reserve = 630.58 N·m / 466.67 N·m ≈ 1.35"


def test_a_suspect_leads_to_its_procedure_air_check_and_stack(docs: Path) -> None:
    """The pages of the unit with a form for the pack, found in their Markdown; the same links are there for the script."""
    form = "```calc\ncalculation: pack-clearance\npack: low\nexample: {lifts: [1.0 mm, 1.1 mm]}\n```\n"
    unit = docs / "units" / "ash-9"
    limits = (
        "    clearance: {min: 0.90 mm, max: 1.40 mm, method: dial, at: 2 positions, source: shop standard FL-3, revision: A}\n"
    )
    data = UNIT.replace("    name: Low brake\n", f"    name: Low brake\n{limits}", 1)
    data = data.replace("[steel, friction]}, steel]", "[steel, friction]}, steel, {measure: lift by dial}]", 1)
    (unit / "unit.yml").write_text(data, encoding="utf-8")
    (unit / "low.md").write_text(f"# Set the low brake\n\n{form}\n## Air check\n\nListen.\n", encoding="utf-8")
    (unit / "other.md").write_text("# Another page\n\nNothing of the pack.\n", encoding="utf-8")
    road_test = blocks_of(docs)[1]
    expected = [
        ["Set the low brake", "../units/ash-9/low/"],
        ["Air check", "../units/ash-9/low/#air-check"],
        ["Low brake on the shop screen", "../wall/ash-9/low/index.html"],
    ]
    links = [[link.get_text(), link["href"]] for link in road_test.select('[data-leads="Low brake"] a')]
    assert links[: len(expected)] == expected
    leads = road_test.select_one('script[data-bench="leads"]')
    assert leads is not None
    assert json.loads(leads.get_text())["Low brake"] == expected


def test_a_form_without_amounts_offers_no_units(docs: Path) -> None:
    """Which element has none; a gear train has an input torque."""
    _, road_test, train = blocks_of(docs)
    assert road_test.select("[data-bench=units]") == []
    assert len(train.select("[data-bench=units]")) == 1


def test_a_pack_that_slips_is_said_to(docs: Path) -> None:
    """By a word beside the figure."""
    path = docs / "units" / "ash-9" / "unit.yml"
    path.write_text(UNIT.replace("pressure: 1200 kPa", "pressure: 400 kPa"), encoding="utf-8")
    (row,) = blocks_of(docs)[0].select(".bench-holding-table tbody tr")
    assert [cell.endswith("slips") for cell in cells(row)[4:]] == [True, True, True]


def test_the_road_test_has_a_row_for_each_gear_that_drives(docs: Path) -> None:
    """The chart is given; what each gear does is asked for, and starts as not tried."""
    form = blocks_of(docs)[1]
    preset = json.loads(form.select_one("[data-bench=preset]").text)
    assert preset["elements"] == [{"name": "Low brake", "kind": "brake"}, {"name": "High clutch", "kind": "clutch"}]
    assert preset["gears"] == [{"name": "1", "on": ["Low brake"]}, {"name": "2", "on": ["High clutch"]}]
    assert [choice["name"] for choice in form.select("select")] == ["seen.0.what", "seen.1.what"]
    assert "It fits that Low brake does not hold." in form.get_text(" ")


def test_what_if_asks_only_for_what_is_on(docs: Path) -> None:
    """Sets, members and elements come from the data."""
    form = blocks_of(docs)[2]
    preset = json.loads(form.select_one("[data-bench=preset]").text)
    assert set(preset) == {"sets", "joined", "elements", "gears", "input", "output", "input_torque"}
    assert preset["gears"] == [{"name": "Tried"}]
    assert [tick["value"] for tick in form.select("[data-bench=name]")] == ["Low brake", "High clutch"]
    assert not form.select("[data-bench=list]")


@pytest.mark.parametrize("block", ["applied\n", "calc\ncalculation: which-element\n"])
def test_a_unit_without_a_gear_set_is_told(docs: Path, block: str) -> None:
    """At the key that names it, with what to write."""
    (docs / "units" / "ash-9" / "unit.yml").write_text(UNIT.split("gear_set:", maxsplit=1)[0], encoding="utf-8")
    (docs / "page.md").write_text(f"# Gears\n\n```{block}unit: ash-9\n```\n", encoding="utf-8")
    edition, problems = prepare(docs, date(2026, 11, 28))
    assert edition is None
    (problem,) = problems
    assert str(problem).endswith("The unit “Ash 9” has no gear set. Write gear_set: in its unit.yml.")
