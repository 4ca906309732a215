"""The exercise block: practice made from the same data as the page."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, PlainValidator

from build_hooks.blocks.context import HELD_BACK, Context, Trouble, known_or_trouble
from build_hooks.learning.exercises import exercise_element, offers_of, practised_in, subject_name
from build_hooks.learning.path_data import Count
from build_hooks.library import STANDARDS
from build_hooks.model import Keys
from build_hooks.model.fields import Reference, Text, fault
from build_hooks.reading.problems import known_names, quoted
from calc_engine import Element
from calc_engine.practice import KINDS

__all__ = ["ExerciseBody", "render_exercise"]

_LARGEST_SET = 9999


def _as_set(value: object) -> int:
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= _LARGEST_SET:
        return value
    raise fault(
        "out-of-range", "The number of a set must be a whole number.", f"Write 1 to {_LARGEST_SET}, for example set: 4821."
    )


class ExerciseBody(Keys):
    """The body of an exercise block."""

    kind: Text = Field(description="The kind of exercise.", examples=["order"])
    unit: Reference | None = Field(
        None, description="The unit's folder, when the page is in another folder; or standards.", examples=["hazel-2"]
    )
    pack: Reference = Field(
        description="The pack of unit.yml, or gear_set; for standards a file of findings or trees.", examples=["high"]
    )
    count: Count = Field(3, description="How many exercises there are in a set.", examples=["3"])
    set: Annotated[int, PlainValidator(_as_set)] | None = Field(
        None,
        description="The number of the set that everybody starts with; without it each reader gets one by chance.",
        examples=["4821"],
    )
    title: Text | None = Field(None, description="What stands on top of it.", examples=["Practise the stack order"])


def render_exercise(body: ExerciseBody, context: Context) -> Element:
    """The place of the exercise.

    Raises:
        Trouble: something named is not there, or its data cannot give a fair exercise.
    """
    if body.kind not in KINDS:
        remedy = known_names(body.kind, KINDS, "kind of exercise")
        raise Trouble(("kind",), "unknown-kind", f"There is no kind of exercise {quoted(body.kind)}.", remedy)
    unit = STANDARDS if body.unit == STANDARDS else context.unit(body.unit).id
    if unit == STANDARDS and context.library.standards.at_fault:
        raise Trouble(("unit",), HELD_BACK, "The standards' data have problems of their own.", "Mend findings and trees first.")
    named = practised_in(context.library, unit)
    known_or_trouble(named, body.pack, ("pack",), "set of findings or tree" if unit == STANDARDS else "pack")
    pack = body.pack
    reason = offers_of(context.library, unit)[pack][body.kind]
    if reason is not None:
        raise Trouble((), "no-exercise", f"No fair exercise can be made of this. {reason}", "Choose another kind or pack.")
    asked = {"kind": body.kind, "unit": unit, "pack": pack, "count": body.count, "set": body.set}
    title = body.title or f"{KINDS[body.kind].title}: {subject_name(context.library, unit)}, {named[pack]}"
    return exercise_element(title, asked, context.identity(f"exercise-{unit}-{pack}-{body.kind}"), context.library.shop.name)
