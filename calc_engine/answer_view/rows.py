"""An answer's outputs as rows and columns: what is given, what a table has room for, and how a cell is marked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final

from calc_engine.answer_view.markup import Element, element
from calc_engine.declare.fields import Declared, Field, fields_of

__all__ = ["Row", "as_words", "columns_of", "columns_to_fold", "given", "named_cell", "rows_of"]

# The column of the names by which groups are given; no output is called so.
_NAME: Final = ""
# Of a table, how many columns may be lists of names with figures.
_MOST_LISTS: Final = 2

type Row = Mapping[str, Any]


def given(shape: type[Any], made: Any) -> Row:
    """The outputs that are there, by the names of the contract; an empty list or mapping is not."""
    values = ((field.name, getattr(made, field.attribute)) for field in fields_of(shape))
    return {
        name: value for name, value in values if value is not None and not (isinstance(value, (list, tuple, dict)) and not value)
    }


def columns_of(field: Field) -> tuple[Field, ...]:
    """The columns of an output that is a table: groups in a list, or groups by their names. Any other output has none."""
    declared = field.declared
    if declared.kind == "group" and declared.many:
        assert declared.shape is not None  # noqa: S101 - `group` always sets it
        return fields_of(declared.shape)
    if declared.of is not None and declared.of.shape is not None:
        name = Declared("text", declared.entry_labels[0], "", role="identity")
        return (Field(_NAME, _NAME, name), *fields_of(declared.of.shape))
    return ()


def rows_of(field: Field, result: Row) -> list[Row]:
    """The rows of an output that is a table."""
    declared, value = field.declared, result[field.name]
    if declared.of is not None:
        assert declared.of.shape is not None  # noqa: S101 - only groups make rows
        return [{_NAME: name, **given(declared.of.shape, row)} for name, row in value.items()]
    assert declared.shape is not None  # noqa: S101 - `group` always sets it
    return [given(declared.shape, row) for row in value]


def named_cell(column: Field, *content: Element | str) -> Element:
    """A cell that carries its column's name: on a narrow screen the rows are told without a head."""
    return element("td", {"data-label": column.declared.label} | as_words(column), *content)


def as_words(field: Field) -> dict[str, str]:
    """How a style tells sentences from figures."""
    return {"class": "bench-words"} if field.declared.kind == "prose" else {}


def columns_to_fold(columns: Sequence[Field]) -> list[Field]:
    """The columns that a table has no room for: where many are lists of names with figures, those and the sentences."""
    mappings = [column for column in columns if column.declared.kind == "mapping"]
    return [column for column in columns if column.declared.kind in {"mapping", "prose"}] if len(mappings) > _MOST_LISTS else []
