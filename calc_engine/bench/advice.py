"""What to do next, in a rebuilder's words."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Final

from calc_engine.bench.verdict import Limits, Verdict, is_certain, judge
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.measured import Measured

__all__ = ["clearance_advice"]

_SURE: Final = {
    "in": "Within the limits, and sure of it.",
    "low": "Too tight.",
    "high": "Too loose.",
}
# Readings that do not differ and a gauge of which nothing is known: there is nothing to be sure by.
_UNKNOWN: Final = {
    "in": "Within the limits by the reading",
    "low": "Too tight by the reading",
    "high": "Too loose by the reading",
}


def clearance_advice(
    value: Fraction,
    limits: Limits,
    *,
    expanded: Fraction | None,
    fill_in: str,
    fitted: str | None,
    fit: str | None,
    sizes: Sequence[str],
    units: AnswerUnits,
) -> str:
    """One or two sentences: what the verdict means and what to fit.

    Args:
        value: the measured value, mm.
        limits: its limits, mm.
        expanded: the value's expanded uncertainty, mm; None when nothing is known of it.
        fill_in: what to fill in to learn how sure the value is, when nothing is known of that.
        fitted: the size of selective part it was measured with, if any.
        fit: the size nearest the centre, None when no size is within the limits.
        sizes: every size of the kit; empty when none was given.
        units: for the figures.

    Returns:
        The advice.
    """
    verdict = judge(value, limits)
    # Without an uncertainty the reading is all there is to go by; measuring again would not tell more.
    certain = expanded is None or is_certain(value, expanded, limits)
    if expanded is None:
        said = f"{_UNKNOWN[verdict]}; nothing here says how sure that is: fill in {fill_in}."
    else:
        said = _meaning(value, limits, verdict, certain)
    return f"{said} {_remedy(value, limits, verdict, certain, fitted, fit, bool(sizes), units)}".strip()


def _meaning(value: Fraction, limits: Limits, verdict: Verdict, certain: bool) -> str:
    if certain:
        return _SURE[verdict]
    side = "lower" if value < limits.centre else "upper"
    if verdict == "in":
        return f"In, but too close to the {side} limit to trust."
    return f"{_SURE[verdict].rstrip('.')} by the reading, but so near the {side} limit that this gauge cannot be sure."


def _remedy(
    value: Fraction,
    limits: Limits,
    verdict: Verdict,
    certain: bool,
    fitted: str | None,
    fit: str | None,
    kit: bool,
    units: AnswerUnits,
) -> str:
    again = "" if certain else "Measure again, or "
    if kit and fit is None:
        return "No size in the list brings it in: check the number of plates and their thickness."
    if kit and fit == fitted:
        return "Keep the size that is fitted." if certain else "Measure again; no other size in the list is closer to mid-limit."
    if kit:
        if verdict == "in" and certain:
            return f"You can leave it; {fit} would be closer to mid-limit."
        return f"{again}fit {fit}." if again else f"Fit {fit}."
    if verdict == "in":
        return "" if certain else "Measure again, or move it towards the centre."
    need = Measured(abs(value - limits.centre), value.step if isinstance(value, Measured) else None)
    return f"{again}{'make' if again else 'Make'} the stack {units.show(need)} {'thinner' if value < limits.centre else 'thicker'} for the centre."
