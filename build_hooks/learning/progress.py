"""The file that a record of learning is carried in: its shape, declared once. The browser checks a file against the schema of it.

Nothing here is read by the build: the browser writes and reads these files. The schema is published so that others can too.
"""

from __future__ import annotations

from typing import Annotated, Final, Literal

from pydantic import Field, PlainValidator, WithJsonSchema

from build_hooks.learning.path_data import Practised
from build_hooks.model import Keys
from build_hooks.model.fields import Day, Flag, Id, Text, fault
from build_hooks.model.record_fields import Key, Moment, PersonName, checked_by_schema

__all__ = ["ProgressFile"]

_LARGEST_SEED: Final = 10**9
# 1.3 to 99 and a decimal part, as the scheduler writes it.
_EASINESS: Final = r"^(1\.[3-9][0-9]{0,11}|[2-9](\.[0-9]{1,12})?|[1-9][0-9](\.[0-9]{1,12})?)$"
_MOST_REPETITIONS: Final = 1_000_000
_LONGEST_INTERVAL: Final = 36_500


def _as_seed(value: object) -> int:
    if isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= _LARGEST_SEED:
        return value
    raise fault("out-of-range", "A seed is a whole number.", f"Write 0 to {_LARGEST_SEED}.")


Letter = Annotated[str, PlainValidator(checked_by_schema), WithJsonSchema({"type": "string", "pattern": "^[A-Z]$"})]
Seed = Annotated[int, PlainValidator(_as_seed), WithJsonSchema({"type": "integer", "minimum": 0, "maximum": _LARGEST_SEED})]
Easiness = Annotated[str, PlainValidator(checked_by_schema), WithJsonSchema({"type": "string", "pattern": _EASINESS})]
Repetitions = Annotated[
    int, PlainValidator(checked_by_schema), WithJsonSchema({"type": "integer", "minimum": 0, "maximum": _MOST_REPETITIONS})
]
Interval = Annotated[
    int, PlainValidator(checked_by_schema), WithJsonSchema({"type": "integer", "minimum": 0, "maximum": _LONGEST_INTERVAL})
]


class Card(Keys):
    """What the scheduler needs to know about an exercise that comes again."""

    id: Key = Field(description="The same key as that of its review.")
    repetitions: Repetitions = Field(description="How often in a row it was passed.")
    easiness: Easiness = Field(description="How much longer each interval gets.", examples=["2.5"])
    interval: Interval = Field(description="Days from the last review to the next.")
    due: Day = Field(description="The day of the next review.", examples=["2026-11-26"])
    again: Flag = Field(default=False, description="True when it is to be asked again on the day of its last review.")
    reviewed: Day | None = Field(default=None, description="The day of its last review.", examples=["2026-11-25"])


class Kept(Keys):
    """One record."""

    id: Key = Field(description="Its key. Of two records with one key the one written later stands.")
    at: Moment = Field(description="When it was written, in universal time.", examples=["2026-11-25T08:30:00Z"])


class Person(Kept):
    """Somebody who learns on this machine, or has learned on another."""

    name: PersonName = Field(description="The name they go by in the shop.", examples=["Wren Ashby"])
    removed: Flag = Field(default=False, description="True for one who is no longer shown.")


class StepDone(Kept):
    """A page read."""

    person: Key = Field(description="Key of the person.")
    path: Id = Field(description="The path.", examples=["first-week"])
    step: Id = Field(description="The step of it.", examples=["read-seals"])
    edition: Letter = Field(description="The edition of the path when it was done.", examples=["B"])
    on: Day = Field(description="The day.", examples=["2026-11-25"])
    taken_back: Flag = Field(default=False, description="True when it no longer counts.")


class SignedTask(StepDone):
    """A bench task seen done."""

    senior: PersonName = Field(description="Who has seen it.", examples=["M. Fennick"])


class Attempt(Kept):
    """An exercise that was answered and marked."""

    person: Key = Field(description="Key of the person.")
    exercise: Id = Field(description="The kind of exercise.", examples=["order"])
    unit: Id = Field(description="The unit.", examples=["hazel-2"])
    pack: Practised = Field(description="The pack, or gear_set.", examples=["high"])
    seed: Seed = Field(description="What the exercise was drawn from.", examples=[482101])
    right: Flag = Field(description="Whether all of it was right.")
    first: Flag = Field(description="Whether it was the first answer to this exercise since it was shown.")
    on: Day = Field(description="The day.", examples=["2026-11-25"])
    path: Id | None = Field(default=None, description="The path that it was done for.")
    step: Id | None = Field(default=None, description="The step of that path.")
    edition: Letter | None = Field(default=None, description="The edition of that path.")


class Review(Kept):
    """An exercise that was missed once, and when it comes again."""

    person: Key = Field(description="Key of the person.")
    exercise: Id = Field(description="The kind of exercise.", examples=["order"])
    unit: Id = Field(description="The unit.", examples=["hazel-2"])
    pack: Practised = Field(description="The pack, or gear_set.", examples=["high"])
    seed: Seed = Field(description="What the exercise was drawn from.", examples=[482101])
    due: Day = Field(description="The day on which it comes again.", examples=["2026-11-26"])
    card: Card = Field(description="What the scheduler keeps of it.")


class ProgressFile(Keys):
    """A record of learning, as it is saved and opened again."""

    format: Literal["benchleaf-progress"] = Field(description="Says what the file is.")
    # Raised when an older page could no longer read what a newer one writes.
    version: Literal[1] = Field(description="The version of this format.")
    manual: Text = Field(description="The shop whose manual it belongs to.", examples=["Fennick Lane Rebuilders"])
    written: Moment = Field(description="When the file was written, in universal time.", examples=["2026-11-25T08:30:00Z"])
    people: tuple[Person, ...] = Field(description="Who is in it.")
    steps: tuple[StepDone, ...] = Field(description="Pages read.")
    signed: tuple[SignedTask, ...] = Field(description="Bench tasks seen by a senior.")
    attempts: tuple[Attempt, ...] = Field(description="Exercises answered.")
    reviews: tuple[Review, ...] = Field(description="Exercises to come again.")
