"""bushing-clearance: how loosely a shaft runs in its bushing, from the two diameters."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.finding import Finding, Held, finding_lines, hold
from calc_engine.bench.judging import combined_lines
from calc_engine.bench.measuring import MOST_POSITIONS
from calc_engine.bench.micrometer import Micrometer, mean_uncertainty
from calc_engine.bench.verdict import Limits, certain_flag, uncertainty_length
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import Option, choice, group, length, number, text
from calc_engine.maths.functions import square_root
from calc_engine.maths.statistics import Uncertainty, mean, uncertainty_of_difference
from calc_engine.problems import Problem
from calc_engine.quantities.answer_units import AnswerUnits
from calc_engine.quantities.measured import Measured, mean_step

__all__ = ["BUSHING_CLEARANCE", "BushingClearance", "BushingClearanceResult", "bushing_clearance"]

_VERDICTS: Final = (
    Option("in", "in", unsure="In, but close", unjudged="In, but not sure"),
    Option("low", "too tight", unsure="Looks too tight"),
    Option("high", "too loose", unsure="Looks too loose"),
)
_FEW: Final = 4  # Two ends, and two directions at each.


@dataclass(frozen=True, slots=True)
class BushingClearance:
    """The inputs of bushing-clearance. Lengths in mm."""

    bores: tuple[Fraction, ...] = length(
        "Bore of the bushing", "Its diameter, with the bushing pressed in. Measure at both ends, and at each end in two directions.",
        above="0 mm", most="500 mm", many=((1, MOST_POSITIONS),), item_label="Bore {n}",
    )  # fmt: skip
    shafts: tuple[Fraction, ...] = length(
        "Shaft where it runs in it", "Its diameter at both ends of the track, and at each end in two directions.",
        above="0 mm", most="500 mm", many=((1, MOST_POSITIONS),), item_label="Shaft {n}",
    )  # fmt: skip
    limits: Limits = group(Limits, "Limits", "The clearance that the spec asks for, over the diameter.", role="limits")
    bore_gauge: Micrometer | None = group(
        Micrometer, "Gauge of the bore", "How finely it reads and how far off it may be.", optional=True
    )
    shaft_gauge: Micrometer | None = group(
        Micrometer, "Gauge of the shaft", "How finely it reads and how far off it may be.", optional=True
    )

    def problems(self, _field: str) -> Iterable[Problem]:
        """Says when the shaft is no smaller than the bore."""
        if mean(self.shafts) >= mean(self.bores):
            yield Problem(
                "shafts", "negative-clearance", "The shaft is not smaller than the bore.",
                "Check whether bore and shaft are swapped, or whether a reading is a turn of the screw off.",
            )  # fmt: skip


@dataclass(frozen=True, slots=True)
class BushingClearanceResult:
    """The outputs of bushing-clearance. Lengths in mm."""

    clearance: Fraction = length("Clearance", "Mean bore less mean shaft, over the diameter.", role="measured")
    verdict: str = choice("Verdict", "Exact: a value on a limit is in.", _VERDICTS, role="verdict")
    certain: bool = certain_flag()
    advice: str = text("Advice", "What the verdict means and what to do.", role="advice")
    uncertainty: Fraction | None = uncertainty_length()
    coverage_factor: Fraction | None = number(
        "Coverage factor", "By which the standard uncertainty is multiplied. Absent without an uncertainty.", optional=True
    )
    degrees_of_freedom: Fraction | None = number(
        "Degrees of freedom", "Of the uncertainty. Absent when they are infinite, or without an uncertainty.", optional=True
    )
    bore: Fraction = length("Bore", "The mean of its readings.")
    shaft: Fraction = length("Shaft", "The mean of its readings.")
    bore_spread: Fraction = length("Taper and ovality of the bore", "Its largest reading less its smallest.")
    shaft_spread: Fraction = length("Taper and ovality of the shaft", "Its largest reading less its smallest.")
    tightest: Fraction = length("Tightest", "Smallest bore less largest shaft. Negative: it would bind there.")
    loosest: Fraction = length("Loosest", "Largest bore less smallest shaft.")


@dataclass(frozen=True, slots=True)
class _Diameter:
    """One of the two diameters, and how finely it is known."""

    name: str
    values: tuple[Fraction, ...]
    gauge: Micrometer | None

    @property
    def step(self) -> Fraction | None:
        return mean_step(self.gauge.resolution, len(self.values)) if self.gauge else None

    @property
    def mean(self) -> Measured:
        return Measured(mean(self.values), self.step)

    @property
    def spread(self) -> Measured:
        return Measured(max(self.values) - min(self.values), self.step)

    @property
    def unsure(self) -> Uncertainty:
        """Of its mean; it may be nothing."""
        return mean_uncertainty(self.values, self.gauge)

    @property
    def known(self) -> bool:
        """Whether anything is known of the gauge."""
        return self.gauge is not None and (self.gauge.resolution, self.gauge.max_error) != (None, None)

    def lines(self, units: AnswerUnits) -> Iterable[str]:
        """Its mean and its spread."""
        count = len(self.values)
        if count == 1:
            yield f"{self.name} {units.equals(self.mean)}"
            return
        terms = " + ".join(units.number(value) for value in self.values)
        yield f"mean {self.name} = ({terms}) / {count} {units.equals(self.mean)}"
        high, low = units.number(max(self.values)), units.number(min(self.values))
        yield f"taper and ovality of the {self.name} = {high} − {low} {units.equals(self.spread)}"

    def unsure_line(self, letter: str, units: AnswerUnits) -> str:
        """Its standard uncertainty."""
        source = f"standard deviation / √{len(self.values)}" if self.unsure.from_readings else "the gauge's steps"
        spread, gauge = (units.show(square_root(part)) for part in (self.unsure.spread_part, self.unsure.gauge_part))
        return (
            f"{self.name}: {spread} from {source}, {gauge} from the largest error / √3, "
            f"together {letter} {units.equals(self.unsure.standard)}"
        )


def bushing_clearance(request: BushingClearance, units: AnswerUnits) -> Answer[BushingClearanceResult]:
    """The clearance of a shaft in its bushing, how sure it is, and the verdict.

    c = mean(bore) - mean(shaft), u^2 = u_bore^2 + u_shaft^2

    Args:
        request: the readings, lengths in mm.
        units: for the working.

    Returns:
        The result with its working.

    Source: US Army TM 55-2815-574-24, WP 0120 (bore less shaft); JCGM 100:2008, 5.1.2 and G.4.1; ISO 14253-1:2017 (see `verdict`).

    Example:
        >>> from calc_engine import answer
        >>> request = {"bores": ["25.06 mm"], "shafts": ["25.00 mm"], "limits": {"min": "0.03 mm", "max": "0.09 mm"}}
        >>> result = answer("bushing-clearance", request)["result"]
        >>> result["clearance"], result["verdict"], result["certain"]
        ('0.06 mm', 'in', False)
    """
    bore = _Diameter("bore", request.bores, request.bore_gauge)
    shaft = _Diameter("shaft", request.shafts, request.shaft_gauge)
    unsure = uncertainty_of_difference(bore.unsure, shaft.unsure)
    finding = hold(bore.mean - shaft.mean, unsure, _coarser(bore, shaft), Held(request.limits.min, request.limits.max))
    result = BushingClearanceResult(
        clearance=finding.value,
        verdict=finding.verdict,
        certain=finding.certain,
        advice=_advice(finding),
        uncertainty=finding.uncertainty,
        coverage_factor=unsure.coverage_factor if unsure else None,
        degrees_of_freedom=unsure.degrees_of_freedom if unsure else None,
        bore=bore.mean,
        shaft=shaft.mean,
        bore_spread=bore.spread,
        shaft_spread=shaft.spread,
        tightest=min(request.bores) - max(request.shafts),
        loosest=max(request.bores) - min(request.shafts),
    )
    working = (
        *bore.lines(units),
        *shaft.lines(units),
        f"clearance = {units.number(bore.mean)} − {units.number(shaft.mean)} {units.equals(finding.value)}",
        *_unsure_lines(bore, shaft, unsure, units),
        *finding_lines(finding, units),
    )
    return Answer(result, working, tuple(_cautions(bore, shaft, result)))


def _coarser(bore: _Diameter, shaft: _Diameter) -> Fraction | None:
    """The step that the difference is known to: that of the coarser gauge, where both are known."""
    return None if bore.step is None or shaft.step is None else max(bore.step, shaft.step)


def _unsure_lines(bore: _Diameter, shaft: _Diameter, unsure: Uncertainty | None, units: AnswerUnits) -> Iterable[str]:
    if unsure is None:
        yield "uncertainty: not known; it takes readings that differ, or a gauge's smallest division or largest error"
        return
    yield bore.unsure_line("u₁", units)
    yield shaft.unsure_line("u₂", units)
    yield from combined_lines(unsure, units)


def _advice(finding: Finding) -> str:
    if finding.verdict == "in":
        if finding.certain:
            return "Within the limits, and sure of it."
        return "Within the limits by the readings, but not sure: measure again with the gauges' data filled in."
    again = "" if finding.certain else "Measure again before you replace anything. "
    if finding.verdict == "low":
        return f"{again}Too tight: check for dirt, a burr or a bushing pressed in crooked, before you size it."
    return f"{again}Too loose: replace the bushing, and the shaft if it is worn below its own size."


def _cautions(bore: _Diameter, shaft: _Diameter, result: BushingClearanceResult) -> Iterable[str]:
    unknown = [diameter.name for diameter in (bore, shaft) if not diameter.known]
    if unknown:
        yield f"No gauge data for the {' and the '.join(unknown)}: the uncertainty leaves out how far off that gauge may be."
    if min(len(bore.values), len(shaft.values)) < _FEW:
        yield "Fewer than four readings do not show taper and ovality: measure both ends, in two directions (common practice, no source)."
    if result.tightest <= 0:
        yield "At its tightest place the shaft does not go in: the mean hides it."


BUSHING_CLEARANCE: Final = Calculation(
    name="bushing-clearance",
    title="Clearance of a shaft in a bushing",
    about="The clearance from the two diameters, how sure it is, whether it is within its limits, and the taper and ovality of each.",
    asked_as=(
        "bush calculator",
        "shaft and bush fit calculator",
        "bore minus shaft",
        "oil clearance sum",
        "taper and ovality",
        "out of round sum",
        "is my bush worn out number",
        "inside diameter less outside diameter",
        "holgura del buje cálculo",
    ),
    request=BushingClearance,
    result=BushingClearanceResult,
    compute=bushing_clearance,
    formulas=(
        r"c = \bar{D} - \bar{d}",
        r"u^2 = u_D^2 + u_d^2, \quad u_i^2 = \max\left(\frac{s_i^2}{n_i}, \frac{r_i^2}{12\,n_i}\right) + \frac{a_i^2}{3}, \quad U = k\,u",
    ),
    sources=(
        Source("US Army TM 55-2815-574-24", "WP 0120", "inside diameter less outside diameter"),
        Source("JCGM 100:2008, Guide to the expression of uncertainty in measurement", "4.2, 4.3.7, 5.1.2, G.3, G.4.1"),
        Source("ISO 14253-1:2017", "decision rules", "the verdict is called certain when the whole interval agrees"),
        Source("Two directions at both ends", "", "common practice, no source"),
    ),
    # Invented, as all figures of the demo.
    example={
        "bores": ["38.162 mm", "38.165 mm", "38.160 mm", "38.164 mm"],
        "shafts": ["38.100 mm", "38.098 mm", "38.101 mm", "38.099 mm"],
        "limits": {"min": "0.04 mm", "max": "0.09 mm"},
        "bore_gauge": {"resolution": "0.001 mm", "max_error": "0.004 mm"},
        "shaft_gauge": {"resolution": "0.001 mm", "max_error": "0.003 mm"},
    },
)
