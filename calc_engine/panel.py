"""The answer panel: what a reader sees of a reply. Made from the reply alone, the same for every calculation.

It is here, and not in the build, because the browser needs it too; it holds no arithmetic but the picture's.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Any, Final

from .catalogue import CATALOGUE
from .fields import Declared, Field, fields_of
from .histogram import Column, Strip, histogram
from .markup import Element, element
from .quantity import Quantity, decimals_shown, parse_number, parse_quantity, rounded_text, show
from .ruler import ruler
from .units import Dimension

__all__ = ["panel"]

_WORDS: Final = {
    ("in", True): "In",
    ("in", False): "In, but close",
    ("low", True): "Too tight",
    ("low", False): "Looks too tight",
    ("high", True): "Too loose",
    ("high", False): "Looks too loose",
}
# The first of these is the one to fit.
_BEST_FIRST: Final = "solutions"
_HISTOGRAM: Final = "histogram"
# Of a number without a unit.
_NUMBER_DECIMALS: Final = 4
# A table whose first column is none of these has rows with names.
_FIGURES: Final = frozenset({"amount", "quantity", "number", "count"})
# More sizes than this below a picture could not be told apart.
_MOST_STRIPS: Final = 12


def panel(request: dict[str, Any], reply: dict[str, Any]) -> Element:
    """The answer of a calculation as a page fragment.

    Every output of the reply stands in it once, marked ``data-output``; what is certain is told by the words of the
    verdict, and the part to fit by its marked row. An empty list is left out.

    Args:
        request: the request that was answered.
        reply: what `answer` gave for it, with ``ok`` true.

    Returns:
        A fragment: verdict, advice, picture, cautions, tables, figures, working.
    """
    calculation = CATALOGUE[reply["calculation"]]
    result = reply["result"]
    fields = [field for field in fields_of(calculation.result) if result.get(field.name) not in (None, [])]
    tables = [field for field in fields if field.declared.many and field.declared.kind == "group"]
    verdict = _verdict(fields, result)
    told = _told(verdict, result, tables)
    return element(
        "div",
        {"class": "bench-answer"},
        _head(verdict, result),
        _ruler(request, result),
        _cautions(reply["cautions"]),
        *(_told_many(field, result, request) for field in tables),
        _figures([field for field in fields if field not in tables and field.name not in told], result),
        _working(reply["working"]),
    )


def _told(verdict: tuple[str, str] | None, result: dict[str, Any], tables: list[Field]) -> set[str]:
    """The outputs that head and tables tell already."""
    told = {"advice"}
    if verdict is not None:
        told |= {verdict[0], "certain"}
    if any(row.get("id") == result.get("fit") for table in tables for row in result[table.name]):
        told.add("fit")
    return told


def _head(verdict: tuple[str, str] | None, result: dict[str, Any]) -> Element | None:
    if verdict is None and "advice" not in result:
        return None
    word = element("strong", {"class": "bench-verdict-word", "data-output": verdict[0]}, verdict[1]) if verdict else None
    advice = element("p", {"data-output": "advice"}, result["advice"]) if "advice" in result else None
    return element("div", {"class": "bench-verdict"}, word, advice)


def _verdict(fields: list[Field], result: dict[str, Any]) -> tuple[str, str] | None:
    """The output that decides, and the word for it."""
    if "certain" in result:
        return "verdict", _WORDS[result["verdict"], result["certain"]]
    if "feasible" in result:
        return "feasible", "Can be done" if result["feasible"] else "Not with this kit"
    if "moves" in result:
        return "moves", "It moves" if result["moves"] else "It does not move"
    deciding = next((field for field in fields if field.name == "verdict"), None)
    if deciding is None:
        return None
    word = _shown(deciding.declared, result["verdict"])
    return "verdict", word[:1].upper() + word[1:]


def _ruler(request: dict[str, Any], result: dict[str, Any]) -> Element | None:
    value = result.get("clearance") or result.get("end_play")
    limits = request.get("limits")
    if not isinstance(value, str) or not isinstance(limits, dict) or "uncertainty" not in result:
        return None
    found, unsure = _length(value), _length(result["uncertainty"])
    low, high = (_length(limits[end]).to(found.unit) for end in ("min", "max"))
    said = f"{show(found)}, plus or minus {show(unsure)}. Limits {show(low)} to {show(high)}."
    return ruler(found, unsure, low, high, said)


def _told_many(field: Field, result: dict[str, Any], request: dict[str, Any]) -> Element:
    """An output of many rows: a picture of bars, else a table."""
    if field.name == _HISTOGRAM:
        return _histogram(field, result, request)
    return _table(field, result, request, {"data-output": field.name})


def _histogram(field: Field, result: dict[str, Any], request: dict[str, Any]) -> Element:
    """The bars as a picture; their figures fold out below it."""
    columns = [Column(_length(bar["low"]), _length(bar["high"]), _number(bar["p"])) for bar in result[field.name]]
    unit = columns[0].low.unit
    low, high = (_length(request["limits"][end]).to(unit) for end in ("min", "max"))
    sizes = result.get("choices") or []
    strips = [
        Strip(size["id"], Quantity(low.value + thick.value, unit), Quantity(high.value + thick.value, unit))
        for size in sizes[:_MOST_STRIPS]
        for thick in [_length(size["thickness"]).to(unit)]
    ]
    highest = max(columns, key=lambda column: column.p)
    said = (
        f"Bars from {show(columns[0].low)} to {show(columns[-1].high)}, tallest at {show(highest.low)} to {show(highest.high)}."
    )
    said += " Below, for each size, the gaps with which it is in." if strips else f" Limits {show(low)} to {show(high)}."
    return element(
        "div",
        {"class": "bench-forecast", "data-output": field.name},
        element("p", {"class": "bench-forecast-title"}, _picture_title(sizes)),
        histogram(columns, None if sizes else (low, high), strips, said),
        element("details", {}, element("summary", {}, "The bars in figures"), _table(field, result, request, {})),
    )


def _picture_title(sizes: list[dict[str, Any]]) -> str:
    if not sizes:
        return "How often each gap comes up, with the limits"
    title = "How often each gap comes up, and the gaps with which each size is in"
    return title if len(sizes) <= _MOST_STRIPS else f"{title}, for the first {_MOST_STRIPS} of {len(sizes)} sizes"


def _length(text: str) -> Quantity:
    return _parsed(text, Dimension.LENGTH)


# A picture and its table read the same figures several times over.
@lru_cache(maxsize=1024)
def _parsed(text: str, dimension: Dimension | None) -> Quantity:
    return parse_quantity(text, dimension, "")


@lru_cache(maxsize=1024)
def _shown_amount(text: str, dimension: Dimension | None, fewest: int) -> str:
    return show(_parsed(text, dimension), fewest)


@lru_cache(maxsize=1024)
def _amount_decimals(text: str, dimension: Dimension | None) -> int:
    quantity = _parsed(text, dimension)
    return decimals_shown(quantity.value, quantity.unit.most)


@lru_cache(maxsize=1024)
def _number(value: Decimal | float) -> Fraction:
    return parse_number(value, "")


def _cautions(cautions: list[str]) -> Element | None:
    if not cautions:
        return None
    return element("ul", {"class": "bench-cautions"}, *(element("li", {}, caution) for caution in cautions))


def _figures(fields: list[Field], result: dict[str, Any]) -> Element | None:
    rows = [
        element(
            "tr",
            {},
            element("th", {"scope": "row"}, field.declared.label),
            element("td", {"data-output": field.name}, *_cell(field.declared, result[field.name])),
        )
        for field in fields
    ]
    if not rows:
        return None
    return element("table", {"class": "bench-figures"}, element("caption", {}, "Figures"), element("tbody", {}, *rows))


def _shown(declared: Declared, value: Any, fewest: int = 0) -> str:
    """One value for a reader: rounded here, by the rule of its unit, with at least so many decimals."""
    if isinstance(value, list):
        return ", ".join(_shown(declared, item) for item in value)
    if declared.kind in {"amount", "quantity"}:
        return _shown_amount(value, declared.dimension, fewest)
    if declared.kind == "number":
        return rounded_text(_number(value), fewest, _NUMBER_DECIMALS)
    if declared.kind == "flag":
        return "yes" if value else "no"
    if declared.kind == "choice":
        return next(option.label for option in declared.options if option.value == value)
    return str(value)


def _table(field: Field, result: dict[str, Any], request: dict[str, Any], marks: dict[str, str]) -> Element:
    assert field.declared.shape is not None  # noqa: S101 - `group` always sets it
    rows = result[field.name]
    columns = [column for column in fields_of(field.declared.shape) if any(column.name in row for row in rows)]
    fewest = {column.name: _fewest_decimals(column, rows) for column in columns}
    written = [_row(columns, row, fewest, result, request) for row in rows]
    if field.name == _BEST_FIRST and rows:
        written[0] = element("tr", {"class": "bench-fit"}, *_cells(columns, rows[0], fewest))
    head = element("tr", {}, *(element("th", {"scope": "col"}, column.declared.label) for column in columns))
    return element(
        "table",
        {"class": "bench-choices" if columns[0].declared.kind in _FIGURES else "bench-choices bench-named", **marks},
        element("caption", {}, field.declared.label),
        element("thead", {}, head),
        element("tbody", {}, *written),
    )


def _fewest_decimals(column: Field, rows: list[dict[str, Any]]) -> int:
    """As many as the figure of a column that needs the most: figures below each other line up."""
    declared = column.declared
    if declared.kind not in {"amount", "number"} or declared.many:
        return 0
    return max((_decimals(declared, row[column.name]) for row in rows if column.name in row), default=0)


def _decimals(declared: Declared, value: Any) -> int:
    if declared.kind == "amount":
        return _amount_decimals(value, declared.dimension)
    return decimals_shown(_number(value), _NUMBER_DECIMALS)


def _row(
    columns: list[Field], row: dict[str, Any], fewest: dict[str, int], result: dict[str, Any], request: dict[str, Any]
) -> Element:
    cells = _cells(columns, row, fewest)
    name = row.get("id")
    if name is not None and name == result.get("fit"):
        cells[0] = _named_cell(columns[0], "▶ Fit: ", str(name))
        return element("tr", {"class": "bench-fit"}, *cells)
    if name is not None and name == request.get("fitted"):
        cells[0] = _named_cell(columns[0], str(name), " (fitted)")
    return element("tr", {}, *cells)


def _cells(columns: list[Field], row: dict[str, Any], fewest: dict[str, int]) -> list[Element]:
    return [_named_cell(column, *_cell(column.declared, row.get(column.name), fewest[column.name])) for column in columns]


def _named_cell(column: Field, *content: Element | str) -> Element:
    """A cell that carries its column's name: on a narrow screen the rows are told without a head."""
    return element("td", {"data-label": column.declared.label}, *content)


def _cell(declared: Declared, value: Any, fewest: int = 0) -> list[Element | str]:
    if value is None:
        return ["–"]
    if declared.of is not None:
        return [element("div", {}, f"{key}: ", _shown(declared.of, item)) for key, item in value.items()]
    if declared.shape is not None:
        inner = [field for field in fields_of(declared.shape) if field.name in value]
        return [element("div", {}, f"{field.declared.label}: ", *_cell(field.declared, value[field.name])) for field in inner]
    return [_shown(declared, value, fewest)]


def _working(lines: list[str]) -> Element:
    return element(
        "div",
        {"class": "bench-working"},
        element("h4", {"class": "bench-working-title"}, "Working"),
        element("ol", {}, *(element("li", {}, line) for line in lines)),
    )
