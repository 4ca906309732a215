"""Reads a request against its declaration: either the typed request, or every problem in it."""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from typing import Any, Final, TypeVar

from calc_engine.declare.fields import Declared, Field, fields_of
from calc_engine.problems import Problem, Refused, unseen
from calc_engine.quantities.quantity import Quantity, kind_of, parse_number, parse_quantity, show, with_symbol
from calc_engine.quantities.units import BY_NAME, System, Unit

__all__ = ["Reader"]

T = TypeVar("T")

_LONGEST_NAME = 200
_LONGEST_PROSE = 2000
# More than any form has; a hostile request could hold a hundred thousand.
_MOST_NAMES = 40
_ABSENT = object()
# Stands for a value that is wrong itself. It equals nothing, has no order and no parts: a check between fields that
# needs it cannot be fooled by it.
_WRONG = object()


class Reader:
    """Reads one request. Collects problems and the units seen, so that all faults are told at once.

    Attributes:
        problems: everything found wrong so far.
        units: dotted field name and unit of each quantity read, in order.
        limits: dotted names of the fields read that hold limits.
        system: the system of units of whoever reads the problems, where that is known.
    """

    def __init__(self, system: System | None = None) -> None:
        self.system = system
        self.problems: list[Problem] = []
        self.units: list[tuple[str, Unit]] = []
        self.limits: list[str] = []

    def read(self, shape: type[T], given: object, prefix: str = "", also: tuple[str, ...] = ()) -> T | None:
        """The request as its dataclass, or None when something in it is wrong.

        Args:
            shape: a dataclass whose fields are declared by `fields`. It may have a method ``problems(field)``
                that says what is wrong between its own fields.
            given: a decoded JSON value.
            prefix: dotted name of the field that holds it, empty for the request itself.
            also: names that mean something here without being declared: never a problem, and offered for one that is.

        Returns:
            An instance of `shape`; None when any problem was added.
        """
        if not isinstance(given, dict):
            self._add(
                prefix,
                "wrong-type",
                f"{kind_of(given)} was given where an object with named fields is expected.",
                "Write {…}.",
            )
            return None
        before = len(self.problems)
        declared = fields_of(shape)
        self._unknown([*(field.name for field in declared), *also], given, prefix)
        values: dict[str, Any] = {}
        for field in declared:
            values[field.attribute] = self._field(field, given, _join(prefix, field.name), declared)
        made = shape(**values)
        self._between(made, prefix, self.problems[before:])
        return made if len(self.problems) == before else None

    def _between(self, made: Any, prefix: str, known: list[Problem]) -> None:
        """Adds what is wrong between the fields, so far as it does not hang on a field that is wrong itself."""
        if not hasattr(made, "problems"):
            return
        found = made.problems(prefix)
        try:
            for problem in found:
                if not any(_same_place(problem.field, other.field) for other in known):
                    self.problems.append(problem)
        except (AttributeError, TypeError):
            if not known:
                raise

    def _add(self, field: str, code: str, message: str, remedy: str) -> None:
        self.problems.append(Problem(field, code, message, remedy))

    def _unknown(self, known: list[str], given: dict[Any, Any], prefix: str) -> None:
        unknown = [str(name)[:_LONGEST_NAME] for name in given if name not in known]
        for name in unknown[:_MOST_NAMES]:
            near = difflib.get_close_matches(name, known, 1)
            meant = f": did you mean “{near[0]}”?" if near else "."
            self._add(
                _join(prefix, name),
                "unknown-field",
                f"There is no field “{name}” here{meant}",
                f"Known here: {', '.join(known)}.",
            )
        more = len(unknown) - _MOST_NAMES
        if more > 0:
            self._add(prefix, "unknown-field", f"{more} more fields are not known here.", f"Known here: {', '.join(known)}.")

    def _field(self, field: Field, given: dict[Any, Any], path: str, known: tuple[Field, ...]) -> Any:
        value = given.get(field.name, _ABSENT)
        declared = field.declared
        wanted = _wanted(declared, given, known)
        if value is _ABSENT or value is None:
            if wanted and not declared.optional:
                self._add(path, "missing", f"{declared.label}: nothing is filled in.", _first_sentence(declared.help))
                return _WRONG
            return None
        if wanted is False and declared.when is not None:
            on, words = declared.when
            self._add(
                path,
                "not-used",
                f"{declared.label}: no meaning with {on} {_brief(given.get(on))}.",
                f"Leave it out, or set {on} to {' or '.join(words)}.",
            )
            return _WRONG
        if declared.role == "limits":
            self.limits.append(path)
        return self._value(declared, value, path, declared.many)

    def _value(self, declared: Declared, value: object, path: str, many: tuple[tuple[int, int], ...]) -> Any:
        if many:
            return self._list(declared, value, path, many)
        try:
            return self._single(declared, value, path)
        except Refused as refused:
            self.problems.extend(refused.problems)
            return _WRONG

    def _list(self, declared: Declared, value: object, path: str, many: tuple[tuple[int, int], ...]) -> Any:
        fewest, most = many[0]
        if not isinstance(value, (list, tuple)):
            self._add(
                path,
                "wrong-type",
                f"{kind_of(value)} was given where a list is expected.",
                f"Write a list of {fewest} to {most} entries.",
            )
            return _WRONG
        enough = fewest <= len(value) <= most
        if not enough:
            code = "too-few" if len(value) < fewest else "too-many"
            self._add(path, code, f"{declared.label}: {_entries(len(value))} given.", f"Give {fewest} to {most}.")
        read = tuple(self._value(declared, item, _join(path, str(index)), many[1:]) for index, item in enumerate(value[:most]))
        return read if enough else _WRONG

    def _single(self, declared: Declared, value: object, path: str) -> Any:
        if declared.kind == "amount":
            return self._amount(declared, value, path)
        if declared.kind == "group":
            assert declared.shape is not None  # noqa: S101 - `group` always sets it
            made = self.read(declared.shape, value, path)
            return _WRONG if made is None else made
        if declared.kind == "mapping":
            return self._mapping(declared, value, path)
        if declared.kind == "quantity":
            return self._quantity(declared, value, path)
        return _READERS[declared.kind](declared, value, path)

    def _mapping(self, declared: Declared, value: object, path: str) -> Any:
        fewest, most = declared.names
        if not isinstance(value, dict) or len(value) < fewest:
            wanted = "at least one name" if fewest else "an object of names"
            raise Refused(
                Problem(path, "wrong-type", f"{declared.label}: {wanted} is wanted.", f"Write {{name: {_values(declared)}}}.")
            )
        if len(value) > most:
            raise Refused(Problem(path, "too-many", f"{declared.label}: {_entries(len(value))} given.", f"Give {most} at most."))
        read = {str(name): self._mapped(declared, found, _join(path, str(name)[:_LONGEST_NAME])) for name, found in value.items()}
        made = {_name(declared, name, path): found for name, found in read.items()}
        if len(made) < len(value):
            raise Refused(Problem(path, "duplicate-field", f"{declared.label}: one name is given twice.", "Give each name once."))
        return made

    def _mapped(self, declared: Declared, found: object, path: str) -> Any:
        if declared.of:
            return self._value(declared.of, found, path, declared.of.many)
        try:
            return _allowed(declared, found, path)
        except Refused as refused:
            self.problems.extend(refused.problems)
            return _WRONG

    def _amount(self, declared: Declared, value: object, path: str) -> Fraction:
        assert declared.dimension is not None  # noqa: S101 - `amount` always sets it
        quantity = parse_quantity(value, declared.dimension, path, declared.bare_unit, self.system)
        self.units.append((path, quantity.unit))
        _within(declared, quantity.base, path, lambda: show(quantity), quantity.unit)
        return quantity.base

    def _quantity(self, declared: Declared, value: object, path: str) -> Quantity:
        quantity = parse_quantity(value, declared.dimension, path, system=self.system)
        self.units.append((path, quantity.unit))
        if declared.dimension is not None:
            _within(declared, quantity.base, path, lambda: show(quantity), quantity.unit)
        return quantity


def _wanted(declared: Declared, given: dict[Any, Any], known: tuple[Field, ...]) -> bool | None:
    """Whether the field has a meaning in this request; None when the field that decides it is itself wrong."""
    if declared.when is None:
        return True
    on, words = declared.when
    options = next(field.declared.options for field in known if field.name == on)
    if given.get(on) not in [option.value for option in options]:
        return None
    return given[on] in words


def _join(prefix: str, name: str) -> str:
    return f"{prefix}.{name}" if prefix else name


def _same_place(one: str, other: str) -> bool:
    """Whether two dotted names name the same field, or one lies inside the other."""
    return f"{one}.".startswith(f"{other}.") or f"{other}.".startswith(f"{one}.")


def _brief(value: object) -> str:
    """The value as a reader may be shown it: short, and never the inside of a list or object."""
    if isinstance(value, str):
        return f"“{value[:40]}”"
    if isinstance(value, bool) or not isinstance(value, (int, float, Fraction, Decimal)):
        return kind_of(value).lower()
    return "this number" if isinstance(value, int) and value.bit_length() > _LONGEST_NAME else str(value)[:40]


def _entries(number: int) -> str:
    return "1 entry" if number == 1 else f"{number} entries"


def _first_sentence(text: str) -> str:
    return text.split(". ", maxsplit=1)[0].rstrip(".") + "."


def _within(declared: Declared, value: Fraction, path: str, shown: Callable[[], str], unit: Unit | None = None) -> None:
    def limit(text: str, bound: Fraction) -> str:
        """The limit in the unit that was typed, rounded as all figures are that a reader is shown; in its own unit as it was declared."""
        figure, _, name = text.rpartition(" ")
        own = BY_NAME.get(name)
        if unit is not None and unit.dimension is declared.dimension and unit is not own:
            return show(Quantity(unit.from_base(bound), unit))
        return text if own is None else with_symbol(figure, own)

    low, high = declared.least, declared.most
    if low is not None and (value < low or (declared.above_least and value == low)):
        word = "more than" if declared.above_least else "at least"
        raise Refused(
            Problem(
                path,
                "out-of-range",
                f"{declared.label}: {shown()} is too small.",
                f"It must be {word} {limit(declared.least_text, low)}.{_slip(value, low)}",
            )
        )
    if high is not None and value > high:
        raise Refused(
            Problem(
                path,
                "out-of-range",
                f"{declared.label}: {shown()} is far too large.",
                f"It can be {limit(declared.most_text, high)} at most. Wrong unit or decimal point?",
            )
        )


def _slip(value: Fraction, least: Fraction) -> str:
    return " Was the minus sign typed by mistake?" if value < 0 <= least else ""


def _number(declared: Declared, value: object, path: str) -> Fraction:
    found = parse_number(value, path)
    _within(declared, found, path, lambda: str(value).strip())
    return found


def _count(declared: Declared, value: object, path: str) -> int:
    found = _number(declared, value, path)
    if found.denominator != 1:
        raise Refused(
            Problem(
                path,
                "not-whole",
                f"{declared.label}: {str(value).strip()} is not a whole number.",
                "Count whole pieces.",
            )
        )
    return int(found)


def _text(declared: Declared, value: object, path: str) -> str:
    if not isinstance(value, str) or not value.strip():
        raise Refused(Problem(path, "wrong-type", f"{declared.label}: a text is wanted.", _first_sentence(declared.help)))
    if len(value) > _LONGEST_NAME:
        raise Refused(
            Problem(
                path,
                "too-long",
                f"{declared.label}: {len(value)} characters are too many.",
                f"Use at most {_LONGEST_NAME}.",
            )
        )
    return _name(declared, value, path)


def _name(declared: Declared, value: str, path: str) -> str:
    """A name as it is compared: two that look alike are one."""
    name = value.strip()
    hidden = unseen(name)
    if hidden is not None:
        raise Refused(
            Problem(
                path,
                "invisible-character",
                f"{declared.label}: the name holds the character {hidden}, which cannot be seen.",
                "Type the name again without it.",
            )
        )
    # One letter with an accent can be written as one character or as two.
    return name if name.isascii() else unicodedata.normalize("NFC", name)


def _choice(declared: Declared, value: object, path: str) -> str:
    words = [option.value for option in declared.options]
    if isinstance(value, str) and value in words:
        return value
    near = difflib.get_close_matches(_brief(value).strip("“”"), words, 1)
    remedy = f"Did you mean “{near[0]}”?" if near else f"Write one of: {', '.join(words)}."
    raise Refused(Problem(path, "unknown-word", f"{declared.label}: {_brief(value)} is not known here.", remedy))


def _flag(declared: Declared, value: object, path: str) -> bool:
    if isinstance(value, bool):
        return value
    raise Refused(Problem(path, "wrong-type", f"{declared.label}: true or false is wanted.", "Write true or false."))


def _prose(declared: Declared, value: object, path: str) -> str:
    if not isinstance(value, str) or not value.strip():
        raise Refused(Problem(path, "wrong-type", f"{declared.label}: a text is wanted.", _first_sentence(declared.help)))
    if len(value) > _LONGEST_PROSE:
        message = f"{declared.label}: {len(value)} characters are too many."
        raise Refused(Problem(path, "too-long", message, f"Use at most {_LONGEST_PROSE}."))
    return value


def _values(declared: Declared) -> str:
    if declared.of:
        return "{…}" if declared.of.kind == "group" else "number"
    return " or ".join(str(number) for number in declared.allowed)


def _allowed(declared: Declared, found: Any, path: str) -> int:
    if isinstance(found, bool) or found not in declared.allowed:
        message = f"{declared.label}: {_brief(found)} is not known here."
        raise Refused(Problem(path, "unknown-word", message, f"Write {_values(declared)}."))
    return int(found)


_READERS: Final[dict[str, Callable[[Declared, object, str], Any]]] = {
    "number": _number,
    "count": _count,
    "text": _text,
    "prose": _prose,
    "choice": _choice,
    "flag": _flag,
}
