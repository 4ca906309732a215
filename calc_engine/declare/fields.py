"""How an input or an output is declared: once, where the dataclass field stands.

A calculation's request and its result are frozen dataclasses. Each field is made by one of the functions below,
which record what it measures, its label, its help and the limits of sense. The reader of requests, the JSON
Schema, the form in the page, the command line's help and the reference page all come from this declaration.

Amounts are held as exact fractions in the base unit of their dimension (see `units`).
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final, Literal

from calc_engine.declare.roles import Role
from calc_engine.problems import Refused
from calc_engine.quantities.phrases import capitalised
from calc_engine.quantities.quantity import parse_quantity
from calc_engine.quantities.units import Dimension

__all__ = [
    "Declared", "Field", "Option", "Role", "amount", "choice", "count", "field_with", "fields_of", "flag", "group", "length",
    "length_as_given", "mapping", "number", "prose", "text",
]  # fmt: skip

Kind = Literal["amount", "quantity", "number", "count", "text", "prose", "choice", "flag", "group", "mapping"]


@dataclass(frozen=True, slots=True)
class Option:
    """One value that a choice may take: as the contract writes it, and as a reader sees it.

    Attributes:
        value: the word of the contract.
        label: the words in a list of options, or within a sentence.
        headline: the words on top of an answer; by default the label with a capital letter.
        unsure: the headline of a verdict that is not certain; by default says so after the headline.
        unjudged: the headline of a verdict when nothing is known of the uncertainty; by default as `unsure`.
    """

    value: str
    label: str
    headline: str = ""
    unsure: str = ""
    unjudged: str = ""

    def on_top(self, *, certain: bool = True, judged: bool = True) -> str:
        """The words on top of an answer.

        Args:
            certain: whether the verdict is certain.
            judged: whether there is an uncertainty to judge by.
        """
        headline = self.headline or capitalised(self.label)
        if certain:
            return headline
        unsure = self.unsure or f"{headline}, but not sure"
        return unsure if judged else self.unjudged or unsure


@dataclass(frozen=True, slots=True)
class Declared:
    """What is declared of a field, apart from its name.

    Attributes:
        kind: what sort of value it is.
        label: the words beside it in a form.
        help: one or two sentences: what it is and how to get it.
        dimension: of an amount. A `quantity` keeps the unit it was given in; without a dimension it may have any.
        bare_unit: the unit of an amount written without one, where the contract has it so.
        least: the smallest value that makes sense, in base units; None for no limit.
        most: the largest value that makes sense, in base units.
        above_least: the smallest value itself is out.
        options: of a choice.
        shape: of a group, its dataclass.
        many: fewest and most entries, outermost list first; empty for a single value.
        item_label: label of one entry, with {n} for its number.
        optional: may be left out.
        when: the field and its values with which this one is wanted; with others it has no meaning.
        allowed: of a mapping in a request, the whole numbers it may give.
        value_labels: of a mapping in a request, a word for each of the numbers in `allowed`.
        entry_labels: of a mapping in a request, the words beside a name and beside its value.
        of: of a mapping, what each value is, where it is none of `allowed`.
        names: of a mapping in a request, the fewest and the most names.
        least_text: the smallest value as it was declared, to be quoted.
        most_text: the largest value as it was declared.
        role: what the field is to forms, panels and pages.
        headlines: of a flag that is a verdict, the words on top of the answer for yes and for no.
        also_sent_as: a second name under which a request may hold it.
    """

    kind: Kind
    label: str
    help: str
    dimension: Dimension | None = None
    bare_unit: str | None = None
    least: Fraction | None = None
    most: Fraction | None = None
    above_least: bool = False
    options: tuple[Option, ...] = ()
    shape: type[Any] | None = None
    many: tuple[tuple[int, int], ...] = ()
    item_label: str = "{n}"
    optional: bool = False
    when: tuple[str, tuple[str, ...]] | None = None
    allowed: tuple[int, ...] = ()
    value_labels: tuple[str, ...] = ()
    entry_labels: tuple[str, str] = ("Name", "Value")
    of: Declared | None = None
    names: tuple[int, int] = (1, 40)
    least_text: str = ""
    most_text: str = ""
    role: Role = ""
    headlines: tuple[str, str] = ("Yes", "No")
    also_sent_as: str = ""


@dataclass(frozen=True, slots=True)
class Field:
    """A declared field together with its name.

    Attributes:
        name: in the contract.
        attribute: in its dataclass. `from` and the like cannot be Python names, so they end with an underscore there.
        declared: what is declared of it.
    """

    name: str
    attribute: str
    declared: Declared


_KNOWN: Final[dict[type[Any], tuple[Field, ...]]] = {}


def fields_of(shape: type[Any]) -> tuple[Field, ...]:
    """The declared fields of a request or result dataclass, in order."""
    if shape not in _KNOWN:
        # Looked up for every field of every request: worked out once.
        _KNOWN[shape] = _declared_fields(shape)
    return _KNOWN[shape]


def field_with(role: Role, shape: type[Any]) -> Field | None:
    """The field of a request or result dataclass that has a role; None when none has it."""
    return next((field for field in fields_of(shape) if field.declared.role == role), None)


def _declared_fields(shape: type[Any]) -> tuple[Field, ...]:
    return tuple(
        Field(item.name.rstrip("_"), item.name, item.metadata["declared"])
        for item in dataclasses.fields(shape)
        if "declared" in item.metadata
    )


def _declare(declared: Declared) -> Any:
    metadata = {"declared": declared}
    if declared.optional:
        return dataclasses.field(default=None, metadata=metadata, kw_only=True)
    return dataclasses.field(metadata=metadata, kw_only=True)


def _limit(label: str, limit: str | None, dimension: Dimension | None, bare_unit: str | None = None) -> Fraction | None:
    """A limit of sense in base units; `ValueError` that names the field if its text is not one."""
    if limit is None:
        return None
    try:
        return parse_quantity(limit, dimension, label, bare_unit).base
    except Refused as refused:
        problem = refused.problems[0]
        raise ValueError(f"The limit {limit!r} of the field {label!r} is wrong. {problem.message} {problem.remedy}") from None


def amount(  # noqa: PLR0913 - each is a fact about the field
    dimension: Dimension | None,
    label: str,
    help: str,  # noqa: A002 - the word that authors of a calculation look for
    *,
    least: str | None = None,
    above: str | None = None,
    most: str | None = None,
    bare_unit: str | None = None,
    many: tuple[tuple[int, int], ...] = (),
    item_label: str = "{n}",
    optional: bool = False,
    when: tuple[str, tuple[str, ...]] | None = None,
    role: Role = "",
) -> Any:
    """A physical amount with a unit.

    Args:
        dimension: what it measures. None for anything: the field then holds a `Quantity`, with the unit it was given in.
        label: the words beside it.
        help: what it is and how to get it.
        least: smallest sensible value, as a quantity text; it is allowed itself.
        above: as `least`, but not allowed itself.
        most: largest sensible value, allowed itself.
        bare_unit: see `Declared`.
        many: see `Declared`.
        item_label: see `Declared`.
        optional: see `Declared`.
        when: see `Declared`.
        role: see `Role`.

    Returns:
        The dataclass field.
    """
    lowest = above if above is not None else least
    return _declare(
        Declared(
            "quantity" if dimension is None else "amount", label, help, dimension, bare_unit,
            _limit(label, lowest, dimension, bare_unit), _limit(label, most, dimension, bare_unit), above is not None,
            many=many, item_label=item_label, optional=optional, when=when, least_text=lowest or "", most_text=most or "", role=role,
        )
    )  # fmt: skip


def length(label: str, help: str, **more: Any) -> Any:  # noqa: A002
    """A length: an `amount` that is at most 10 m unless told otherwise."""
    return amount(Dimension.LENGTH, label, help, **{"most": "10 m", **more})


def length_as_given(
    label: str,
    help: str,  # noqa: A002
    *,
    least: str | None = None,
    above: str | None = None,
    most: str = "10 m",
    optional: bool = False,
) -> Any:
    """A length that keeps the unit it was given in: the field holds a `Quantity`. Arguments as of `amount`."""
    lowest = above if above is not None else least
    return _declare(
        Declared(
            "quantity", label, help, Dimension.LENGTH, least=_limit(label, lowest, Dimension.LENGTH),
            most=_limit(label, most, Dimension.LENGTH), above_least=above is not None,
            optional=optional, least_text=lowest or "", most_text=most,
        )
    )  # fmt: skip


def number(
    label: str,
    help: str,  # noqa: A002
    *,
    least: str | None = None,
    above: str | None = None,
    most: str | None = None,
    optional: bool = False,
    role: Role = "",
) -> Any:
    """A plain number without a unit, as an exact fraction."""
    lowest = above if above is not None else least
    return _declare(
        Declared(
            "number", label, help, least=None if lowest is None else Fraction(lowest), most=None if most is None else Fraction(most),
            above_least=above is not None, optional=optional, least_text=lowest or "", most_text=most or "", role=role,
        )
    )  # fmt: skip


def count(
    label: str,
    help: str,  # noqa: A002
    *,
    least: int = 1,
    most: int = 1000,
    optional: bool = False,
    when: tuple[str, tuple[str, ...]] | None = None,
    also_sent_as: str = "",
    role: Role = "",
) -> Any:
    """A whole number of things; for `also_sent_as` see `Declared`."""
    return _declare(
        Declared(
            "count", label, help, least=Fraction(least), most=Fraction(most), optional=optional, when=when,
            least_text=str(least), most_text=str(most), also_sent_as=also_sent_as, role=role,
        )
    )  # fmt: skip


def text(
    label: str,
    help: str,  # noqa: A002
    *,
    many: tuple[tuple[int, int], ...] = (),
    item_label: str = "{n}",
    optional: bool = False,
    role: Role = "",
) -> Any:
    """A name or an identifier."""
    return _declare(Declared("text", label, help, many=many, item_label=item_label, optional=optional, role=role))


def prose(label: str, help: str, *, many: tuple[tuple[int, int], ...] = (), optional: bool = False) -> Any:  # noqa: A002
    """Words to be shown as they were written, a sentence or more; nothing is compared with them."""
    return _declare(Declared("prose", label, help, many=many, optional=optional))


def choice(
    label: str,
    help: str,  # noqa: A002
    options: Mapping[str, str] | Sequence[Option],
    *,
    optional: bool = False,
    when: tuple[str, tuple[str, ...]] | None = None,
    role: Role = "",
) -> Any:
    """One of several words; `options` gives each word and its label, or more about it as an `Option`."""
    known = tuple(Option(*pair) for pair in options.items()) if isinstance(options, Mapping) else tuple(options)
    return _declare(Declared("choice", label, help, options=known, optional=optional, when=when, role=role))


def flag(
    label: str,
    help: str,  # noqa: A002
    *,
    optional: bool = False,
    role: Role = "",
    headlines: tuple[str, str] = ("Yes", "No"),
) -> Any:
    """Yes or no. As a verdict it has `headlines` for both."""
    return _declare(Declared("flag", label, help, optional=optional, role=role, headlines=headlines))


def group(
    shape: type[Any],
    label: str,
    help: str,  # noqa: A002
    *,
    many: tuple[tuple[int, int], ...] = (),
    item_label: str = "{n}",
    optional: bool = False,
    when: tuple[str, tuple[str, ...]] | None = None,
    role: Role = "",
) -> Any:
    """Fields that belong together: another dataclass, or a list of them."""
    return _declare(
        Declared("group", label, help, shape=shape, many=many, item_label=item_label, optional=optional, when=when, role=role)
    )


def mapping(
    label: str,
    help: str,  # noqa: A002
    *,
    of: Declared | None = None,
    allowed: Mapping[int, str] | None = None,
    entry_labels: tuple[str, str] = ("Name", "Value"),
    names: tuple[int, int] = (1, 40),
    optional: bool = False,
    role: Role = "",
) -> Any:
    """Names with a value each: a whole number out of `allowed`, each with its label, or what `of` declares.

    For `entry_labels` and `names` see `Declared`.
    """
    numbers = allowed or {}
    return _declare(
        Declared(
            "mapping", label, help, of=of, allowed=tuple(numbers), value_labels=tuple(numbers.values()), entry_labels=entry_labels,
            names=names, optional=optional, role=role,
        )
    )  # fmt: skip
