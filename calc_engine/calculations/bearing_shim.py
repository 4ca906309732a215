"""bearing-shim: the shim that gives a shaft on bearings its end play or preload."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine.bench.selective import THICKER_LABELS, THICKER_SIGNS, Choice, find_fitted
from calc_engine.declare.alternatives import at_most_one
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import choice, group, length, text
from calc_engine.problems import Problem, Refused
from calc_engine.quantities.answer_units import AnswerUnits

__all__ = ["BEARING_SHIM", "BearingShim", "BearingShimResult", "bearing_shim"]


@dataclass(frozen=True, slots=True)
class BearingShim:
    """The inputs of bearing-shim. Lengths in mm."""

    measured_end_play: Fraction = length(
        "End play now", "Measured with the trial shim fitted, the bearing turned and settled.", least="0 mm", most="20 mm"
    )
    fitted_shim: Fraction = length(
        "Shim fitted now", "Thickness of the trial shim. 0 when none is in.", least="0 mm", most="50 mm"
    )
    thicker: str = choice("A thicker shim", "Whether it makes the end play smaller or larger.", THICKER_LABELS)
    target: Fraction = length(
        "Wanted", "The end play that the spec asks for; a preload as a negative one.", least="-5 mm", most="20 mm"
    )
    choices: tuple[Choice, ...] | None = group(
        Choice, "Shims to choose from", "The sizes that the shim comes in.",
        many=((1, 60),), item_label="Size {n}", optional=True,
    )  # fmt: skip
    step: Fraction | None = length(
        "Step of the shims", "When they come in equal steps instead of a list.", above="0 mm", most="10 mm", optional=True
    )

    def problems(self, _field: str) -> Iterable[Problem]:
        """What is wrong between the fields."""
        yield from at_most_one({"choices": self.choices, "step": self.step})
        if self.choices is not None:
            # The trial shim need not be of the list: the first size stands in, so that only ids are checked.
            yield from find_fitted(self.choices[0].id, self.choices, "choices", "choices")


@dataclass(frozen=True, slots=True)
class BearingShimResult:
    """The outputs of bearing-shim. Lengths in mm."""

    shim: Fraction = length("Shim, exact", "The thickness that gives exactly what is wanted.")
    advice: str = text("Advice", "What to fit.", role="advice")
    choice: str | None = text("Shim to fit", "The size nearest the exact one. Given with a list of sizes.", optional=True)
    stepped: Fraction | None = length("Nearest step", "The exact thickness brought to the nearest step.", optional=True)
    resulting: Fraction = length("End play then", "With the shim to fit. Negative: a preload.")
    off_target: Fraction = length("Off what is wanted", "What that is more than wanted. Negative: less.")


def bearing_shim(request: BearingShim, units: AnswerUnits) -> Answer[BearingShimResult]:
    """The shim that gives a wanted end play or preload.

    shim = fitted + (measured - target) where a thicker shim tightens, fitted - (measured - target) where it loosens.

    Args:
        request: the inputs, lengths in mm.
        units: for the working.

    Returns:
        The exact shim, the nearest that can be had, and what it leaves.

    Raises:
        Refused: ``no-shim``, when the shim would have no thickness or less.

    Source: arithmetic, as in shim procedures of public technical manuals (US Army TM 10-3930-660-34, p. 16-137).

    Example:
        >>> from calc_engine import answer
        >>> request = {"measured_end_play": "0.30 mm", "fitted_shim": "2.00 mm", "thicker": "tightens", "target": "0.10 mm"}
        >>> result = answer("bearing-shim", request)["result"]
        >>> result["shim"], result["advice"]
        ('2.2 mm', 'Fit a shim of 2.20 mm. That leaves an end play of 0.10 mm.')
    """
    sign = THICKER_SIGNS[request.thicker]
    exact = request.fitted_shim - sign * (request.measured_end_play - request.target)
    if exact <= 0:
        raise Refused(
            Problem(
                "target",
                "no-shim",
                f"For this the shim would be {units.show(exact)} thick.",
                "Check whether a thicker shim tightens or loosens, the sign of the preload, and whether a part is left out.",
            )
        )
    chosen = _nearest(request.choices, exact, sign) if request.choices else None
    stepped = None if request.step is None else _nearest_step(exact, request.step, sign)
    used = chosen.thickness if chosen else stepped if stepped is not None else exact
    resulting = request.measured_end_play + sign * (used - request.fitted_shim)
    result = BearingShimResult(
        shim=exact,
        advice=_advice(request, chosen, used, resulting, units),
        choice=chosen.id if chosen else None,
        stepped=stepped,
        resulting=resulting,
        off_target=resulting - request.target,
    )
    working = tuple(_lines(request, result, used, units))
    return Answer(result, working, tuple(_cautions(request, result)))


def _looser_first(thickness: Fraction, exact: Fraction, sign: int) -> tuple[Fraction, Fraction]:
    """Orders by nearness; of two that are as near, the one that leaves more play comes first: too much preload kills a bearing."""
    return abs(thickness - exact), -sign * thickness


def _nearest(choices: tuple[Choice, ...], exact: Fraction, sign: int) -> Choice | None:
    at_hand = [size for size in choices if size.stock != 0]
    return min(at_hand, key=lambda size: _looser_first(size.thickness, exact, sign), default=None)


def _nearest_step(exact: Fraction, step: Fraction, sign: int) -> Fraction:
    below = exact // step * step
    return min((below, below + step), key=lambda thickness: _looser_first(thickness, exact, sign))


def _said(play: Fraction, units: AnswerUnits) -> str:
    if play < 0:
        return f"a preload of {units.show(-play)}"
    return f"an end play of {units.show(play)}" if play else "neither play nor preload"


def _advice(request: BearingShim, chosen: Choice | None, used: Fraction, resulting: Fraction, units: AnswerUnits) -> str:
    if request.choices and chosen is None:
        return f"No shim of the list is on the shelf. Get one of {units.show(used)}."
    if used == 0:
        return f"The nearest step is no shim at all. That leaves {_said(resulting, units)}."
    shim = f"{chosen.id} ({units.show(used)})" if chosen else f"a shim of {units.show(used)}"
    return f"Fit {shim}. That leaves {_said(resulting, units)}."


def _lines(request: BearingShim, result: BearingShimResult, used: Fraction, units: AnswerUnits) -> Iterable[str]:
    sign, word = ("+", "tightens") if request.thicker == "tightens" else ("−", "loosens")
    yield (
        f"a thicker shim {word}: shim = fitted {sign} (measured − wanted) = {units.number(request.fitted_shim)} {sign} "
        f"({units.number(request.measured_end_play)} − {_bracketed(request.target, units)}) {units.equals(result.shim)}"
    )
    if result.stepped is not None and request.step is not None:
        yield f"in steps of {units.show(request.step)}: {units.show(result.stepped)}"
    if result.choice is not None:
        yield f"nearest of the list: {result.choice}, {units.show(used)}"
    back = "−" if sign == "+" else "+"
    yield (
        f"end play with it = {units.number(request.measured_end_play)} {back} "
        f"({units.number(used)} − {units.number(request.fitted_shim)}) {units.equals(result.resulting)}"
    )
    if result.off_target:
        yield f"{units.show(abs(result.off_target))} {'more' if result.off_target > 0 else 'less'} play than wanted"


def _bracketed(value: Fraction, units: AnswerUnits) -> str:
    return f"({units.number(value)})" if value < 0 else units.number(value)


def _cautions(request: BearingShim, result: BearingShimResult) -> Iterable[str]:
    if request.target < 0:
        yield (
            "Prove the preload by the turning torque that the maker's manual gives: "
            "thickness does not know how the case gives way (common practice, no source)."
        )
    if request.measured_end_play == 0:
        yield "No end play can hide a preload: measure with a shim that leaves some play, or by depth."
    if request.target >= 0 > result.resulting:
        yield "The nearest shim would preload the bearing, though an end play is wanted: find a size between."


BEARING_SHIM: Final = Calculation(
    name="bearing-shim",
    title="Shim for a bearing",
    about="The shim that gives a wanted end play or preload, from the end play measured with a trial shim.",
    asked_as=(
        "shim calculator",
        "which shim for the bearing",
        "preload shim",
        "trial shim",
        "taper bearing shim",
        "how thick a shim",
        "side bearing preload",
        "end float to shim",
        "shim up or down",
        "laina para balero",
    ),
    request=BearingShim,
    result=BearingShimResult,
    compute=bearing_shim,
    formulas=(
        r"s = s_{\text{fitted}} + (e_{\text{measured}} - e_{\text{wanted}}) \quad \text{where a thicker shim tightens}",
        r"s = s_{\text{fitted}} - (e_{\text{measured}} - e_{\text{wanted}}) \quad \text{where a thicker shim loosens}",
    ),
    sources=(
        Source("Arithmetic; a preload counts as a negative end play"),
        Source("US Army TM 10-3930-660-34", "p. 16-137", "a shim for the preload of tapered bearings, as worked there"),
        Source("Of two sizes as near, the one that leaves more play", "", "our choice"),
    ),
    example={
        "measured_end_play": "0.14 mm",
        "fitted_shim": "1.20 mm",
        "thicker": "tightens",
        "target": "-0.05 mm",
        "step": "0.05 mm",
    },
)
