"""The photo block: a picture with what it shows, and numbered call-outs at points of it."""

from __future__ import annotations

import os
import posixpath
import re
from typing import Annotated, Final

from pydantic import Field, PlainValidator

from build_hooks.blocks.context import Context, Trouble, known_or_trouble
from build_hooks.model import Keys
from build_hooks.model.fields import Reference, Text, fault
from build_hooks.pictures import CallOut, Photo, Picture, PictureFault, is_picture, photo_figure, picture_of
from build_hooks.reading.docs_tree import leads_out
from build_hooks.reading.problems import quoted
from calc_engine import Element

__all__ = ["PhotoBody", "Step", "file_of", "photo_of", "refuse_many", "render_photo", "step_of"]

type Step = tuple[str, str, str]
"""The ids of unit, pack and part: where on the wall a picture is shown."""

_MOST_CALLOUTS: Final = 12
_WHOLE: Final = 100
_PERCENT: Final = re.compile(r"[0-9]{1,3}(?:\.[0-9]{1,6})?")
_TWO: Final = 2


def _as_point(value: object) -> tuple[float, float]:
    if isinstance(value, list) and len(value) == _TWO and all(map(_is_percent, value)):
        return float(value[0]), float(value[1])
    raise fault(
        "wrong-type",
        "A point is two numbers from 0 to 100: percent from the left edge, and percent from the upper edge.",
        "Write for example at: [40, 25].",
    )


def _is_percent(value: object) -> bool:
    return not isinstance(value, bool) and _PERCENT.fullmatch(str(value)) is not None and float(str(value)) <= _WHOLE


class CallOutBody(Keys):
    """A call-out: a point and its words."""

    at: Annotated[tuple[float, float], PlainValidator(_as_point)] = Field(
        description="The point, in percent from the left and from the upper edge.", examples=["[40, 25]"]
    )
    text: Text = Field(description="What is to be seen there.", examples=["The gap of the ring"])


class PhotoBody(Keys):
    """The body of a photo block."""

    file: Text = Field(description="The picture, from the page's own folder.", examples=["photos/ring.jpg"])
    shows: Text = Field(
        description="What is to be seen, in a sentence, for those who cannot see it.", examples=["The ring in its groove."]
    )
    callouts: tuple[CallOutBody, ...] = Field(
        (), description="Numbered points with their words.", examples=["[{at: [40, 25], text: The gap of the ring}]"]
    )
    unit: Reference | None = Field(
        None, description="With part: the unit's folder, when the page is in another folder.", examples=["alder-4"]
    )
    pack: Reference | None = Field(None, description="With part: the pack whose step on the wall shows it.", examples=["forward"])
    part: Reference | None = Field(
        None, description="With pack: the part that goes in at that step.", examples=["forward-ring-180"]
    )


def render_photo(body: PhotoBody, context: Context) -> Element:
    """The picture with its numbers and their words.

    Raises:
        Trouble: the file is not there or cannot be shown, or what it is to be beside is not there.
    """
    photo = photo_of(body, context)
    step_of(body, context)
    return photo_figure(photo, context.root, context.identity("photo"))


def step_of(body: PhotoBody, context: Context) -> Step | None:
    """The step on the wall that a picture is beside; None for a picture of its page only.

    Raises:
        Trouble: unit, pack or part is not there.
    """
    if body.part is None or body.pack is None:
        given = next((key for key in ("pack", "part", "unit") if key in body.model_fields_set), None)
        if given is None:
            return None
        message = (
            f"{given} has no effect without {'part' if given == 'pack' else 'pack' if given == 'part' else 'pack and part'}."
        )
        raise Trouble((given,), "unused-key", message, "Name both pack and part, or take them out.")
    unit = context.unit(body.unit)
    pack = context.pack(unit, body.pack)
    parts = {entry.part.id: entry.part for entry in pack.physical_stack}
    known_or_trouble(parts, body.part, ("part",), f"part in the stack of {pack.id}")
    return unit.id, pack.id, body.part


def file_of(body: PhotoBody, context: Context) -> str:
    """The path of the picture below the docs folder; it may lead out of it."""
    return posixpath.normpath(posixpath.join(context.folder, body.file))


def refuse_many(body: PhotoBody) -> None:
    """Refuses more call-outs than a picture can hold.

    Raises:
        Trouble: at the first that is too many.
    """
    if len(body.callouts) > _MOST_CALLOUTS:
        message = f"There are {len(body.callouts)} call-outs; up to {_MOST_CALLOUTS} can be told apart."
        raise Trouble(("callouts", _MOST_CALLOUTS), "too-many", message, "Use a second picture, nearer to the thing.")


def photo_of(body: PhotoBody, context: Context) -> Photo:
    """The picture that a block names.

    Raises:
        Trouble: at the file.
    """
    refuse_many(body)
    path = file_of(body, context)
    try:
        made = _picture(body.file, path, context)
    except PictureFault as refused:
        raise Trouble(("file",), refused.code, refused.message, refused.remedy) from refused
    callouts = tuple(CallOut(*callout.at, callout.text) for callout in body.callouts)
    return Photo(path, body.shows, made.width, made.height, callouts)


def _picture(written: str, path: str, context: Context) -> Picture:
    if "\\" in written:
        raise Trouble(("file",), "broken-link", f"{quoted(written)} has a backslash.", "Write / between folder and file.")
    if path.startswith(("/", "../")) or path == "..":
        message = f"{quoted(written)} leads out of the docs folder."
        raise Trouble(("file",), "leads-out", message, "Put the picture beside the page, and name it from there.")
    file = context.library.docs / path
    is_hidden = any(part.startswith(".") for part in path.split("/"))
    # A name may be too long for any disk: where `Path` raises, this says no.
    if is_hidden or not os.path.isfile(file):  # noqa: PTH113
        message = f"There is no picture {quoted(written)}."
        remedy = "Name it from the page's own folder, with its ending; hidden files are not read."
        raise Trouble(("file",), "no-picture", message, remedy)
    if leads_out(file, context.library.docs):
        remedy = "Put the file itself here."
        raise Trouble(("file",), "leads-out", f"{quoted(written)} is a link that leads out of the docs folder.", remedy)
    if not is_picture(file):
        # Told by what is in it; what is a picture all the same goes by its name.
        picture_of(file)
        raise Trouble(
            ("file",), "no-picture", f"A picture is not called {quoted(file.name)}.", "Let it end in .jpg, .png or .webp."
        )
    return picture_of(file)
