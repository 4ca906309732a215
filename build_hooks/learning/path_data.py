"""What the file of a path may say: pages, practice and bench tasks in order, and what each edition of it changed."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Final

from pydantic import Field, PlainValidator, WithJsonSchema

from build_hooks.model import Keys, Status
from build_hooks.model.fields import Id, Reference, Text, fault
from build_hooks.reading.problems import quoted

__all__ = ["FIRST_EDITION", "MOST_EXERCISES", "Change", "Path", "PathData", "Practice", "Practised", "Step", "editions_of"]

FIRST_EDITION: Final = "A"
MOST_EXERCISES: Final = 20
_EDITION: Final = re.compile(r"[A-Z]")


def _as_edition(value: object) -> str:
    text = str(value).strip() if isinstance(value, str) else ""
    if _EDITION.fullmatch(text):
        return text
    written = quoted(text) if text else "What stands here"
    raise fault("bad-edition", f"{written} is not an edition.", "Write one capital letter; the first edition is A, the next B.")


def _as_count(value: object) -> int:
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= MOST_EXERCISES:
        return value
    raise fault(
        "out-of-range",
        "The count of exercises must be a whole number.",
        f"Write 1 to {MOST_EXERCISES}, for example count: 5.",
    )


Edition = Annotated[str, PlainValidator(_as_edition), WithJsonSchema({"type": "string", "pattern": "^[A-Z]$"})]
# A pack, or the gear set of the unit; no id of a pack has an underscore.
Practised = Annotated[Reference, WithJsonSchema({"type": "string", "pattern": "^([a-z0-9]+(-[a-z0-9]+)*|gear_set)$"})]
Count = Annotated[int, PlainValidator(_as_count), WithJsonSchema({"type": "integer", "minimum": 1, "maximum": MOST_EXERCISES})]


class Practice(Keys):
    """Exercises of one kind about one pack."""

    kind: Text = Field(description="The kind of exercise.", examples=["order"])
    unit: Reference = Field(description="The unit's folder, or standards.", examples=["hazel-2"])
    pack: Practised = Field(
        description="The pack of unit.yml, or gear_set; for standards a file of findings or trees.", examples=["high"]
    )
    count: Count = Field(default=5, description="How many of them must be right.", examples=[5])


class Step(Keys):
    """One step: a page to read, exercises to get right, or a task at the bench that somebody sees."""

    id: Id = Field(
        description="Its id, by which the record knows it. Never use one again for another step.", examples=["read-seals"]
    )
    heading: Text | None = Field(
        default=None, description="A heading that stands over this step and those after it.", examples=["Day 1"]
    )
    page: Text | None = Field(default=None, description="A page of this manual.", examples=["standards/seals.md"])
    practice: Practice | None = Field(default=None, description="Exercises.")
    task: Text | None = Field(
        default=None, description="A task at the bench, in a sentence or two.", examples=["Lay the pack out."]
    )
    standard: Text | None = Field(default=None, description="The page that the task is done by.", examples=["standards/seals.md"])
    seen_by: Text | None = Field(default=None, description="Who must see the task done.", examples=["senior"])


class Change(Keys):
    """What one edition changed."""

    what: Text = Field(description="What changed, in a sentence.", examples=["The pry test is now part of day 2."])
    steps: tuple[Reference, ...] = Field(
        default=(), description="The steps to do again by whoever passed an older edition.", examples=["[fit-piston]"]
    )


class PathData(Keys):
    """The file of a path."""

    name: Text = Field(description="What it is called.", examples=["First week"])
    about: Text = Field(description="Whom it is for and where it leads, in a sentence or two.", examples=["For a new rebuilder."])
    status: Status | None = Field(default=None, description="Draft or approved, by whom, and when it must be looked at again.")
    asked_as: tuple[Text, ...] = Field(
        default=(), description="What people say when they look for it, and what it does not say itself.", examples=["[new man]"]
    )
    edition: Edition = Field(description="Its edition: a capital letter.", examples=["A"])
    changes: dict[Edition, Change] = Field(
        default={}, description="What each edition behind the first one changed, with the steps that it touches."
    )
    needs: tuple[Reference, ...] = Field(default=(), description="Paths that must be finished first.", examples=["[first-week]"])
    steps: tuple[Step, ...] = Field(description="The steps in order.")


@dataclass(frozen=True, slots=True)
class Path:
    """A path that was found sound.

    Attributes:
        id: the name of its file.
        data: what the file says.
    """

    id: str
    data: PathData


def editions_of(data: PathData) -> tuple[str, ...]:
    """The editions of a path, oldest first."""
    return tuple(chr(letter) for letter in range(ord(FIRST_EDITION), ord(data.edition) + 1))
