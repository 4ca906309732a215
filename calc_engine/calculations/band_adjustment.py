"""band-adjustment: the gap that a band gets when its screw is backed off so many turns."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.declare.alternatives import exactly_one
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import amount, length, number, text
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits, plain
from calc_engine.quantities.units import Dimension

__all__ = ["BAND_ADJUSTMENT", "BandAdjustment", "BandAdjustmentResult", "band_adjustment"]

_INCH: Final = Fraction("25.4")  # mm


@dataclass(frozen=True, slots=True)
class BandAdjustment:
    """The inputs of band-adjustment. Lengths in mm, torque in N.m."""

    turns: Fraction = number(
        "Turns backed off", "From the snug screw, as the spec says. Fractions are read: 2 1/4.", above="0", most="20"
    )
    pitch: Fraction | None = length(
        "Pitch of the thread", "How far the screw travels in one turn.", above="0 mm", most="5 mm", optional=True
    )
    threads_per_inch: Fraction | None = number(
        "Threads per inch", "In place of the pitch, for an inch thread.", above="0", most="100", optional=True
    )
    lever_ratio: Fraction | None = number(
        "Ratio of the lever", "Travel at the band divided by travel at the screw. 1 when left empty: the screw bears on the band itself.",
        above="0", most="10", optional=True,
    )  # fmt: skip
    tightening: Fraction | None = amount(
        Dimension.TORQUE, "Torque before backing off", "From the spec. It is repeated in the advice; nothing is worked out from it.",
        above="0 N.m", most="100 N.m", optional=True,
    )  # fmt: skip

    def problems(self, _field: str) -> Iterable[Problem]:
        """Says when the thread is given in both ways, or in none."""
        return exactly_one({"pitch": self.pitch, "threads_per_inch": self.threads_per_inch})

    @property
    def lead(self) -> Fraction:
        """How far the screw travels in one turn, mm."""
        return _INCH / self.threads_per_inch if self.threads_per_inch else self.pitch or Fraction(0)


@dataclass(frozen=True, slots=True)
class BandAdjustmentResult:
    """The outputs of band-adjustment. Lengths in mm."""

    advice: str = text("Advice", "What to do.", role="advice")
    travel: Fraction = length("Travel of the screw", "Turns times pitch.")
    gap: Fraction = length("Gap at the band's end", "Travel times the ratio of the lever.")
    gap_per_turn: Fraction = length("Gap per turn", "What one turn more adds.")


def band_adjustment(request: BandAdjustment, units: AnswerUnits) -> Answer[BandAdjustmentResult]:
    """The gap of a band from the turns that its screw is backed off.

    travel = turns x pitch; gap = travel x ratio of the lever

    Args:
        request: the inputs in base units; a thread with one start.
        units: for the working.

    Returns:
        Travel and gap with the working.

    Source: geometry of the screw (Britannica, micrometer: 40 threads to the inch, 0.025 inch a turn); law of the lever.

    Example:
        >>> from calc_engine import answer
        >>> answer("band-adjustment", {"turns": "2 1/2", "pitch": "1 mm"})["result"]["gap"]
        '2.5 mm'
    """
    ratio = request.lever_ratio or Fraction(1)
    travel = request.turns * request.lead
    result = BandAdjustmentResult(
        advice=_advice(request, units), travel=travel, gap=travel * ratio, gap_per_turn=request.lead * ratio
    )
    return Answer(result, tuple(_lines(request, result, units)), tuple(_cautions(request)))


def _advice(request: BandAdjustment, units: AnswerUnits) -> str:
    snug = "to the torque of the spec" if request.tightening is None else f"to {units.show(request.tightening, Dimension.TORQUE)}"
    word = "turn" if request.turns <= 1 else "turns"
    return f"Tighten the screw {snug}, back it off {plain(request.turns)} {word}, hold it there and tighten its locknut."


def _lines(request: BandAdjustment, result: BandAdjustmentResult, units: AnswerUnits) -> Iterable[str]:
    if request.threads_per_inch is not None:
        inch = units.show(_INCH)
        yield f"pitch = {inch} / {plain(request.threads_per_inch)} {units.equals(request.lead)}"
    yield f"travel of the screw = {plain(request.turns)} × {units.show(request.lead)} {units.equals(result.travel)}"
    if request.lever_ratio is not None:
        yield f"gap = {units.show(result.travel)} × {plain(request.lever_ratio)} {units.equals(result.gap)}"


def _cautions(request: BandAdjustment) -> Iterable[str]:
    yield "The spec's turns are what counts: the gap only lets you check them with a gauge."
    yield "Turn the nut, not the screw, when you lock it: a screw that turns along changes the gap (common practice, no source)."
    if request.tightening is None:
        yield "Without the torque of the spec there is no snug to count the turns from."


BAND_ADJUSTMENT: Final = Calculation(
    name="band-adjustment",
    title="Gap of a band from turns of its screw",
    about="How far a band's end comes away when its adjusting screw is backed off so many turns, directly or through a lever.",
    asked_as=(
        "turns of the band screw to millimetres",
        "backed off turns gap",
        "band gap calculator",
        "how far does the screw move",
        "pitch times turns",
        "lever ratio of the servo",
        "quarter turn too much on the band",
        "vueltas del tornillo de la banda",
    ),
    request=BandAdjustment,
    result=BandAdjustmentResult,
    compute=band_adjustment,
    formulas=(r"s = n\,P", r"g = i\,s"),
    sources=(
        Source("Britannica, Micrometer", "", "40 threads to the inch: each turn moves the screw 0.025 inch"),
        Source(
            "US Army TM 9-2320-266-34", "4-12", "tighten to a torque, back off the turns, hold the screw, tighten the locknut"
        ),
        Source("Law of the lever"),
    ),
    # Invented, as all figures of the demo.
    example={"turns": "2 1/4", "pitch": "1.25 mm", "lever_ratio": "1.6", "tightening": "7 N.m"},
)
