"""``unit.yml`` as it is written: other things are named by their ids, and repeats are not expanded yet."""

import re
from typing import Annotated, Any, Final

from pydantic import Discriminator, Field, Tag

from build_hooks.model.fields import Flag, Id, Name, Reference, Repeats, SideField, Stock, Text, Thickness, choice_of
from build_hooks.model.gears import GearSet, Grip
from build_hooks.model.keys import Keys, Named
from build_hooks.model.parts import Check, ClearanceSpec, Drum, Limits, LineUp, PackEnd, Part, Shaft, Status
from build_hooks.reading.problems import nearest

__all__ = [
    "SIGNAL_WORDS",
    "STACK_TAGS",
    "WrittenCaution",
    "WrittenEntry",
    "WrittenFloat",
    "WrittenKit",
    "WrittenMeasure",
    "WrittenPack",
    "WrittenRepeat",
    "WrittenUnit",
]

SIGNAL_WORDS: Final = ("danger", "warning", "caution", "notice")


class WrittenCaution(Keys):
    """One signal word with its text. The words are those of the open safety-sign standards."""

    danger: Text | None = Field(default=None, description="Will kill or maim if it is not heeded.", examples=["..."])
    warning: Text | None = Field(default=None, description="Could kill or maim.", examples=["The ring is under spring load."])
    caution: Text | None = Field(default=None, description="Could injure.", examples=["Sharp edges: gloves on."])
    notice: Text | None = Field(
        default=None, description="Could damage the parts; nobody is hurt.", examples=["Do not nick the lip."]
    )


class WrittenEntry(Keys):
    """A part in its place in a stack."""

    part: Reference = Field(description="The id of the part.", examples=["forward-wave"])
    place: Text | None = Field(default=None, description="Where it goes.", examples=["on the piston"])
    side: SideField | None = Field(default=None, description="Which way round it goes in.", examples=["chamfer up"])
    lubricant: Text | None = Field(
        default=None, description="What goes on it before it goes in.", examples=["Assembly lubricant on the lip."]
    )
    groove: Text | None = Field(
        default=None, description="The groove of the drum's wall or boss that it goes into.", examples=["middle"]
    )
    shoulder: Text | None = Field(
        default=None,
        description="The shoulder of the drum that it rests on; the pack then does not press on it.",
        examples=["housing"],
    )
    tell_apart: Text | None = Field(
        default=None,
        description="How to tell it from a part that looks like it.",
        examples=["the direct pressure plate has no chamfer"],
    )
    wrong: Text | None = Field(
        default=None,
        description="What happens when it is left out or goes in wrong.",
        examples=["left out: the pack takes up with a bang"],
    )
    once_only: Flag | None = Field(
        default=None, description="True when it is never used again once it has been out.", examples=["true"]
    )
    hold: Text | None = Field(
        default=None, description="A check that must be ticked before going on.", examples=["Ring groove clear all round?"]
    )
    line_up: LineUp | None = Field(default=None, description="A mark of the part, and the mark that it is lined up with.")
    check: Check | None = Field(default=None, description="What is measured once the part is in, with its limits.")
    caution: WrittenCaution | None = Field(default=None, description="A signal word with its text; it stands before the step.")
    note: Text | None = Field(default=None, description="What else is worth knowing.", examples=["Turn it to clear the lug."])
    any_time_before: Reference | None = Field(
        default=None,
        description="The part it must be in before. It may go in at any earlier time, not only in its place in the list.",
        examples=["direct-piston-housing"],
    )
    any_time_after: Reference | None = Field(
        default=None,
        description="The part it must go in after. It may go in at any later time, not only in its place in the list.",
        examples=["direct-pressure-480"],
    )
    tool: Reference | None = Field(default=None, description="The shop's tool that it is fitted with.", examples=["seal-wire"])


class WrittenMeasure(Keys):
    """The place in the order of assembly at which the pack's clearance is measured."""

    measure: Text = Field(
        description="What is read here, and how.", examples=["Depth to the pressure plate and to the shoulder of the drum."]
    )
    hold: Text | None = Field(
        default=None, description="A check that must be ticked before going on.", examples=["All 4 places read?"]
    )
    caution: WrittenCaution | None = Field(default=None, description="A signal word with its text; it stands before the step.")
    note: Text | None = Field(default=None, description="What else is worth knowing.", examples=["It takes two people."])


def _item_tag(value: object) -> str | None:
    """Which form an item of a stack has, by what is written."""
    if isinstance(value, dict):
        if "repeat" in value or "of" in value:
            return "form:repeat"
        return "form:measure" if "part" not in value and any(map(_means_measure, value)) else "form:entry"
    return None if value is None or isinstance(value, list) else "form:id"


def _means_measure(key: object) -> bool:
    """Whether a key is ``measure``, perhaps misspelt, or with its colon left out."""
    first = re.split(r"[:\s]", str(key))[0]
    return first == "measure" or (
        first not in WrittenEntry.model_fields and nearest(first, WrittenMeasure.model_fields) == "measure"
    )


def _turn_tag(value: object) -> str | None:
    """Which form an item of a repeat has: repeats do not nest, and nothing is measured halfway through one."""
    tag = _item_tag(value)
    return None if tag in {"form:repeat", "form:measure"} else tag


# The names that pydantic puts into the path of a fault for the forms of an item of a stack or an order, behind the item's number.
# None of them can be a key: an entry of another list may lack its “id”.
STACK_TAGS: Final = frozenset({"form:id", "form:entry", "form:repeat", "form:measure", "form:piece"})


def _no_form(remedy: str) -> dict[str, Any]:
    """What is said about an item that has none of the forms."""
    return {
        "custom_error_type": "wrong-type",
        "custom_error_message": "{message}",
        "custom_error_context": {"message": "A part is wanted here.", "remedy": remedy},
    }


_NO_ITEM: Final = _no_form("Write its id, or {part: its id, side: ...}, or {repeat: 5, of: [ids]}.")
_NO_TURN: Final = _no_form(
    "Write its id, or {part: its id, side: ...}; a repeat cannot contain another repeat, or a place to measure."
)


class WrittenRepeat(Keys):
    """Parts that go in several times, in turn."""

    repeat: Repeats = Field(description="How many times.", examples=[5])
    of: tuple[
        Annotated[
            Annotated[Reference, Tag("form:id")] | Annotated[WrittenEntry, Tag("form:entry")],
            Discriminator(_turn_tag, **_NO_TURN),
        ],
        ...,
    ] = Field(description="What goes in each time, in order.", examples=["[forward-steel, forward-friction]"])


class WrittenPack(Named):
    """A pack of plates: what goes in, in which order, and its clearance."""

    name: Name = Field(description="What it is called.", examples=["Forward pack"])
    drum: Reference | None = Field(default=None, description="The id of the drum it sits in.", examples=["front-drum"])
    pressed_from: Annotated[PackEnd, *choice_of(PackEnd, "an end of a pack")] | None = Field(
        default=None,
        description="The end that its piston is at: bottom, where the first plate is, or top, where the last is.",
        examples=["top"],
    )
    cavity: Thickness | None = Field(
        default=None,
        description="The room that its plates and the ring over them have: from the piston, fully back, to the face that holds them. "
        "Past rebuilds are then shown beside a forecast, if one kit alone sets the pack.",
        examples=["24.92 mm ± 0.10"],
    )
    stack: tuple[
        Annotated[
            Annotated[Reference, Tag("form:id")]
            | Annotated[WrittenEntry, Tag("form:entry")]
            | Annotated[WrittenRepeat, Tag("form:repeat")]
            | Annotated[WrittenMeasure, Tag("form:measure")],
            Discriminator(_item_tag, **_NO_ITEM),
        ],
        ...,
    ] = Field(
        description="The parts in the order they go in, and among them the place where the clearance is measured.",
        examples=["[forward-wave, forward-steel, {measure: with leaves under the ring}]"],
    )
    clearance: ClearanceSpec | None = Field(default=None, description="The limits of its clearance.")
    grip: Grip | None = Field(default=None, description="What the torque that it holds is worked out from.")


class WrittenFloat(Named):
    """How far a plate moves between the two parts that hold it. It is measured and set like a clearance, but has no plates."""

    name: Name = Field(description="What it is called.", examples=["Reaction plate float"])
    drum: Reference = Field(description="The id of the drum it is in.", examples=["front-drum"])
    limits: Limits = Field(description="Its limits, and how it is measured.")


class WrittenKit(Named):
    """A kit of parts that come in several sizes, to set a clearance or an end play with."""

    name: Name = Field(description="What it is called.", examples=["Forward ring"])
    choices: tuple[Reference, ...] = Field(
        description="The ids of its parts, one for each size.", examples=["[forward-ring-a, forward-ring-b]"]
    )
    tightens: tuple[Reference, ...] = Field(
        default=(), description="Ids of the packs, floats or shafts that a thicker part tightens.", examples=["[forward]"]
    )
    loosens: tuple[Reference, ...] = Field(
        default=(), description="Ids of the packs, floats or shafts that a thicker part loosens.", examples=["[direct]"]
    )
    stock: dict[Reference, Stock] = Field(
        default={}, description="How many of each part are on the shelf.", examples=["{forward-ring-a: 3}"]
    )


class WrittenUnit(Keys):
    """A unit: its parts, and how they go together."""

    name: Name = Field(description="What the unit is called.", examples=["Alder 4"])
    about: Text | None = Field(
        default=None, description="What it is, in a few words.", examples=["four-speed for light delivery vans"]
    )
    invented: Flag = Field(
        default=False,
        description="True for a made-up unit: every page then says that it is not for use on a real one.",
        examples=["true"],
    )
    status: Status = Field(default_factory=Status, description="Whether the data may be worked from. Without it, it is a draft.")
    drums: dict[Id, Drum] = Field(default={}, description="The drums by their ids.")
    parts: dict[Id, Part] = Field(default={}, description="The parts by their ids.")
    packs: dict[Id, WrittenPack] = Field(default={}, description="The packs by their ids.")
    floats: dict[Id, WrittenFloat] = Field(default={}, description="The floats by their ids.")
    shafts: dict[Id, Shaft] = Field(default={}, description="The shafts by their ids.")
    selective: dict[Id, WrittenKit] = Field(default={}, description="The kits of parts in several sizes, by their ids.")
    gear_set: GearSet | None = Field(default=None, description="The gear set, and what is on in each gear.")
