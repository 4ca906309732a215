"""The entries of a form, in their groups and lists: what is to be typed first, then what unit data give."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any, Final

from build_hooks.forms.controls import Controls, help_of
from calc_engine import Declared, Element, Field, element, field_with, fields_of, parse_quantity, show, uncapitalised

__all__ = ["ITEM_NAME", "Entries"]

# Entries shown at first in a list that may grow.
_FIRST_ENTRIES: Final = 1
# Where the name of a named item is kept in the form; no field of a request is called so.
ITEM_NAME: Final = "(name)"


class Entries(Controls):
    """Writes the entries of one form, in their groups and lists."""

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
            elif _are_names(item.declared, item.declared.many):
                rows.append(self._conditional(item, prefix, preset, self.names(item.declared, path)))
            elif item.declared.many or item.declared.kind in {"group", "mapping"}:
                blocks.append(self._conditional(item, prefix, preset, self._block(item, path)))
            else:
                rows.append(self._conditional(item, prefix, preset, self.row(item.declared, path)))
        return [*self._rows(rows), *blocks, *self._facts(facts)]

    def _preset(
        self, declared: Declared, path: str, value: Any, rows: list[Element], blocks: list[Element], facts: list[Element]
    ) -> None:
        """What is given of a field; the entries of a group that are still to be typed go to the rows."""
        if declared.kind == "group":
            assert declared.shape is not None  # noqa: S101 - `group` always sets it
            if declared.many:
                blocks.extend(self._preset_list(declared, path, value))
                return
            for item in fields_of(declared.shape):
                inner, label = f"{path}.{item.name}", _under(declared, item.declared)
                if item.name in value:
                    self._preset(label, inner, value[item.name], rows, blocks, facts)
                elif inner in self.form.choices or inner in self.form.defaults:
                    rows.append(self.row(_single(item.declared, label.label), inner))
        elif not declared.many and declared.kind != "mapping" and path not in self.form.in_title:
            facts.append(self._fact(declared, path, value))

    def _preset_list(self, declared: Declared, path: str, value: Iterable[Mapping[str, Any]]) -> list[Element]:
        """The entries of a given list of which anything is still to be typed."""
        shape = declared.shape
        assert shape is not None  # noqa: S101 - `group` always sets it
        if self.form.by_page:
            return [self._stated(shape, f"{path}.{index}.", entry) for index, entry in enumerate(value)]
        wanted = [
            (f"{path}.{index}.", _called(shape, entry), self._wanted(shape, f"{path}.{index}.", entry))
            for index, entry in enumerate(value)
        ]
        names = {item.name for _, _, items in wanted for item in items}
        if len(names) == 1 and len(wanted) > 1:  # What is asked of each is said once.
            asked = next(items[0].declared for _, _, items in wanted if items)
            rows = [
                self._asked(replace(item.declared, label=called, help=""), f"{prefix}{item.name}")
                for prefix, called, items in wanted
                for item in items
            ]
            return [_group(asked.label, help_of(asked), *self._rows(rows))]
        return [
            _group(called, *self._rows(self._asked(item.declared, f"{prefix}{item.name}") for item in items))
            for prefix, called, items in wanted
            if items
        ]

    def _stated(self, shape: type[Any], prefix: str, entry: Mapping[str, Any]) -> Element:
        """An entry of which the page gives a part: what is still to be typed, then that part. Its name stands on top."""
        identity = field_with("identity", shape)
        told = frozenset() if identity is None else frozenset({f"{prefix}{identity.name}"} if identity.name in entry else ())
        rest = Entries(replace(self.form, in_title=self.form.in_title | told))
        return _group(_called(shape, entry), *rest.fields(shape, prefix, entry))

    def _wanted(self, shape: type[Any], prefix: str, entry: Mapping[str, Any]) -> list[Field]:
        """What is still to be typed of an entry of a given list."""
        return [
            item
            for item in fields_of(shape)
            if item.name not in entry and item.name not in self.form.hidden and self._offered(item, f"{prefix}{item.name}")
        ]

    def _offered(self, item: Field, path: str) -> bool:
        """A field that may be left out is only offered where something fills it; a list, where its names are known."""
        declared = item.declared
        if path in self.form.carried or path in self.form.choices:
            return True
        return not declared.optional and not declared.many and declared.kind != "mapping"

    def _asked(self, declared: Declared, path: str) -> Element:
        """A single entry, or the names of a list."""
        return self.names(declared, path) if declared.many else self.row(declared, path)

    @staticmethod
    def _meant(item: Field, preset: Mapping[str, Any]) -> bool:
        """Whether a field that depends on another can be wanted at all, given what is preset."""
        if item.declared.when is None or item.declared.when[0] not in preset:
            return True
        return preset[item.declared.when[0]] in item.declared.when[1]

    @staticmethod
    def _conditional(item: Field, prefix: str, preset: Mapping[str, Any], inner: Element) -> Element:
        if item.declared.when is None or item.declared.when[0] in preset:
            return inner
        on, words = item.declared.when
        return element(
            "div", {"data-when-field": f"{prefix}{on}", "data-when-values": " ".join(words), "class": "bench-when"}, inner
        )

    @staticmethod
    def _rows(rows: Iterable[Element]) -> list[Element]:
        found = list(rows)
        return [element("div", {"class": "bench-rows"}, *found)] if found else []

    def _facts(self, facts: list[Element]) -> list[Element]:
        if not facts:
            return []
        return [
            element(
                "fieldset",
                {"class": "bench-given"},
                element("legend", {}, "From this page" if self.form.by_page else "From the unit data"),
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
        return self.row(declared, path, given=_readable(declared, str(value)))

    def _block(self, item: Field, path: str) -> Element:
        declared = item.declared
        if declared.many:
            return self._list(declared, path, declared.many)
        if declared.kind == "mapping":
            grouped = declared.of is not None and declared.of.shape is not None
            return self._named(declared, path) if grouped else self._mapping(declared, path)
        assert declared.shape is not None  # noqa: S101 - `group` always sets it
        attributes = {"class": "bench-group"}
        if declared.optional:
            attributes["data-optional"] = path
        return element(
            "fieldset",
            attributes,
            element("legend", {}, declared.label),
            help_of(declared),
            *self.fields(declared.shape, f"{path}.", {}),
        )

    def _named(self, declared: Declared, path: str) -> Element:
        """Groups by name: a list whose items are named before they are filled."""
        assert declared.of is not None  # noqa: S101 - a mapping without `allowed` always says of what
        name = declared.entry_labels[0]
        listed = replace(
            declared.of, label=declared.label, help=declared.help, many=(declared.names,), optional=declared.optional,
            item_label=f"{name} {{n}}", entry_labels=declared.entry_labels,
        )  # fmt: skip
        return self._list(listed, path, listed.many, named=True)

    def _list(self, declared: Declared, path: str, many: tuple[tuple[int, int], ...], *, named: bool = False) -> Element:
        fewest, most = many[0]
        fixed = self.form.entries.get(path)
        start = fixed or max(fewest, _FIRST_ENTRIES, _length_at(self.form.example, path))
        attributes = {
            "data-bench": "list",
            "data-field": path,
            "data-fewest": str(fewest),
            "data-most": str(most),
            "class": "bench-list-of",
        } | ({"data-named": ""} if named else {})
        inner = [
            self._entry(declared, f"{path}.{index}", index + 1, many[1:], fixed is not None, named=named)
            for index in range(start)
        ]
        rest: list[Element] = []
        if fixed is None:
            mark = "{j}" if "{i}" in path else "{i}"
            rest = [
                element("template", {}, self._entry(declared, f"{path}.{mark}", None, many[1:], fixed=False, named=named)),
                element("button", {"type": "button", "data-bench": "add"}, f"Add to: {declared.label.lower()}"),
            ]
        group = {"class": "bench-group"}
        if declared.optional:
            group["data-optional"] = path
        return element(
            "fieldset",
            group,
            element("legend", {}, declared.label),
            help_of(declared),
            element("div", attributes, *inner, *rest),
            self.problem(path),
        )

    def _entry(
        self,
        declared: Declared,
        path: str,
        number: int | None,
        deeper: tuple[tuple[int, int], ...],
        fixed: bool,
        *,
        named: bool = False,
    ) -> Element:
        label = declared.item_label.replace("{n}", "{n}" if number is None else str(number))
        if _are_names(declared, deeper):
            inner = [self.names(replace(_single(declared, label), many=deeper), path)]
        elif deeper:
            inner = [self._list(_single(declared, label), path, deeper)]
        elif declared.kind == "group":
            assert declared.shape is not None  # noqa: S101 - `group` always sets it
            inner = [element("span", {"class": "bench-entry-label"}, label), *self.fields(declared.shape, f"{path}.", {})]
            if named:
                inner[1:1] = self._rows([self.row(Declared("text", declared.entry_labels[0], ""), f"{path}.{ITEM_NAME}")])
        else:
            inner = [self.row(_single(declared, label), path)]
        if not fixed:
            inner.append(
                element("button", {"type": "button", "data-bench": "remove", "aria-label": f"Take out {label}"}, "Take out")
            )
        # An item that nothing was typed into is left out, where the list may be empty.
        unused = {"data-optional": path} if named and declared.many and declared.many[0][0] == 0 else {}
        return element("div", {"data-bench": "item", "class": "bench-item"} | unused, *inner)

    def _mapping(self, declared: Declared, path: str) -> Element:
        options = [
            element("option", {"value": str(number)}, label)
            for number, label in zip(declared.allowed, declared.value_labels, strict=True)
        ]
        name, value = declared.entry_labels
        key = {"type": "text", "data-map": "key", "autocomplete": "off"}
        row = element(
            "div",
            {"class": "bench-mapping-row"},
            element("label", {}, f"{name} ", element("span", {"class": "bench-entry"}, element("input", key))),
            element("label", {}, f"{value} ", element("select", {"data-map": "value"}, *options)),
        )
        return element(
            "fieldset",
            {"data-bench": "mapping", "data-field": path, "class": "bench-group"},
            element("legend", {}, declared.label),
            help_of(declared),
            row,
            element("template", {}, row),
            element("button", {"type": "button", "data-bench": "add"}, f"Add another {name.lower()}"),
            self.problem(path),
        )


def _group(legend: str, *inner: Element | None) -> Element:
    return element("fieldset", {"class": "bench-group"}, element("legend", {}, legend), *inner)


def _called(shape: type[Any], entry: Mapping[str, Any]) -> str:
    """What a given entry is called: by its name, else by what tells it from the others."""
    identity = field_with("identity", shape)
    return str(entry.get("name", entry.get(identity.name, "") if identity else ""))


def _are_names(declared: Declared, many: tuple[tuple[int, int], ...]) -> bool:
    """Whether it is a list of names, which is typed in one entry."""
    return declared.kind == "text" and len(many) == 1


def _length_at(example: Mapping[str, Any], path: str) -> int:
    """How many entries the worked example has in a list; 0 when it has none there."""
    here: Any = example
    for step in path.split("."):
        if isinstance(here, Mapping) and step in here:
            here = here[step]
        elif isinstance(here, Mapping) and step.isdigit() and int(step) < len(here):
            here = list(here.values())[int(step)]
        elif isinstance(here, list) and step.isdigit() and int(step) < len(here):
            here = here[int(step)]
        else:
            return 0
    return len(here) if isinstance(here, (list, Mapping)) else 0


def _readable(declared: Declared, text: str) -> str:
    """A given amount as a reader writes it, unless that would change it."""
    if declared.dimension is None:
        return text
    exact = parse_quantity(text, declared.dimension, "", declared.bare_unit)
    shown = show(exact)
    return shown if parse_quantity(shown, declared.dimension, "", declared.bare_unit).base == exact.base else text


def _under(outer: Declared, inner: Declared) -> Declared:
    """A field of a group, labelled so that it can be told from the same field of another group."""
    return replace(inner, label=f"{outer.label}: {uncapitalised(inner.label)}")


def _single(declared: Declared, label: str) -> Declared:
    """One entry of a list, or a field that has to be filled: without what was said for the whole."""
    return replace(declared, label=label, help="", many=(), optional=False, when=None, item_label="{n}")
