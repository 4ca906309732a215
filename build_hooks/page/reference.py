"""The reference pages: one for each calculation of the engine, made from its declaration."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from latex2mathml.converter import convert

from build_hooks.markdown.html import markdown_text
from build_hooks.own import FOLDER
from calc_engine import BUILT_IN, CATALOGUE, VERSION, Calculation, Declared, encode, fields_of

__all__ = ["reference_pages"]

_ASKED: Final = (
    "all calculators", "list of formulas", "which form do I need", "sums", "work it out", "calculator for the shop", "all the forms",
    "do the math", "formula sheet", "calculadoras", "fórmulas", "Rechner", "calculs",
)  # fmt: skip


def reference_pages() -> dict[str, str]:
    """The Markdown of every reference page, by its path below the docs folder."""
    pages = {f"calculations/{name}.md": "\n".join(_page(calculation)) for name, calculation in CATALOGUE.items()}
    pages["calculations/index.md"] = "\n".join(_index())
    return pages


def _index() -> Iterator[str]:
    yield from ("---", "title: Calculations", f"asked_as: {encode(list(_ASKED))}", "---", "# Calculations", "")
    yield f"The calculations of this manual, version {VERSION}. Each page calculates by itself, also without a network."
    yield ""
    for name, calculation in CATALOGUE.items():
        yield f"- [{markdown_text(calculation.title)}]({name}.md): {markdown_text(calculation.about)}"


def _page(calculation: Calculation[Any, Any]) -> Iterator[str]:
    yield from (
        "---",
        f"title: {encode(calculation.title)}",
        f"asked_as: {encode(list(calculation.asked_as))}",
        "---",
        f"# {markdown_text(calculation.title)}",
        "",
        markdown_text(calculation.about),
        "",
    )
    yield from ("## Calculate", "", "```calc", f"calculation: {calculation.name}", "```", "")
    yield from ("## Formulas", "")
    for formula in calculation.formulas:
        yield from (f'<div class="bench-formula">{convert(formula, display="block")}</div>', "")
    yield from ("## Where they come from", "")
    for source in calculation.sources:
        place = f", {source.place}" if source.place else ""
        remark = f" ({source.remark})" if source.remark else ""
        yield f"- {markdown_text(f'{source.title}{place}{remark}')}"
    yield from ("", "## What goes in", "", *_fields(calculation.request))
    yield from ("", "## What comes out", "", *_fields(calculation.result))
    own = "" if calculation.name in BUILT_IN else f"--own docs/{FOLDER} "
    yield from ("", "## From a script", "", f"    python -m calc_engine {own}run {calculation.name} < request.json", "")


def _fields(shape: type[Any], prefix: str = "") -> Iterator[str]:
    if not prefix:
        yield from ("| Name | What | Unit | Makes sense |", "|---|---|---|---|")
    for field in fields_of(shape):
        declared = field.declared
        name = f"{prefix}{field.name}{'[]' * len(declared.many)}"
        optional = " May be left out." if declared.optional else ""
        yield f"| `{name}` | {_cell(declared.label)}: {_cell(declared.help)}{optional} | {_unit(declared)} | {_sense(declared)} |"
        if declared.shape is not None:
            yield from _fields(declared.shape, f"{name}.")
        elif declared.of is not None and declared.of.shape is not None:
            yield from _fields(declared.of.shape, f"{name}.NAME.")


def _sense(declared: Declared) -> str:
    """Between which values an input is taken for a reading and not for a slip."""
    above = f"above {declared.least_text}" if declared.above_least else f"from {declared.least_text}"
    ends = (above if declared.least_text else "", f"to {declared.most_text}" if declared.most_text else "")
    said = " ".join(end for end in ends if end)
    if not declared.many:
        return said
    fewest, most = declared.many[-1]
    entries = f"{fewest} to {most} entries"
    return f"{entries}, each {said}" if said else entries


def _cell(text: str) -> str:
    return markdown_text(text)


def _unit(declared: Declared) -> str:
    if declared.kind == "amount":
        return str(declared.dimension)
    if declared.kind == "choice":
        return " or ".join(f"`{option.value}`" for option in declared.options)
    return {
        "quantity": "any, with its unit",
        "number": "number",
        "count": "whole number",
        "text": "text",
        "prose": "text",
        "flag": "true or false",
        "group": "group",
        "mapping": "names with values",
    }[declared.kind]
