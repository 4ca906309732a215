"""The form of a drum: what is fitted now, and the readings of each pack, for one trial after another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

from build_hooks.forms.entries import ITEM_NAME, Entries
from build_hooks.forms.form import TrialPack, TrialShape
from build_hooks.forms.roles import entry_shape, known_field
from calc_engine import Element, Field, element, fields_of

__all__ = ["TrialEntries"]


class TrialEntries(Entries):
    """Writes the entries of one trial; the script that keeps the earlier ones finds them by their marks."""

    def trial(self, request: type[Any], shape: TrialShape) -> Element:
        """The trial that is being made, below the place for those that were."""
        trials = known_field("trials", request)
        fitted, readings = known_field("fitted", entry_shape(trials)), known_field("readings", entry_shape(trials))
        path = f"{trials.name}.0"
        marks = {"data-trials": trials.name, "data-fitted": fitted.name, "data-readings": readings.name}
        return element(
            "div",
            {"data-bench": "trial", "class": "bench-trial", **marks},
            element("div", {"data-bench": "earlier-trials"}),
            element("p", {"class": "bench-trial-number", "data-bench": "trial-number"}, "Trial 1"),
            self._fitted(fitted, f"{path}.{fitted.name}", shape.places),
            self._packs(request, readings, f"{path}.{readings.name}", shape.packs),
        )

    def _fitted(self, field: Field, path: str, places: Sequence[str]) -> Element:
        part = entry_shape(field)
        identity, measured = known_field("identity", part), known_field("measured", part)
        items = []
        for index, place in enumerate(places):
            here = f"{path}.{index}"
            size = self.row(replace(identity.declared, label=place, help=""), f"{here}.{identity.name}")
            label = f"{place}: measured thickness"
            thickness = self.row(replace(measured.declared, label=label, help=""), f"{here}.{measured.name}")
            items.append(_named_item(here, {ITEM_NAME: place}, element("div", {"class": "bench-rows"}, size, thickness)))
        help_text = "What is in the drum while you read. A thickness that you measured counts instead of the kit's."
        return element(
            "fieldset",
            {"class": "bench-group", "data-bench": "fitted"},
            element("legend", {}, "Fitted now"),
            element("p", {"class": "bench-help"}, help_text),
            _named_list(path, items),
            self.problem(path),
        )

    def _packs(self, request: type[Any], field: Field, path: str, packs: Sequence[TrialPack]) -> Element:
        shape = entry_shape(field)
        method = known_field("method", shape)
        items = []
        for index, pack in enumerate(packs):
            here = f"{path}.{index}"
            inner = element(
                "fieldset",
                {"class": "bench-group bench-pack", "data-bench": "pack", "data-pack": pack.name},
                element("legend", {}, pack.name),
                element("p", {"class": "bench-limits"}, *pack.about),
                element("p", {"class": "bench-earlier", "data-bench": "earlier-reading", "hidden": ""}),
                *self._readings(shape, here, pack),
                *self._wave(request, pack),
                self.problem(here),
            )
            items.append(_named_item(here, {ITEM_NAME: pack.name, method.name: pack.method}, inner, optional=True))
        return element("div", {}, _named_list(path, items), self.problem(path))

    def _readings(self, shape: type[Any], path: str, pack: TrialPack) -> Iterator[Element]:
        for item in fields_of(shape):
            when = item.declared.when
            if when is None or pack.method not in when[1]:
                continue
            declared = replace(item.declared, when=None, optional=False)
            if declared.many:
                yield self._list(declared, f"{path}.{item.name}", declared.many)
            else:
                yield from self._rows([self.row(declared, f"{path}.{item.name}")])

    def _wave(self, request: type[Any], pack: TrialPack) -> Iterator[Element]:
        if not pack.wave:
            return
        wave = known_field("wave", entry_shape(known_field("packs", request)))
        state = next(item for item in fields_of(entry_shape(wave)) if pack.wave.endswith(f".{item.name}"))
        yield from self._rows([self.row(replace(state.declared, help=""), pack.wave)])


def _named_list(path: str, items: Sequence[Element]) -> Element:
    size = str(len(items))
    attributes = {"data-bench": "list", "data-field": path, "data-fewest": size, "data-most": size, "data-named": ""}
    return element("div", {**attributes, "class": "bench-list-of bench-named-list"}, *items)


def _named_item(path: str, kept: dict[str, str], inner: Element, *, optional: bool = False) -> Element:
    """An item of which the page knows the name: nothing of it is typed, but the request has it."""
    inputs = (
        element("input", {"type": "hidden", "name": f"{path}.{name}", "value": value, "data-kind": "text"})
        for name, value in kept.items()
    )
    names = element("div", {"class": "bench-rows bench-kept"}, element("div", {"class": "bench-row"}, *inputs))
    attributes = {"data-bench": "item", "class": "bench-item"} | ({"data-optional": path} if optional else {})
    return element("div", attributes, names, inner)
