"""A calculation that nobody has seen: the length of a clip under a load, with words and names of its own."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.readings import Gauge
from calc_engine.bench.selective import Choice
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import Option, amount, choice, flag, group, length, mapping, number, text
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.units import Dimension

__all__ = ["CLIP_CHECK"]

_STATES: Final = (Option("springy", "still springy", unsure="Perhaps still springy"), Option("tired", "tired"))


@dataclass(frozen=True, slots=True)
class Span:
    """From and to."""

    min: Fraction = length("Shortest", "Shorter is tired.")
    max: Fraction = length("Longest", "Longer is tired.")


@dataclass(frozen=True, slots=True)
class ClipCheck:
    """The inputs. Lengths in mm."""

    how: str = choice("Way", "How it is done.", {"dial": "With a dial", "rule": "With a rule"}, role="method")
    spans: tuple[Fraction, ...] = length(
        "Span of the clip", "Over its ends.", many=((1, 9),), item_label="Span {n}", role="reading", when=("how", ("dial",))
    )
    allowed: Span = group(Span, "Bounds", "Of the span.", role="limits")
    instrument: Gauge | None = group(Gauge, "Instrument", "What it reads.", optional=True, role="gauge")
    clips: tuple[Choice, ...] | None = group(
        Choice, "Clips", "Those in the drawer.", many=((1, 9),), item_label="Clip {n}", optional=True, role="sizes"
    )
    now: str | None = text("Clip in place", "The one measured.", optional=True, role="fitted")
    pull: Fraction | None = amount(Dimension.FORCE, "Pull", "Of the hook.", optional=True)
    sides: dict[str, int] | None = mapping(
        "Sides",
        "Which way each hook points.",
        allowed={-1: "left", 1: "right"},
        entry_labels=("Hook", "It points"),
        optional=True,
    )


@dataclass(frozen=True, slots=True)
class Trial:
    """One clip tried."""

    span: Fraction = length("Span then", "With that clip.")
    clip: str = text("Clip", "Its mark.", role="identity")


@dataclass(frozen=True, slots=True)
class ClipCheckResult:
    """The outputs. Lengths in mm."""

    state: str = choice("State", "What the clip is like.", _STATES, role="verdict")
    settled: bool = flag("Settled", "Whether it is sure.", role="certain")
    span: Fraction = length("Mean span", "Over all readings.", role="measured")
    doubt: Fraction | None = length("Doubt", "Either way.", optional=True, role="uncertainty")
    say: str = text("Say", "What to do.", role="advice")
    take: str | None = text("Take", "The clip to take.", optional=True, role="fit")
    tries: tuple[Trial, ...] = group(Trial, "Tried", "Each clip.", many=((0, 9),))
    points: dict[str, Fraction] | None = mapping("Reach", "Of each hook.", of=number("", "").metadata["declared"], optional=True)


def clip_check(request: ClipCheck, _units: AnswerUnits) -> Answer[ClipCheckResult]:
    """The mean of the spans, and a trial for each clip."""
    mean = sum(request.spans, Fraction(0)) / len(request.spans)
    tired = not request.allowed.min <= mean <= request.allowed.max
    tries = tuple(Trial(span=mean + clip.thickness, clip=clip.id) for clip in request.clips or ())
    result = ClipCheckResult(
        state="tired" if tired else "springy", settled=request.instrument is not None, span=mean, doubt=Fraction(1, 100), say="Bend it back.",
        take=tries[-1].clip if tries else None, tries=tries,
        points={name: Fraction(side) for name, side in (request.sides or {}).items()} or None,
    )  # fmt: skip
    return Answer(result, ("mean of the spans",))


CLIP_CHECK: Final = Calculation(
    name="clip-check",
    title="Check of a clip",
    about="Whether a clip still springs.",
    request=ClipCheck,
    result=ClipCheckResult,
    compute=clip_check,
    formulas=(r"\bar{s}",),
    sources=(Source("made up for the tests"),),
    example={
        "how": "dial", "spans": ["1.00 mm", "1.02 mm"], "allowed": {"min": "0.9 mm", "max": "1.1 mm"}, "now": "a",
        "clips": [{"id": "a", "thickness": "1 mm"}, {"id": "b", "thickness": "2 mm"}], "sides": {"long": -1},
    },
    subject="pack",
    measures="span",
)  # fmt: skip
