"""Parts, drums, limits and shafts: what a unit is made of, as ``unit.yml`` says it and as the pages show it."""

from enum import StrEnum
from typing import Annotated, Any, Final

from pydantic import Discriminator, Field, Tag

from build_hooks.model.fields import (
    CheckedAmount,
    Count,
    Day,
    Flag,
    Limit,
    Name,
    Positions,
    Reference,
    Size,
    Text,
    Thickness,
    choice_of,
)
from build_hooks.model.keys import Keys, Named

__all__ = [
    "NEEDS_THICKNESS", "BallPlace", "ChamferedEdge", "Check", "CheckBall", "CheckedQuantity", "ClearanceSpec", "Drum", "Feed", "FeedWay",
    "Limits", "LineUp", "Method", "OrderPiece", "PackEnd", "Part", "PartKind", "Push", "Shaft", "State", "Status", "Teeth", "WaveState",
]  # fmt: skip


class PartKind(StrEnum):
    """What a part is."""

    FRICTION = "friction"
    STEEL = "steel"
    WAVE = "wave"
    BACKING = "backing"
    REACTION = "reaction"
    PRESSURE = "pressure"
    SNAP_RING = "snap-ring"
    PISTON = "piston"
    SEAL = "seal"
    LIP_SEAL = "lip-seal"
    RETURN_SPRING = "return-spring"
    RETAINER = "retainer"
    THRUST_WASHER = "thrust-washer"
    BEARING = "bearing"
    SHIM = "shim"
    HUB = "hub"


class Teeth(StrEnum):
    """Where a plate has its teeth."""

    OUTSIDE = "outside"
    INSIDE = "inside"
    NONE = "none"


class ChamferedEdge(StrEnum):
    """Which edge of a plate's marked face is chamfered."""

    OUTER = "outer"
    INNER = "inner"
    BOTH = "both"


class Push(StrEnum):
    """Which way a piston pushes."""

    UP = "up"
    DOWN = "down"


class PackEnd(StrEnum):
    """An end of a pack: bottom is where its first plate is, top where its last is."""

    BOTTOM = "bottom"
    TOP = "top"


class WaveState(StrEnum):
    """The state of a wave plate that a clearance is given for."""

    FREE = "free"
    FLAT = "flat"


class Method(StrEnum):
    """How a clearance is measured; the names are the engine's."""

    DIAL = "dial"
    FEELER = "feeler"
    DEPTH = "depth"
    PARTS = "parts"


class CheckedQuantity(StrEnum):
    """What is measured after a step."""

    HEIGHT = "height"
    DEPTH = "depth"
    GAP = "gap"
    TRAVEL = "travel"
    TURNING_TORQUE = "turning-torque"
    PRESSURE = "pressure"


class State(StrEnum):
    """How far a unit's data has got."""

    DRAFT = "draft"
    APPROVED = "approved"
    WITHDRAWN = "withdrawn"


# Kinds whose thickness counts in a stack or an end play.
NEEDS_THICKNESS: Final = frozenset(
    PartKind(kind)
    for kind in ("friction", "steel", "wave", "backing", "reaction", "pressure", "snap-ring", "thrust-washer", "shim")
)
_TOOTHED_OUTSIDE: Final = frozenset(PartKind(kind) for kind in ("steel", "wave", "backing", "reaction", "pressure"))


class Status(Keys):
    """Whether the data may be worked from, and who says so."""

    state: Annotated[State, *choice_of(State, "a state")] = Field(
        default=State.DRAFT,
        description="draft; approved when somebody has checked it; withdrawn when nobody may work from it any more.",
        examples=["draft"],
    )
    approved_by: Text | None = Field(default=None, description="Who checked and approved it.", examples=["M. Fennick"])
    approved_on: Day | None = Field(default=None, description="When it was approved.", examples=["2026-09-01"])
    review_due: Day | None = Field(default=None, description="When it must be looked at again.", examples=["2027-09-01"])
    revision: Text | None = Field(default=None, description="The revision of this data.", examples=["C"])
    withdrawn_because: Text | None = Field(
        default=None,
        description="Why it was withdrawn, and what to use instead.",
        examples=["the limits are under review; ask A. Dorn"],
    )


class FeedWay(StrEnum):
    """Through what of a drum a feed reaches a chamber."""

    BOSS = "boss"
    WALL = "wall"


class BallPlace(StrEnum):
    """Where a check ball of a drum sits."""

    FLOOR = "floor"
    WALL = "wall"


class Feed(Keys):
    """A hole of a drum through which fluid reaches the chamber of a piston."""

    name: Name = Field(description="What it is called.", examples=["Forward feed"])
    chamber: Reference = Field(description="The id of the pack whose piston it feeds.", examples=["forward"])
    through: Annotated[FeedWay, *choice_of(FeedWay, "a way for a feed")] = Field(
        description="What it leads through: boss or wall.", examples=["boss"]
    )


class CheckBall(Keys):
    """A check ball of a drum, which empties a chamber; that of a piston is said at the piston."""

    name: Name = Field(description="What it is called.", examples=["Drum check ball"])
    chamber: Reference = Field(description="The id of the pack whose chamber it empties.", examples=["forward"])
    place: Annotated[BallPlace, *choice_of(BallPlace, "a place for a check ball")] = Field(
        description="What it sits in: floor or wall.", examples=["floor"]
    )


class OrderPiece(Keys):
    """A piece of a pack in the order in which a whole drum goes together."""

    pack: Reference = Field(description="The id of the pack.", examples=["low"])
    first: Reference | None = Field(
        default=None, description="The part that the piece begins with, if not the first of the stack.", examples=["low-hub"]
    )
    last: Reference | None = Field(
        default=None, description="The part that the piece ends with, if not the last of the stack.", examples=["low-ring"]
    )


def _piece_tag(value: object) -> str | None:
    """Which form a piece of an order has, by what is written."""
    return "form:piece" if isinstance(value, dict) else None if value is None or isinstance(value, list) else "form:id"


_NO_PIECE: Final[dict[str, Any]] = {
    "custom_error_type": "wrong-type",
    "custom_error_message": "{message}",
    "custom_error_context": {
        "message": "A pack is wanted here.",
        "remedy": "Write its id, or {pack: its id, first: the id of a part, last: the id of a part}.",
    },
}


class Drum(Named):
    """A drum, housing or case that holds packs."""

    name: Name = Field(description="What it is called.", examples=["Front drum"])
    grooves: tuple[Text, ...] = Field(
        default=(),
        description="The ring grooves of its wall, from the piston end to the open end.",
        examples=["[lower, middle, upper]"],
    )
    boss_grooves: tuple[Text, ...] = Field(
        default=(),
        description="The grooves of its boss, for seals and rings, from the piston end to the open end.",
        examples=["[seal, retainer]"],
    )
    shoulders: tuple[Text, ...] = Field(
        default=(),
        description="The shoulders of its wall that parts rest on, from the piston end to the open end.",
        examples=["[housing]"],
    )
    windows: Count | None = Field(default=None, description="How many windows its wall has beside the plates.", examples=[4])
    feeds: tuple[Feed, ...] = Field(
        default=(),
        description="Its feed holes.",
        examples=["[{name: Forward feed, chamber: forward, through: boss}]"],
    )
    check_balls: tuple[CheckBall, ...] = Field(
        default=(),
        description="The check balls in its floor and wall.",
        examples=["[{name: Drum check ball, chamber: forward, place: floor}]"],
    )
    order: tuple[
        Annotated[
            Annotated[Reference, Tag("form:id")] | Annotated[OrderPiece, Tag("form:piece")],
            Discriminator(_piece_tag, **_NO_PIECE),
        ],
        ...,
    ] = Field(
        default=(),
        description="The packs, or pieces of them, in the order they go in when the whole drum is built.",
        examples=["[low, {pack: high, last: high-ring}]"],
    )


class Part(Named):
    """A part. Parts of several sizes are one part for each size."""

    name: Name = Field(description="What it is called.", examples=["Forward steel plate"])
    kind: Annotated[PartKind, *choice_of(PartKind, "a kind of part")] = Field(description="What it is.", examples=["steel"])
    thickness: Thickness | None = Field(
        default=None,
        description="Its thickness; that of a wave plate is its flat thickness. Needed for plates, rings, washers and shims.",
        examples=["1.80 mm ± 0.03", "0.071 in ± 0.001"],
    )
    worn_below: Size | None = Field(default=None, description="Thinner than this it is not used again.", examples=["1.50 mm"])
    free_height: Size | None = Field(
        default=None, description="The height of a wave plate with nothing on it.", examples=["2.10 mm"]
    )
    waves: Count | None = Field(default=None, description="How many waves a wave plate has.", examples=[3])
    rim_below: Size | None = Field(
        default=None,
        description="How far the rim of a plate is cut back from its lower face, where a ring goes.",
        examples=["0.60 mm"],
    )
    rim_above: Size | None = Field(
        default=None,
        description="How far the rim of a plate is cut back from its upper face, where a ring goes.",
        examples=["1.80 mm"],
    )
    chamfer: Annotated[ChamferedEdge, *choice_of(ChamferedEdge, "an edge")] | None = Field(
        default=None,
        description="Which edge of the face is chamfered, where the side is told by a chamfer: outer as a rule, inner, or both.",
        examples=["inner"],
    )
    pistons: tuple[Annotated[Push, *choice_of(Push, "a way to push")], ...] = Field(
        default=(),
        description="For a piston housing: which way each piston in it pushes. The chamber is behind the piston.",
        examples=["[down]"],
    )
    check_ball: Flag = Field(default=False, description="True for a piston with a check ball in it.", examples=["true"])
    number: Text | None = Field(default=None, description="The shop's part number.", examples=["FR-157"])
    mark: Text | None = Field(default=None, description="The mark that tells its size.", examples=["one paint dot"])
    bin: Text | None = Field(default=None, description="Where it lies on the shelf.", examples=["C3"])
    teeth: Annotated[Teeth, *choice_of(Teeth, "a place for teeth")] | None = Field(
        default=None,
        description="Where its teeth are, if not as usual: friction plates inside, other plates outside, all else none.",
        examples=["outside"],
    )
    outer: Size | None = Field(default=None, description="Its outer diameter.", examples=["140 mm"])
    inner: Size | None = Field(default=None, description="Its inner diameter.", examples=["110 mm"])
    once_only: Flag = Field(default=False, description="True for a part that is always replaced.", examples=["true"])
    tell_apart: Text | None = Field(
        default=None,
        description="How to tell it from a part that looks like it.",
        examples=["the direct pressure plate has no chamfer"],
    )
    look_alikes: tuple[Reference, ...] = Field(
        default=(), description="Ids of parts that get mistaken for it.", examples=["[direct-ring-b]"]
    )
    note: Text | None = Field(default=None, description="What whoever picks it up should know.", examples=["Sharp edge."])

    @property
    def toothed(self) -> Teeth:
        """Where its teeth are: as given, else as usual for its kind."""
        if self.teeth is not None:
            return self.teeth
        if self.kind is PartKind.FRICTION:
            return Teeth.INSIDE
        return Teeth.OUTSIDE if self.kind in _TOOTHED_OUTSIDE else Teeth.NONE


class Limits(Keys):
    """What a measurement has to come out as, where that is from, and how it is measured."""

    min: Limit = Field(description="The smallest that is allowed.", examples=["0.90 mm", "0.035 in"])
    max: Limit = Field(description="The largest that is allowed.", examples=["1.40 mm", "0.055 in"])
    target: Limit | None = Field(
        default=None, description="What to aim at, if not the middle of the limits.", examples=["1.10 mm"]
    )
    at: Positions | None = Field(default=None, description="At how many positions it is measured.", examples=["4 positions"])
    method: Annotated[Method, *choice_of(Method, "a way to measure")] | None = Field(
        default=None, description="How it is measured.", examples=["dial"]
    )
    gauge: Reference | None = Field(default=None, description="Id of the gauge in shop.yml.", examples=["bench-dial"])
    spread_limit: Size | None = Field(
        default=None, description="How far the positions may differ from each other.", examples=["0.15 mm"]
    )
    source: Text = Field(description="Where the limits come from.", examples=["shop standard FL-12"])
    revision: Text = Field(description="The revision of that source.", examples=["C"])


class ClearanceSpec(Limits):
    """The limits of a pack's clearance."""

    wave: Annotated[WaveState, *choice_of(WaveState, "a state of a wave plate")] | None = Field(
        default=None, description="The state of the wave plate that the limits mean.", examples=["flat"]
    )


class Check(Keys):
    """Something to measure once a part is in: a figure with its limits. One that is not a figure is a ``hold``."""

    text: Text = Field(description="What is measured, and how.", examples=["From the rim of the drum down to the piston."])
    quantity: Annotated[CheckedQuantity, *choice_of(CheckedQuantity, "a quantity to check")] = Field(
        description="What is measured: it decides the units of the limits.", examples=["depth"]
    )
    min: CheckedAmount | None = Field(default=None, description="The smallest that is allowed.", examples=["12.40 mm"])
    max: CheckedAmount | None = Field(default=None, description="The largest that is allowed.", examples=["12.90 mm"])
    at: Positions | None = Field(default=None, description="At how many positions it is measured.", examples=["4 positions"])
    gauge: Reference | None = Field(default=None, description="Id of the gauge in shop.yml.", examples=["metric-depth"])
    source: Text = Field(description="Where the limits come from.", examples=["shop standard FL-17"])
    revision: Text = Field(description="The revision of that source.", examples=["A"])


class LineUp(Keys):
    """A mark of a part, and the mark that it is lined up with."""

    mark: Text = Field(description="The mark on the part.", examples=["the notched lug"])
    to: Text = Field(description="The mark that it is lined up with.", examples=["the line on the rim of the drum"])


class Shaft(Named):
    """A shaft with its end play."""

    name: Name = Field(description="What it is called.", examples=["Input shaft"])
    end_play: Limits = Field(description="The limits of its end play.")
