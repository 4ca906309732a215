"""One entry of a form: its label, its control, its unit, its help and the place of its problem."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Final

from build_hooks.forms.form import Form
from calc_engine import Declared, Dimension, Element, Quantity, Unit, element, find_unit, parse_quantity, show

__all__ = ["Controls", "converted_words", "help_of", "other_unit"]

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
    Dimension.FLOW: ("L/min", "qt/min"),
    Dimension.EXPANSION: ("1/K", "1/K"),
}


# Below an entry that takes several names.
_COMMAS: Final = "Put commas between the names."


class Controls:
    """Writes single entries of one form."""

    def __init__(self, form: Form) -> None:
        """Takes what the form is to hold."""
        self.form = form

    def row(self, declared: Declared, path: str, given: str | None = None, names_from: int | None = None) -> Element:
        """An entry with everything that belongs to it.

        Args:
            declared: what is entered.
            path: dotted path in the request.
            given: the figure that unit data give; the entry cannot be changed then.
            names_from: for a list of names in one entry, how many it must hold at least.
        """
        identity = self._id(path)
        # An amount of any dimension is typed with its unit, as a text is.
        kind = "text" if declared.kind == "quantity" else declared.kind
        attributes = {"id": identity, "name": path, "data-kind": kind, "aria-describedby": f"{identity}-problem"}
        if names_from is not None:
            attributes |= {"data-kind": "names", "data-fewest": str(names_from)}
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
                f"{declared.label}{self._may_stay_empty(declared, path, given, names_from)}",
            ),
            self._control(declared, path, attributes, given),
            None if given is not None else help_of(declared),
            self.problem(path),
        )

    def names(self, declared: Declared, path: str) -> Element:
        """An entry for a list of names: a tick for each where they are known, else names with commas between them.

        Args:
            declared: the list, with how many names it takes.
            path: dotted path in the request.
        """
        ((fewest, _most),) = declared.many
        if (known := self.form.choices.get(path)) is not None:
            return self._ticks(declared, path, known, fewest)
        told = replace(declared, help=f"{declared.help} {_COMMAS}".strip(), many=())
        return self.row(told, path, names_from=fewest)

    def _ticks(self, declared: Declared, path: str, known: Sequence[str], fewest: int) -> Element:
        """Ticks that fill an entry of names, which stays behind them: it is what is sent and kept."""
        identity = self._id(path)
        entry = {"id": identity, "name": path, "type": "text", "autocomplete": "off", "data-kind": "names"}
        return element(
            "div",
            {"class": "bench-row", "data-row": path},
            element("span", {"id": f"{identity}-of"}, declared.label),
            help_of(declared),
            element(
                "input", {**entry, "data-fewest": str(fewest), "class": "bench-behind", "tabindex": "-1", "aria-hidden": "true"}
            ),
            element(
                "div",
                {"class": "bench-names", "data-bench": "names", "role": "group", "aria-labelledby": f"{identity}-of"},
                *(
                    element("label", {}, element("input", {"type": "checkbox", "value": name, "data-bench": "name"}), f" {name}")
                    for name in known
                ),
            ),
            self.problem(path),
        )

    def _may_stay_empty(self, declared: Declared, path: str, given: str | None, names_from: int | None) -> str:
        optional = (declared.optional or names_from == 0) and given is None and path not in self.form.defaults
        return " (may stay empty)" if optional else ""

    def _control(self, declared: Declared, path: str, attributes: dict[str, str], given: str | None) -> Element:
        offered = self.form.choices.get(path)
        if declared.kind == "choice" or (offered is not None and given is None):
            pairs = (
                [(word, word) for word in offered]
                if offered is not None
                else [(option.value, option.label) for option in declared.options]
            )
            if declared.role == "fitted":
                attributes = {**attributes, "data-bench": "fitted-part"}
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

    def _text(self, declared: Declared, attributes: dict[str, str], value: str | None, *, fixed: bool) -> Element:
        attributes = {**attributes, "type": "text", "autocomplete": "off"}
        if value is not None:
            attributes["value"] = value
        if fixed:
            attributes["readonly"] = ""
        if declared.kind in {"amount", "number", "count"}:
            attributes["inputmode"] = "numeric" if declared.kind == "count" else "decimal"
        if fixed:
            return element("span", {"class": "bench-entry"}, element("input", attributes), *converted(declared, value or ""))
        if declared.dimension is None:
            return element("span", {"class": "bench-entry"}, element("input", attributes))
        attributes["enterkeyhint"] = "next"
        metric, inch = (declared.bare_unit, declared.bare_unit) if declared.bare_unit else _UNITS[declared.dimension]
        unit = str(inch if self.form.system == "inch" else metric)
        attributes |= {"data-unit": unit, "data-unit-metric": str(metric), "data-unit-inch": str(inch)}
        return element(
            "span",
            {"class": "bench-entry"},
            element("input", attributes),
            element("span", {"class": "bench-unit", "data-bench": "unit"}, unit),
        )

    def problem(self, path: str) -> Element:
        """The place where the problem of an entry is shown."""
        return element("p", {"data-bench": "problem", "data-field": path, "id": f"{self._id(path)}-problem", "hidden": ""})

    def _id(self, path: str) -> str:
        return f"{self.form.identity}-{path.replace('.', '-')}"


def converted(declared: Declared, given: str) -> list[Element]:
    """A given figure in the units that it is not given in, marked as converted: the source says it in its own.

    Args:
        declared: what the figure is.
        given: the figure with its unit.

    Returns:
        One element, which the style sheet shows when the reader has chosen those units; none for a figure that is the same in both.
    """
    if declared.dimension is None or declared.bare_unit:
        return []
    exact = parse_quantity(given, declared.dimension, "")
    return [] if (unit := other_unit(exact)) is None else [converted_words(unit, show(exact.to(unit)))]


def other_unit(exact: Quantity) -> Unit | None:
    """The unit that an amount has in the other of the two systems; None for what both say in the same."""
    unit = find_unit(_UNITS[exact.unit.dimension][exact.unit.system != "inch"])
    return unit if unit and unit.system else None


def converted_words(unit: Unit, words: str) -> Element:
    """What is converted into a unit; the style sheet shows it to readers of that unit's system."""
    return element("span", {"class": "bench-converted", "data-system": str(unit.system)}, f"{words}, converted")


def help_of(declared: Declared) -> Element | None:
    """The help below an entry or a group; None where there is none."""
    return element("p", {"class": "bench-help"}, declared.help) if declared.help else None
