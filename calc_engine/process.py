"""What every command of this project does about the streams and signals of its process: say it in a line, never a traceback."""

from __future__ import annotations

import contextlib
import errno
import io
import os
import sys
from collections.abc import Callable
from typing import Final

__all__ = ["NOT_READ_OR_WRITTEN", "STOPPED", "run_process"]

NOT_READ_OR_WRITTEN: Final = 2
# 128 and the number of the interrupt signal, as shells have it.
STOPPED: Final = 130


def run_process(name: str, main: Callable[[], int]) -> int:
    """Runs the command of this process.

    Args:
        name: how the command is called, to begin a message with.
        main: the command; it may read standard input and write standard output.

    Returns:
        The exit status: that of the command; 2 when something could not be read or written, silently where the reader
        of the output has closed it; 130 when the command was stopped with Ctrl+C.
    """
    try:
        return _written(main)
    except KeyboardInterrupt:
        _say(f"{name}: stopped.")
        return STOPPED
    except BrokenPipeError:
        # Whoever read our output has seen enough.
        _drop_output()
        return NOT_READ_OR_WRITTEN
    except OSError as fault:
        _drop_output()
        _say(f"{name}: could not read or write: {fault.strerror or fault}.")
        return NOT_READ_OR_WRITTEN


def _written(main: Callable[[], int]) -> int:
    """The status of the command once its output is out."""
    output = sys.stdout
    if output is None:
        raise OSError(errno.EBADF, "standard output is closed")
    if isinstance(output, io.TextIOWrapper):
        # A name that is no proper text is never an excuse for a traceback.
        output.reconfigure(encoding="utf-8", errors="backslashreplace")
    try:
        status = main()
    except SystemExit as left:
        status = left.code if isinstance(left.code, int) else 0
    output.flush()
    return status


def _drop_output() -> None:
    """Lets go of what is still to be written: it would fail once more at the end of the process."""
    with contextlib.suppress(OSError, ValueError):
        if sys.stdout is not None:
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _say(message: str) -> None:
    with contextlib.suppress(OSError, ValueError):
        if sys.stderr is not None:
            sys.stderr.write(f"{message}\n")
            sys.stderr.flush()
