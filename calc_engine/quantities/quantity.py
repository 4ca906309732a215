"""Exact quantities: a rational number and a unit. Parsed, compared, converted and shown here, nowhere else."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any, Final

from calc_engine.problems import Problem, Refused
from calc_engine.quantities.figures import exact_text, rounded_text
from calc_engine.quantities.phrases import listed, with_article
from calc_engine.quantities.units import BY_NAME, INCH_UNITS, METRIC_UNITS, UNITS, Dimension, System, Unit, find_unit, normalised

__all__ = [
    "Quantity", "UnreadNumber", "amount_text", "kind_of", "parse_number", "parse_quantity", "parse_unit", "show",
    "with_symbol",
]  # fmt: skip

# Longer texts are never a reading; the limit also keeps a hostile number from taking minutes to parse.
_LONGEST_TEXT: Final = 80
_LARGEST_EXPONENT: Final = 30
_LARGEST_WHOLE_BITS: Final = 200
# What the two limits below let in leaves every sum, difference, halving and mean of 24 under 64 digits.
_MOST_DECIMALS: Final = 40
_LARGEST_BOTTOM: Final = 9999

_NUMBER: Final = re.compile(
    r"""(?P<sign>[+\-−]?)\s*
        (?: (?P<whole>\d+)\s+(?P<mixed_top>\d+)\s*/\s*(?P<mixed_bottom>\d+)
          | (?P<top>\d+)\s*/\s*(?P<bottom>\d+)
          | (?P<decimal>(?:\d+(?:[.,]\d*)?|[.,]\d+))(?:[eE](?P<exponent>[+\-]?\d+))?
        )""",
    re.VERBOSE | re.ASCII,
)
# 1,345 can be read as one thousand or as one and a bit. 0,345 and 1,35 cannot.
_AMBIGUOUS_COMMA: Final = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


@dataclass(frozen=True, slots=True)
class Quantity:
    """An exact amount of a unit.

    Attributes:
        value: how many units, exact.
        unit: the unit.
    """

    value: Fraction
    unit: Unit

    @property
    def base(self) -> Fraction:
        """The amount in the base unit of its dimension, exact: mm, mm2, Pa, N, N.m, N/mm, deg, rpm, kg/m3, degC, s, mL, 1/K."""
        return self.unit.to_base(self.value)

    def to(self, unit: Unit) -> Quantity:
        """The same amount in another unit of the same dimension, exact.

        Args:
            unit: the unit wanted.

        Returns:
            The amount in that unit.

        Raises:
            ValueError: the units measure different things.

        Example:
            >>> from calc_engine.quantities.units import BY_NAME
            >>> str(Quantity(Fraction(1), BY_NAME["in"]).to(BY_NAME["mm"]))
            '25.4 mm'
        """
        if unit.dimension is not self.unit.dimension:
            raise ValueError(f"{self.unit} measures {self.unit.dimension}, {unit} measures {unit.dimension}")
        return self if unit is self.unit else Quantity(unit.from_base(self.base), unit)

    def __str__(self) -> str:
        return amount_text(self.value, self.unit)


def amount_text(value: Fraction, unit: Unit) -> str:
    """So many units as a reply and a command line tell them: exact, with the name of the unit.

    Args:
        value: how many of the unit.
        unit: the unit.
    """
    return f"{exact_text(value)} {unit.name}"


@dataclass(frozen=True, slots=True)
class UnreadNumber:
    """A number of a request that is too long to be a reading, or has too large a power of ten.

    Attributes:
        text: as it was sent.
    """

    text: str

    def __str__(self) -> str:
        return self.text


def show(quantity: Quantity, fewest: int = 0) -> str:
    """A quantity for a reader: rounded by the rule of its unit, with the unit's symbol and at least so many decimals.

    Args:
        quantity: the quantity in the unit to be shown.
        fewest: decimals that are always shown, where the unit itself asks for fewer.

    Returns:
        The figure and the unit's symbol.

    Example:
        >>> from calc_engine.quantities.units import Dimension
        >>> show(parse_quantity("1/3 in", Dimension.LENGTH, "lift"))
        '0.3333 in'
        >>> show(parse_quantity("0.5 mm", Dimension.LENGTH, "lift"))
        '0.50 mm'
    """
    unit = quantity.unit
    return with_symbol(rounded_text(quantity.value, max(fewest, unit.fewest), unit.most), unit)


def with_symbol(figure: str, unit: Unit) -> str:
    """A figure with the symbol of its unit, as a reader sees it."""
    return f"{figure}{'' if unit.symbol == '°' else ' '}{unit.symbol}"


def parse_number(given: object, field: str) -> Fraction:
    """A plain number without a unit.

    Args:
        given: an int, a decimal, a float or a text; a truth value is not a number.
        field: the name used in the problem.

    Returns:
        The exact value; a float counts as the shortest decimal that stands for it.

    Raises:
        Refused: it is not a finite number.

    Example:
        >>> parse_number("0.12", "friction"), parse_number("1 1/2", "count")
        (Fraction(3, 25), Fraction(3, 2))
    """
    match = _match_number(_as_text(given, field, "a number"), field)
    if match.end() != len(match.string):
        unit = match.string[match.end() :].strip()
        raise Refused(
            Problem(
                field,
                "not-a-number",
                f"“{match.string}” is not a plain number.",
                f"Leave “{unit}” out: this figure has no unit.",
            )
        )
    return _value_of(match, field)


def parse_quantity(
    given: object, dimension: Dimension | None, field: str, bare_unit: str | None = None, system: System | None = None
) -> Quantity:
    """A quantity such as ``0.85 mm``, ``0,85 mm``, ``3/64 in`` or ``30 psi``.

    Args:
        given: the text. A bare number is a problem unless `bare_unit` names the unit it then has.
        dimension: what is to be measured; None for anything.
        field: the name used in the problem.
        bare_unit: the unit of a number without one, where the contract defines it so.
        system: of whoever reads the problem, where that is known: the example in it has a unit of that system.

    Returns:
        The exact quantity in the unit that was written.

    Raises:
        Refused: no number, no unit, an unknown unit or a unit of another dimension.

    Example:
        >>> from calc_engine.quantities.units import Dimension
        >>> str(parse_quantity("0,85 mm", Dimension.LENGTH, "lift")), str(parse_quantity("3/64 in", Dimension.LENGTH, "lift"))
        ('0.85 mm', '0.046875 in')
        >>> parse_quantity("1/8 in", Dimension.LENGTH, "lift").base  # mm
        Fraction(127, 40)
    """
    match = _match_number(_as_text(given, field, f"a value, for example {_example(dimension, system)}"), field)
    value = _value_of(match, field)
    spelling = match.string[match.end() :].strip()
    if not spelling:
        if bare_unit is None:
            raise Refused(
                Problem(
                    field,
                    "no-unit",
                    f"“{match.string}” has no unit.",
                    f"Write the unit too, for example {_example(dimension, system)}.",
                )
            )
        return Quantity(value, BY_NAME[bare_unit])
    return Quantity(value, parse_unit(spelling, dimension, field))


def parse_unit(spelling: str, dimension: Dimension | None, field: str) -> Unit:
    """The unit that a spelling names.

    Args:
        spelling: as people write it.
        dimension: what it must measure; None for anything.
        field: the name used in the problem.

    Returns:
        The unit.

    Raises:
        Refused: an unknown unit or one of another dimension.

    Example:
        >>> from calc_engine.quantities.units import Dimension
        >>> parse_unit("inches", Dimension.LENGTH, "lift").name
        'in'
    """
    unit = find_unit(spelling)
    if unit is None:
        raise Refused(_unknown_unit(spelling, dimension, field))
    if dimension is not None and unit.dimension is not dimension:
        raise Refused(
            Problem(
                field,
                "wrong-unit",
                f"“{unit.name}” measures {unit.dimension}, but {with_article(dimension)} is wanted.",
                f"Write it in {_unit_names(dimension)}.",
            )
        )
    return unit


def _as_text(given: object, field: str, example: str) -> str:
    if isinstance(given, bool) or not isinstance(given, (str, int, float, Decimal, Fraction, UnreadNumber)):
        raise Refused(Problem(field, "wrong-type", f"{kind_of(given)} was given where a value is expected.", f"Write {example}."))
    if isinstance(given, int) and given.bit_length() > _LARGEST_WHOLE_BITS:
        raise Refused(Problem(field, "out-of-range", "The number is far too large.", f"Write {example}."))
    text = normalised(given if isinstance(given, str) else str(given))
    if not text:
        raise Refused(Problem(field, "missing", "This field is empty.", f"Write {example}."))
    if len(text) > _LONGEST_TEXT:
        raise Refused(Problem(field, "too-long", f"{len(text)} characters are too many for a value.", f"Write {example}."))
    return text


def kind_of(value: object) -> str:
    """What sort of JSON value something is, to begin a sentence with."""
    kinds: tuple[tuple[Any, str], ...] = (
        (type(None), "Nothing"),
        (bool, "A true or false value"),
        (str, "Text"),
        ((int, float, Decimal, Fraction, UnreadNumber), "A number"),
        ((list, tuple), "A list"),
        (dict, "An object"),
    )
    return next((said for kind, said in kinds if isinstance(value, kind)), "Something else")


def _match_number(text: str, field: str) -> re.Match[str]:
    match = _NUMBER.match(text)
    if match is None:
        raise Refused(
            Problem(
                field,
                "not-a-number",
                f"“{text}” does not start with a number.",
                "Write figures first, then the unit.",
            )
        )
    rest = text[match.end() :]
    # 1/K and /K are units, though they start as a number goes on.
    if find_unit(rest) is None and (rest[:1] in set(".,/0123456789'’") or re.match(r"\s*[-+−]?\s*\d", rest)):
        raise Refused(
            Problem(
                field,
                "not-a-number",
                f"“{text}” is not one number.",
                "Write one number with one decimal mark and no grouping, for example 1.35.",
            )
        )
    return match


def _value_of(match: re.Match[str], field: str) -> Fraction:
    sign = -1 if match["sign"] in {"-", "−"} else 1
    decimal = match["decimal"]
    if decimal is None:
        top, bottom = match["top"] or match["mixed_top"], int(match["bottom"] or match["mixed_bottom"])
        if not 0 < bottom <= _LARGEST_BOTTOM:
            why = f"beyond {_LARGEST_BOTTOM} is no reading" if bottom else "over zero is not a number"
            raise Refused(Problem(field, "not-a-number", f"A fraction {why}.", "Write for example 3/64 in."))
        return sign * (int(match["whole"] or 0) + Fraction(int(top), bottom))
    if _AMBIGUOUS_COMMA.fullmatch(decimal):
        point, plain = decimal.replace(",", "."), decimal.replace(",", "")
        raise Refused(
            Problem(
                field,
                "ambiguous-comma",
                f"“{decimal}” can be read in two ways.",
                f"Write {point} or {plain}.",
            )
        )
    exponent = int(match["exponent"] or 0)
    if abs(exponent) > _LARGEST_EXPONENT:
        raise Refused(Problem(field, "out-of-range", "The power of ten is beyond any reading.", "Write the number out."))
    whole, _, decimals = decimal.replace(",", ".").partition(".")
    places = len(decimals) - exponent
    if places > _MOST_DECIMALS:
        raise Refused(
            Problem(
                field,
                "out-of-range",
                f"The number has more than {_MOST_DECIMALS} decimals.",
                "Write what the gauge shows.",
            )
        )
    scaled = sign * int(whole + decimals)
    return Fraction(scaled, 10**places) if places > 0 else Fraction(scaled * 10**-places)


def _unit_names(dimension: Dimension | None) -> str:
    return listed(_names(dimension), "or")


def _names(dimension: Dimension | None) -> list[str]:
    return [unit.name for unit in UNITS if dimension is None or unit.dimension is dimension]


# Amounts that could be read on a bench; of any other dimension 30 could be.
_EXAMPLES: Final[dict[tuple[Dimension, System], str]] = {
    (Dimension.LENGTH, "metric"): "0.85",
    (Dimension.LENGTH, "inch"): "0.034",
    (Dimension.TEMPERATURE, "metric"): "20",
    (Dimension.TEMPERATURE, "inch"): "68",
    (Dimension.EXPANSION, "metric"): "0.0000115",
    (Dimension.EXPANSION, "inch"): "0.0000115",
}


@cache
def _example(dimension: Dimension | None, system: System | None) -> str:
    wanted, known = dimension or Dimension.LENGTH, system or "metric"
    units = INCH_UNITS if known == "inch" else METRIC_UNITS
    unit = units.get(wanted) or next(unit for unit in UNITS if unit.dimension is wanted)
    return f"{_EXAMPLES.get((wanted, known), '30')} {unit.name}"


def _unknown_unit(spelling: str, dimension: Dimension | None, field: str) -> Problem:
    near = difflib.get_close_matches(spelling, _names(dimension), 3, 0.5)
    # The neighbour of a key is hit more often than a key is left out, and seldom first: “mn” is mm, not m and not um.
    near.sort(key=lambda name: (abs(len(name) - len(spelling)), name[:1] != spelling[:1]))
    hint = f"Did you mean {near[0]}?" if near else f"Write it in {_unit_names(dimension)}."
    return Problem(field, "unknown-unit", f"“{spelling}” is not a unit that is known here.", hint)
