"""The kinds of value that unit data is made of: how each is read, and what is said when it is something else.

Every function here takes a plain value from a data file, and gives the value as the model holds it or raises a fault with
message and remedy.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction
from typing import Annotated, Any, Final, get_args

from pydantic import PlainValidator, ValidationInfo, WithJsonSchema
from pydantic_core import PydanticCustomError

from build_hooks.reading.ids import ID_PATTERN, id_from, is_id
from build_hooks.reading.measures import THICKNESSES, Toleranced, parse_toleranced
from build_hooks.reading.problems import did_you_mean, listed, quoted
from calc_engine import MOST_POSITIONS, Dimension, Quantity, Refused, System, capitalised, parse_number, parse_quantity
from calc_engine.practice import SIDE_DIRECTIONS, SIDE_MARKS, SideDirection, SideMark

__all__ = [
    "GAUGE_NEEDED", "CheckedAmount", "Count", "Day", "Distance", "Flag", "Force", "Id", "Limit", "Member", "Minutes", "Name",
    "Number", "PinField", "Pixels", "PixelsField", "Positions", "Pressure", "Reading", "Reference", "Repeats", "Side",
    "SideField", "Size", "Stock", "Text", "Thickness", "ToothCount", "Torque", "UnitsField", "as_written", "checked_or_none",
    "choice_of", "fault", "is_member", "length_or_none", "suited_example", "system_in", "thickness_or_none",
]  # fmt: skip

_LONGEST_TEXT: Final = 2000
_LONGEST_NAME: Final = 100
_LARGEST_MM: Final = 1000
_LARGEST_DISTANCE_MM: Final = 100_000
_MOST_REPEATS: Final = 60
_MOST_COUNT: Final = 24
_MOST_STOCK: Final = 100_000
_LONGEST_MINUTES: Final = 7 * 24 * 60
_TEETH: Final = range(8, 401)
_PIXELS: Final = range(200, 20_001)

_MARKS: Final = {str(mark): mark for mark in SIDE_MARKS}
_DIRECTIONS: Final = {str(direction): direction for direction in SIDE_DIRECTIONS}
_PIN: Final = re.compile(r"^pbkdf2-sha256\$[1-9][0-9]{3,6}\$[0-9a-f]{32}\$[0-9a-f]{64}$")
_AMOUNT_PATTERN: Final = r"^\s*[0-9.,][0-9 .,/]*[^0-9 .,/].*$"


def fault(code: str, message: str, remedy: str) -> PydanticCustomError:
    """A fault that the validation library carries to its place."""
    return PydanticCustomError(code, "{message}", {"message": message, "remedy": remedy})


def as_written(value: object, wanted: str, example: str) -> str:
    """The text of a value that may look like a number or a date, without outer spaces.

    Args:
        value: what the data file holds.
        wanted: what it should be, for the message: ``A date``.
        example: one.
    """
    if value is None:
        raise fault("empty", f"{wanted} is missing here.", f"Write it, for example {example}, or take the key out.")
    if isinstance(value, (dict, list)):
        found = "keys" if isinstance(value, dict) else "a list"
        raise fault("wrong-type", f"{wanted} is wanted here, not {found}.", f"Write for example {example}.")
    if isinstance(value, bool):
        raise fault("wrong-type", f"{wanted} is wanted here, not {str(value).lower()}.", f"Write for example {example}.")
    text = str(value).strip()
    if not text:
        raise fault("empty", f"{wanted} is missing here.", f"Write it, for example {example}, or take the key out.")
    if len(text) > _LONGEST_TEXT:
        raise fault(
            "too-long", f"The text has {len(text)} characters; up to {_LONGEST_TEXT} are read.", "Put long texts into a page."
        )
    return text


def _as_text(value: object) -> str:
    if isinstance(value, bool):
        word = str(value).lower()
        raise fault("wrong-type", f"A text is wanted here, and {word} is none.", f'Put it in quotes: "{word}".')
    if isinstance(value, (dict, list)):
        found = "keys" if isinstance(value, dict) else "a list"
        remedy = "Write one text, in quotes if it holds a colon or a bracket."
        raise fault("wrong-type", f"A text is wanted here, not {found}.", remedy)
    return as_written(value, "A text", "one paint dot")


def _as_name(value: object) -> str:
    text = _as_text(value)
    if len(text) > _LONGEST_NAME:
        message = f"The name has {len(text)} letters; up to {_LONGEST_NAME} fit on the screen on the wall."
        raise fault("too-long", message, "Shorten it; what else is to be said goes into about or note.")
    return text


def _as_id(value: object) -> str:
    text = as_written(value, "An id", "front-drum")
    if is_id(text):
        return text
    near = id_from(text)[:40].strip("-")
    near = near if is_id(near) else "front-drum"
    raise fault("bad-id", f"{quoted(text)} is not an id.", f"Write small letters, figures and hyphens, for example {near}.")


def _as_reference(value: object) -> str:
    return as_written(value, "An id", "front-drum")


def _as_flag(value: object) -> bool:
    if isinstance(value, bool):
        return value
    written = as_written(value, "true or false", "true")
    raise fault("wrong-type", f"{quoted(written)} is neither true nor false.", "Write true or false.")


def _as_day(value: object) -> date:
    if isinstance(value, date):
        return value
    written = as_written(value, "A date", "2026-09-01")
    raise fault("bad-date", f"{quoted(written)} is not a date.", "Write year-month-day, for example 2026-09-01.")


def _whole(value: object, wanted: str, fewest: int, most: int) -> int:
    if isinstance(value, int) and not isinstance(value, bool):
        if fewest <= value <= most:
            return value
        raise fault("out-of-range", f"{wanted} cannot be {value}.", f"Write a number from {fewest} to {most}.")
    written = as_written(value, wanted, "5")
    raise fault("wrong-type", f"{quoted(written)} is not a whole number.", "Write it in figures, for example 5.")


def _as_count(value: object) -> int:
    return _whole(value, "A count", 1, _MOST_COUNT)


def _as_repeats(value: object) -> int:
    return _whole(value, "A repeat", 1, _MOST_REPEATS)


def _as_teeth(value: object) -> int:
    return _whole(value, "A number of teeth", _TEETH[0], _TEETH[-1])


_MEMBER_PATTERN: Final = rf"{ID_PATTERN}(\.(sun|ring|sun2|ring2|carrier))?"


def is_member(text: str) -> bool:
    """Whether a text can be a member of a gear set, or a shaft."""
    return re.fullmatch(_MEMBER_PATTERN, text) is not None


def _as_member(value: object) -> str:
    """A wheel or carrier of a set, or the name of a shaft or drum."""
    if isinstance(value, list):
        raise fault("wrong-type", "One member is wanted here, not a list.", "Name one; others that turn with it go into joined.")
    text = as_written(value, "A member", "front.sun")
    if is_member(text):
        return text
    remedy = "Write the id of a set with sun, ring, sun2, ring2 or carrier, for example front.sun, or the name of a shaft."
    raise fault("bad-member", f"{quoted(text)} is not a member of a gear set.", remedy)


def _as_number(value: object) -> Fraction:
    """A number without a unit, as a ratio has none."""
    try:
        return parse_number(as_written(value, "A number", "2.75"), "")
    except Refused as refused:
        problem = refused.problems[0]
        raise fault(
            problem.code, f"{quoted(str(value))} is not a number.", "Write figures without a unit, for example 2.75."
        ) from refused


def _amount_of(dimension: Dimension, example: str) -> PlainValidator:
    """How an amount above zero is read."""

    def read(value: object, info: ValidationInfo) -> Quantity:
        amount = _quantity(value, dimension, example, system_in(info))
        if amount.value <= 0:
            raise fault("out-of-range", f"{quoted(str(amount))} is not more than zero.", f"Write for example {example}.")
        return amount

    return PlainValidator(read)


def _as_minutes(value: object) -> int:
    return _whole(value, "A wait in minutes", 1, _LONGEST_MINUTES)


def _as_stock(value: object) -> int:
    return _whole(value, "A stock", 0, _MOST_STOCK)


# How lengths of each kind are written, for shops that work in either units.
type _Examples = dict[System, str]
_SIZES: Final[_Examples] = {"metric": "1.50 mm", "inch": "0.059 in"}
_LIMITS: Final[_Examples] = {"metric": "0.90 mm", "inch": "0.035 in"}
_DISTANCES: Final[_Examples] = {"metric": "3.5 m", "inch": "138 in"}
_READINGS: Final[_Examples] = {"metric": "0.01 mm", "inch": "0.001 in"}


def system_in(info: ValidationInfo) -> System:
    """The shop's units, where the file is read for a shop that is known; else metric."""
    units: System = (info.context or {}).get("units", "metric")
    return units


def suited_example(examples: Sequence[Any], system: System) -> Any:
    """Of the examples of a key the one in the shop's units; the first, where none tells the units apart.

    Args:
        examples: at least one.
        system: the shop's units.
    """
    return next((example for example in examples if _system_of(example) == system), examples[0])


def _system_of(example: object) -> System | None:
    """The units that an example is written in; None if it is no length."""
    try:
        return parse_toleranced(example).nominal.unit.system
    except Refused:
        return None


def _quantity(value: object, dimension: Dimension, example: str, system: System) -> Quantity:
    try:
        return parse_quantity(as_written(value, f"A {dimension}", example), dimension, "", system=system)
    except Refused as refused:
        problem = refused.problems[0]
        raise fault(problem.code, problem.message, problem.remedy) from refused


def _in_range(length: Quantity, largest: int, *, may_be_zero: bool) -> Quantity:
    if length.base < 0 or (length.base == 0 and not may_be_zero):
        wrong = "below zero" if length.base < 0 else "zero"
        raise fault("out-of-range", f"{quoted(str(length))} is {wrong}.", "Check the figure and its sign.")
    if length.base > largest:
        raise fault("out-of-range", f"{quoted(str(length))} is more than {largest // 1000} m.", "Check the figure and its unit.")
    return length


def _length(value: object, examples: _Examples, system: System) -> Quantity:
    return _quantity(value, Dimension.LENGTH, examples[system], system)


def _as_size(value: object, info: ValidationInfo) -> Quantity:
    return _in_range(_length(value, _SIZES, system_in(info)), _LARGEST_MM, may_be_zero=False)


def _as_limit(value: object, info: ValidationInfo) -> Quantity:
    return _limit(value, system_in(info))


def _limit(value: object, system: System) -> Quantity:
    return _in_range(_length(value, _LIMITS, system), _LARGEST_MM, may_be_zero=True)


def _as_distance(value: object, info: ValidationInfo) -> Quantity:
    return _in_range(_length(value, _DISTANCES, system_in(info)), _LARGEST_DISTANCE_MM, may_be_zero=False)


def _as_thickness(value: object, info: ValidationInfo) -> Toleranced:
    return _thickness(value, system_in(info))


def _thickness(value: object, system: System) -> Toleranced:
    written = as_written(value, "A thickness", THICKNESSES[system][0])
    try:
        size = parse_toleranced(written, system=system)
    except Refused as refused:
        problem = refused.problems[0]
        raise fault(problem.code, problem.message, problem.remedy) from refused
    _in_range(size.nominal, _LARGEST_MM, may_be_zero=False)
    return size


# What a gauge of each kind shows; one of any other kind shows a length.
_SHOWN: Final = {"wrench": Dimension.TORQUE, "pressure": Dimension.PRESSURE}
GAUGE_NEEDED: Final = {"turning-torque": "wrench", "pressure": "pressure"}
"""The kind of gauge that a checked quantity needs; any other quantity is a length."""
_EXAMPLES: Final = {Dimension.TORQUE: "1 N.m", Dimension.PRESSURE: "1 psi"}


def _as_checked(value: object, info: ValidationInfo) -> Quantity:
    """A limit of a check, in what its quantity is measured in; the quantity stands before it in the model."""
    if "quantity" not in info.data:
        # The quantity is at fault, so the check is refused anyway and the unit of its limits cannot be judged.
        return Quantity(Fraction(1), _ANY_UNIT)
    return _checked(value, str(info.data["quantity"]), system_in(info))


def _checked(value: object, quantity: str, system: System) -> Quantity:
    dimension = _SHOWN.get(GAUGE_NEEDED.get(quantity, ""), Dimension.LENGTH)
    if dimension is Dimension.LENGTH:
        return _limit(value, system)
    amount = _quantity(value, dimension, _EXAMPLES[dimension], system)
    if amount.value < 0:
        raise fault("out-of-range", f"{quoted(str(amount))} is below zero.", "Check the figure and its sign.")
    return amount


_ANY_UNIT: Final = parse_quantity("1 mm", Dimension.LENGTH, "").unit


def _as_reading(value: object, info: ValidationInfo) -> Quantity:
    """A resolution or an error, in what the gauge shows; its kind stands before it in the model."""
    if "kind" not in info.data:
        # The kind is at fault, so the gauge is refused anyway and its unit cannot be judged.
        return Quantity(Fraction(1), _ANY_UNIT)
    dimension = _SHOWN.get(str(info.data["kind"]), Dimension.LENGTH)
    example = _EXAMPLES.get(dimension, _READINGS[system_in(info)])
    amount = _quantity(value, dimension, example, system_in(info))
    if amount.value <= 0:
        raise fault("out-of-range", f"“{amount}” is not more than zero.", f"Write for example {example}.")
    return amount


def _as_positions(value: object) -> int:
    written = as_written(value, "A number of positions", "4 positions")
    match = re.fullmatch(r"([0-9]{1,4})(?:\s+positions?)?", written)
    if match is None:
        raise fault("wrong-type", f"{quoted(written)} is not a number of positions.", "Write for example 4 positions.")
    return _whole(int(match[1]), "The number of positions", 1, MOST_POSITIONS)


@dataclass(frozen=True, slots=True)
class Pixels:
    """The size of a picture in pixels."""

    width: int
    height: int

    def __str__(self) -> str:
        return f"{self.width} x {self.height}"


def _as_pixels(value: object) -> Pixels:
    written = as_written(value, "A size in pixels", "1920 x 1080")
    match = re.fullmatch(r"([0-9]{1,6})\s*[x×]\s*([0-9]{1,6})", written)
    if match is None or int(match[1]) not in _PIXELS or int(match[2]) not in _PIXELS:
        raise fault(
            "bad-pixels", f"{quoted(written)} is not a screen's size in pixels.", "Write width x height, for example 1920 x 1080."
        )
    return Pixels(int(match[1]), int(match[2]))


@dataclass(frozen=True, slots=True)
class Side:
    """Which way round a part goes in.

    Attributes:
        mark: what tells its sides apart (``chamfer``), or None if it goes in either way.
        direction: where that mark points (``up``), or None.
    """

    mark: SideMark | None
    direction: SideDirection | None

    def __str__(self) -> str:
        return f"{self.mark} {self.direction}" if self.mark else "either way"


def _as_side(value: object) -> Side:
    written = as_written(value, "A side", "chamfer up")
    if written == "either way":
        return Side(None, None)
    mark, _, direction = " ".join(written.split()).rpartition(" ")
    if mark in _MARKS and direction in _DIRECTIONS:
        return Side(_MARKS[mark], _DIRECTIONS[direction])
    remedy = f"Write either way, or {listed(SIDE_MARKS)} with {listed(SIDE_DIRECTIONS)}, for example chamfer up."
    raise fault("bad-side", f"{quoted(written)} is not a side.", remedy)


def choice_of(words: type[StrEnum], wanted: str) -> tuple[PlainValidator, WithJsonSchema]:
    """How one word out of several is read: validator and schema for an annotation.

    Args:
        words: the words there are.
        wanted: what the word is, for the message: ``a kind of part``.
    """
    known = [word.value for word in words]
    return PlainValidator(lambda value: words(_word(value, known, wanted))), WithJsonSchema({"type": "string", "enum": known})


def _word(value: object, known: Sequence[str], wanted: str) -> str:
    written = as_written(value, capitalised(wanted), known[0])
    if written in known:
        return written
    remedy = did_you_mean(written, known) or f"Write {listed(known)}."
    raise fault("unknown-word", f"{quoted(written)} is not {wanted}.", remedy)


def length_or_none(value: object) -> Quantity | None:
    """The length that a value stands for; None if it is not one, which is said elsewhere."""
    try:
        return _limit(value, "metric")
    except PydanticCustomError:
        return None


def checked_or_none(value: object, quantity: str) -> Quantity | None:
    """The amount that a limit of a check stands for; None if it is not one, which is said elsewhere."""
    try:
        return _checked(value, quantity, "metric")
    except PydanticCustomError:
        return None


def thickness_or_none(value: object) -> Toleranced | None:
    """The thickness that a value stands for; None if it is not one, which is said elsewhere."""
    try:
        return _thickness(value, "metric")
    except PydanticCustomError:
        return None


def _schema(**keys: Any) -> WithJsonSchema:
    return WithJsonSchema(keys)


_TYPED: Final = ["string", "integer"]
_AMOUNT: Final = {"type": "string", "pattern": _AMOUNT_PATTERN}

Text = Annotated[str, PlainValidator(_as_text), _schema(type=_TYPED, minLength=1, maxLength=_LONGEST_TEXT)]
Name = Annotated[str, PlainValidator(_as_name), _schema(type=_TYPED, minLength=1, maxLength=_LONGEST_NAME)]
Id = Annotated[str, PlainValidator(_as_id), _schema(type="string", pattern=f"^{ID_PATTERN}$")]
Reference = Annotated[str, PlainValidator(_as_reference), _schema(type="string", pattern=f"^{ID_PATTERN}$")]
Flag = Annotated[bool, PlainValidator(_as_flag), _schema(type="boolean")]
Day = Annotated[date, PlainValidator(_as_day), _schema(type="string", format="date")]
Count = Annotated[int, PlainValidator(_as_count), _schema(type="integer", minimum=1, maximum=_MOST_COUNT)]
Repeats = Annotated[int, PlainValidator(_as_repeats), _schema(type="integer", minimum=1, maximum=_MOST_REPEATS)]
Minutes = Annotated[int, PlainValidator(_as_minutes), _schema(type="integer", minimum=1, maximum=_LONGEST_MINUTES)]
ToothCount = Annotated[int, PlainValidator(_as_teeth), _schema(type="integer", minimum=_TEETH[0], maximum=_TEETH[-1])]
Member = Annotated[str, PlainValidator(_as_member), _schema(type="string", pattern=f"^{_MEMBER_PATTERN}$")]
Number = Annotated[Fraction, PlainValidator(_as_number), _schema(type=[*_TYPED, "number"])]
Torque = Annotated[Quantity, _amount_of(Dimension.TORQUE, "280 N.m"), _schema(**_AMOUNT, examples=["280 N.m", "200 lbf.ft"])]
Pressure = Annotated[Quantity, _amount_of(Dimension.PRESSURE, "1100 kPa"), _schema(**_AMOUNT, examples=["1100 kPa", "160 psi"])]
Force = Annotated[Quantity, _amount_of(Dimension.FORCE, "900 N"), _schema(**_AMOUNT, examples=["900 N", "200 lbf"])]
Stock = Annotated[int, PlainValidator(_as_stock), _schema(type="integer", minimum=0, maximum=_MOST_STOCK)]


def _as_pin(value: object) -> str:
    if isinstance(value, str) and _PIN.fullmatch(value):
        return value
    # What was written may be the PIN itself: it is not shown again.
    raise fault("bad-pin", "This is no PIN as it is kept here.", "Write what benchleaf pin prints, and never the PIN itself.")


Size = Annotated[Quantity, PlainValidator(_as_size), _schema(**_AMOUNT, examples=[*_SIZES.values()])]
Limit = Annotated[Quantity, PlainValidator(_as_limit), _schema(**_AMOUNT, examples=[*_LIMITS.values()])]
CheckedAmount = Annotated[Quantity, PlainValidator(_as_checked), _schema(**_AMOUNT, examples=["12.40 mm", "0.40 N.m"])]
Distance = Annotated[Quantity, PlainValidator(_as_distance), _schema(**_AMOUNT, examples=["3.5 m", "43 in"])]
Thickness = Annotated[
    Toleranced,
    PlainValidator(_as_thickness),
    _schema(**_AMOUNT, examples=[*THICKNESSES["metric"], THICKNESSES["inch"][0]]),
]
_SYSTEMS: Final = get_args(System)
UnitsField = Annotated[
    System, PlainValidator(lambda value: _word(value, _SYSTEMS, "a choice of units")), _schema(type="string", enum=[*_SYSTEMS])
]
Reading = Annotated[Quantity, PlainValidator(_as_reading), _schema(**_AMOUNT, examples=[*_READINGS.values(), "1 psi"])]
Positions = Annotated[
    int,
    PlainValidator(_as_positions),
    _schema(type=_TYPED, pattern=r"^[0-9]{1,2}(\s+positions?)?$", minimum=1, maximum=MOST_POSITIONS, examples=["4 positions"]),
]
PixelsField = Annotated[
    Pixels, PlainValidator(_as_pixels), _schema(type="string", pattern=r"^[0-9]+\s*[x×]\s*[0-9]+$", examples=["1920 x 1080"])
]
PinField = Annotated[str, PlainValidator(_as_pin), _schema(type="string", pattern=_PIN.pattern)]
SideField = Annotated[
    Side,
    PlainValidator(_as_side),
    _schema(
        type="string",
        pattern=f"^(either way|({'|'.join(SIDE_MARKS)}) ({'|'.join(SIDE_DIRECTIONS)}))$",
        examples=["either way", *(f"{mark} up" for mark in SIDE_MARKS)],
    ),
]
