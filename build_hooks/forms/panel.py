"""The panel of a calculation: its form, from the declaration in the engine's catalogue, and the worked example.

No field is described a second time. The form makes sense without JavaScript: labels, units, the given figures, and the
worked example's answer already there.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any, cast

from build_hooks.forms.entries import Entries
from build_hooks.forms.form import Form
from build_hooks.forms.trial import TrialEntries
from calc_engine import Declared, Element, System, element, encode, fields_of, panel, verdict_of

__all__ = ["form_of"]


def form_of(form: Form) -> Element:
    """The panel of a calculation: form, worked example and places for problems and state.

    Args:
        form: what it is to hold.

    Returns:
        The ``bench-calc`` element.
    """
    name = form.calculation.name
    return element(
        "bench-calc",
        {
            "data-bench": "calc",
            "data-calculator": name,
            "data-state": "static",
            "id": form.identity,
            "data-title": form.title,
            **({"data-subject": form.subject} if form.subject else {}),
            **({"data-sources": encode(dict(form.sources))} if form.sources else {}),
        },
        element(
            "form",
            {"class": "bench-calc", "novalidate": "", "aria-labelledby": f"{form.identity}-title", "data-units": form.system},
            element("h3", {"class": "bench-calc-title", "id": f"{form.identity}-title"}, form.title),
            element("p", {"class": "bench-about"}, form.about) if form.about else None,
            element(
                "script", {"type": "application/json", "data-bench": "preset"}, json.dumps(dict(form.preset), ensure_ascii=False)
            ),
            _leads(form),
            _units(form) if _has_amounts(form.calculation.request) or _has_amounts(form.calculation.result) else None,
            element("div", {"data-bench": "problem-summary", "tabindex": "-1", "hidden": ""}),
            *_entries(form),
            _buttons(),
            element("p", {"role": "status", "data-bench": "state"}),
            element(
                "noscript", {}, element("p", {}, "Without JavaScript nothing is calculated here: work it out by the formulas.")
            ),
            _result(form),
        ),
    )


def _entries(form: Form) -> list[Element]:
    if form.trial is not None:
        return [TrialEntries(form).trial(form.calculation.request, form.trial)]
    return Entries(form).fields(form.calculation.request, "", form.preset)


def _has_amounts(shape: type[Any]) -> bool:
    """Whether anything in it has a unit, so that there is something to choose."""
    return any(_is_amount(item.declared) for item in fields_of(shape))


def _is_amount(declared: Declared) -> bool:
    inner = (declared.of is not None and _is_amount(declared.of)) or (declared.shape is not None and _has_amounts(declared.shape))
    return inner or declared.dimension is not None or declared.kind == "quantity"


def _units(form: Form) -> Element:
    options: tuple[tuple[System, str], ...] = (("metric", "mm"), ("inch", "inch"))
    return element(
        "fieldset",
        {"data-bench": "units", "class": "bench-units"},
        element("legend", {}, "Units"),
        element("div", {"class": "bench-choice-row"}, *(_radio(form, value, said) for value, said in options)),
    )


def _radio(form: Form, value: System, said: str) -> Element:
    attributes = {"type": "radio", "name": "units", "value": str(value), "id": f"{form.identity}-units-{value}"}
    if value == form.system:
        attributes["checked"] = ""
    return element("label", {}, element("input", attributes), element("span", {}, said))


def _buttons() -> Element:
    return element(
        "div",
        {"class": "bench-buttons"},
        element("button", {"type": "submit", "data-bench": "work"}, "Calculate"),
        element("button", {"type": "button", "data-bench": "clear"}, "Clear the readings"),
    )


def _result(form: Form) -> Element:
    return element(
        "section",
        {
            "data-bench": "result",
            "data-verdict": verdict_of(form.worked),
            "data-example": "true",
            "aria-label": f"Answer: {form.title}",
        },
        element("p", {"class": "bench-example"}, form.example_note),
        _led(panel(form.worked), form.leads),
    )


def _leads(form: Form) -> Element | None:
    """For the script, which puts the same links into each new answer."""
    if not form.leads:
        return None
    return element("script", {"type": "application/json", "data-bench": "leads"}, json.dumps(form.leads, ensure_ascii=False))


def _led(answer: Element, leads: Mapping[str, Sequence[tuple[str, str]]]) -> Element:
    """An answer with links beside what there are pages about."""
    tag, attributes, children = cast("tuple[str, dict[str, str], list[Element | str]]", answer)
    inside = [child if isinstance(child, str) else _led(child, leads) for child in children]
    links = leads.get(attributes.get("data-leads", ""), ())
    if links:
        inside.append(
            element(
                "ul", {"class": "bench-leads"}, *(element("li", {}, element("a", {"href": to}, title)) for title, to in links)
            )
        )
    return element(tag, attributes, *inside)
