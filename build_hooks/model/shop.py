"""The shop, as ``shop.yml`` says it: gauges on the bench, consumables, tools, waiting times, screens and words."""

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from build_hooks.model.fields import (
    Distance,
    Flag,
    Id,
    Minutes,
    Name,
    PinField,
    PixelsField,
    Reading,
    Text,
    UnitsField,
    choice_of,
)  # fmt: skip
from build_hooks.model.keys import Keys, Named
from build_hooks.model.shared_folder import FolderField

__all__ = ["Consumable", "Gauge", "GaugeKind", "Screen", "Senior", "SharedJobs", "Shop", "Tool", "Wait", "Word"]


class GaugeKind(StrEnum):
    """What a gauge is."""

    DIAL = "dial"
    FEELER = "feeler"
    DEPTH = "depth"
    MICROMETER = "micrometer"
    WRENCH = "wrench"
    PRESSURE = "pressure"


class Gauge(Named):
    """A gauge on the shop's bench."""

    name: Text = Field(description="What the shop calls it.", examples=["Bench dial indicator"])
    kind: Annotated[GaugeKind, *choice_of(GaugeKind, "a kind of gauge")] = Field(description="What it is.", examples=["dial"])
    resolution: Reading | None = Field(
        default=None,
        description="The smallest step it shows. Needed for dial, depth and micrometer.",
        examples=["0.01 mm", "0.001 in"],
    )
    max_error: Reading | None = Field(
        default=None,
        description="The largest error it may have, from its certificate or maker. Needed for all that measure a length.",
        examples=["0.02 mm", "0.001 in"],
    )
    note: Text | None = Field(
        default=None, description="What whoever picks it up should know.", examples=["Zero it with the stem down."]
    )


class Consumable(Named):
    """Something that is used up: lubricant, fluid, cloth."""

    name: Text = Field(description="What it is called on the pages.", examples=["Assembly lubricant"])
    note: Text | None = Field(
        default=None, description="What is to be used, and what is not.", examples=["One that dissolves in the fluid."]
    )


class Tool(Named):
    """A tool that is no gauge."""

    name: Text = Field(description="What it is called on the pages.", examples=["Seal installing sleeve"])
    note: Text | None = Field(
        default=None, description="What whoever picks it up should know.", examples=["Check its edge for nicks."]
    )


class Wait(Named):
    """A time that has to pass before the work goes on: a soak, a cure, a seal that shrinks back."""

    name: Text = Field(description="What is waited for.", examples=["Soak the friction plates"])
    minutes: Minutes = Field(description="How long, in minutes.", examples=[20])
    source: Text = Field(description="Who says so.", examples=["common practice, no source"])


class Senior(Named):
    """Somebody who may sign that a task was seen done."""

    name: Name = Field(description="The name they go by in the shop.", examples=["M. Fennick"])
    pin: PinField | None = Field(
        default=None,
        description="Their PIN, salted and hashed by benchleaf pin. Without one anybody can choose their name.",
    )


class Screen(Named):
    """A screen on a wall, with the distance that it is read from."""

    name: Text = Field(description="Which screen it is.", examples=["Bay 1 screen"])
    distance: Distance = Field(description="From the eyes to the screen.", examples=["3.5 m", "138 in"])
    diagonal: Distance = Field(description="From corner to corner of the picture.", examples=["43 in"])
    pixels: PixelsField = Field(description="Width x height of the picture.", examples=["1920 x 1080"])


class Word(Named):
    """A word of the trade, with what it means and how else people write it."""

    meaning: Text = Field(description="What it means, in a sentence.", examples=["A plate with lining on both faces."])
    also: tuple[Text, ...] = Field(default=(), description="Other words for the same.", examples=["[fibre, clutch disc]"])
    misspelt: tuple[Text, ...] = Field(
        default=(), description="How it gets misspelt; the search finds it so too.", examples=["[friciton]"]
    )


class SharedJobs(Keys):
    """Where the devices of the shop share their jobs."""

    folder: FolderField = Field(
        description="A folder that a server offers by WebDAV: an https address, or a path from the manual's first page. "
        "Every page of the manual then calls it.",
        examples=["shared-jobs/"],
    )


class Shop(Keys):
    """The shop that the manual is for."""

    name: Name = Field(description="The name of the shop.", examples=["Fennick Lane Rebuilders"])
    place: Text | None = Field(default=None, description="Where it is.", examples=["Tollmouth"])
    invented: Flag = Field(
        default=False,
        description="True for a made-up shop: every page then says that it is not for use on a real unit.",
        examples=["true"],
    )
    units: UnitsField = Field(
        default="metric",
        description="The units that the shop reads in: forms start in them, and messages have examples in them.",
        examples=["inch"],
    )
    gauges: dict[Id, Gauge] = Field(default={}, description="The gauges by their ids.")
    consumables: dict[Id, Consumable] = Field(default={}, description="What is used up, by its ids.")
    tools: dict[Id, Tool] = Field(default={}, description="The tools by their ids.")
    waits: dict[Id, Wait] = Field(default={}, description="Times to wait, by their ids; timer blocks name them.")
    seniors: dict[Id, Senior] = Field(default={}, description="Who may sign tasks of a learning path, by their ids.")
    screens: dict[Id, Screen] = Field(default={}, description="The screens by their ids.")
    words: dict[Text, Word] = Field(default={}, description="The trade's words, each with its meaning.")
    jobs: SharedJobs | None = Field(
        default=None, description="Where devices share their jobs. Without it each browser keeps its own, and nothing leaves it."
    )
