"""What is told and asked in an exercise from readings to the ring, and why an answer to it is wrong."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import Any, Final

from calc_engine import Dimension, listed, parse_quantity, show
from calc_engine.practice.exercise import Ask, AskOption
from calc_engine.practice.ring_choice import NONE_FITS, RingTask, outcomes
from calc_engine.practice.setup import METHODS, Setup
from calc_engine.practice.trial import Trial
from calc_engine.practice.unit import Part
from calc_engine.practice.wording import COMMON_PRACTICE

__all__ = ["FIND_FIRST", "VERDICTS", "exact_enough", "facts", "question", "ring_ask", "why_clearance", "why_ring", "why_verdict"]

FIND_FIRST: Final = "find-the-cause"
VERDICTS: Final = {
    "in": "In, and sure: clearance ± uncertainty lies wholly within the limits",
    "close": "In, but too close to be sure: a limit lies within the uncertainty",
    "tight": "Too tight",
    "loose": "Too loose",
    "uneven": "Uneven: the positions differ by more than is allowed",
}


def exact_enough(setup: Setup, value: Fraction) -> str:
    """A figure for a reader, as the engine rounds it; to a tenth of a step where that rounds away what a gauge can tell.

    Args:
        setup: how the pack is measured, and in which unit.
        value: a length, in the unit of the setup.

    Returns:
        The figure with its unit.
    """
    said = setup.show(value)
    if abs(setup.read(parse_quantity(said, Dimension.LENGTH, "")) - value) <= setup.step / 10:
        return said
    fine = setup.step / 10
    return setup.figure(round(value / fine) * fine)


def question(trial: Trial) -> str:
    """What is to be done."""
    setup, task = trial.setup, trial.task
    said = f"The {trial.pack.name} was measured {METHODS[setup.method]}. Work out its clearance and judge it."
    if setup.spread_limit is not None:
        said += " If the spread is above its limit the pack is uneven, whatever the mean."
    if task is None:
        return said
    if task.alone:
        return f"{said} Then say which size of the {task.kit.name} brings the pack nearest the centre of its limits, and within them."
    return (
        f"{said} Then say which size of the {task.kit.name} is best: every pack that it touches within its limits, and the one that is "
        "worst off as near to its centre, or its target, as can be. All other parts stay."
    )


def facts(trial: Trial) -> list[tuple[str, str]]:
    """What is known besides the readings, each with its name."""
    setup = trial.setup
    source = f" ({setup.spec.source})" if setup.spec.source else ""
    found = [("Limits", f"{setup.show(setup.low)} to {setup.show(setup.high)}{source}")]
    if setup.spread_limit is not None:
        found.append(("Largest spread allowed", setup.show(setup.spread_limit)))
    if setup.gauge is not None:
        found.append(("Gauge", f"{setup.gauge.name}, steps of {setup.figure(setup.step)}"))
    found.extend(_wave_facts(trial))
    if trial.unsure is not None:
        found.append(("Uncertainty of this measurement", f"± {setup.show(trial.unsure)}, from the calculator"))
    if trial.task is not None:
        found.extend(_task_facts(trial.task, trial))
    return found


def _wave_facts(trial: Trial) -> Iterator[tuple[str, str]]:
    setup = trial.setup
    wave = setup.wave
    if wave is not None and trial.wave is not None:
        yield "Wave plate", f"free {setup.figure(wave.free)}, flat {setup.figure(wave.flat)}"
        yield "Limits are for the wave plate", wave.specified
        counted = "counted by its flat thickness" if setup.method == "parts" else trial.wave
        yield "When measured, the wave plate was", counted
    elif setup.spec.wave is not None and setup.method != "parts":
        yield "Wave plate", f"{setup.spec.wave} when it was measured, as in the limits"


def _task_facts(task: RingTask, trial: Trial) -> Iterator[tuple[str, str]]:
    yield "Fitted now", task.fitted
    sizes = [f"{task.names[size.id]}, {_thickness(size)}{_stock(task, size.id)}" for size in task.kit.choices]
    yield f"{task.kit.name}, sizes", "; ".join(sizes)
    known = {trial.pack.id: trial.pack.name, **{other.pack.id: other.pack.name for other in task.others}}
    ways = {pack: "tightens" if way < 0 else "loosens" for pack, way in task.kit.effect.items()}
    yield "A thicker one", "; ".join(f"{way} {known[pack]}" for pack, way in ways.items())
    if not task.alone and trial.setup.spec.target is not None:
        yield f"{trial.pack.name}, target", trial.setup.show(trial.setup.read(trial.setup.spec.target))
    for other in task.others:
        setup = other.setup
        target = f", target {setup.show(setup.read(setup.spec.target))}" if setup.spec.target else ""
        limits = f"limits {setup.show(setup.low)} to {setup.show(setup.high)}{target}"
        yield other.pack.name, f"measured {setup.figure(other.clearance)}; {limits}"


def _thickness(size: Part) -> str:
    assert size.thickness is not None  # noqa: S101 - `kits_for` has seen to it
    return show(size.thickness)


def _stock(task: RingTask, size: str) -> str:
    count = (task.kit.stock or {}).get(size)
    return "" if count is None else f" ({count} on the shelf)"


def ring_ask(task: RingTask, *, may_be_uneven: bool) -> Ask:
    """The choice of a size.

    Args:
        task: what is chosen from.
        may_be_uneven: whether it can be answered that the positions differ too much to choose.
    """
    options = [
        AskOption(size.id, f"{task.names[size.id]}, {_thickness(size)}{_is_fitted(task, size.id)}") for size in task.kit.choices
    ]
    options.append(AskOption(NONE_FITS, "None of these: no size brings it within the limits"))
    if may_be_uneven:
        options.append(AskOption(FIND_FIRST, "None yet: find out first why the positions differ"))
    return Ask("ring", "choice", f"{task.kit.name}: which size?", tuple(options))


def _is_fitted(task: RingTask, size: str) -> str:
    return " (fitted)" if task.kit.fitted is not None and task.kit.fitted.id == size else ""


# --- why an answer is wrong -------------------------------------------------------------------------------------------------


def why_clearance(trial: Trial, value: Fraction, tolerance: Fraction) -> str:
    """Why a clearance is wrong: what was done to come to it, if that can be seen.

    Args:
        trial: the exercise with its readings.
        value: the clearance that was answered, in the unit of the setup.
        tolerance: how far it may lie from a value to be taken for it, in the same unit.
    """
    for wrong, words in _slips(trial):
        if abs(value - wrong) <= tolerance:
            return words
    return f"The clearance is {exact_enough(trial.setup, trial.clearance)}: see the working, line by line."


def _slips(trial: Trial) -> Iterator[tuple[Fraction, str]]:
    """Wrong values with what was done, likeliest first."""
    setup, values = trial.setup, trial.values
    mean = sum(values, Fraction(0)) / len(values)
    if mean != trial.clearance:
        yield mean, "The wave plate was left out: it was measured in one state, and the limits are for the other."
        yield 2 * mean - trial.clearance, "The wave plate's correction went the wrong way."
    if len(values) > 1:
        yield sum(values, Fraction(0)), f"The sum was not divided by the {len(values)} positions."
        yield (
            (min(values) + max(values)) / 2,
            "That is half way between the smallest and the largest; the mean of all positions counts.",
        )
        for place, value in enumerate(values, 1):
            yield value, f"That is position {place} alone; the mean of all positions counts."
    if setup.friction_plates > 1:
        yield (
            trial.clearance / setup.friction_plates,
            "That is the clearance for each friction plate; the limits are for the pack.",
        )
    if setup.method == "parts":
        yield _counted_once(trial), "Each part was counted once: its thickness is taken as many times as it is in the stack."
    yield trial.clearance * 10, "The decimal point is one place too far right."
    yield trial.clearance / 10, "The decimal point is one place too far left."


def _counted_once(trial: Trial) -> Fraction:
    def length(text: str) -> Fraction:
        return trial.setup.read(parse_quantity(text, Dimension.LENGTH, "parts"))

    request: dict[str, Any] = trial.request
    return length(request["cavity"]) - sum((length(part["thickness"]) for part in request["parts"]), Fraction(0))


def why_verdict(trial: Trial, _given: str, right: str) -> str:
    """Why a verdict is wrong, from what is right."""
    setup = trial.setup
    clearance = exact_enough(setup, trial.clearance)
    unsure = setup.show(trial.unsure or Fraction(0))
    limits = f"{setup.show(setup.low)} to {setup.show(setup.high)}"
    if right == "uneven":
        return (
            f"The spread is {exact_enough(setup, trial.length('spread'))}, and {setup.show(setup.spread_limit or Fraction(0))} is allowed. "
            f"Something sits crooked or is trapped, and the mean of such readings means nothing {COMMON_PRACTICE}."
        )
    if right == "in":
        return f"{clearance} ± {unsure} lies wholly within {limits}: in, and sure."
    if right == "close":
        return f"{clearance} lies within {limits}, but with ± {unsure} it reaches beyond a limit: in, but not sure."
    side = "below" if right == "tight" else "above"
    return f"{clearance} lies {side} {limits}: {VERDICTS[right].lower()}."


def why_ring(trial: Trial, given: str, right: str) -> str:
    """Why a size is wrong: what it would leave, and what the right one leaves."""
    task = trial.task
    assert task is not None  # noqa: S101 - a size was asked for
    if right == FIND_FIRST:
        return "No size is chosen by readings that are uneven: find the cause, measure again, then choose."
    left = {found.size: found for found in outcomes(task, trial.pack, trial.setup, trial.clearance)}
    setups = (trial.setup, *(other.setup for other in task.others))
    names = (trial.pack.name, *(other.pack.name for other in task.others))

    def with_size(size: str) -> str:
        if size not in left:
            return f"{task.names[size]} is not on the shelf"
        each = zip(names, setups, left[size].clearances, strict=True)
        return f"with {task.names[size]}: {listed([_left(name, setup, value) for name, setup, value in each])}"

    lines: Sequence[str] = [with_size(size) for size in (given, right) if size in task.names]
    if right == NONE_FITS:
        return f"No size brings it within the limits; {lines[0]}." if lines else "No size brings it within the limits."
    return f"{'; '.join(lines)}."


def _left(name: str, setup: Setup, value: Fraction) -> str:
    where = "in" if setup.low <= value <= setup.high else "too tight" if value < setup.low else "too loose"
    return f"{name} {exact_enough(setup, value)}, {where}"
