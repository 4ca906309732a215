"""Read the gauge: a dial or a depth micrometer drawn with a value on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from calc_engine import Quantity, exact_text
from calc_engine.practice.exercise import Ask, AskMark, Exercise, Mark, quantity_in, read_answer
from calc_engine.practice.gauge_drawing import dial_drawing, micrometer_drawing
from calc_engine.practice.gauge_types import DIALS, DIVISIONS, MICROMETERS, TURNS, DepthMicrometer, Dial, Reading, figure
from calc_engine.practice.generator import Generator, generator_for
from calc_engine.practice.setup import Setup, setup_of, why_not_measured
from calc_engine.practice.unit import ExerciseUnit, Pack

__all__ = ["KIND", "GaugeKey", "make", "mark", "why_not"]

KIND: Final = "gauge"
# At the very ends of a thimble's turn a drawn line is covered or not by less than the eye can tell.
_EDGE_LINES: Final = 5
# A pack that is being set is rarely further out than a third of its upper limit (common practice, no source).
_ABOUT_LIMITS: Final = Fraction(4, 3)


@dataclass(frozen=True, slots=True)
class GaugeKey:
    """What a reading is marked by: the gauge, what it shows, and whether tenths of a line are to be judged by eye."""

    gauge: Dial | DepthMicrometer
    reading: Reading
    by_eye: bool

    @property
    def value(self) -> Fraction:
        """The value, in the gauge's unit."""
        return self.reading.value(self.gauge)

    @property
    def tolerance(self) -> Fraction:
        """How far an answer may be off: half a line where the eye judges, else nothing."""
        return self.gauge.step / 2 if self.by_eye else Fraction(0)


def why_not(unit: ExerciseUnit, pack: Pack) -> str | None:
    """Why no fair exercise can be made of a pack; None when one can."""
    reason = why_not_measured(unit, pack)
    if reason is not None:
        return reason
    setup = setup_of(unit, pack)
    if setup.method == "feeler":
        return "It is measured by feeler, and a leaf has no scale to read."
    if setup.gauge is None:
        return "The shop has no gauge that measures it in the unit of its limits."
    if _drawn(setup) is None:
        return f"The {setup.gauge.name} is no dial and no depth micrometer of a kind that is drawn here."
    return None


def make(unit: ExerciseUnit, pack: Pack, seed: int) -> Exercise[GaugeKey] | None:
    """An exercise in reading the gauge that the pack is measured with, at a value that this pack may show.

    Args:
        unit: the unit that the pack belongs to.
        pack: what it is made of.
        seed: decides all that is drawn; the same one gives the same exercise.

    Returns:
        The exercise; None when `why_not` says why.
    """
    if why_not(unit, pack) is not None:
        return None
    draw = generator_for(seed, KIND, unit.id, pack.id)
    setup = setup_of(unit, pack)
    gauge = _drawn(setup)
    assert gauge is not None and setup.gauge is not None  # noqa: S101, PT018 - why_not has seen to it
    by_eye = draw.chance(1, 3)
    reading = _reading(draw, gauge, setup, by_eye=by_eye)
    drawing = dial_drawing(gauge, reading) if isinstance(gauge, Dial) else micrometer_drawing(gauge, reading)
    between = " Judge what lies between two lines by eye: half a line either way is right." if by_eye else ""
    return Exercise(
        kind=KIND,
        seed=seed,
        unit=unit.id,
        pack=pack.id,
        title=f"{unit.name}, {pack.name}: read the {'dial' if isinstance(gauge, Dial) else 'depth micrometer'}",
        question=f"The {pack.name} is measured with this: {setup.gauge.name}. {_question(gauge)}{between} Write the value with its unit.",
        given={"gauge": gauge.id, "line": figure(gauge.step, gauge), "by_eye": by_eye},
        shown=drawing,
        asks=(Ask("reading", "quantity", "The reading", unit=gauge.unit.name),),
        key=GaugeKey(gauge, reading, by_eye),
    )


def mark(exercise: Exercise[GaugeKey], given: object) -> Mark:
    """Marks a reading: exact, or within half a line where the eye judges. What is wrong is told by the misreading it comes from.

    Raises:
        Refused: the answer is no length.

    Args:
        exercise: as it was made.
        given: the answer by the id of each ask.
    """
    key = exercise.key
    read = quantity_in(read_answer(exercise.asks, given), "reading")
    right = _near(read.to(key.gauge.unit).value, key.value, key.tolerance)
    asked = AskMark("reading", right, str(read), figure(key.value, key.gauge))
    return Mark((asked,), () if right else (_why(key, read),), tuple(_working(key)))


def _near(value: Fraction, wanted: Fraction, tolerance: Fraction) -> bool:
    return abs(value - wanted) <= tolerance


def _drawn(setup: Setup) -> Dial | DepthMicrometer | None:
    """The drawing of the gauge that a pack is measured with: of its kind, its unit and its step."""
    drawn: dict[str, tuple[Dial | DepthMicrometer, ...]] = {"dial": DIALS, "depth": MICROMETERS}
    known = drawn.get(setup.gauge.kind, ()) if setup.gauge is not None else ()
    return next((gauge for gauge in known if gauge.unit is setup.unit and gauge.step == setup.step), None)


def _reading(draw: Generator, gauge: Dial | DepthMicrometer, setup: Setup, *, by_eye: bool) -> Reading:
    """What the pack may show: a dial its clearance, from none to a third above the upper limit; a depth micrometer a depth to a face of it."""
    between = draw.between(2, 8) if by_eye else 0
    if isinstance(gauge, Dial):
        most = min(int(_ABOUT_LIMITS * setup.high / gauge.step), TURNS * DIVISIONS - 1)
        turns, line = divmod(draw.between(1, most), DIVISIONS)
        return Reading(turns, 10 * line + between)
    # So far from the end that two numbers of the sleeve are in sight.
    turns = draw.between(gauge.long_every, gauge.reach - 2 * gauge.numbered_every)
    return Reading(turns, 10 * draw.between(_EDGE_LINES, gauge.lines - _EDGE_LINES - 1) + between)


def _question(gauge: Dial | DepthMicrometer) -> str:
    if isinstance(gauge, Dial):
        return (
            f"The dial was set to zero, then the stem moved in. One line is {figure(gauge.step, gauge)}; the figures round the face are "
            f"{gauge.scale}; the small hand counts turns of {figure(gauge.turn, gauge)}. What does it read?"
        )
    return (
        f"One line of the thimble is {figure(gauge.step, gauge)}, one line of the sleeve {figure(gauge.turn, gauge)}. "
        "The thimble covers the sleeve from the right as the depth grows. How deep is it?"
    )


# --- what goes wrong when a gauge is read ---------------------------------------------------------------------------------


def _why(key: GaugeKey, read: Quantity) -> str:
    value = read.to(key.gauge.unit).value
    for wrong, words in _misreadings(key):
        if _near(value, wrong, key.tolerance):
            return words
    if read.unit is not key.gauge.unit and _near(read.value, key.value, key.tolerance):
        return f"The figures are right, the unit is not: this gauge shows {key.gauge.unit.name}."
    if read.unit is not key.gauge.unit:
        return f"Read the gauge in its own unit, {key.gauge.unit.name}: a converted figure is not what it shows."
    lines = abs(value - key.value) / key.gauge.step
    if lines <= _EDGE_LINES:
        return "The turns are right; count the lines once more, looking at the hand or the index line square on."
    return "That is none of the usual misreadings: read the turns first, then the lines, then add."


def _misreadings(key: GaugeKey) -> Iterator[tuple[Fraction, str]]:
    """Wrong values that people read, with what they did, likeliest first; common practice, no source."""
    if isinstance(key.gauge, Dial):
        yield from _dial_misreadings(key.gauge, key.reading, key.value)
    else:
        yield from _micrometer_misreadings(key.gauge, key.reading, key.value)
    yield key.value * 10, "The decimal point is one place too far right."
    yield key.value / 10, "The decimal point is one place too far left."


def _dial_misreadings(dial: Dial, reading: Reading, value: Fraction) -> Iterator[tuple[Fraction, str]]:
    turn = figure(dial.turn, dial)
    passed = f"The small hand has passed {reading.turns} and has not reached {reading.turns + 1}"
    yield value - dial.turn, f"One turn too few: each turn is {turn}. {passed}. It is the commonest misreading of a dial."
    yield value + dial.turn, f"One turn too many: each turn is {turn}. {passed}; close to a number, the long hand decides."
    yield value - reading.turns * dial.turn, f"The small hand was left out: it counts whole turns of {turn}."
    back = DIVISIONS - Fraction(reading.tenths, 10)
    yield reading.turns * dial.turn + back * dial.step, "The long hand was read backwards: it runs clockwise from 0."
    if dial.numeral != 10:  # noqa: PLR2004 - then a figure on the face is not the number of lines
        doubled = reading.turns * dial.turn + Fraction(reading.tenths, 10) * dial.step * 2
        yield doubled, f"Each small line is {figure(dial.step, dial)}, not twice that: there are two lines to each thousandth."


def _micrometer_misreadings(gauge: DepthMicrometer, reading: Reading, value: Fraction) -> Iterator[tuple[Fraction, str]]:
    turn = figure(gauge.turn, gauge)
    covered = figure(reading.turns * gauge.turn, gauge)
    if gauge.halves and reading.turns % 2:
        yield value - gauge.turn, f"The half millimetre was missed: the line of {covered}, below the index line, is covered too."
    if gauge.halves and not reading.turns % 2:
        yield value + gauge.turn, f"A half millimetre too many: that line is still in sight, so only {covered} is covered."
    yield (
        value + gauge.turn,
        f"The sleeve line in sight was read. On a depth micrometer the line that counts is the last one covered, {covered}.",
    )
    yield value - gauge.turn, f"One sleeve line too few: each is {turn}, and {covered} is covered already."
    back = reading.turns * gauge.turn + (gauge.lines - Fraction(reading.tenths, 10)) * gauge.step
    yield back, "The thimble was read the way of an outside micrometer: here its figures grow as the depth grows."
    yield reading.turns * gauge.turn, "The thimble was left out: its lines are added to the sleeve's."
    for whole in (1, -1):
        off = whole * gauge.turn * gauge.long_every
        yield value + off, f"The long sleeve lines were counted one {'too far' if whole > 0 else 'short'}: {covered} is covered."


def _working(key: GaugeKey) -> Iterator[str]:
    gauge, reading = key.gauge, key.reading
    lines = exact_text(Fraction(reading.tenths, 10))
    on_lines = Fraction(reading.tenths, 10) * gauge.step
    first, second = ("small hand", "long hand") if isinstance(gauge, Dial) else ("sleeve lines covered", "thimble")
    yield f"{first}: {reading.turns} × {figure(gauge.turn, gauge)} = {figure(reading.turns * gauge.turn, gauge)}"
    yield f"{second}: {lines} × {figure(gauge.step, gauge)} = {figure(on_lines, gauge)}"
    yield f"together: {figure(key.value, gauge)}"
