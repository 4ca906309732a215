"""Single readings of parts, and how sure each is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from calc_engine.declare.fields import length
from calc_engine.maths.statistics import Uncertainty, expanded_uncertainty, known_uncertainty
from calc_engine.quantities.measured import uncertain

__all__ = ["Micrometer", "mean_uncertainty", "reading_uncertainty"]


@dataclass(frozen=True, slots=True)
class Micrometer:
    """How finely a micrometer or caliper reads, and how far off it may be."""

    resolution: Fraction | None = length(
        "Smallest division", "The smallest step it shows.", above="0 mm", most="1 mm", optional=True
    )
    max_error: Fraction | None = length(
        "Largest error",
        "The most it may be wrong, from its calibration or its papers.",
        least="0 mm",
        most="1 mm",
        optional=True,
    )


def reading_uncertainty(gauge: Micrometer) -> Fraction | None:
    """The expanded uncertainty of one reading.

    U = k sqrt(r^2/12 + a^2/3), k for 95.45 %.

    Args:
        gauge: its step r and its largest error a, mm.

    Returns:
        Plus or minus, mm; None when neither is given, or no more than that there is no error.

    Source: JCGM 100:2008, 4.3.7 (a step and a largest error are rectangles) and 5.1.2.
    """
    found = known_uncertainty([Fraction(0)], *_variances(gauge))
    return uncertain(found.expanded) if found else None


def mean_uncertainty(values: Sequence[Fraction], gauge: Micrometer | None) -> Uncertainty:
    """The uncertainty of the mean of readings, which is nothing where they do not differ and nothing is known of the gauge.

    Args:
        values: shape (n,), n >= 1, mm.
        gauge: what is known of it.

    Source: JCGM 100:2008, 4.2, 4.3.7 and 5.1.2 (see `statistics.expanded_uncertainty`).
    """
    return expanded_uncertainty(values, *_variances(gauge))


def _variances(gauge: Micrometer | None) -> tuple[Fraction, Fraction]:
    """Of its step, r^2/12, and of its largest error, a^2/3."""
    step, error = (gauge.resolution, gauge.max_error) if gauge else (None, None)
    return (step or Fraction(0)) ** 2 / 12, (error or Fraction(0)) ** 2 / 3
