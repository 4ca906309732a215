"""Every calculation is drawn as form, panel, ruler, block, reference page and schema, one that nobody has seen among them."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, cast

import pytest
from bs4 import BeautifulSoup, Tag

from build_hooks.page.reference import reference_pages
from calc_engine import CATALOGUE, Calculation, Field, answer, answer_for_page, describe, fields_of
from tests.build_hooks.forms.made_up import CLIP_CHECK
from tests.build_hooks.page.test_pages import docs, html

__all__ = ["docs"]

NAMES = [*CATALOGUE, CLIP_CHECK.name]


@pytest.fixture(autouse=True)
def catalogue(monkeypatch: pytest.MonkeyPatch) -> Mapping[str, Calculation[Any, Any]]:
    """The catalogue, with the calculation that is made up."""
    monkeypatch.setitem(cast("dict[str, Any]", CATALOGUE), CLIP_CHECK.name, CLIP_CHECK)
    return CATALOGUE


def drawn(folder: Path, block: str) -> BeautifulSoup:
    """A page of the small manual with one block."""
    return html(folder, f"```calc\n{block}```\n")


def inputs_to_type(shape: type[Any], example: Mapping[str, Any], prefix: str = "") -> Iterator[str]:
    """The entries that the worked example would fill, by their dotted path."""
    for field in fields_of(shape):
        value, path = example.get(field.name), f"{prefix}{field.name}"
        if value is None:
            continue
        if field.declared.kind != "mapping":
            yield from _entries(field, value, path)
        elif field.declared.of is not None and field.declared.of.shape is not None:
            for index, item in enumerate(value.values()):
                yield f"{path}.{index}.(name)"
                yield from inputs_to_type(field.declared.of.shape, item, f"{path}.{index}.")


def _entries(field: Field, value: Any, path: str) -> Iterator[str]:
    if isinstance(value, list) and all(isinstance(item, str) for item in value) and field.declared.kind == "text":
        yield path  # names, with commas between them
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from _entries(field, item, f"{path}.{index}")
    elif field.declared.shape is not None:
        yield from inputs_to_type(field.declared.shape, value, f"{path}.")
    else:
        yield path


@pytest.mark.parametrize("name", NAMES)
def test_the_form_has_an_entry_for_each_input(docs: Path, catalogue: Mapping[str, Any], name: str) -> None:
    """Each with a label, under the name of the contract; each word of a choice and of a mapping is offered."""
    calculation = catalogue[name]
    soup = drawn(docs, f"calculation: {name}\n")
    entries = {str(entry["name"]): entry for entry in soup.select("[data-kind]")}
    assert set(inputs_to_type(calculation.request, calculation.example)) <= entries.keys()
    for entry in entries.values():
        assert soup.select_one(f'label[for="{entry["id"]}"]'), entry["name"]
    for field in fields_of(calculation.request):
        if field.declared.kind == "choice":
            offered = [option["value"] for option in entries[field.name].select("option")]
            assert [word for word in offered if word] == [option.value for option in field.declared.options]
        if field.declared.kind == "mapping":
            block = soup.select_one(f'[data-bench=mapping][data-field="{field.name}"]')
            assert block is not None
            assert field.declared.entry_labels[0] in block.text


@pytest.mark.parametrize("name", NAMES)
def test_the_panel_shows_each_output_once(docs: Path, catalogue: Mapping[str, Any], name: str) -> None:
    """The worked example in the page is answered; what its verdict is called comes from the calculation."""
    calculation = catalogue[name]
    soup = drawn(docs, f"calculation: {name}\n")
    result = soup.select_one("[data-bench=result]")
    assert result is not None
    reply = answer(name, dict(calculation.example))["result"]
    shown = [str(found["data-output"]) for found in result.select("[data-output]")]
    assert len(shown) == len(set(shown))
    above = {field.name for field in fields_of(calculation.result) if field.declared.role in {"certain", "fit"}}
    assert {key for key, value in reply.items() if value != []} - above <= set(shown) <= reply.keys()
    page = json.loads(answer_for_page(name, json.dumps(calculation.example)))
    assert page["reply"]["ok"]
    verdict = next((field for field in fields_of(calculation.result) if field.declared.role == "verdict"), None)
    assert page["panel"][1].get("data-verdict", "") == ("" if verdict is None else str(reply[verdict.name]).lower())


@pytest.mark.parametrize("name", NAMES)
def test_schema_and_reference_page_name_each_field(catalogue: Mapping[str, Any], name: str) -> None:
    """Inputs and outputs, with their labels."""
    calculation = catalogue[name]
    schema, page = describe(calculation), reference_pages()[f"calculations/{name}.md"]
    for side, shape in (("inputs", calculation.request), ("outputs", calculation.result)):
        for field in fields_of(shape):
            assert schema[side]["properties"][field.name]["title"] == field.declared.label
            assert f"| `{field.name}{'[]' * len(field.declared.many)}` | {field.declared.label}" in page


def test_what_nobody_has_seen_has_its_own_words_and_its_ruler(docs: Path) -> None:
    """Nothing outside the calculation's module knows its fields."""
    result = drawn(docs, "calculation: clip-check\n").select_one("[data-bench=result]")
    assert result is not None
    word, ruler, fit = (result.select_one(found) for found in (".bench-verdict-word", ".bench-ruler", "tr.bench-fit"))
    assert isinstance(word, Tag) and isinstance(ruler, Tag) and isinstance(fit, Tag)
    assert word.text == "Perhaps still springy"
    assert ruler["aria-label"] == "1.01 mm, plus or minus 0.01 mm. Limits 0.90 mm to 1.10 mm."
    assert [cell.text for cell in fit.select("td")] == ["3.01 mm", "▶ Fit: b"]
    assert "a (fitted)" in result.text


def test_what_nobody_has_seen_is_filled_from_a_pack(docs: Path) -> None:
    """Limits, gauge, sizes and positions come from the unit data by role."""
    block = "calculation: clip-check\npack: main\nexample: {spans: [0.9 mm, 1.0 mm, 1.1 mm]}\n"
    soup = drawn(docs, block)
    preset = json.loads(soup.select_one("[data-bench=preset]").text)  # type: ignore[union-attr]
    assert preset == {
        "allowed": {"min": "0.8 mm", "max": "1.2 mm"},
        "how": "dial",
        "instrument": {"resolution": "0.01 mm", "max_error": "0.02 mm"},
        "clips": [{"id": "blue", "thickness": "1.5 mm"}, {"id": "<red>", "thickness": "1.7 mm"}],
    }
    assert len(soup.select('[name^="spans."]')) == 3
    assert [option.text for option in soup.select("select[name=now] option")] == ["blue", "<red>"]
    assert "Main pack: span by dial" in soup.text
    assert "Worked example: span of the clip 0.9 mm, 1.0 mm, 1.1 mm." in soup.text
