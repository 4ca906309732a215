"""Writes the form of a calculation from its declaration in the engine's catalogue; no field is described a second time.

The form makes sense without JavaScript: labels, units, the given figures, and the worked example's answer already there.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Final

from calc_engine import (
    Calculation,
    Declared,
    Dimension,
    Element,
    Field,
    Worked,
    element,
    fields_of,
    panel,
    parse_quantity,
    show,
    verdict_of,
)

__all__ = ["CarriedOver", "Form", "form_of"]

# What stands beside an entry, for either choice of units. Dimensions that both share have one.
_UNITS: Final[Mapping[Dimension, tuple[str, str]]] = {
    Dimension.LENGTH: ("mm", "in"),
    Dimension.AREA: ("mm2", "in2"),
    Dimension.PRESSURE: ("kPa", "psi"),
    Dimension.FORCE: ("N", "lbf"),
    Dimension.TORQUE: ("N.m", "lbf.ft"),
    Dimension.RATE: ("N/mm", "lbf/in"),
    Dimension.ANGLE: ("deg", "deg"),
    Dimension.SPEED: ("rpm", "rpm"),
    Dimension.DENSITY: ("kg/m3", "kg/m3"),
    Dimension.TEMPERATURE: ("degC", "degF"),
    Dimension.TIME: ("min", "min"),
    Dimension.VOLUME: ("L", "qt"),
    Dimension.EXPANSION: ("1/K", "1/K"),
}
# Entries shown at first in a list that may grow.
_FIRST_ENTRIES: Final = 1


@dataclass(frozen=True, slots=True)
class CarriedOver:
    """An entry that is filled from the answer of another panel of the page.

    Attributes:
        panel: id of that panel.
        output: the output to take.
    """

    panel: str
    output: str


@dataclass(frozen=True, slots=True)
class Form:
    """What a form is to hold.

    Attributes:
        calculation: from the catalogue.
        identity: id of the panel, unique on its page.
        title: what stands on top.
        about: a sentence beneath it.
        preset: parts of the request that are given.
        hidden: optional fields that are not offered.
        entries: how many entries a list starts with and keeps, by field.
        choices: the values offered for a text field, by dotted path.
        defaults: what an editable entry holds at first, by dotted path.
        carried: entries filled from another panel, by dotted path.
        example: the request of the worked example.
        worked: the request and its answer, of which the panel is made.
        example_note: says what the example is.
        in_title: what is given and needs no entry, because the title tells it, by dotted path.
    """

    calculation: Calculation[Any, Any]
    identity: str
    title: str
    about: str
    example: Mapping[str, Any]
    worked: Worked
    preset: Mapping[str, Any] = field(default_factory=dict)
    hidden: frozenset[str] = frozenset()
    entries: Mapping[str, int] = field(default_factory=dict)
    choices: Mapping[str, Sequence[str]] = field(default_factory=dict)
    defaults: Mapping[str, str] = field(default_factory=dict)
    carried: Mapping[str, CarriedOver] = field(default_factory=dict)
    example_note: str = "Worked example."
    in_title: frozenset[str] = frozenset()


def form_of(form: Form) -> Element:
    """The panel of a calculation: form, worked example and places for problems and state.

    Args:
        form: what it is to hold.

    Returns:
        The ``bench-calc`` element.
    """
    writer = _Writer(form)
    name = form.calculation.name
    return element(
        "bench-calc",
        {"data-bench": "calc", "data-calculator": name, "data-state": "static", "id": form.identity, "data-title": form.title},
        element(
            "form",
            {"class": "bench-calc", "novalidate": "", "aria-labelledby": f"{form.identity}-title"},
            element("h3", {"class": "bench-calc-title", "id": f"{form.identity}-title"}, form.title),
            element("p", {"class": "bench-about"}, form.about) if form.about else None,
            element(
                "script", {"type": "application/json", "data-bench": "preset"}, json.dumps(dict(form.preset), ensure_ascii=False)
            ),
            _units(form.identity),
            element("div", {"data-bench": "problem-summary", "tabindex": "-1", "hidden": ""}),
            *writer.fields(form.calculation.request, "", form.preset),
            _buttons(),
            element("p", {"role": "status", "data-bench": "state"}),
            element(
                "noscript", {}, element("p", {}, "Without JavaScript nothing is calculated here: work it out by the formulas.")
            ),
            _result(form),
        ),
    )


def _units(identity: str) -> Element:
    options = (("metric", "mm"), ("inch", "inch"))
    return element(
        "fieldset",
        {"data-bench": "units", "class": "bench-units"},
        element("legend", {}, "Units"),
        element("div", {"class": "bench-choice-row"}, *(_radio(identity, value, said) for value, said in options)),
    )


def _radio(identity: str, value: str, said: str) -> Element:
    attributes = {"type": "radio", "name": "units", "value": value, "id": f"{identity}-units-{value}"}
    if value == "metric":
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


class _Writer:
    """Writes the entries of one form."""

    def __init__(self, form: Form) -> None:
        self.form = form

    def fields(self, shape: type[Any], prefix: str, preset: Mapping[str, Any]) -> list[Element]:
        """Every entry of a request or group: what is to be typed first, then what is given."""
        rows: list[Element] = []
        blocks: list[Element] = []
        facts: list[Element] = []
        for item in fields_of(shape):
            path = f"{prefix}{item.name}"
            if item.name in preset:
                self._preset(item.declared, path, preset[item.name], rows, blocks, facts)
            elif path in self.form.hidden or item.name in self.form.hidden or not self._meant(item, preset):
                continue
            elif item.declared.many or item.declared.kind in {"group", "mapping"}:
                blocks.append(self._conditional(item, preset, self._block(item, path)))
            else:
                rows.append(self._conditional(item, preset, self._row(item.declared, path)))
        return [*self._rows(rows), *blocks, *self._facts(facts)]

    def _preset(
        self, declared: Declared, path: str, value: Any, rows: list[Element], blocks: list[Element], facts: list[Element]
    ) -> None:
        """What is given of a field; the entries of a group that are still to be typed go to the rows."""
        if declared.kind == "group":
            assert declared.shape is not None  # noqa: S101 - `group` always sets it
            if declared.many:
                made = (self._preset_entry(declared, f"{path}.{index}", entry) for index, entry in enumerate(value))
                blocks.extend(block for block in made if block is not None)
                return
            for item in fields_of(declared.shape):
                inner, label = f"{path}.{item.name}", _under(declared, item.declared)
                if item.name in value:
                    self._preset(label, inner, value[item.name], rows, blocks, facts)
                elif inner in self.form.choices or inner in self.form.defaults:
                    rows.append(self._row(_single(item.declared, label.label), inner))
        elif not declared.many and declared.kind != "mapping" and path not in self.form.in_title:
            facts.append(self._fact(declared, path, value))

    def _preset_entry(self, declared: Declared, path: str, entry: Mapping[str, Any]) -> Element | None:
        """An entry of a given list, if anything of it is still to be typed."""
        assert declared.shape is not None  # noqa: S101 - `group` always sets it
        wanted = [
            item
            for item in fields_of(declared.shape)
            if item.name not in entry
            and item.name not in self.form.hidden
            and not item.declared.many
            and item.declared.kind != "mapping"
        ]
        rows = [self._row(item.declared, f"{path}.{item.name}") for item in wanted if self._offered(item, f"{path}.{item.name}")]
        if not rows:
            return None
        return element("fieldset", {"class": "bench-group"}, element("legend", {}, str(entry.get("name", ""))), *self._rows(rows))

    def _offered(self, item: Field, path: str) -> bool:
        """A field that may be left out is only offered where something fills it."""
        return not item.declared.optional or path in self.form.carried or path in self.form.choices

    @staticmethod
    def _meant(item: Field, preset: Mapping[str, Any]) -> bool:
        """Whether a field that depends on another can be wanted at all, given what is preset."""
        if item.declared.when is None or item.declared.when[0] not in preset:
            return True
        return preset[item.declared.when[0]] in item.declared.when[1]

    @staticmethod
    def _conditional(item: Field, preset: Mapping[str, Any], inner: Element) -> Element:
        if item.declared.when is None or item.declared.when[0] in preset:
            return inner
        on, words = item.declared.when
        return element("div", {"data-when-field": on, "data-when-values": " ".join(words), "class": "bench-when"}, inner)

    @staticmethod
    def _rows(rows: Iterable[Element]) -> list[Element]:
        found = list(rows)
        return [element("div", {"class": "bench-rows"}, *found)] if found else []

    @staticmethod
    def _facts(facts: list[Element]) -> list[Element]:
        if not facts:
            return []
        return [
            element(
                "fieldset",
                {"class": "bench-given"},
                element("legend", {}, "From the unit data"),
                element("div", {"class": "bench-facts"}, *facts),
            )
        ]

    def _fact(self, declared: Declared, path: str, value: Any) -> Element:
        """A given figure, as an entry that cannot be changed."""
        if declared.kind == "choice":
            said = next((option.label for option in declared.options if option.value == value), str(value))
            # The word of the contract stays in the preset; what is shown is for reading.
            return element(
                "div", {"class": "bench-row", "data-row": path}, element("span", {}, declared.label), element("strong", {}, said)
            )
        return self._row(declared, path, given=_readable(declared, str(value)))

    def _block(self, item: Field, path: str) -> Element:
        declared = item.declared
        if declared.many:
            return self._list(declared, path, declared.many)
        if declared.kind == "mapping":
            return self._mapping(declared, path)
        assert declared.shape is not None  # noqa: S101 - `group` always sets it
        attributes = {"class": "bench-group"}
        if declared.optional:
            attributes["data-optional"] = path
        return element(
            "fieldset",
            attributes,
            element("legend", {}, declared.label),
            _help(declared),
            *self.fields(declared.shape, f"{path}.", {}),
        )

    def _list(self, declared: Declared, path: str, many: tuple[tuple[int, int], ...]) -> Element:
        fewest, most = many[0]
        fixed = self.form.entries.get(path)
        start = fixed or max(fewest, _FIRST_ENTRIES, _length_at(self.form.example, path))
        attributes = {
            "data-bench": "list",
            "data-field": path,
            "data-fewest": str(fewest),
            "data-most": str(most),
            "class": "bench-list-of",
        }
        inner = [self._entry(declared, f"{path}.{index}", index + 1, many[1:], fixed is not None) for index in range(start)]
        rest: list[Element] = []
        if fixed is None:
            mark = "{j}" if "{i}" in path else "{i}"
            rest = [
                element("template", {}, self._entry(declared, f"{path}.{mark}", None, many[1:], fixed=False)),
                element("button", {"type": "button", "data-bench": "add"}, f"Add to: {declared.label.lower()}"),
            ]
        group = {"class": "bench-group"}
        if declared.optional:
            group["data-optional"] = path
        return element(
            "fieldset",
            group,
            element("legend", {}, declared.label),
            _help(declared),
            element("div", attributes, *inner, *rest),
            self._problem(path),
        )

    def _entry(
        self, declared: Declared, path: str, number: int | None, deeper: tuple[tuple[int, int], ...], fixed: bool
    ) -> Element:
        label = declared.item_label.replace("{n}", "{n}" if number is None else str(number))
        if deeper:
            inner = [self._list(_single(declared, label), path, deeper)]
        elif declared.kind == "group":
            assert declared.shape is not None  # noqa: S101 - `group` always sets it
            inner = [element("span", {"class": "bench-entry-label"}, label), *self.fields(declared.shape, f"{path}.", {})]
        else:
            inner = [self._row(_single(declared, label), path)]
        if not fixed:
            inner.append(
                element("button", {"type": "button", "data-bench": "remove", "aria-label": f"Take out {label}"}, "Take out")
            )
        return element("div", {"data-bench": "item", "class": "bench-item"}, *inner)

    def _mapping(self, declared: Declared, path: str) -> Element:
        options = [
            element("option", {"value": str(number)}, label)
            for number, label in zip(declared.allowed, declared.value_labels, strict=True)
        ]
        name, value = declared.entry_labels
        row = element(
            "div",
            {"class": "bench-mapping-row"},
            element("label", {}, f"{name} ", element("input", {"type": "text", "data-map": "key", "autocomplete": "off"})),
            element("label", {}, f"{value} ", element("select", {"data-map": "value"}, *options)),
        )
        return element(
            "fieldset",
            {"data-bench": "mapping", "data-field": path, "class": "bench-group"},
            element("legend", {}, declared.label),
            _help(declared),
            row,
            element("template", {}, row),
            element("button", {"type": "button", "data-bench": "add"}, f"Add another {name.lower()}"),
            self._problem(path),
        )

    def _row(self, declared: Declared, path: str, given: str | None = None) -> Element:
        identity = self._id(path)
        # An amount of any dimension is typed with its unit, as a text is.
        kind = "text" if declared.kind == "quantity" else declared.kind
        attributes = {"id": identity, "name": path, "data-kind": kind, "aria-describedby": f"{identity}-problem"}
        if declared.optional:
            attributes["data-optional-field"] = ""
        carried = self.form.carried.get(path)
        if carried is not None:
            attributes |= {"data-from": carried.panel, "data-from-output": carried.output}
        return element(
            "div",
            {"class": "bench-row", "data-row": path},
            element(
                "label",
                {"for": identity},
                f"{declared.label}{self._may_stay_empty(declared, path, given)}",
            ),
            self._control(declared, path, attributes, given),
            None if given is not None else _help(declared),
            self._problem(path),
        )

    def _may_stay_empty(self, declared: Declared, path: str, given: str | None) -> str:
        return " (may stay empty)" if declared.optional and given is None and path not in self.form.defaults else ""

    def _control(self, declared: Declared, path: str, attributes: dict[str, str], given: str | None) -> Element:
        offered = self.form.choices.get(path)
        if declared.kind == "choice" or (offered is not None and given is None):
            pairs = (
                [(word, word) for word in offered]
                if offered is not None
                else [(option.value, option.label) for option in declared.options]
            )
            return self._select(attributes, pairs, self.form.defaults.get(path), empty=declared.optional)
        if declared.kind == "flag":
            return element("input", {**attributes, "type": "checkbox", "value": "true"})
        return self._text(
            declared, attributes, given if given is not None else self.form.defaults.get(path), fixed=given is not None
        )

    @staticmethod
    def _select(attributes: dict[str, str], pairs: Sequence[tuple[str, str]], chosen: str | None, *, empty: bool) -> Element:
        first = [element("option", {"value": ""}, "–")] if empty and chosen is None else []
        options = [
            element("option", {"value": value, **({"selected": ""} if value == chosen else {})}, said) for value, said in pairs
        ]
        return element("select", attributes, *first, *options)

    @staticmethod
    def _text(declared: Declared, attributes: dict[str, str], value: str | None, *, fixed: bool) -> Element:
        attributes = {**attributes, "type": "text", "autocomplete": "off"}
        if value is not None:
            attributes["value"] = value
        if fixed:
            attributes["readonly"] = ""
        if declared.kind in {"amount", "number", "count"}:
            attributes["inputmode"] = "numeric" if declared.kind == "count" else "decimal"
        entry = element("input", attributes)
        if declared.dimension is None or fixed:
            return element("span", {"class": "bench-entry"}, entry)
        metric, inch = (declared.bare_unit, declared.bare_unit) if declared.bare_unit else _UNITS[declared.dimension]
        attributes |= {"data-unit": str(metric), "data-unit-metric": str(metric), "data-unit-inch": str(inch)}
        return element(
            "span",
            {"class": "bench-entry"},
            element("input", attributes),
            element("span", {"class": "bench-unit", "data-bench": "unit"}, str(metric)),
        )

    def _problem(self, path: str) -> Element:
        return element("p", {"data-bench": "problem", "data-field": path, "id": f"{self._id(path)}-problem", "hidden": ""})

    def _id(self, path: str) -> str:
        return f"{self.form.identity}-{path.replace('.', '-')}"


def _length_at(example: Mapping[str, Any], path: str) -> int:
    """How many entries the worked example has in a list; 0 when it has none there."""
    here: Any = example
    for step in path.split("."):
        if isinstance(here, Mapping) and step in here:
            here = here[step]
        elif isinstance(here, list) and step.isdigit() and int(step) < len(here):
            here = here[int(step)]
        else:
            return 0
    return len(here) if isinstance(here, list) else 0


def _readable(declared: Declared, text: str) -> str:
    """A given amount as a reader writes it, unless that would change it."""
    if declared.dimension is None:
        return text
    exact = parse_quantity(text, declared.dimension, "", declared.bare_unit)
    shown = show(exact)
    return shown if parse_quantity(shown, declared.dimension, "", declared.bare_unit).base == exact.base else text


def _under(outer: Declared, inner: Declared) -> Declared:
    """A field of a group, labelled so that it can be told from the same field of another group."""
    return replace(inner, label=f"{outer.label}: {inner.label[0].lower()}{inner.label[1:]}")


def _single(declared: Declared, label: str) -> Declared:
    """One entry of a list, or a field that has to be filled: without what was said for the whole."""
    return replace(declared, label=label, help="", many=(), optional=False, when=None, item_label="{n}")


def _help(declared: Declared) -> Element | None:
    return element("p", {"class": "bench-help"}, declared.help) if declared.help else None
