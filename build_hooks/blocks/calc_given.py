"""The form of a calculation of which the page says a part already: limits and figures that stand in its own table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from build_hooks.blocks.calc_request import NO_READINGS_NOTE, answered_form
from build_hooks.blocks.context import Trouble
from build_hooks.forms.form import Form
from calc_engine import Calculation, System

__all__ = ["given_form"]


def given_form(
    calculation: Calculation[Any, Any],
    identity: str,
    title: str,
    given: Mapping[str, Any],
    example: Mapping[str, Any],
    system: System,
) -> Form:
    """A form that shows what the page gives and asks for the rest.

    Args:
        calculation: from the catalogue.
        identity: see `Form`.
        title: see `Form`.
        given: what the page says of the request.
        example: the rest of the request, for the worked example.
        system: see `Form`.

    Raises:
        Trouble: something is given and in the example too, or the two together have no answer.
    """
    request = _together(given, example, ("example",))
    try:
        return answered_form(
            calculation,
            identity,
            title,
            calculation.about,
            given,
            request,
            system=system,
            example_note=NO_READINGS_NOTE,
            by_page=True,
            hidden=frozenset(),
        )
    except Trouble as trouble:
        raise Trouble(_blamed(trouble.path, given), trouble.code, trouble.message, trouble.remedy) from None


def _together(given: Any, more: Any, path: tuple[str | int, ...]) -> Any:
    """What is given and what the example adds, as one request; lists go together entry by entry."""
    if isinstance(given, Mapping) and isinstance(more, Mapping):
        both = {key: _together(value, more[key], (*path, key)) for key, value in given.items() if key in more}
        return {**given, **more, **both}
    if _is_list(given) and _is_list(more) and len(given) == len(more):
        return [_together(one, other, (*path, index)) for index, (one, other) in enumerate(zip(given, more, strict=True))]
    if _is_list(given) and _is_list(more):
        message = f"{len(given)} entries are given, and the example has {len(more)}."
        raise Trouble(path, "length-mismatch", message, "Give the example as many, in the same order.")
    raise Trouble(path, "given-twice", "This is given already.", "Take it out of the example.")


def _is_list(value: Any) -> bool:
    return isinstance(value, Sequence) and not isinstance(value, str)


def _blamed(path: Sequence[str | int], given: Mapping[str, Any]) -> tuple[str | int, ...]:
    """Where a problem of the example stands: below ``given``, if that has the field."""
    here: Any = given
    for step in path[1:]:
        if isinstance(here, Mapping) and step in here:
            here = here[str(step)]
        elif _is_list(here) and isinstance(step, int) and step < len(here):
            here = here[step]
        else:
            return tuple(path)
    return ("given", *path[1:]) if len(path) > 1 else tuple(path)
