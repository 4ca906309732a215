"""A slow processor: the pages of a browser are let run for a quarter of the time, in turns of milliseconds.

The browser's own throttle (``Emulation.setCPUThrottlingRate``) slows the thread of the page and no other. The engine runs
in a worker, and its program is compiled on still other threads, so that throttle would leave out what is to be measured.
Here every thread of every page is stopped and let go by signals, in a process beside the one that measures.
"""

from __future__ import annotations

import contextlib
import os
import select
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

__all__ = ["FACTOR", "slowed"]

FACTOR: Final = 4
_TURN: Final = 0.004  # Seconds; far shorter than what is measured.
_LOOK_AGAIN: Final = 0.05  # Seconds after which new pages are looked for.


@contextmanager
def slowed() -> Iterator[None]:
    """All pages of browsers that this process has started, or starts meanwhile, run at a quarter of their speed."""
    throttle = subprocess.Popen([sys.executable, __file__, str(os.getpid())], stdin=subprocess.PIPE)
    try:
        yield
    finally:
        throttle.communicate()  # The end of its input is the sign to end.


def _pages(ancestor: int) -> list[int]:
    """Processes that run pages, below a process."""
    parents: dict[int, int] = {}
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            with contextlib.suppress(OSError):
                parents[int(entry.name)] = int((entry / "stat").read_text(encoding="utf-8").rpartition(")")[2].split()[1])
    return [process for process in parents if _is_below(process, ancestor, parents) and _is_page(process)]


def _is_below(process: int, ancestor: int, parents: dict[int, int]) -> bool:
    while process in parents and process != ancestor:
        process = parents[process]
    return process == ancestor


def _is_page(process: int) -> bool:
    try:
        return b"--type=renderer" in Path(f"/proc/{process}/cmdline").read_bytes()
    except OSError:
        return False


def _send(pages: list[int], what: signal.Signals) -> None:
    for page in pages:
        with contextlib.suppress(ProcessLookupError):
            os.kill(page, what)


def _throttle(ancestor: int) -> None:
    pages: list[int] = []
    looked = let_go = time.monotonic()
    try:
        while not select.select([sys.stdin], [], [], 0)[0]:
            _send(pages, signal.SIGSTOP)
            stopped = time.monotonic()
            if stopped - looked > _LOOK_AGAIN:  # Takes milliseconds, so the pages stand still meanwhile.
                pages, looked = _pages(ancestor), stopped
                _send(pages, signal.SIGSTOP)
            # As long as they have really run, a busy machine wakes nobody in time.
            until = stopped + (FACTOR - 1) * (stopped - let_go)
            time.sleep(max(until - time.monotonic(), 0.0))
            _send(pages, signal.SIGCONT)
            let_go = time.monotonic()
            time.sleep(_TURN / FACTOR)
    finally:
        _send(pages, signal.SIGCONT)


if __name__ == "__main__":
    _throttle(int(sys.argv[1]))
