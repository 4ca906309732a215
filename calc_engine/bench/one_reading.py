"""One reading of one gauge held against limits, of which one may be missing: for whoever asks for the verdict and its working."""

from __future__ import annotations

from dataclasses import dataclass

from calc_engine.bench.finding import Held, finding_lines, hold_mean
from calc_engine.bench.verdict import Verdict
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.quantity import Quantity
from calc_engine.quantities.units import Dimension

__all__ = ["JudgedReading", "judged_reading"]


@dataclass(frozen=True, slots=True)
class JudgedReading:
    """What a reading comes to.

    Attributes:
        verdict: ``low``, ``in`` or ``high``; a reading on a limit is in.
        certain: whether the verdict holds whatever the gauge's error; never where nothing is known of the gauge.
        working: the comparison, line by line.
    """

    verdict: Verdict
    certain: bool
    working: tuple[str, ...]


def judged_reading(
    reading: Quantity, low: Quantity | None, high: Quantity | None, step: Quantity | None = None, error: Quantity | None = None
) -> JudgedReading:
    """The verdict on one reading.

    Args:
        reading: a length; its unit is that of the working.
        low: the lower limit; None for none.
        high: the upper limit; None for none.
        step: the smallest step that the gauge shows; None where it is not known.
        error: the largest error that the gauge may have; None where it is not known.

    Source: comparison; guarded decision by ISO 14253-1:2017 (see `verdict.is_certain`).
    """
    low_base, high_base, step_base, error_base = (None if each is None else each.base for each in (low, high, step, error))
    finding = hold_mean((reading.base,), step_base, error_base, Held(low_base, high_base))
    units = AnswerUnits({Dimension.LENGTH: reading.unit})
    return JudgedReading(finding.verdict, finding.certain, tuple(finding_lines(finding, units)))
