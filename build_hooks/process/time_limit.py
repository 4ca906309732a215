"""A bound on what one page may cost, so that no page makes a check or a build run for ever."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Final

from build_hooks.reading.problems import Problem

__all__ = ["LONGEST", "LimitError", "at_most", "begin", "end", "too_slow"]

# The largest page of the demo takes less than half a second.
LONGEST: Final = 20.0  # seconds of the processor's time, so that a busy machine refuses no page
# Something on the way may swallow an exception: it is raised again until it gets through.
_AGAIN: Final = 1.0


class LimitError(Exception):
    """The time is up."""


@contextmanager
def at_most(seconds: float) -> Iterator[None]:
    """Bounds what is done within.

    Args:
        seconds: of the processor's time.

    Raises:
        LimitError: it took longer.
    """
    begin(seconds, LimitError("The time is up."))
    try:
        yield
    finally:
        end()


def begin(seconds: float, error: Exception) -> None:
    """From now on, work that takes longer is broken off, until `end` is called.

    Only the main thread of a system with such a timer can be broken off; elsewhere there is no limit.

    Args:
        seconds: of the processor's time.
        error: what to raise.
    """

    def break_off(_number: int, _frame: FrameType | None) -> None:
        raise error

    if _has_timer():
        signal.signal(signal.SIGVTALRM, break_off)
        signal.setitimer(signal.ITIMER_VIRTUAL, seconds, _AGAIN)


def end() -> None:
    """Lifts the limit."""
    if _has_timer():
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)


def _has_timer() -> bool:
    return hasattr(signal, "setitimer") and threading.current_thread() is threading.main_thread()


def too_slow(path: str) -> Problem:
    """What is told of a page that was broken off.

    Args:
        path: the page, as it is named in problems.
    """
    message = f"This page takes more than {LONGEST:.0f} seconds."
    return Problem(path, 1, 1, "too-slow", message, "Split it up, and look for a passage that is no text.")
