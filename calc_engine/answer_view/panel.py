"""The answer panel: what a reader sees of an answer. Made from the declarations alone, the same way for every calculation.

It is here, and not in the build, because the browser needs it too; it holds no arithmetic but the picture's.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any, Final

from calc_engine.answer import Worked
from calc_engine.answer_view.dot_plot import dot_plot
from calc_engine.answer_view.histogram import Column, Strip, histogram
from calc_engine.answer_view.judged import judged_by_limits, value_with
from calc_engine.answer_view.markup import Element, element
from calc_engine.answer_view.rows import Row, as_words, columns_of, columns_to_fold, given, named_cell, rows_of
from calc_engine.declare.fields import Declared, Field, Option, field_with, fields_of
from calc_engine.declare.roles import Role
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.figures import decimals_shown, rounded_text
from calc_engine.quantities.phrases import capitalised
from calc_engine.quantities.quantity import Quantity, show
from calc_engine.quantities.units import Dimension

__all__ = ["panel", "verdict_of"]

# Of a number without a unit.
_NUMBER_DECIMALS: Final = 4
# A table whose first column is none of these has rows with names.
_FIGURES: Final = frozenset({"amount", "quantity", "number", "count"})
# More sizes than this below a picture could not be told apart.
_MOST_STRIPS: Final = 12
_UNEVEN: Final = "Uneven"  # On top of readings that contradict each other.


def panel(worked: Worked) -> Element:
    """The answer of a calculation as a page fragment.

    Every output stands in it once, marked ``data-output``; what is certain is told by the words of the
    verdict, and the part to fit by its marked row. An empty list is left out, and so is the choice of a part
    where the readings contradict each other.

    Args:
        worked: the request and its answer. Figures are taken as they were computed, so that no length of text matters.

    Returns:
        A fragment: verdict, advice, picture, cautions, tables, figures, working.
    """
    shape = worked.calculation.result
    result = given(shape, worked.answer.result)
    uneven = value_with("even", worked.answer.result) is False
    fields = [field for field in fields_of(shape) if field.name in result and not (uneven and _chooses(field))]
    tables = [field for field in fields if columns_of(field)]
    writer = _Writer(worked, fields, result)
    shown = _shown_above(fields, result, tables)
    return element(
        "div",
        {"class": "bench-answer", **_told_apart(worked)},
        _head(fields, result),
        *judged_by_limits(worked),
        _cautions(worked.answer.cautions),
        *(writer.many(field) for field in tables),
        writer.figures([field for field in fields if field not in tables and field.name not in shown]),
        _working(worked.answer.working),
    )


def _role(role: Role, fields: Sequence[Field]) -> Field | None:
    """The field with a role, among those that are given."""
    return next((field for field in fields if field.declared.role == role), None)


def _shown_above(fields: Sequence[Field], result: Row, tables: Sequence[Field]) -> set[str]:
    """The outputs that head and tables show already."""
    shown = {field.name for field in (_role("advice", fields), _role("verdict", fields)) if field is not None}
    certain, fit = _role("certain", fields), _role("fit", fields)
    if certain is not None and _role("verdict", fields) is not None:
        shown.add(certain.name)
    if fit is not None and any(result[fit.name] in _identities(table, result) for table in tables):
        shown.add(fit.name)
    return shown


def _identities(table: Field, result: Row) -> list[Any]:
    named = _role("identity", columns_of(table))
    return [] if named is None else [row.get(named.name) for row in rows_of(table, result)]


def _chooses(field: Field) -> bool:
    """Whether an output says which part to fit, or what each part would do."""
    shape = field.declared.shape
    return field.declared.role == "fit" or bool(shape and field_with("identity", shape))


def _head(fields: Sequence[Field], result: Row) -> Element | None:
    verdict, advice = _role("verdict", fields), _role("advice", fields)
    if verdict is None and advice is None:
        return None
    words = None if verdict is None else _verdict_words(verdict.declared, fields, result, result[verdict.name])
    return element(
        "div",
        {"class": "bench-verdict"},
        None if verdict is None else element("strong", {"class": "bench-verdict-word", "data-output": verdict.name}, words or ""),
        None if advice is None else element("p", {"data-output": advice.name}, result[advice.name]),
    )


def verdict_of(worked: Worked) -> str:
    """The verdict as the contract writes it, by which a style or a script tells answers apart.

    Args:
        worked: the request and its answer.

    Returns:
        The word, or ``true`` or ``false`` for a verdict that is a flag; empty when the answer has no verdict.
    """
    value = value_with("verdict", worked.answer.result)
    return "" if value is None else str(value).lower()


def _told_apart(worked: Worked) -> dict[str, str]:
    """By which a style gives each verdict a shape and tone of its own."""
    if not (verdict := verdict_of(worked)):
        return {}
    if value_with("even", worked.answer.result) is False:
        return {"data-verdict": _UNEVEN.lower()}
    unsure = value_with("certain", worked.answer.result) is False
    return {"data-verdict": verdict} | ({"data-certain": "false"} if unsure else {})


def _verdict_words(declared: Declared, fields: Sequence[Field], result: Row, value: Any) -> str:
    """The words on top, from how the verdict is declared."""
    even = _role("even", fields)
    if even is not None and result[even.name] is False:
        return _UNEVEN
    if declared.kind == "flag":
        return declared.headlines[0 if value else 1]
    if declared.kind != "choice":
        return capitalised(str(value))
    certain = _role("certain", fields)
    return _option(declared, value).on_top(
        certain=certain is None or result[certain.name], judged=_role("uncertainty", fields) is not None
    )


def _picture_title(what: str, sizes: Sequence[Any], *, limited: bool) -> str:
    if not sizes:
        return f"{what}, with the limits" if limited else what
    title = f"{what}, and from where to where each size is in"
    return title if len(sizes) <= _MOST_STRIPS else f"{title}, for the first {_MOST_STRIPS} of {len(sizes)} sizes"


def _cautions(cautions: Sequence[str]) -> Element | None:
    if not cautions:
        return None
    return element("ul", {"class": "bench-cautions"}, *(element("li", {}, caution) for caution in cautions))


def _option(declared: Declared, value: str) -> Option:
    return next(option for option in declared.options if option.value == value)


class _Writer:
    """Writes the tables and figures of one answer, in its units."""

    def __init__(self, worked: Worked, fields: Sequence[Field], result: Row) -> None:
        self._units: AnswerUnits = worked.units
        self._result = result
        self._sizes = _role("sizes", fields)
        self._limits = value_with("limits", worked.request)
        self._fit = value_with("fit", worked.answer.result)
        self._fitted = value_with("fitted", worked.request)

    def many(self, field: Field) -> Element:
        """An output of many rows: a picture of bars, else a table."""
        if field.declared.role == "bars":
            return self._histogram(field)
        if field.declared.role == "dots":
            return self._dots(field)
        return self._table(field, {"data-output": field.name})

    def figures(self, fields: list[Field]) -> Element | None:
        """A table with a row for each of these outputs; None when there are none."""
        if not fields:
            return None
        return self._sheet("bench-figures", "Figures", [({"data-output": field.name}, field) for field in fields], self._result)

    def _sheet(self, kind: str, caption: str, fields: Sequence[tuple[dict[str, str], Field]], values: Row) -> Element:
        """A row for each field, its value with these marks."""
        rows = [
            element(
                "tr",
                {},
                element("th", {"scope": "row"}, field.declared.label),
                element("td", marks | as_words(field), *self._cell(field.declared, values[field.name])),
            )
            for marks, field in fields
        ]
        return element("table", {"class": kind}, element("caption", {}, caption), element("tbody", {}, *rows))

    def _histogram(self, field: Field) -> Element:
        """The bars as a picture; their figures fold out below it."""
        dimension = _column(field, "from").declared.dimension
        assert dimension is not None  # noqa: S101 - the edge of a bar is an amount
        columns = self._columns(field, dimension)
        limits = None if self._limits is None else self._limits_moved(Fraction(0), dimension)
        strips, sizes = self._strips(dimension)
        highest = max(columns, key=lambda column: column.p)
        said = (
            f"{field.declared.label}. Bars from {show(columns[0].low)} to {show(columns[-1].high)}, "
            f"tallest at {show(highest.low)} to {show(highest.high)}."
        )
        if strips:
            said += " Below, from where to where each size is in."
        elif limits:
            said += f" Limits {show(limits[0])} to {show(limits[1])}."
        title = _picture_title(field.declared.help.rstrip("."), sizes, limited=limits is not None)
        return element(
            "div",
            {"class": "bench-forecast", "data-output": field.name},
            element("p", {"class": "bench-forecast-title"}, title),
            histogram(columns, None if sizes else limits, strips, said),
            element("details", {}, element("summary", {}, "The bars in figures"), self._table(field, {})),
        )

    def _dots(self, field: Field) -> Element:
        """The values as dots from left to right; their figures fold out below it."""
        column = _column(field, "measured")
        dimension = column.declared.dimension
        assert dimension is not None  # noqa: S101 - what is measured is an amount
        values = [self._units.quantity(row[column.name], dimension) for row in rows_of(field, self._result)]
        limits = None if self._limits is None else self._limits_moved(Fraction(0), dimension)
        within = "" if limits is None else f" Limits {show(limits[0])} to {show(limits[1])}."
        said = f"{field.declared.label}. {len(values)} dots from left to right, the last {show(values[-1])}.{within}"
        return element(
            "div",
            {"class": "bench-forecast", "data-output": field.name},
            element("p", {"class": "bench-forecast-title"}, field.declared.help.rstrip(".")),
            dot_plot(values, limits, said),
            element("details", {}, element("summary", {}, "In figures"), self._table(field, {})),
        )

    def _columns(self, field: Field, dimension: Dimension) -> list[Column]:
        first, last, share = (_column(field, role) for role in ("from", "to", "share"))
        return [
            Column(
                self._units.quantity(getattr(bar, first.attribute), dimension),
                self._units.quantity(getattr(bar, last.attribute), dimension),
                Fraction(getattr(bar, share.attribute)),
            )
            for bar in self._result[field.name]
        ]

    def _limits_moved(self, by: Fraction, dimension: Dimension) -> tuple[Quantity, Quantity]:
        low, high = self._limits.min + by, self._limits.max + by
        return self._units.quantity(low, dimension), self._units.quantity(high, dimension)

    def _strips(self, dimension: Dimension) -> tuple[list[Strip], Sequence[Any]]:
        """A strip for each of the first sizes, and all sizes."""
        if self._sizes is None or self._limits is None:
            return [], ()
        name, thickness = _column(self._sizes, "identity"), _column(self._sizes, "thickness")
        sizes = self._result[self._sizes.name]
        strips = [
            Strip(getattr(size, name.attribute), *self._limits_moved(getattr(size, thickness.attribute), dimension))
            for size in sizes[:_MOST_STRIPS]
        ]
        return strips, sizes

    def _table(self, field: Field, marks: dict[str, str]) -> Element:
        rows = rows_of(field, self._result)
        columns = [column for column in columns_of(field) if any(column.name in row for row in rows)]
        folded = columns_to_fold(columns)
        if not folded:
            return self._grid(field, rows, columns, marks)
        shown = [column for column in columns if column not in folded]
        return element("div", marks, self._grid(field, rows, shown, {}), *(self._fold(row, columns, folded) for row in rows))

    def _fold(self, row: Row, columns: list[Field], folded: list[Field]) -> Element:
        """What of a row has no room in its table: a table of its own that folds out."""
        named = _role("identity", columns)
        name = "" if named is None else f"{named.declared.label} {row.get(named.name)}"
        inner: list[tuple[dict[str, str], Field]] = [({}, column) for column in folded if column.name in row]
        return element("details", {}, element("summary", {}, name), self._sheet("bench-list", name, inner, row))

    def _grid(self, field: Field, rows: list[Row], columns: list[Field], marks: dict[str, str]) -> Element:
        fewest = {column.name: self._fewest_decimals(column, rows) for column in columns}
        written = [self._row(columns, row, fewest) for row in rows]
        if field.declared.role == "best first":
            written[0] = element("tr", {"class": "bench-fit"}, *self._cells(columns, rows[0], fewest))
        head = element(
            "tr", {}, *(element("th", {"scope": "col"} | as_words(column), column.declared.label) for column in columns)
        )
        return element(
            "table",
            {"class": "bench-choices" if columns[0].declared.kind in _FIGURES else "bench-choices bench-named", **marks},
            element("caption", {}, field.declared.label),
            element("thead", {}, head),
            element("tbody", {}, *written),
        )

    def _fewest_decimals(self, column: Field, rows: list[Row]) -> int:
        """As many as the figure of a column that needs the most: figures below each other line up."""
        declared = column.declared
        if declared.kind not in {"amount", "number"} or declared.many:
            return 0
        return max((self._decimals(declared, row[column.name]) for row in rows if column.name in row), default=0)

    def _decimals(self, declared: Declared, value: Fraction) -> int:
        if declared.dimension is None:
            return decimals_shown(value, _NUMBER_DECIMALS)
        return self._units.decimals(value, declared.dimension)

    def _row(self, columns: list[Field], row: Row, fewest: dict[str, int]) -> Element:
        cells = self._cells(columns, row, fewest)
        named = _role("identity", columns)
        name = None if named is None else row.get(named.name)
        if named is None or name is None:
            return element("tr", {}, *cells)
        at = columns.index(named)
        if name == self._fit:
            cells[at] = named_cell(named, "▶ Fit: ", name)
            return element("tr", {"class": "bench-fit"}, *cells)
        if name == self._fitted:
            cells[at] = named_cell(named, name, " (fitted)")
        return element("tr", {}, *cells)

    def _cells(self, columns: list[Field], row: Row, fewest: dict[str, int]) -> list[Element]:
        return [named_cell(column, *self._cell(column.declared, row.get(column.name), fewest[column.name])) for column in columns]

    def _cell(self, declared: Declared, value: Any, fewest: int = 0) -> list[Element | str]:
        if value is None:
            return ["–"]
        if declared.of is not None:
            return [element("div", {}, f"{key}: ", *self._cell(declared.of, item)) for key, item in value.items()]
        if declared.shape is not None:
            inner = given(declared.shape, value)
            return [
                element("div", {}, f"{field.declared.label}: ", *self._cell(field.declared, inner[field.name]))
                for field in fields_of(declared.shape)
                if field.name in inner
            ]
        if declared.kind == "prose" and declared.many:
            return [element("div", {}, sentences) for sentences in value]
        if declared.role == "leads to":
            return [element("div", {"data-leads": name}, name) for name in value]
        return [self._shown(declared, value, fewest)]

    def _shown(self, declared: Declared, value: Any, fewest: int = 0) -> str:
        """One value for a reader: rounded here, by the rule of its unit, with at least so many decimals."""
        if isinstance(value, (list, tuple)):
            return ", ".join(self._shown(declared, item) for item in value)
        if declared.kind == "amount":
            assert declared.dimension is not None  # noqa: S101 - `amount` always sets it
            return self._units.show(value, declared.dimension, fewest)
        if declared.kind == "quantity":
            return show(value, fewest)
        if declared.kind == "number":
            return rounded_text(value, fewest, _NUMBER_DECIMALS)
        if declared.kind == "flag":
            return "yes" if value else "no"
        if declared.kind == "choice":
            return _option(declared, value).label
        return str(value)


def _column(field: Field, role: Role) -> Field:
    """The column of a table that has a role, which a table of this kind always has."""
    assert field.declared.shape is not None  # noqa: S101 - `group` always sets it
    found = field_with(role, field.declared.shape)
    assert found is not None, f"{field.name} has no column with the role “{role}”"  # noqa: S101 - a fault of the declaration
    return found


def _working(lines: Sequence[str]) -> Element:
    return element(
        "div",
        {"class": "bench-working"},
        element("h4", {"class": "bench-working-title"}, "Working"),
        element("ol", {}, *(element("li", {}, line) for line in lines)),
    )
