"""soak-left: how long friction plates still lie in fluid before they may be fitted."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import amount, flag, text
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.units import Dimension

__all__ = ["SOAK_LEFT", "SoakLeft", "SoakLeftResult", "soak_left"]

_D: Final = Dimension


@dataclass(frozen=True, slots=True)
class SoakLeft:
    """The inputs of soak-left. Times in s."""

    wanted: Fraction = amount(
        _D.TIME, "Soak wanted", "From the maker of the linings, or the shop's standard.", above="0 s", most="168 h"
    )
    elapsed: Fraction = amount(_D.TIME, "Soaked so far", "Since the last plate went in.", least="0 s", most="168 h")


@dataclass(frozen=True, slots=True)
class SoakLeftResult:
    """The outputs of soak-left. Times in s."""

    done: bool = flag("Done", "Whether the soak is over.")
    advice: str = text("Advice", "What to do.", role="advice")
    left: Fraction = amount(_D.TIME, "Left", "0 when it is over.")
    over: Fraction | None = amount(_D.TIME, "Longer than wanted", "Only when it is over; it does no harm.", optional=True)


def soak_left(request: SoakLeft, units: AnswerUnits) -> Answer[SoakLeftResult]:
    """The time that is left of a soak: wanted less elapsed, at least 0.

    Args:
        request: the times, s.
        units: for the working.

    Returns:
        The time left with its working.

    Source: arithmetic.

    Example:
        >>> from calc_engine import answer
        >>> answer("soak-left", {"wanted": "20 min", "elapsed": "15 min"})["result"]
        {'done': False, 'advice': 'Leave them in for 5 min more.', 'left': '5 min'}
    """
    rest = request.wanted - request.elapsed
    done = rest <= 0
    wanted, elapsed = units.number(request.wanted, _D.TIME), units.number(request.elapsed, _D.TIME)
    result = SoakLeftResult(
        done=done,
        advice="Soaked. Drain them, do not wipe them." if done else f"Leave them in for {units.show(rest, _D.TIME)} more.",
        left=max(rest, Fraction(0)),
        over=-rest if done else None,
    )
    working = (f"left = wanted − elapsed = {wanted} − {elapsed} {units.equals(rest, _D.TIME)}" + (": over" if done else ""),)
    return Answer(result, working)


SOAK_LEFT: Final = Calculation(
    name="soak-left",
    title="Time left of a soak",
    about="How long friction plates still lie in clean fluid. Dry linings burn at the first application.",
    asked_as=(
        "how long still to soak",
        "soak countdown",
        "minutes left of the soak",
        "when are the plates ready",
        "soak clock",
        "started soaking at what time",
    ),
    request=SoakLeft,
    result=SoakLeftResult,
    compute=soak_left,
    formulas=(r"t_{\text{left}} = t_{\text{wanted}} - t_{\text{elapsed}}",),
    sources=(Source("Soaking new linings before they are fitted", "", "common practice, no source"),),
    example={"wanted": "30 min", "elapsed": "18 min"},
)
