"""The request of a calc block: what unit data fill in it by the roles of its fields, and the worked example."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from build_hooks.blocks.context import Context, Trouble
from build_hooks.forms.form import Form
from build_hooks.model import Method, Unit
from calc_engine import Calculation, Refused, Role, System, Worked, field_with, fields_of, work_out

__all__ = ["FROM_DATA", "LIFTS", "NO_READINGS_NOTE", "Asked", "answer_to_example", "answered_form", "by_role", "fill"]

FROM_DATA: Final[frozenset[Role]] = frozenset({"gauge", "wave", "spread limit", "fitted", "sizes", "effect", "plate count"})
"""The roles of what only unit data fill: a block that takes them from there does not offer them where they are not known."""

LIFTS: Final[Mapping[System, str]] = {"metric": "{lifts: [1.31 mm, 1.36 mm]}", "inch": "{lifts: [0.052 in, 0.054 in]}"}
"""Readings of a worked example as an author may write them, for a shop that works in either units."""

NO_READINGS_NOTE: Final = "Worked example: the figures of the working below."
"""Above a worked example whose inputs are not named there."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a calc block asks for, its names looked up.

    Attributes:
        calculation: from the catalogue.
        context: where the block stands.
        unit: the unit whose data fill the form.
        title: what stands on top, if the block says so.
        example: readings of the worked example; empty for none.
        method: how it is measured, if not as the unit data say.
        positions: how many positions are read, if not as the unit data say.
        units: the units that the form starts in.
    """

    calculation: Calculation[Any, Any]
    context: Context
    unit: Unit
    title: str | None
    example: Mapping[str, Any]
    method: Method | None
    positions: int | None
    units: System


def by_role(shape: type[Any], values: Mapping[Role, Any]) -> dict[str, Any]:
    """The values under the names of the fields that have their roles; without those for which there is no field, or no value.

    Args:
        shape: a request dataclass, or one of its rows.
        values: what is given, by role.
    """
    found = ((field_with(role, shape), value) for role, value in values.items() if value is not None)
    return {field.name: value for field, value in found if field is not None}


def answered_form(
    calculation: Calculation[Any, Any],
    identity: str,
    title: str,
    about: str,
    preset: Mapping[str, Any],
    example: Mapping[str, Any],
    *,
    system: System,
    **more: Any,
) -> Form:
    """A form with its worked example answered.

    Args:
        calculation: from the catalogue.
        identity: see `Form`.
        title: see `Form`.
        about: see `Form`.
        preset: what the unit data give of the request.
        example: what the worked example gives.
        system: see `Form`.
        more: further attributes of `Form`.

    Raises:
        Trouble: the example has no answer.
    """
    request = fill({**preset, **example}, more.get("defaults", {}))
    hidden = {item.name for item in fields_of(calculation.request) if item.declared.role in FROM_DATA} if preset else set()
    offered = hidden - more.get("choices", {}).keys()
    worked = answer_to_example(calculation, request, system)
    kept = {"hidden": frozenset(offered), **more}
    return Form(calculation, identity, title, about, request, worked, system=system, preset=preset, **kept)


def fill(request: Mapping[str, Any], defaults: Mapping[str, str]) -> dict[str, Any]:
    """The request, with what an entry holds at first wherever the request says nothing.

    Args:
        request: parts of a request.
        defaults: what an entry holds, by dotted path.
    """
    filled: dict[str, Any] = copy.deepcopy(dict(request))
    for path, value in defaults.items():
        target: Any = filled
        *parents, last = path.split(".")
        for step in parents:
            target = _inside(target, step)
        if isinstance(target, dict):
            target.setdefault(last, value)
    return filled


def _inside(target: Any, step: str) -> Any:
    """What stands at a step of a path; None where an example has another shape, which the engine refuses."""
    if isinstance(target, list):
        return target[int(step)] if int(step) < len(target) else None
    return target.get(step) if isinstance(target, dict) else None


def answer_to_example(calculation: Calculation[Any, Any], request: Mapping[str, Any], system: System) -> Worked:
    """The worked example, answered by the engine.

    Args:
        calculation: from the catalogue.
        request: the figures of the example.
        system: of the form. In a form in inches the example is answered in inches; in any other it keeps the units of its limits.

    Raises:
        Trouble: it has no answer; the engine's own words say why.
    """
    try:
        return work_out(calculation.name, {**request, **({"units": system} if system == "inch" else {})})
    except Refused as refused:
        found = refused.problems[0]
        path: tuple[str | int, ...] = tuple(int(step) if step.isdigit() else step for step in found.field.split(".") if step)
        more = f" ({len(refused.problems) - 1} more)" if len(refused.problems) > 1 else ""
        raise Trouble(
            ("example", *path),
            f"example-{found.code}",
            f"The example has no answer: {found.message}{more}",
            found.remedy,
        ) from None
