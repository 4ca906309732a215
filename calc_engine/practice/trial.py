"""Readings of a pack with the engine's answer to them, drawn so that the answer is decided."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Final

from calc_engine import Dimension, Quantity, answer, parse_quantity
from calc_engine.practice.generator import Generator
from calc_engine.practice.readings import Readings, draw_readings, offsets
from calc_engine.practice.ring_choice import RingTask, is_clear, parts_request, with_sizes
from calc_engine.practice.setup import Setup
from calc_engine.practice.unit import Pack

__all__ = ["CASES", "Trial", "decided_trial"]

CASES: Final = ("in", "close", "tight", "loose", "uneven", "none-fits")
"""What the readings may be drawn to show."""

_TRIES: Final = 8


@dataclass(frozen=True, slots=True)
class Trial:
    """One set of readings with the engine's answers to it.

    Attributes:
        pack: the pack that was measured.
        setup: how.
        readings: what was read.
        values: the clearance at each position as read, before the wave plate's correction, in the unit of the setup.
        wave: the state of the wave plate when it was measured; None where it is the one that the limits mean.
        task: the size to choose, if there is one.
        request: what pack-clearance was asked.
        reply: what it answered.
        parts_reply: what choose-parts answered; None where pack-clearance chooses the size, or none is chosen.
    """

    pack: Pack
    setup: Setup
    readings: Readings
    values: tuple[Fraction, ...]
    wave: str | None
    task: RingTask | None
    request: dict[str, Any]
    reply: dict[str, Any]
    parts_reply: dict[str, Any] | None

    def length(self, name: str) -> Fraction:
        """A length of the engine's result, in the unit of the setup."""
        return self.setup.read(parse_quantity(self.reply["result"][name], Dimension.LENGTH, name))

    @property
    def clearance(self) -> Fraction:
        """The clearance, in the unit of the setup."""
        return self.length("clearance")

    @property
    def unsure(self) -> Fraction | None:
        """The uncertainty, in the unit of the setup; None where nothing is known of the gauge."""
        return self.length("uncertainty") if "uncertainty" in self.reply["result"] else None

    @property
    def verdict(self) -> str:
        """What it comes to: ``in``, ``close``, ``tight``, ``loose`` or ``uneven``."""
        result = self.reply["result"]
        if result.get("even") is False:
            return "uneven"
        if result["verdict"] == "in":
            return "in" if result["certain"] else "close"
        return "tight" if result["verdict"] == "low" else "loose"


def decided_trial(draw: Generator, pack: Pack, setup: Setup, task: RingTask | None) -> Trial:
    """Readings whose answer no rounding decides.

    What is to come out is drawn first, then readings, until the engine's answer stands clear of every limit, of its own uncertainty
    and of the next best size. Where a pack leaves no room for that, the readings are far out.

    Args:
        draw: the chance.
        pack: the pack; its clearance can be practised.
        setup: how it is measured.
        task: the size to choose, if there is one.
    """
    for case in draw.shuffled([case for case in CASES if _can_show(case, setup, task)]):
        for _ in range(_TRIES):
            trial = _trial(draw, pack, setup, task, case)
            if trial is not None and case in {trial.verdict, "none-fits"} and _is_decided(trial):
                return trial
    return _far_out(draw, pack, setup, task)


def _can_show(case: str, setup: Setup, task: RingTask | None) -> bool:
    if case == "uneven":
        return setup.spread_limit is not None
    return task is not None or case != "none-fits"


def _far_out(draw: Generator, pack: Pack, setup: Setup, task: RingTask | None) -> Trial:
    """Readings all alike and so far out that nothing is in doubt: further and further, until the engine agrees."""
    mean, wave = 2 * setup.high - setup.low, _usual_wave(setup)
    while True:
        trial = _answered(draw, pack, setup, task, (mean, (0,) * setup.positions, wave))
        if trial is not None and _is_decided(trial):
            return trial
        mean += (setup.high - setup.low) / 2 + setup.step


def _trial(draw: Generator, pack: Pack, setup: Setup, task: RingTask | None, case: str) -> Trial | None:
    wave = _usual_wave(setup)
    if setup.wave is not None and setup.method != "parts":
        wave = draw.choice(("free", "flat"))
    least, most = _means(draw, setup, task, case)
    lifted = offsets(draw, setup.positions, _spread(draw, setup, case))
    low, high = int(least / setup.step), int(most / setup.step)
    if low >= high:
        return None
    return _answered(draw, pack, setup, task, (draw.between(low, high) * setup.step, lifted, wave))


def _usual_wave(setup: Setup) -> str | None:
    """In a stack measured by its parts the wave plate counts with its flat thickness; else it is as the limits mean it."""
    return "flat" if setup.method == "parts" and setup.wave is not None else None


def _correction(setup: Setup, wave: str | None) -> Fraction:
    if setup.wave is None or wave is None or wave == setup.wave.specified:
        return Fraction(0)
    step = setup.wave.free - setup.wave.flat
    return step if wave == "free" else -step


def _means(draw: Generator, setup: Setup, task: RingTask | None, case: str) -> tuple[Fraction, Fraction]:
    """Between which values the mean is drawn for a case."""
    low, high, width, step = setup.low, setup.high, setup.high - setup.low, setup.step
    if case in {"in", "uneven"}:
        return low + step, high - step
    if case == "close":
        room = width / 6
        return (low + step, low + step + room) if low and draw.chance(1, 2) else (high - step - room, high - step)
    if case == "tight":
        return max(low - width / 2, Fraction(0)), low - step
    if case == "loose":
        return high + step, high + width / 2
    assert task is not None  # noqa: S101 - the case is only drawn with sizes
    sizes = [setup.read(size.thickness) for size in task.at_hand if size.thickness is not None]
    reach = max(sizes) - min(sizes)
    return high + reach + step, high + reach + width


def _spread(draw: Generator, setup: Setup, case: str) -> int:
    """The whole spread of the positions, in steps."""
    allowed = int((setup.spread_limit or setup.high - setup.low) / setup.step)
    if case == "uneven":
        return allowed + draw.between(2, 5)
    usual = max(int((setup.high - setup.low) / setup.step / 6), 1)
    return draw.between(0, min(allowed, usual))


def _answered(
    draw: Generator, pack: Pack, setup: Setup, task: RingTask | None, wanted: tuple[Fraction, tuple[int, ...], str | None]
) -> Trial | None:
    """Readings about a mean with these offsets, and the engine's answers; None where there are no such readings."""
    mean, lifted, wave = wanted
    lowest = round((mean - _correction(setup, wave)) / setup.step - Fraction(sum(lifted), len(lifted)))
    if lowest < 0:
        return None
    steps = tuple(lowest + each for each in lifted)
    readings = draw_readings(draw, setup, steps)
    request = _request(setup, readings, wave) if task is None else with_sizes(task, _request(setup, readings, wave))
    reply = answer("pack-clearance", request)
    if not reply["ok"]:
        return None
    parts_reply = None
    if task is not None and not task.alone:
        parts_reply = answer("choose-parts", parts_request(task, pack, setup, reply["result"]["clearance"]))
        if not parts_reply["ok"]:
            return None
    values = tuple(step * setup.step for step in steps)
    return Trial(pack, setup, readings, values, wave, task, request, reply, parts_reply)


def _request(setup: Setup, readings: Readings, wave: str | None) -> dict[str, Any]:
    request = setup.request() | readings.request
    if setup.wave is not None and wave is not None:
        free, flat = (str(Quantity(height, setup.unit)) for height in (setup.wave.free, setup.wave.flat))
        request["wave"] = {"free": free, "flat": flat, "measured": wave, "specified": setup.wave.specified}
    return request


def _is_decided(trial: Trial) -> bool:
    """Whether no rounding, and no doubt about the uncertainty, could turn the verdict or the size."""
    setup, clearance = trial.setup, trial.clearance
    if trial.verdict == "uneven":
        return trial.length("spread") >= (setup.spread_limit or 0) + setup.step
    room = min(abs(clearance - setup.low), abs(clearance - setup.high))
    unsure = trial.unsure
    if unsure is None and trial.verdict == "close":
        # Within limits, and nothing to tell how sure: no answer to that is right.
        return False
    unsure = unsure or Fraction(0)
    if room < setup.step or (room > unsure - setup.step if trial.verdict == "close" else room < unsure + setup.step):
        return False
    return trial.task is None or is_clear(trial.task, trial.pack, setup, clearance)
