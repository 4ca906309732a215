"""Time of the stack forecast beside a numpy simulation that would be as accurate.

Run: python -m tests.benchmarks.bench_tolerance_stack

An accuracy of 1e-6 by drawing needs far more draws than can be waited for, so the simulation's accuracy is measured at
draws that can, over repetitions with different seeds, and its time is extrapolated by the law that the error falls with
the root of the number of draws. The print says which figures are measured and which are extrapolated.
"""

from __future__ import annotations

import math
import statistics
import sys
import time
from collections.abc import Callable
from fractions import Fraction

import numpy as np

from calc_engine.maths.tolerance_stack import ChoicesForecast, SelectiveSize, Span, StackPart, forecast_choices, gap_distribution

DRAWS = 200_000
REPETITIONS = 15
WANTED = 1e-6


def clutch_pack() -> tuple[StackPart, list[StackPart]]:
    """A drum and what is in it: eight entries of all shapes, lengths in mm."""

    def part(name: str, nominal: str, tolerance: str, count: int, shape: str) -> StackPart:
        half = Fraction(tolerance)
        return StackPart(name, Fraction(nominal), half, half, count, shape)  # type: ignore[arg-type]

    return part("drum", "24.92", "0.05", 1, "uniform"), [
        part("friction plate", "1.70", "0.05", 5, "uniform"),
        part("steel plate", "1.80", "0.03", 5, "uniform"),
        part("backing plate", "3.10", "0.04", 1, "uniform"),
        part("wave plate", "0.40", "0.04", 1, "normal"),
        part("piston", "1.20", "0.05", 1, "triangular"),
        part("spacer", "0.20", "0.02", 1, "uniform"),
        part("shim", "0.10", "0.01", 2, "uniform"),
    ]


LIMITS = Span(Fraction("0.90"), Fraction("1.10"))
CHOICES = [SelectiveSize(str(i), Fraction("0.70") + Fraction(i, 10)) for i in range(10)]


def computed() -> ChoicesForecast:
    """The engine's answer, distribution and ten choices."""
    cavity, parts = clutch_pack()
    return forecast_choices(gap_distribution(cavity, parts), CHOICES, LIMITS)


def simulated(seed: int, draws: int) -> list[float]:
    """p_in and demand of the ten choices by drawing gaps."""
    random = np.random.default_rng(seed)
    cavity, parts = clutch_pack()
    gap = np.zeros(draws)
    for sign, part in [(1, cavity), *((-1, part) for part in parts)]:
        middle, half = float(part.middle), float(part.tolerance)
        for _ in range(part.count):
            if part.shape == "normal":
                gap += sign * random.normal(middle, half / 3, draws)
            elif part.shape == "triangular":
                gap += sign * random.triangular(middle - half, middle, middle + half, draws)
            else:
                gap += sign * random.uniform(middle - half, middle + half, draws)
    low, high = float(LIMITS.low), float(LIMITS.high)
    sizes = np.array([float(choice.thickness) for choice in CHOICES])
    p_in = [float(((gap - size >= low) & (gap - size <= high)).mean()) for size in sizes]
    boundaries = (low + high) / 2 + (sizes[:-1] + sizes[1:]) / 2
    counts = np.bincount(np.searchsorted(boundaries, gap), minlength=len(sizes))
    return [*p_in, *(float(count) / draws for count in counts)]


def median_seconds(run: Callable[[], object], times: int) -> float:
    """The middle of several timings."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def main() -> None:
    """Prints both times, the measured accuracy of the simulation and the extrapolated ratio."""
    forecast = computed()
    ours = [each.p_in for each in forecast.choices] + [each.demand for each in forecast.choices]
    errors = [
        max(abs(mine - drawn) for mine, drawn in zip(ours, simulated(seed, DRAWS), strict=True)) for seed in range(REPETITIONS)
    ]
    error = math.sqrt(sum(error**2 for error in errors) / REPETITIONS)
    engine = median_seconds(computed, 21)
    simulation = median_seconds(lambda: simulated(0, DRAWS), 5)
    draws_wanted = DRAWS * (error / WANTED) ** 2
    as_accurate = simulation * draws_wanted / DRAWS
    write = sys.stdout.write
    write(f"engine, 8 entries and 10 choices: {engine * 1e3:.2f} ms (measured, median of 21)\n")
    write(f"numpy, {DRAWS} draws: {simulation * 1e3:.1f} ms (measured, median of 5)\n")
    write(f"numpy's largest error there: {error:.1e} (measured, root mean square over {REPETITIONS} seeds)\n")
    write(
        f"draws for {WANTED:.0e}: {draws_wanted:.1e}, {as_accurate:.0f} s (extrapolated: the error falls with the root of draws)\n"
    )
    write(f"ratio engine/simulation at {WANTED:.0e}: {engine / as_accurate:.1e}\n")
    write(f"ratio engine/simulation of {DRAWS} draws as it stands: {engine / simulation:.3f}\n")


if __name__ == "__main__":
    main()
