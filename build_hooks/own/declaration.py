"""What is wrong in how a calculation is declared, and in what it gives: for whoever writes one without the engine's type checker."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from fractions import Fraction
from typing import Any, Final, get_args

from latex2mathml.converter import convert

from build_hooks.own.places import Places
from build_hooks.reading.phrases import phrase_faults
from build_hooks.reading.problems import Fault, Mark, known_names, listed, quoted
from calc_engine import Calculation, Declared, Field, Quantity, Role, Source, Subject, fields_of
from calc_engine.declaring import Answer

__all__ = ["answer_faults", "declaration_faults"]

_LONGEST_SHOWN: Final = 30
_TEXTS: Final = {"name": "sight-size", "title": "Height of letters on a screen", "about": "How high letters must be to be read."}


def declaration_faults(calculation: Calculation[Any, Any], name: str, places: Places) -> Iterator[Fault]:
    """Everything that is wrong in a declaration.

    Args:
        calculation: what the file has made.
        name: what it is to be called.
        places: of its file.
    """
    for key, example in _TEXTS.items():
        text = getattr(calculation, key)
        if not _is_line(text):
            yield _bad(places.declared(key), f"The {key} must be a text of one line.", f"Write for example {key}={example!r}.")
    if _is_line(calculation.name) and calculation.name != name:
        yield _bad(places.declared("name"), f"The name must be that of the file, {quoted(name)}.", f"Write name={name!r}.")
    for key in ("request", "result"):
        yield from _shape_faults(getattr(calculation, key), key, places)
    if not callable(calculation.compute):
        yield _bad(places.declared("compute"), "compute must be a function.", "Name the function that works the answer out.")
    yield from _formula_faults(calculation.formulas, places)
    yield from _asked_faults(calculation.asked_as, places)
    sources = calculation.sources
    if not (isinstance(sources, tuple) and sources and all(isinstance(source, Source) for source in sources)):
        remedy = 'Write for example sources=(Source("shop rule", "", "common practice, no source"),).'
        yield _bad(places.declared("sources"), "The sources must be a row of Source, at least one.", remedy)
    if not (isinstance(calculation.example, Mapping) and all(isinstance(key, str) for key in calculation.example)):
        yield _bad(
            places.declared("example"), "The example must be a request that works.", 'Write for example {"distance": "5 m"}.'
        )
    if calculation.subject not in get_args(Subject):
        message = f"The subject {quoted(str(calculation.subject))} is not known."
        yield _bad(places.declared("subject"), message, f"Leave it out, or write {listed(filter(None, get_args(Subject)))}.")


def _bad(mark: Mark, message: str, remedy: str) -> Fault:
    return Fault(mark, "bad-declaration", message, remedy)


def _is_line(text: object) -> bool:
    return isinstance(text, str) and bool(text.strip()) and text.isprintable()


def _asked_faults(asked: object, places: Places) -> Iterator[Fault]:
    mark = places.declared("asked_as")
    if not (isinstance(asked, tuple) and all(_is_line(phrase) for phrase in asked)):
        remedy = 'Write for example asked_as=("how far off is the filter",), with the comma.'
        yield _bad(mark, "What it is asked for must be a row of texts of one line.", remedy)
        return
    yield from phrase_faults((phrase, mark) for phrase in asked)


def _formula_faults(formulas: object, places: Places) -> Iterator[Fault]:
    mark = places.declared("formulas")
    if not (isinstance(formulas, tuple) and all(isinstance(formula, str) for formula in formulas)):
        yield _bad(
            mark, "The formulas must be a row of texts.", r'Write for example formulas=(r"v = \frac{s}{t}",), with the comma.'
        )
        return
    for formula in formulas:
        try:
            convert(formula, display="block")
        except Exception as fault:  # noqa: BLE001 - the converter has faults of many kinds
            message = f"The formula {quoted(formula)} is no LaTeX that can be shown: {type(fault).__name__}."
            yield _bad(mark, message, "Look for a bracket or a command that is not closed.")


def _shape_faults(shape: object, key: str, places: Places) -> Iterator[Fault]:
    if not (isinstance(shape, type) and dataclasses.is_dataclass(shape)):
        yield _bad(
            places.declared(key), f"The {key} must be a dataclass.", "Write @dataclass(frozen=True, slots=True) above its class."
        )
        return
    declared = fields_of(shape)
    if not declared and key:
        yield _bad(
            places.declared(key),
            f"The {key} has no fields.",
            'Give it one, for example height: Fraction = length("Height", "…").',
        )
    known = {field.attribute for field in declared}
    for item in dataclasses.fields(shape):
        mark = places.field(shape, item.name)
        if item.name not in known:
            remedy = f'Write for example {item.name}: Fraction = length("Label", "What it is.").'
            yield _bad(mark, f"{quoted(item.name)} is not declared: the form would not show it.", remedy)
    for field in declared:
        yield from _field_faults(field, places.field(shape, field.attribute), declared)
        inner = field.declared.shape or (field.declared.of.shape if field.declared.of else None)
        if inner is not None:
            yield from _shape_faults(inner, "", places)


def _field_faults(field: Field, mark: Mark, all_fields: tuple[Field, ...]) -> Iterator[Fault]:
    declared = field.declared
    if not (_is_line(declared.label) and isinstance(declared.help, str)):
        yield _bad(
            mark,
            f"{quoted(field.name)} needs a label and a help text.",
            'Write for example length("Distance", "From eye to letters.").',
        )
    if declared.role not in get_args(Role):
        roles = [role for role in get_args(Role) if role]
        remedy = known_names(str(declared.role), roles, "role")
        yield _bad(mark, f"There is no role {quoted(str(declared.role))}.", remedy)
    if declared.kind == "choice" and not declared.options:
        yield _bad(
            mark,
            f"{quoted(field.name)} has nothing to choose from.",
            'Write for example choice("Way", "How.", {"dial": "With a dial"}).',
        )
    if declared.when is not None:
        on, words = declared.when
        other = next((one for one in all_fields if one.name == on), None)
        options = {option.value for option in other.declared.options} if other else set()
        if not (other and set(words) <= options):
            remedy = f"Name a field of the same class and its words: when=({on!r}, (“a word of it”,))."
            yield _bad(mark, f"{quoted(field.name)} hangs on {quoted(on)}, which has no such words.", remedy)


def answer_faults(calculation: Calculation[Any, Any], given: object, places: Places) -> Iterator[Fault]:
    """Everything that is wrong in what the function gives for the example.

    Args:
        calculation: as declared.
        given: what its function gave.
        places: of its file.
    """
    mark = places.function(getattr(calculation.compute, "__name__", ""))
    if not isinstance(given, Answer):
        message = f"The function gives {_kind(given)} where an Answer is wanted."
        yield Fault(mark, "wrong-return", message, "End it with return Answer(result, working), the working as a row of texts.")
        return
    for key in ("working", "cautions"):
        lines = getattr(given, key)
        if not (isinstance(lines, tuple) and all(isinstance(line, str) for line in lines)):
            remedy = "Write for example (“a = b + c = 3 mm”,), with the comma."
            yield Fault(mark, "wrong-return", f"The {key} must be a row of texts, not {_kind(lines)}.", remedy)
    if not isinstance(given.result, calculation.result):
        message = f"The result is {_kind(given.result)} where {calculation.result.__name__} is wanted."
        yield Fault(mark, "wrong-return", message, f"Make it with {calculation.result.__name__}(…).")
        return
    for name, value, wanted in _wrong_values(calculation.result, given.result, ""):
        yield Fault(mark, "wrong-return", f"{quoted(name)} of the result is {_kind(value)}.", f"Give {wanted}.")


_WANTED: Final[Mapping[str, str]] = {
    "amount": "a Fraction, in the base unit of its dimension",
    "quantity": "a Quantity",
    "number": "a Fraction",
    "count": "a whole number",
    "text": "a text that is not empty",
    "prose": "a text that is not empty",
    "flag": "True or False",
    "mapping": "names with their values, in a dict",
}


def _wrong_values(shape: type[Any], made: Any, prefix: str) -> Iterator[tuple[str, object, str]]:
    """Name, value and what is wanted of each value that cannot be shown."""
    for field in fields_of(shape):
        value, declared, name = getattr(made, field.attribute), field.declared, f"{prefix}{field.name}"
        if value is not None:
            yield from _wrong(declared, value, name, len(declared.many))
        elif not declared.optional and declared.when is None:
            yield name, value, f"{_wanted(declared)}, or declare it optional=True"


def _wrong(declared: Declared, value: Any, name: str, depth: int) -> Iterator[tuple[str, object, str]]:
    if depth:
        if not isinstance(value, tuple | list):
            yield name, value, "a row of values"
            return
        for at, item in enumerate(value):
            yield from _wrong(declared, item, f"{name}.{at}", depth - 1)
    elif not _is_of(declared, value):
        yield name, value, _wanted(declared)
    elif declared.shape is not None:
        yield from _wrong_values(declared.shape, value, f"{name}.")
    elif declared.of is not None:
        for key, item in value.items():
            yield from _wrong(declared.of, item, f"{name}.{key}", 0)


def _is_of(declared: Declared, value: object) -> bool:
    is_flag = isinstance(value, bool)
    match declared.kind:
        case "amount" | "number":
            return isinstance(value, Fraction | int) and not is_flag
        case "quantity":
            return isinstance(value, Quantity)
        case "count":
            return isinstance(value, int) and not is_flag
        case "text" | "prose":
            return isinstance(value, str) and bool(value)
        case "flag":
            return is_flag
        case "choice":
            return value in [option.value for option in declared.options]
        case "group":
            return declared.shape is not None and isinstance(value, declared.shape)
        case "mapping":
            return isinstance(value, dict)


def _wanted(declared: Declared) -> str:
    if declared.kind == "choice":
        return listed(repr(option.value) for option in declared.options)
    if declared.kind == "group":
        assert declared.shape is not None  # noqa: S101 - `group` always sets it
        return f"a {declared.shape.__name__}"
    return _WANTED[declared.kind]


def _kind(value: object) -> str:
    """A value by its type, and by what it is where that is short."""
    if value is None:
        return "None"
    kind = type(value).__name__
    is_short = isinstance(value, bool | int | float | str | Fraction) and len(repr(value)) <= _LONGEST_SHOWN
    return f"{value!r}, a {kind}" if is_short else f"a {kind}"
