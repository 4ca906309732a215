"""The answer panel: what a reader sees of an answer. Made from the declarations alone, the same way for every calculation.

It is here, and not in the build, because the browser needs it too; it holds no arithmetic but the picture's.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any, Final

from calc_engine.answer import Worked
from calc_engine.answer_view.histogram import Column, Strip, histogram
from calc_engine.answer_view.markup import Element, element
from calc_engine.answer_view.ruler import ruler
from calc_engine.bench.judging import Judged
from calc_engine.bench.verdict import Limits
from calc_engine.declare.fields import Declared, Field, fields_of
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.figures import decimals_shown, rounded_text
from calc_engine.quantities.quantity import Quantity, show
from calc_engine.quantities.units import Dimension

__all__ = ["panel"]

_WORDS: Final = {
    ("in", True): "In",
    ("in", False): "In, but close",
    ("low", True): "Too tight",
    ("low", False): "Looks too tight",
    ("high", True): "Too loose",
    ("high", False): "Looks too loose",
}
# With nothing to judge by, a value may be within its limits without being near one.
_NOTHING_TO_JUDGE_BY: Final = _WORDS | {("in", False): "In, but not sure"}
# The first of these is the one to fit.
_BEST_FIRST: Final = "solutions"
_HISTOGRAM: Final = "histogram"
# Of a number without a unit.
_NUMBER_DECIMALS: Final = 4
# A table whose first column is none of these has rows with names.
_FIGURES: Final = frozenset({"amount", "quantity", "number", "count"})
# More sizes than this below a picture could not be told apart.
_MOST_STRIPS: Final = 12


type _Row = Mapping[str, Any]


def panel(worked: Worked) -> Element:
    """The answer of a calculation as a page fragment.

    Every output stands in it once, marked ``data-output``; what is certain is told by the words of the
    verdict, and the part to fit by its marked row. An empty list is left out.

    Args:
        worked: the request and its answer. Figures are taken as they were computed, so that no length of text matters.

    Returns:
        A fragment: verdict, advice, picture, cautions, tables, figures, working.
    """
    shape = worked.calculation.result
    result = _given(shape, worked.answer.result)
    fields = [field for field in fields_of(shape) if field.name in result]
    tables = [field for field in fields if field.declared.many and field.declared.kind == "group"]
    verdict = _verdict(fields, result)
    writer = _Writer(worked, result)
    told = _told(verdict, result, tables)
    return element(
        "div",
        {"class": "bench-answer"},
        _head(verdict, result),
        _ruler(worked),
        _cautions(worked.answer.cautions),
        *(writer.many(field) for field in tables),
        writer.figures([field for field in fields if field not in tables and field.name not in told]),
        _working(worked.answer.working),
    )


def _given(shape: type[Any], made: Any) -> _Row:
    """The outputs that are there, by the names of the contract; an empty list is not."""
    values = ((field.name, getattr(made, field.attribute)) for field in fields_of(shape))
    return {name: value for name, value in values if value is not None and not (isinstance(value, (list, tuple)) and not value)}


def _rows(field: Field, result: _Row) -> list[_Row]:
    assert field.declared.shape is not None  # noqa: S101 - `group` always sets it
    return [_given(field.declared.shape, row) for row in result[field.name]]


def _told(verdict: tuple[str, str] | None, result: _Row, tables: list[Field]) -> set[str]:
    """The outputs that head and tables tell already."""
    told = {"advice"}
    if verdict is not None:
        told |= {verdict[0], "certain"}
    if any(row.get("id") == result.get("fit") for table in tables for row in _rows(table, result)):
        told.add("fit")
    return told


def _head(verdict: tuple[str, str] | None, result: _Row) -> Element | None:
    if verdict is None and "advice" not in result:
        return None
    word = element("strong", {"class": "bench-verdict-word", "data-output": verdict[0]}, verdict[1]) if verdict else None
    advice = element("p", {"data-output": "advice"}, result["advice"]) if "advice" in result else None
    return element("div", {"class": "bench-verdict"}, word, advice)


def _verdict(fields: list[Field], result: _Row) -> tuple[str, str] | None:
    """The output that decides, and the word for it."""
    if "certain" in result:
        words = _WORDS if "uncertainty" in result else _NOTHING_TO_JUDGE_BY
        return "verdict", words[result["verdict"], result["certain"]]
    if "feasible" in result:
        return "feasible", "Set it this way" if result["feasible"] else "Not with this kit"
    if "moves" in result:
        return "moves", "It moves" if result["moves"] else "It does not move"
    deciding = next((field for field in fields if field.name == "verdict"), None)
    if deciding is None:
        return None
    word = _option(deciding.declared, result["verdict"])
    return "verdict", word[:1].upper() + word[1:]


def _ruler(worked: Worked) -> Element | None:
    result = worked.answer.result
    if not isinstance(result, Judged):
        return None
    units, limits = worked.units, worked.request.limits
    found, low, high = (units.quantity(base, Dimension.LENGTH) for base in (result.clearance, limits.min, limits.max))
    unsure = None if result.uncertainty is None else units.quantity(result.uncertainty, Dimension.LENGTH)
    more = "" if unsure is None else f", plus or minus {show(unsure)}"
    return ruler(found, unsure, low, high, f"{show(found)}{more}. Limits {show(low)} to {show(high)}.")


def _picture_title(sizes: Sequence[Any]) -> str:
    if not sizes:
        return "How often each gap comes up, with the limits"
    title = "How often each gap comes up, and the gaps with which each size is in"
    return title if len(sizes) <= _MOST_STRIPS else f"{title}, for the first {_MOST_STRIPS} of {len(sizes)} sizes"


def _cautions(cautions: Sequence[str]) -> Element | None:
    if not cautions:
        return None
    return element("ul", {"class": "bench-cautions"}, *(element("li", {}, caution) for caution in cautions))


def _option(declared: Declared, value: str) -> str:
    return next(option.label for option in declared.options if option.value == value)


class _Writer:
    """Writes the tables and figures of one answer, in its units."""

    def __init__(self, worked: Worked, result: _Row) -> None:
        self._units: AnswerUnits = worked.units
        self._request = worked.request
        self._result = result

    def many(self, field: Field) -> Element:
        """An output of many rows: a picture of bars, else a table."""
        if field.name == _HISTOGRAM:
            return self._histogram(field)
        return self._table(field, {"data-output": field.name})

    def figures(self, fields: list[Field]) -> Element | None:
        """A table with a row for each of these outputs; None when there are none."""
        rows = [
            element(
                "tr",
                {},
                element("th", {"scope": "row"}, field.declared.label),
                element("td", {"data-output": field.name}, *self._cell(field.declared, self._result[field.name])),
            )
            for field in fields
        ]
        if not rows:
            return None
        return element("table", {"class": "bench-figures"}, element("caption", {}, "Figures"), element("tbody", {}, *rows))

    def _length(self, base: Fraction) -> Quantity:
        return self._units.quantity(base, Dimension.LENGTH)

    def _histogram(self, field: Field) -> Element:
        """The bars as a picture; their figures fold out below it."""
        columns = [Column(self._length(bar.low), self._length(bar.high), Fraction(bar.p)) for bar in self._result[field.name]]
        limits: Limits = self._request.limits
        sizes = self._result.get("choices", ())
        strips = [
            Strip(size.id, self._length(limits.min + size.thickness), self._length(limits.max + size.thickness))
            for size in sizes[:_MOST_STRIPS]
        ]
        low, high = self._length(limits.min), self._length(limits.max)
        highest = max(columns, key=lambda column: column.p)
        said = (
            f"Bars from {show(columns[0].low)} to {show(columns[-1].high)}, "
            f"tallest at {show(highest.low)} to {show(highest.high)}."
        )
        said += " Below, for each size, the gaps with which it is in." if strips else f" Limits {show(low)} to {show(high)}."
        return element(
            "div",
            {"class": "bench-forecast", "data-output": field.name},
            element("p", {"class": "bench-forecast-title"}, _picture_title(sizes)),
            histogram(columns, None if sizes else (low, high), strips, said),
            element("details", {}, element("summary", {}, "The bars in figures"), self._table(field, {})),
        )

    def _table(self, field: Field, marks: dict[str, str]) -> Element:
        assert field.declared.shape is not None  # noqa: S101 - `group` always sets it
        rows = _rows(field, self._result)
        columns = [column for column in fields_of(field.declared.shape) if any(column.name in row for row in rows)]
        fewest = {column.name: self._fewest_decimals(column, rows) for column in columns}
        written = [self._row(columns, row, fewest) for row in rows]
        if field.name == _BEST_FIRST:
            written[0] = element("tr", {"class": "bench-fit"}, *self._cells(columns, rows[0], fewest))
        head = element("tr", {}, *(element("th", {"scope": "col"}, column.declared.label) for column in columns))
        return element(
            "table",
            {"class": "bench-choices" if columns[0].declared.kind in _FIGURES else "bench-choices bench-named", **marks},
            element("caption", {}, field.declared.label),
            element("thead", {}, head),
            element("tbody", {}, *written),
        )

    def _fewest_decimals(self, column: Field, rows: list[_Row]) -> int:
        """As many as the figure of a column that needs the most: figures below each other line up."""
        declared = column.declared
        if declared.kind not in {"amount", "number"} or declared.many:
            return 0
        return max((self._decimals(declared, row[column.name]) for row in rows if column.name in row), default=0)

    def _decimals(self, declared: Declared, value: Fraction) -> int:
        if declared.dimension is None:
            return decimals_shown(value, _NUMBER_DECIMALS)
        quantity = self._units.quantity(value, declared.dimension)
        return decimals_shown(quantity.value, quantity.unit.most)

    def _row(self, columns: list[Field], row: _Row, fewest: dict[str, int]) -> Element:
        cells = self._cells(columns, row, fewest)
        name = row.get("id")
        if name is not None and name == self._result.get("fit"):
            cells[0] = _named_cell(columns[0], "▶ Fit: ", name)
            return element("tr", {"class": "bench-fit"}, *cells)
        if name is not None and name == getattr(self._request, "fitted", None):
            cells[0] = _named_cell(columns[0], name, " (fitted)")
        return element("tr", {}, *cells)

    def _cells(self, columns: list[Field], row: _Row, fewest: dict[str, int]) -> list[Element]:
        return [
            _named_cell(column, *self._cell(column.declared, row.get(column.name), fewest[column.name])) for column in columns
        ]

    def _cell(self, declared: Declared, value: Any, fewest: int = 0) -> list[Element | str]:
        if value is None:
            return ["–"]
        if declared.of is not None:
            return [element("div", {}, f"{key}: ", self._shown(declared.of, item)) for key, item in value.items()]
        if declared.shape is not None:
            inner = _given(declared.shape, value)
            return [
                element("div", {}, f"{field.declared.label}: ", *self._cell(field.declared, inner[field.name]))
                for field in fields_of(declared.shape)
                if field.name in inner
            ]
        return [self._shown(declared, value, fewest)]

    def _shown(self, declared: Declared, value: Any, fewest: int = 0) -> str:
        """One value for a reader: rounded here, by the rule of its unit, with at least so many decimals."""
        if isinstance(value, (list, tuple)):
            return ", ".join(self._shown(declared, item) for item in value)
        if declared.kind == "amount":
            assert declared.dimension is not None  # noqa: S101 - `amount` always sets it
            return show(self._units.quantity(value, declared.dimension), fewest)
        if declared.kind == "quantity":
            return show(value, fewest)
        if declared.kind == "number":
            return rounded_text(value, fewest, _NUMBER_DECIMALS)
        if declared.kind == "flag":
            return "yes" if value else "no"
        if declared.kind == "choice":
            return _option(declared, value)
        return str(value)


def _named_cell(column: Field, *content: Element | str) -> Element:
    """A cell that carries its column's name: on a narrow screen the rows are told without a head."""
    return element("td", {"data-label": column.declared.label}, *content)


def _working(lines: Sequence[str]) -> Element:
    return element(
        "div",
        {"class": "bench-working"},
        element("h4", {"class": "bench-working-title"}, "Working"),
        element("ol", {}, *(element("li", {}, line) for line in lines)),
    )
