"""The panel of a calculation: its form, from the declaration in the engine's catalogue, and the worked example.

No field is described a second time. The form makes sense without JavaScript: labels, units, the given figures, and the
worked example's answer already there.
"""

from __future__ import annotations

import json

from build_hooks.forms.entries import Entries
from build_hooks.forms.form import Form
from build_hooks.forms.trial import TrialEntries
from calc_engine import Element, System, element, encode, panel, verdict_of

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
            _units(form),
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
        panel(form.worked),
    )
