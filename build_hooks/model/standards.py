"""What the standards say as data: parts as they are found with what to do, and decision trees."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Final

from pydantic import Field, PlainValidator, WithJsonSchema

from build_hooks.model.fields import Id, Limit, Name, Reference, Text, as_written, choice_of, fault
from build_hooks.model.keys import Keys, Named
from build_hooks.reading.problems import did_you_mean, listed, quoted
from calc_engine.practice import DRAWINGS

__all__ = ["DrawingName", "Finding", "FindingReading", "FindingSet", "Judgement", "Tree", "TreeAnswer", "TreeEnd", "TreeQuestion"]

_DRAWINGS: Final = tuple(DRAWINGS)


class Judgement(StrEnum):
    """What is done with a part as it is found."""

    USE_AGAIN = "use-again"
    MEASURE = "measure"
    REPLACE = "replace"


def _as_drawing(value: object) -> str:
    written = as_written(value, "A drawing", _DRAWINGS[0])
    if written in DRAWINGS:
        return written
    remedy = did_you_mean(written, _DRAWINGS) or f"Write {listed(_DRAWINGS)}."
    raise fault("unknown-word", f"{quoted(written)} is not a drawing of the set.", remedy)


DrawingName = Annotated[str, PlainValidator(_as_drawing), WithJsonSchema({"type": "string", "enum": list(_DRAWINGS)})]


class FindingReading(Keys):
    """What is measured where a number decides."""

    what: Text = Field(
        description="What is measured, and how.", examples=["Smallest of 3 readings over both linings", "Mean of 4 places"]
    )
    min: Limit | None = Field(default=None, description="The smallest that may stay.")
    max: Limit | None = Field(default=None, description="The largest that may stay.")
    source: Text = Field(
        description="Where the limits come from.", examples=["the list of the training unit", "common practice, no source"]
    )
    gauge: Reference = Field(
        description="Id of a gauge in shop.yml that shows lengths.", examples=["metric-micrometer", "metric-feeler"]
    )


class Finding(Named):
    """A part as it is found, and what the standard says of it."""

    drawing: DrawingName = Field(description="A drawing of the set.", examples=["lining-thin"])
    part: Name = Field(description="What the part is.", examples=["Friction plate", "Inner race of a one-way clutch"])
    found: Text = Field(description="What is known beside what the drawing shows.", examples=["Wiped dry, a new one beside it."])
    judgement: Annotated[Judgement, *choice_of(Judgement, "a judgement")] = Field(
        description="What the standard does with it.", examples=["measure", "replace"]
    )
    reason: Text = Field(description="Why, in a sentence.", examples=["Lining wears; the worn limit says when it is too thin."])
    page: Text = Field(description="The page of the standard that says so.", examples=["standards/friction-plates-and-soak.md"])
    says: Text = Field(
        description="The words of that page, as they stand there.", examples=["Compare the smallest with the worn limit"]
    )
    reading: FindingReading | None = Field(default=None, description="With measure: what is measured, and its limits.")


class FindingSet(Keys):
    """Findings that are practised together: a file of the folder ``findings``."""

    name: Name = Field(description="What they are called.", examples=["Plates and steels", "Hard parts"])
    findings: dict[Id, Finding] = Field(description="The findings by their ids.")


class TreeAnswer(Keys):
    """An answer, and what it leads to."""

    answer: Text = Field(description="The answer, as it is found.", examples=["milky", "splinters you can feel"])
    leads_to: Reference = Field(description="Id of a question or an end.", examples=["cooler", "codes"])


class TreeQuestion(Named):
    """A question of a tree."""

    check: Name = Field(
        description="What is done to answer it, in a few words.", examples=["Look at the fluid", "Read the line pressure"]
    )
    asks: Text = Field(description="The question.", examples=["What is on the white cloth?", "Is it within the maker's figure?"])
    answers: tuple[TreeAnswer, ...] = Field(
        description="The answers, each of which leaves no room for another.", examples=["[{answer: milky, leads_to: cooler}]"]
    )


class TreeEnd(Named):
    """An end of a tree."""

    do: Text = Field(description="What to do now.", examples=["The unit comes out.", "Set the level, look for the leak."])
    suspect: Name | None = Field(default=None, description="What is to blame.", examples=["the cooler", "the pump"])
    page: Text | None = Field(default=None, description="The page to go on with.", examples=["standards/cooler-and-lines.md"])
    complaints: tuple[Text, ...] = Field(
        default=(),
        description="What customers say of it; without one no exercise ends here.",
        examples=["[It slips when it is hot.]"],
    )


class Tree(Keys):
    """A decision tree: a file of the folder ``trees``."""

    name: Name = Field(description="What it is called.", examples=["Incoming check"])
    page: Text = Field(description="The page that shows it, with a tree block.", examples=["standards/incoming-check.md"])
    start: Reference = Field(description="Id of the first question.", examples=["fluid"])
    questions: dict[Id, TreeQuestion] = Field(description="The questions by their ids, in the order in which a page shows them.")
    ends: dict[Id, TreeEnd] = Field(description="The ends by their ids.")
