"""The answer panel: sound elements, every output once, no text lost."""

from __future__ import annotations

import copy
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from calc_engine import CATALOGUE, Worked, fields_of, panel, work_out
from calc_engine.bench.selective import ChoiceOutcome
from calc_engine.calculations.stack_forecast import Bar

NAMES = list(CATALOGUE)
PACK: dict[str, Any] = dict(CATALOGUE["pack-clearance"].example)
TAGS = {
    "div", "strong", "p", "svg", "path", "rect", "text", "ul", "ol", "li", "table", "caption", "thead", "tbody", "tr", "th", "td", "h4",
    "details", "summary", "circle",
}  # fmt: skip
CHILDREN = {
    "table": {"caption", "thead", "tbody"}, "thead": {"tr"}, "tbody": {"tr"}, "tr": {"th", "td"}, "ul": {"li"}, "ol": {"li"},
    "svg": {"path", "rect", "text", "circle"},
}  # fmt: skip


def elements(root: Any) -> Iterator[Any]:
    """An element and all below it."""
    yield root
    for child in root[2]:
        if isinstance(child, list):
            yield from elements(child)


def words(root: Any) -> str:
    """All text of an element."""
    return "".join(child if isinstance(child, str) else words(child) for child in root[2])


def found(root: Any, **wanted: str) -> list[Any]:
    """The elements that have these attributes (data_output for data-output); of several classes the one wanted is enough."""

    def has(attributes: dict[str, str], name: str, value: str) -> bool:
        given = attributes.get(name.rstrip("_").replace("_", "-"))
        return given is not None and (value in given.split() if name == "class_" else value == given)

    return [item for item in elements(root) if all(has(item[1], name, value) for name, value in wanted.items())]


def shown(request: dict[str, Any], name: str = "pack-clearance") -> tuple[Any, dict[str, Any]]:
    """The panel of a request, and its reply."""
    worked = work_out(name, request)
    return panel(worked), worked.reply


@pytest.mark.parametrize("name", NAMES)
def test_every_panel_is_made_of_sound_elements(name: str) -> None:
    """Known tags, texts in attributes, children that belong there."""
    root, _ = shown(dict(CATALOGUE[name].example), name)
    for item in elements(root):
        tag, attributes, children = item
        assert tag in TAGS
        assert all(isinstance(key, str) and isinstance(value, str) and value for key, value in attributes.items())
        assert all(isinstance(child, (str, list)) for child in children)
        if tag in CHILDREN:
            assert all(isinstance(child, list) and child[0] in CHILDREN[tag] for child in children)
        if tag == "svg":
            assert attributes["aria-label"]


@pytest.mark.parametrize("name", NAMES)
def test_every_output_stands_in_the_panel_once(name: str) -> None:
    """Marked with its name; certain is told by the verdict's words, the part to fit by its row."""
    root, reply = shown(dict(CATALOGUE[name].example), name)
    marked = Counter(item[1]["data-output"] for item in elements(root) if "data-output" in item[1])
    assert set(marked.values()) == {1}
    told = {"certain"} if "certain" in reply["result"] else set()
    if found(root, class_="bench-fit"):
        told.add("fit")
    given = {output for output, value in reply["result"].items() if value not in ([], None)}
    assert set(marked) == given - told


@pytest.mark.parametrize("name", NAMES)
def test_no_line_of_working_and_no_caution_is_lost(name: str) -> None:
    """In their order, each in its own item."""
    root, reply = shown(dict(CATALOGUE[name].example), name)
    (working,) = found(root, class_="bench-working")
    assert [words(item) for item in working[2][1][2]] == reply["working"]
    cautions = found(root, class_="bench-cautions")
    assert [words(item) for item in cautions[0][2]] == reply["cautions"] if reply["cautions"] else cautions == []


@pytest.mark.parametrize("name", NAMES)
def test_every_figure_has_the_label_of_its_declaration(name: str) -> None:
    """A row of label and value, in the order of the declaration."""
    root, _ = shown(dict(CATALOGUE[name].example), name)
    labels = {field.name: field.declared.label for field in fields_of(CATALOGUE[name].result)}
    rows = [row for table in found(root, class_="bench-figures") for row in table[2][1][2]]
    outputs = [row[2][1][1]["data-output"] for row in rows]
    assert [words(row[2][0]) for row in rows] == [labels[output] for output in outputs]
    assert outputs == sorted(outputs, key=list(labels).index)
    assert all(words(row[2][1]) for row in rows)


def test_what_a_table_has_no_room_for_folds_out() -> None:
    """Of gear-train the lists of names with figures and the sentences, gear by gear; what is a figure by itself stays in the table."""
    root, reply = shown(dict(CATALOGUE["gear-train"].example), "gear-train")
    (gears,) = [item for item in elements(root) if item[1].get("data-output") == "gears"]
    table, *folded = gears[2]
    assert [words(cell) for cell in table[2][1][2][0][2]] == ["Gear", "State", "Ratio", "Ratio, exact", "Step", "Output torque"]
    assert [words(cell) for cell in table[2][2][2][1][2]] == ["2", "fixed", "2.0000", "2", "1.4167", "400.00 N·m"]
    assert [words(each[2][0]) for each in folded] == ["Gear 1", "Gear 2", "Gear 3", "Gear 4", "Gear R"]
    rows = {words(row[2][0]): row[2][1] for row in folded[1][2][1][2][1][2]}
    assert list(rows) == [
        "Why", "Speeds", "Torques", "Elements carry", "Open elements slip", "Planets turn", "Power through the sets", "Elements carry, as torque",
    ]  # fmt: skip
    assert rows["Why"] == ["td", {"class": "bench-words"}, [reply["result"]["gears"][1]["reason"]]]
    assert [words(each) for each in rows["Elements carry"][2]] == [
        "low brake: 1.8333",
        "carrier clutch: 2.8333",
        "sun brake: -0.8333",
    ]


def test_sentences_of_an_answer_stand_each_by_itself() -> None:
    """Not with commas between them, as names do."""
    root, reply = shown(dict(CATALOGUE["which-element"].example), "which-element")
    (cell,) = [item for item in elements(root) if item[1].get("data-output") == "tell_apart"]
    assert cell == [
        "td",
        {"data-output": "tell_apart", "class": "bench-words"},
        [["div", {}, [reply["result"]["tell_apart"][0]]]],
    ]


def test_the_panel_of_the_demo_s_forward_pack() -> None:
    """Verdict, advice, picture, sizes with the one to fit marked, figures rounded once."""
    root, _ = shown(PACK)
    assert root[:2] == ["div", {"class": "bench-answer", "data-verdict": "in", "data-certain": "false"}]
    head, picture, sizes, figures, working = root[2]
    assert head == [
        "div", {"class": "bench-verdict"},
        [
            ["strong", {"class": "bench-verdict-word", "data-output": "verdict"}, ["In, but close"]],
            ["p", {"data-output": "advice"}, ["In, but too close to the upper limit to trust. Measure again, or fit two dots."]],
        ],
    ]  # fmt: skip
    assert picture[1]["aria-label"] == "1.35 mm, plus or minus 0.059 mm. Limits 0.90 mm to 1.40 mm."
    assert words(sizes[2][0]) == "With each size"
    assert [words(cell) for cell in sizes[2][1][2][0][2]] == ["Which", "Thickness", "Clearance", "Verdict"]
    assert [[words(cell) for cell in row[2]] for row in sizes[2][2][2]] == [
        ["no dot", "1.37 mm", "1.55 mm", "too loose"],
        ["one dot (fitted)", "1.57 mm", "1.35 mm", "in"],
        ["▶ Fit: two dots", "1.78 mm", "1.14 mm", "in"],
        ["three dots", "1.98 mm", "0.94 mm", "in"],
    ]
    assert [row[1] for row in sizes[2][2][2]] == [{}, {}, {"class": "bench-fit"}, {}]
    assert sizes[1] == {"class": "bench-choices bench-named", "data-output": "by_choice"}
    assert {words(row[2][0]): words(row[2][1]) for row in figures[2][1][2]} == {
        "Clearance": "1.35 mm", "Smallest": "1.31 mm", "Largest": "1.40 mm", "Spread": "0.09 mm", "Standard deviation": "0.039 mm",
        "Uncertainty": "0.059 mm", "Coverage factor": "2.5818", "Ideal extra thickness": "0.20 mm", "Least extra thickness that works": "-0.05 mm",
        "Most extra thickness that works": "0.45 mm", "At each position": "1.31 mm, 1.36 mm, 1.33 mm, 1.40 mm", "Readings even": "yes", "For each friction plate": "0.27 mm",
    }  # fmt: skip
    assert words(figures[2][0]) == "Figures"
    assert working[2][0] == ["h4", {"class": "bench-working-title"}, ["Working"]]


@pytest.mark.parametrize(
    ("lift", "gauge", "word"),
    [
        ("1.15 mm", "0.01 mm", "In"), ("1.40 mm", "0.01 mm", "In, but close"), ("0.5 mm", "0.01 mm", "Too tight"),
        ("0.89 mm", "0.1 mm", "Looks too tight"), ("2 mm", "0.01 mm", "Too loose"), ("1.41 mm", "0.1 mm", "Looks too loose"),
    ],
)  # fmt: skip
def test_the_word_of_the_verdict_says_how_sure_it_is(lift: str, gauge: str, word: str) -> None:
    """Six words for six cases."""
    root, _ = shown({"method": "dial", "lifts": [lift], "limits": PACK["limits"], "gauge": {"max_error": gauge}})
    assert [words(item) for item in found(root, data_output="verdict")] == [word]


def test_a_pack_without_sizes_has_no_table_of_them() -> None:
    """Nor a row to fit, nor cautions when there are none."""
    root, _ = shown({"method": "dial", "lifts": ["1 mm", "1 mm"], "limits": PACK["limits"], "gauge": {"max_error": "0.01 mm"}})
    assert found(root, class_="bench-choices") == []
    assert found(root, class_="bench-fit") == []
    assert found(root, class_="bench-cautions") == []
    assert found(root, data_output="even") == []


def test_a_kit_that_cannot_help_marks_no_row() -> None:
    """The fitted one is still named."""
    request = copy.deepcopy(PACK) | {"lifts": ["5 mm"]}
    root, _ = shown(request)
    assert found(root, class_="bench-fit") == []
    (sizes,) = found(root, class_="bench-choices")
    assert [words(row[2][0]) for row in sizes[2][2][2]] == ["no dot", "one dot (fitted)", "two dots", "three dots"]


def test_an_answer_in_other_units_is_drawn_in_them() -> None:
    """The picture's limits follow the answer, whatever unit they were typed in."""
    root, _ = shown(PACK | {"units": "inch"})
    assert (
        found(root, class_="bench-ruler")[0][1]["aria-label"]
        == "0.0531 in, plus or minus 0.0023 in. Limits 0.0354 in to 0.0551 in."
    )
    assert [words(item) for item in found(root, class_="bench-ruler-limit")] == ["0.0354 in", "0.0551 in"]


@pytest.mark.parametrize(
    ("name", "output", "word"),
    [("piston-force", "moves", "It moves"), ("return-spring", "verdict", None), ("plate-wear", "verdict", None)],
)
def test_other_calculations_say_their_own_word(name: str, output: str, word: str | None) -> None:
    """What decides stands at the head, with a capital; it is not repeated among the figures."""
    root, reply = shown(dict(CATALOGUE[name].example), name)
    (strong,) = found(root, class_="bench-verdict-word")
    declared = next(field.declared for field in fields_of(CATALOGUE[name].result) if field.name == output)
    labels = [option.label for option in declared.options if option.value == reply["result"][output]]
    assert words(strong) == (word or labels[0][0].upper() + labels[0][1:])
    assert len(found(root, data_output=output)) == 1


def test_a_piston_that_stays_is_told() -> None:
    """The other word."""
    example = dict(CATALOGUE["piston-force"].example) | {
        "pressure": "1 kPa",
        "speed": None,
        "fluid_density": None,
        "fluid_inner_diameter": None,
    }
    root, reply = shown(example, "piston-force")
    assert reply["result"]["moves"] is False
    assert words(found(root, class_="bench-verdict-word")[0]) == "It does not move"


def test_an_answer_without_a_verdict_has_no_head() -> None:
    """A conversion decides nothing."""
    root, reply = shown({"value": "1 in", "to": "mm"}, "convert")
    assert "advice" not in reply["result"]
    assert found(root, class_="bench-verdict") == []
    assert [words(item) for item in found(root, data_output=next(iter(reply["result"])))] == ["25.40 mm"]


def with_outputs(name: str, cautions: tuple[str, ...] = (), **outputs: Any) -> Worked:
    """The example of a calculation with other outputs."""
    worked = work_out(name, dict(CATALOGUE[name].example))
    return replace(worked, answer=replace(worked.answer, cautions=cautions, result=replace(worked.answer.result, **outputs)))


def test_figures_below_each_other_have_as_many_decimals() -> None:
    """As many as the one that needs the most, so that the points line up; a table of bars has no names."""
    edges = [Fraction(2502, 1000), Fraction(253, 100), Fraction(2558, 1000)]
    bars = [Bar(low=edges[0], high=edges[1], p=Fraction("0.0128")), Bar(low=edges[1], high=edges[2], p=Fraction("0.005"))]
    table = found(panel(with_outputs("stack-forecast", histogram=bars)), class_="bench-choices")[-1]
    assert [[words(cell) for cell in row[2]] for row in table[2][2][2]] == [
        ["2.502 mm", "2.530 mm", "0.0128"],
        ["2.530 mm", "2.558 mm", "0.0050"],
    ]


def test_a_tiny_amount_does_not_lengthen_the_others() -> None:
    """Two figures of it are kept; the others stay with the decimals of their unit."""
    tiny = ChoiceOutcome(id="b", thickness=Fraction("0.00012"), clearance=Fraction(1), verdict="in")
    rows = (ChoiceOutcome(id="a", thickness=Fraction(1), clearance=Fraction(1), verdict="in"), tiny)
    (table,) = found(panel(with_outputs("pack-clearance", by_choice=rows, fit=None)), class_="bench-choices")
    assert [words(row[2][1]) for row in table[2][2][2]] == ["1.000 mm", "0.00012 mm"]


def test_what_one_row_has_and_another_lacks_is_a_dash() -> None:
    """The columns of a table are those that any row has."""
    plates = work_out("plate-wear", dict(CATALOGUE["plate-wear"].example)).answer.result.plates
    rows = (replace(plates[0], certain=None), replace(plates[1], certain=True))
    root = panel(with_outputs("plate-wear", ("Mind.",), plates=rows))
    (table,) = found(root, class_="bench-choices")
    column = [words(cell) for cell in table[2][1][2][0][2]].index("Certain")
    assert [words(row[2][column]) for row in table[2][2][2]] == ["–", "yes"]
    assert [words(item) for item in found(root, class_="bench-cautions")[0][2]] == ["Mind."]


@pytest.mark.parametrize(
    ("name", "request_"),
    [
        ("indicator-angle", {"reading": "100 mm", "angle": "0.05 deg"}),
        ("indicator-angle", {"reading": "25 mm", "angle": "0.48 deg"}),
        ("pack-clearance", {**PACK, "gauge": {"resolution": "0.01 mm", "angle": "0.01 deg"}}),
    ],
)
def test_an_answer_with_very_many_decimals_has_its_panel(name: str, request_: dict[str, Any]) -> None:
    """Figures are shown as they were computed; how long they are when written out whole does not matter."""
    root, reply = shown(request_, name)
    assert any(len(text) > 60 for text in reply["result"].values() if isinstance(text, str))
    assert {item[1]["data-output"] for item in elements(root) if "data-output" in item[1]} >= set(reply["result"]) - {
        "certain",
        "fit",
    }


@pytest.mark.parametrize(
    ("lift", "word", "label"), [("1 mm", "In, but not sure", "1.00 mm"), ("2 mm", "Looks too loose", "2.00 mm"), ("0.5 mm", "Looks too tight", "0.50 mm")]
)  # fmt: skip
@pytest.mark.parametrize("readings", [1, 3])
@pytest.mark.parametrize("name", ["pack-clearance", "end-play"])
def test_with_nothing_to_judge_by_the_panel_claims_nothing(name: str, readings: int, lift: str, word: str, label: str) -> None:
    """No bar on the ruler, no plus or minus, no word that sounds sure."""
    request = {"lifts": [lift] * readings, "limits": PACK["limits"]} | ({"method": "dial"} if name == "pack-clearance" else {})
    root, reply = shown(request, name)
    assert reply["result"]["certain"] is False
    assert {"uncertainty", "coverage_factor"}.isdisjoint(reply["result"])
    assert [words(item) for item in found(root, data_output="verdict")] == [word]
    assert found(root, class_="bench-ruler")[0][1]["aria-label"] == f"{label}. Limits 0.90 mm to 1.40 mm."
    assert [words(item) for item in found(root, class_="bench-ruler-value")] == [label]
    assert found(root, class_="bench-ruler-unsure") == []
    assert "fill in the gauge's smallest division or largest error." in reply["result"]["advice"]
