"""The file that jobs are carried in: its shape, declared once. The browser checks a file against the schema of it.

A job is a list of entries that are only ever added. What holds now is worked out from them, so that two copies of a job can be put
together: all entries of both, none twice.
"""

from __future__ import annotations

from typing import Annotated, Any, Final, Literal

from pydantic import Field, StringConstraints

from build_hooks.model import Keys
from build_hooks.model.fields import Flag, Id, Text
from build_hooks.model.record_fields import Moment

__all__ = ["ENTRY_LISTS", "JobFile"]

_SHORT: Final = 120
_LONG: Final = 2000
# Two random keys: of the job, and of the entry in it.
_ENTRY_ID: Final = r"^[0-9a-f]{16}/[0-9a-f]{16}$"
_LARGEST_PICTURE: Final = 2_000_000  # Characters of base64.

Short = Annotated[str, StringConstraints(max_length=_SHORT)]
Long = Annotated[str, StringConstraints(max_length=_LONG)]
EntryId = Annotated[str, StringConstraints(pattern=_ENTRY_ID)]
Device = Annotated[str, StringConstraints(pattern="^[0-9a-f]{16}$")]
Total = Annotated[int, Field(ge=0, le=1000, strict=True)]
Pixels = Annotated[int, Field(ge=1, le=4000, strict=True)]
Photo = Annotated[
    str, StringConstraints(max_length=_LARGEST_PICTURE, pattern="^data:image/(jpeg|png|webp);base64,[A-Za-z0-9+/=]+$")
]
# What an engine of whatever version was asked and has answered: its own declaration says what is in it.
Mapping = dict[str, Any]


class Entry(Keys):
    """One thing that was noted. It is never changed: a correction is an entry of its own."""

    id: EntryId = Field(
        description="Key of the job and key of the entry, both random.", examples=["00d1f2a3b4c5d6e7/8899aabbccddeeff"]
    )
    at: Moment = Field(description="When it was noted, in universal time.", examples=["2026-11-25T08:30:00.123Z"])
    person: Short = Field(description="Who was working, as the page showed it; may be empty.", examples=["Wren Ashby"])
    device: Device = Field(description="Key of the browser in which it was noted.", examples=["0123456789abcdef"])
    edition: Short = Field(description="The edition of the manual.", examples=["2026-11-25"])


class Details(Entry):
    """What the job is: the facts that were filled in or changed."""

    number: Short | None = Field(default=None, description="The job's number in the shop.", examples=["4711"])
    unit: Short | None = Field(default=None, description="The unit's name.", examples=["Alder 4"])
    serial: Short | None = Field(default=None, description="The unit's serial number.", examples=["A4-20-1188"])
    complaint: Long | None = Field(
        default=None, description="The complaint in the customer's words.", examples=["Slips in 3rd when hot"]
    )
    technician: Short | None = Field(default=None, description="Who is responsible for the job.", examples=["Wren Ashby"])


class StateChange(Entry):
    """The job was opened, closed, or opened again."""

    state: Literal["open", "closed"] = Field(description="What it is from then on.")


class FormChange(Entry):
    """What was typed or chosen in a form: only what differs from before."""

    form: Short = Field(
        description="Which form: its calculation and what it is of.", examples=["set-clearances alder-4/front-drum"]
    )
    title: Short = Field(description="What the form is called.", examples=["Front drum: set the clearances"])
    page: Short = Field(description="The page it was typed on.", examples=["bench/alder-4/front-drum/"])
    changes: Mapping = Field(description="Entries of the form by name; null for one that was emptied.")


class Answered(Entry):
    """An answer that was shown, with all that it was worked out from."""

    form: Short = Field(description="Which form.", examples=["set-clearances alder-4/front-drum"])
    title: Short = Field(description="What the form is called.", examples=["Front drum: set the clearances"])
    page: Short = Field(description="The page it was shown on.", examples=["bench/alder-4/front-drum/"])
    calculation: Id = Field(description="The calculation.", examples=["set-clearances"])
    engine: Short = Field(description="Version of the engine.", examples=["0.4.0"])
    request: Mapping = Field(description="The request, with readings and limits.")
    result: Mapping = Field(description="The exact result.")
    shown: Mapping = Field(description="The figures as they were shown, by output.")
    verdict: Short = Field(description="What it came to, as the page marked it; empty where nothing is judged.", examples=["in"])
    sources: Mapping = Field(description="Where each limit is from, with its revision and gauge.")


class Tick(Entry):
    """A hold point was ticked, or its tick taken back."""

    page: Short = Field(description="The page.", examples=["units/alder-4/front-drum-clearance/"])
    title: Short = Field(description="The page's title.", examples=["Front drum: clearance"])
    hold: Long = Field(description="The hold point in its words.", examples=["Ring home all round?"])
    ticked: Flag = Field(description="Whether it is ticked.")
    done: Total = Field(description="How many of the page's hold points were ticked then.", examples=[3])
    total: Total = Field(description="How many the page has.", examples=[9])
    next: Long = Field(description="The next hold point that is open, in its words; may be empty.", examples=["Circlip seated?"])


class StepTaken(Entry):
    """A step of a procedure was done, or left out."""

    page: Short = Field(description="The page.", examples=["units/alder-4/front-drum-clearance/"])
    title: Short = Field(description="The page's title.", examples=["Front drum: clearance"])
    section: Short = Field(description="The section of the page.", examples=["Strip back"])
    step: Long = Field(
        description="The step, as far as it is needed to find it again.", examples=["Press the housing down by 1 mm."]
    )
    number: Total = Field(description="Which of the page's steps it is.", examples=[12])
    total: Total = Field(description="How many the page has.", examples=[87])
    state: Literal["done", "skipped"] = Field(description="Whether it was done.")
    reason: Long = Field(
        description="Why it was left out; empty for one that was done.", examples=["No press here: done in bay 4."]
    )


class WaitPress(Entry):
    """Somebody started a timer of the job, or did something with it."""

    page: Short = Field(description="The page it belongs to.", examples=["standards/friction-plates-and-soak/"])
    title: Short = Field(description="What is waited for.", examples=["Soak the friction plates"])
    press: Literal["started", "paused", "resumed", "confirmed", "reset"] = Field(description="What was done.")


class Replaced(Entry):
    """A part was replaced, or was not after all."""

    part: Short = Field(description="The part.", examples=["Forward piston outer seal"])
    number: Short = Field(description="Its number, or its mark.", examples=["FR-178"])
    count: Total = Field(description="How many; 0 when it was not replaced after all.", examples=[1])


class Note(Entry):
    """Something written down."""

    text: Long = Field(description="The note.", examples=["Drum bore scored, polished, measured again."])
    about: Short = Field(description="What it is about: a page, a part; may be empty.", examples=["Front drum"])


class Accepted(Entry):
    """Something out of its limits was accepted all the same."""

    form: Short = Field(description="Which form.", examples=["set-clearances alder-4/front-drum"])
    answer: EntryId = Field(description="The answer that was accepted.")
    reason: Long = Field(description="Why.", examples=["Customer declined a new drum; 0.02 mm over."])


class Picture(Entry):
    """A picture, made smaller by the page and without the camera's data."""

    about: Short = Field(description="What it shows.", examples=["Front drum"])
    width: Pixels = Field(description="Width in pixels.", examples=[1280])
    height: Pixels = Field(description="Height in pixels.", examples=[960])
    data: Photo = Field(description="The picture itself, as a data address.")


class Correction(Entry):
    """An earlier entry does not count."""

    of: EntryId = Field(description="The entry that does not count.")
    reason: Long = Field(description="Why.", examples=["Typed into the wrong job."])
    what: Long | None = Field(
        default=None, description="What was wrong, where one figure or fact was put right.", examples=["Serial number"]
    )
    was: Long | None = Field(default=None, description="What it was.", examples=["A4-20-1188"])
    right: Long | None = Field(default=None, description="What it is.", examples=["A4-20-1189"])


class JobFile(Keys):
    """One job, or all jobs of a bench, as they are saved and opened again."""

    format: Literal["benchleaf-jobs"] = Field(description="Says what the file is.")
    # Raised when an older page could no longer read what a newer one writes.
    version: Literal[1] = Field(description="The version of this format.")
    manual: Text = Field(description="The shop whose manual it belongs to.", examples=["Fennick Lane Rebuilders"])
    written: Moment = Field(description="When the file was written, in universal time.", examples=["2026-11-25T08:30:00Z"])
    details: tuple[Details, ...] = Field(description="What the jobs are.")
    states: tuple[StateChange, ...] = Field(description="When they were opened and closed.")
    forms: tuple[FormChange, ...] = Field(description="What was typed into forms.")
    answers: tuple[Answered, ...] = Field(description="What was answered.")
    ticks: tuple[Tick, ...] = Field(description="Hold points ticked.")
    steps: tuple[StepTaken, ...] = Field(description="Steps done or left out.")
    waits: tuple[WaitPress, ...] = Field(description="Timers started and stopped.")
    parts: tuple[Replaced, ...] = Field(description="Parts replaced.")
    notes: tuple[Note, ...] = Field(description="Notes.")
    accepted: tuple[Accepted, ...] = Field(description="What was accepted out of its limits.")
    pictures: tuple[Picture, ...] = Field(description="Pictures.")
    corrections: tuple[Correction, ...] = Field(description="Entries that do not count.")


ENTRY_LISTS: Final = tuple(name for name in JobFile.model_fields if name not in {"format", "version", "manual", "written"})
