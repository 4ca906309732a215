"""Is this reading believable? Readings as they were written down: sound, mistyped, swapped, or of a pack that cannot move."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Final

from calc_engine import Dimension, parse_quantity
from calc_engine.practice.exercise import Ask, AskOption, Exercise, Mark, all_chosen, read_answer
from calc_engine.practice.generator import Generator, generator_for
from calc_engine.practice.readings import Readings, draw_readings, offsets, table
from calc_engine.practice.setup import METHODS, Setup, setup_of, why_not_measured
from calc_engine.practice.unit import ExerciseUnit, Pack
from calc_engine.practice.wording import COMMON_PRACTICE

__all__ = ["KIND", "TROUBLES", "PlausibilityKey", "make", "mark", "why_not"]

KIND: Final = "believable"
TROUBLES: Final = {
    "sound": "Believable: nothing is wrong with the readings themselves",
    "mistyped": "One figure is mistyped: a digit or the decimal point",
    "swapped": "The two depths of one position are swapped",
    "seized": "The pack could not move: it is bound up or pinched",
}
# So much larger than everything about it, or than the limits allow, no reading of a pack can be.
_BEYOND: Final = 3
_FEWEST_STEPS: Final = 5


@dataclass(frozen=True, slots=True)
class RecordedReadings:
    """Readings as they were written down.

    Attributes:
        trouble: which of `TROUBLES`.
        row: the row that is wrong, from 0; None where none or all are.
        readings: what was written down.
        was: of a mistyped figure: what it was, as text.
        written: of a mistyped figure: what was written.
    """

    trouble: str
    row: int | None
    readings: Readings
    was: str = ""
    written: str = ""


@dataclass(frozen=True, slots=True)
class PlausibilityKey:
    """What the exercise is marked by: the readings, how they were taken, and the right options."""

    recorded: RecordedReadings
    setup: Setup
    rights: dict[str, str]


def why_not(unit: ExerciseUnit, pack: Pack) -> str | None:
    """Why no fair exercise can be made of a pack; None when one can."""
    return why_not_measured(unit, pack)


def make(unit: ExerciseUnit, pack: Pack, seed: int) -> Exercise[PlausibilityKey] | None:
    """An exercise in believing readings. None when `why_not` says why.

    A mistyped figure is so far out that no pack could be so; a pack that cannot move is only shown where its limits begin above
    zero; two depths are only swapped where the gap between them is plain.

    Args:
        unit: the unit that the pack belongs to.
        pack: what it is made of.
        seed: decides all that is drawn; the same one gives the same exercise.
    """
    if why_not(unit, pack) is not None:
        return None
    draw = generator_for(seed, KIND, unit.id, pack.id)
    setup = setup_of(unit, pack)
    recorded = _recorded_readings(draw, pack, setup)
    places = [AskOption("none", "None of them")]
    places.extend(AskOption(f"row-{number}", _row_name(setup, row[0])) for number, row in enumerate(recorded.readings.rows, 1))
    places.append(AskOption("all", "All of them"))
    rights = {"what": recorded.trouble, "where": _where(recorded)}
    facts = [("Limits", f"{setup.show(setup.low)} to {setup.show(setup.high)}")]
    if setup.spread_limit is not None:
        facts.append(("Largest spread allowed", setup.show(setup.spread_limit)))
    if setup.method == "parts":
        facts.append(
            (
                "Thickness when new",
                "; ".join(f"{place}. {setup.figure(item.thickness)}" for place, item in enumerate(setup.stack, 2)),
            )
        )
    return Exercise(
        kind=KIND,
        seed=seed,
        unit=unit.id,
        pack=pack.id,
        title=f"{unit.name}, {pack.name}: is this believable?",
        question=(
            f"The {pack.name} was measured {METHODS[setup.method]}. Are these figures possible? A reading may be believable and the pack "
            "still too tight or too loose. If they are not possible, say what went wrong, and where."
        ),
        given={
            "method": setup.method,
            "readings": recorded.readings.request,
            "facts": [{"name": name, "said": said} for name, said in facts],
        },
        shown=table("As written down", recorded.readings, facts),
        asks=(
            Ask(
                "what",
                "choice",
                "What do you think of them?",
                tuple(AskOption(name, TROUBLES[name]) for name in _possible(setup)),
            ),
            Ask("where", "choice", "Which of them is not possible?", tuple(places)),
        ),
        key=PlausibilityKey(recorded, setup, rights),
    )


def mark(exercise: Exercise[PlausibilityKey], given: object) -> Mark:
    """Marks what was thought of the readings, and says why.

    Raises:
        Refused: something of the answer is missing or no option.

    Args:
        exercise: as it was made.
        given: the answer by the id of each ask.
    """
    answer = read_answer(exercise.asks, given)
    key = exercise.key
    marks = all_chosen(exercise.asks, answer, key.rights)
    return Mark(marks, tuple(_why(key)))


def _possible(setup: Setup) -> tuple[str, ...]:
    """What can go wrong at all with readings that are taken this way."""
    never = {"swapped"} if setup.method in {"dial", "feeler"} else {"swapped", "seized"} if setup.method == "parts" else set()
    return tuple(name for name in TROUBLES if name not in never)


def _row_name(setup: Setup, first: str) -> str:
    return first if setup.method == "parts" else f"Position {first}"


def _where(recorded: RecordedReadings) -> str:
    if recorded.row is not None:
        return f"row-{recorded.row + 1}"
    return "all" if recorded.trouble == "seized" else "none"


def _why(key: PlausibilityKey) -> list[str]:
    recorded, setup = key.recorded, key.setup
    if recorded.trouble == "sound":
        return [
            "They agree with each other as the positions of one pack do, and they are about as large as the limits.",
            "Whether they are within the limits is the next question, not this one.",
        ]
    if recorded.trouble == "seized":
        return [
            "No lift at any position means no clearance, and a pack that was just stacked has some.",
            f"It is bound up, the ring pinches it, or the dial's stem does not touch: free the pack, then measure again {COMMON_PRACTICE}.",
        ]
    row = recorded.readings.rows[recorded.row or 0][0]
    name = _row_name(setup, row)
    if recorded.trouble == "swapped":
        return [
            f"{name}: the plate cannot lie nearer than the face that the ring bears on; read the other way round, it agrees with the rest.",
            "Write both depths down in the same order each time.",
        ]
    return [
        f"{name}: {recorded.was} was read, but {recorded.written} was written down: one slip of the key or the pen.",
        "No reading of a pack can differ so much from its neighbours: type it again, or measure again, before you work it out.",
    ]


# --- what is written down ---------------------------------------------------------------------------------------------------


def _recorded_readings(draw: Generator, pack: Pack, setup: Setup) -> RecordedReadings:
    least, most = _sound_steps(setup)
    usual = max((most - least) // 8, 1)
    limit = usual if setup.spread_limit is None else min(usual, int(setup.spread_limit / setup.step / 2))
    spread = draw.between(0, limit)
    lowest = draw.between(least, most - spread)
    values = tuple(lowest + each for each in offsets(draw, setup.positions, spread))
    readings = draw_readings(draw, setup, values)
    slips = _slips(setup, readings)
    can_be = {
        "sound": True,
        "mistyped": bool(slips),
        "swapped": _can_be_swapped(pack, setup, values),
        "seized": setup.method in {"dial", "feeler"} and setup.low >= _FEWEST_STEPS * setup.step,
    }
    trouble = draw.choice([name for name in TROUBLES if can_be[name]])
    if trouble == "mistyped":
        row, column, written = draw.choice(slips)
        cells = readings.rows[row]
        slipped = (*cells[:column], written, *cells[column + 1 :])
        return RecordedReadings("mistyped", row, _with_row(readings, row, slipped), cells[column], written)
    if trouble == "swapped":
        return _swapped(draw, readings)
    if trouble == "seized":
        return RecordedReadings("seized", None, draw_readings(draw, setup, (0,) * setup.positions))
    return RecordedReadings("sound", None, readings)


def _sound_steps(setup: Setup) -> tuple[int, int]:
    """The clearances, in steps, that a pack in the making may well have: about its limits, and plainly more than nothing."""
    low, high = setup.low / setup.step, setup.high / setup.step
    least = max(int(low - (high - low) / 4), int(high / _BEYOND), 1)
    return least, int(high + (high - low) / 4)


def _can_be_swapped(pack: Pack, setup: Setup, values: Sequence[int]) -> bool:
    """Two swapped depths show by the other positions; a wave plate that stands free may truly lie above the ring's face."""
    has_wave = any(entry.part.kind == "wave" for entry in pack.entries)
    return setup.method == "depth" and setup.positions > 1 and min(values) >= _FEWEST_STEPS and not has_wave


def _swapped(draw: Generator, readings: Readings) -> RecordedReadings:
    row = draw.below(len(readings.rows))
    place, plate, ring = readings.rows[row]
    return RecordedReadings("swapped", row, _with_row(readings, row, (place, ring, plate)))


def _with_row(readings: Readings, row: int, cells: tuple[str, ...]) -> Readings:
    """The readings with one row written otherwise, in the table and in the request."""
    rows = (*readings.rows[:row], cells, *readings.rows[row + 1 :])
    request = dict(readings.request)
    if "parts" in request:
        parts = [{**part, "thickness": cell[-1]} for part, cell in zip(request["parts"], rows[1:], strict=True)]
        request = {"cavity": rows[0][-1], "parts": parts}
    elif "leaves" in request:
        request["leaves"] = [cell[1].split(" + ") for cell in rows]
    else:
        request = {name: [cell[column] for cell in rows] for column, name in enumerate(request, 1)}
    return replace(readings, rows=rows, request=request)


def _slips(setup: Setup, readings: Readings) -> tuple[tuple[int, int, str], ...]:
    """Every figure that one slip makes impossible: its row, its column, what is then written."""
    return tuple(
        (row, column, written)
        for row, cells in enumerate(readings.rows)
        for column, cell in enumerate(cells)
        if column and " " in cell
        for written in _slips_of(setup, cell)
    )


def _slips_of(setup: Setup, cell: str) -> tuple[str, ...]:
    """What one slip can make of a figure, or of the first of several leaves, that then cannot be."""
    first, *others = cell.split(" + ")
    digits, unit = first.split(" ")
    texts = (f"{text} {unit}" for text in dict.fromkeys((*_moved(digits), *_changed(digits))))
    return tuple(" + ".join((text, *others)) for text in texts if _is_beyond(setup, text, first))


def _moved(digits: str) -> list[str]:
    """The decimal point one place on; the first digit typed twice; the first two digits typed in the other order."""
    whole, _, decimals = digits.partition(".")
    found = [f"{whole[0]}{digits}"]
    if decimals:
        moved = f"{whole}{decimals[0]}".lstrip("0") or "0"
        found.append(f"{moved}.{decimals[1:]}" if decimals[1:] else moved)
        found.append(f"{decimals[0]}.{whole}{decimals[1:]}" if len(whole) == 1 else f"{whole[1]}{whole[0]}{whole[2:]}.{decimals}")
    else:
        found.append(f"{digits}0")
    return found


def _changed(digits: str) -> list[str]:
    """The first digit changed to each other one."""
    return [f"{digit}{digits[1:]}" for digit in "123456789" if digit != digits[0]]


def _is_beyond(setup: Setup, written: str, was: str) -> bool:
    """Whether a figure is off by so much that it can only be a slip: three times the upper limit, and three times itself.

    Of a depth, which stands for a difference, the first is enough.
    """
    new, old = (setup.read(parse_quantity(text, Dimension.LENGTH, "")) for text in (written, was))
    far = new - old >= _BEYOND * setup.high
    return far if setup.method == "depth" else far and new >= _BEYOND * max(old, Fraction(0))
