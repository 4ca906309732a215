"""Runs a calculation's file and its example, in a process of its own: whatever it does, nothing else is taken down.

``python -m build_hooks.own.trial`` takes one object on its input, ``{"stem", "source", "path", "limit"}``, and answers with a list of
faults, each as line, column, code, message and remedy.
"""

from __future__ import annotations

import json
import os
import sys
import time
import traceback
from collections.abc import Iterator
from typing import Any

from build_hooks.bundle.known import known_answers_of
from build_hooks.own.declaration import answer_faults, declaration_faults
from build_hooks.own.places import Places
from build_hooks.own.text import name_of, places_in
from build_hooks.process.time_limit import LimitError, at_most
from build_hooks.reading.problems import Fault, Mark, in_order
from calc_engine import Calculation, Refused, calculations_in, describe, encode, load_own, panel, set_own, work_out

__all__ = ["slow_fault", "tried"]

_MOST_MEMORY = 2 << 30  # bytes; the engine takes a twentieth


_LONGEST_SAID = 300


class _Found(Exception):  # noqa: N818 - it carries faults to where they are told
    """What is wrong, so that nothing further can be tried."""

    def __init__(self, *faults: Fault) -> None:
        super().__init__(faults)
        self.faults = faults


def tried(stem: str, source: str, path: str, limit: float) -> tuple[Fault, ...]:
    """Everything that shows when a file and its example run.

    Args:
        stem: the file's name without its ending.
        source: its text, in which `text_faults` has found nothing.
        path: what it is called in its own tracebacks.
        limit: seconds of the processor's time that it may take.
    """
    places, faults = places_in(source)
    if places is None:
        return faults
    begun = time.process_time()
    try:
        with at_most(limit):
            _try(stem, source, path, places)
    except LimitError as fault:
        return (slow_fault(_place(fault, path, places) or places.declared("compute"), limit),)
    except _Found as found:
        return in_order(found.faults)
    # The engine answers whatever is raised in it, the end of the time too.
    slow = time.process_time() - begun > limit
    return (slow_fault(places.declared("compute"), limit),) if slow else ()


def slow_fault(mark: Mark, limit: float) -> Fault:
    """What is told of a calculation that does not come to an end.

    Args:
        mark: where it was when it was broken off.
        limit: the seconds that it had.
    """
    message = f"The example of this calculation has no answer after {limit:g} seconds."
    return Fault(mark, "too-slow", message, "Look for a loop that does not end.")


def _try(stem: str, source: str, path: str, places: Places) -> None:
    try:
        module = load_own(stem, source, path)
    except LimitError:
        raise
    except (Exception, SystemExit) as fault:  # noqa: BLE001 - whatever somebody's file raises
        raise _Found(_raised(fault, path, places, Mark(1, 1), "when it is read")) from None
    calculations = calculations_in(module)
    if len(calculations) != 1:
        mark = places.of(next(places.calculations(), None))
        raise _Found(
            Fault(
                mark,
                "no-calculation",
                "This calculation has no name in the file.",
                "Write for example PAN_DEPTH = Calculation(…).",
            )
        )
    (calculation,) = calculations
    faults = tuple(declaration_faults(calculation, name_of(stem), places))
    if faults:
        raise _Found(*faults)
    set_own([calculation])
    _answer(calculation, path, places)
    known_answers_of([calculation.name])


def _answer(calculation: Calculation[Any, Any], path: str, places: Places) -> None:
    """Answers the example in either system of units, and draws what comes of it."""
    mark = places.function(getattr(calculation.compute, "__name__", ""))
    for more in ({}, {"units": "metric"}, {"units": "inch"}):
        try:
            worked = work_out(calculation.name, {**calculation.example, **more})
            faults = tuple(answer_faults(calculation, worked.answer, places))
            if not faults:
                encode(worked.reply)
                encode(panel(worked))
                json.dumps(describe(calculation))
        except LimitError:
            raise
        except Refused as refused:
            raise _Found(*_refusals(refused, places)) from None
        except (Exception, SystemExit) as fault:  # noqa: BLE001 - whatever somebody's file raises
            raise _Found(_raised(fault, path, places, mark, "on its example")) from None
        if faults:
            raise _Found(*faults)


def _refusals(refused: Refused, places: Places) -> Iterator[Fault]:
    for problem in refused.problems:
        message = f"The example has no answer: {problem.message}"
        yield Fault(places.example(problem.field.split(".")), "example-refused", message, problem.remedy)


def _raised(fault: BaseException, path: str, places: Places, otherwise: Mark, when: str) -> Fault:
    said = f"{type(fault).__name__}: {str(fault)[:_LONGEST_SAID]}" if str(fault) else type(fault).__name__
    message = f"This file fails {when}: “{said}”."
    remedy = "Mend this line, or what comes to it. benchleaf new calculation NAME writes a file that works."
    return Fault(_place(fault, path, places) or otherwise, "calculation-fails", message, remedy)


def _place(fault: BaseException, path: str, places: Places) -> Mark | None:
    """The last place in the file itself that the fault came by."""
    frames = [frame for frame in traceback.extract_tb(fault.__traceback__) if frame.filename == path]
    return places.at(frames[-1].lineno or 1, frames[-1].colno or 0) if frames else None


def _limit_memory() -> None:
    """Where the system can, so that what grows without end ends here and not the machine."""
    try:
        import resource  # noqa: PLC0415 - some systems have none
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (_MOST_MEMORY, _MOST_MEMORY))


def main() -> None:
    """Answers what comes in."""
    # What the file prints or closes must not get between the answer and who waits for it.
    answer = os.dup(sys.stdout.fileno())
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    job = json.loads(sys.stdin.buffer.read())
    _limit_memory()
    faults = tried(job["stem"], job["source"], job["path"], job["limit"])
    text = json.dumps([[*fault.mark, fault.code, fault.message, fault.remedy] for fault in faults])
    with os.fdopen(answer, "w", encoding="utf-8") as out:
        out.write(text)


if __name__ == "__main__":
    main()
