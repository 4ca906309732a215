"""How a command ends when it cannot go on: one line that says why and what to do, and never a traceback."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import traceback
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stdout, suppress
from errno import EACCES, EDQUOT, EFBIG, ENOSPC, EPERM, EROFS
from pathlib import Path
from types import FrameType
from typing import Any, Final, TextIO, cast

from build_hooks.reading.problems import printable

__all__ = ["INTERRUPTED", "ended"]

INTERRUPTED: Final = 130
_SIGNALS: Final = tuple(getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name))
# Set, a fault of the program itself is shown with its traceback, for whoever mends it.
_TRACEBACK: Final = "BENCHLEAF_TRACEBACK"
_OURS: Final = ("", "build_hooks", "calc_engine")
_NO_ROOM: Final = (ENOSPC, EDQUOT, EFBIG)
_REMEDIES: Final = {
    **dict.fromkeys(_NO_ROOM, "Make room on the disk, then call it again."),
    **dict.fromkeys((EACCES, EPERM, EROFS), "Name a place where you may read and write, or see who may."),
}


def ended(run: Callable[[], int]) -> int:
    """Runs a command to its end, whatever that is.

    Args:
        run: the command; returns the exit status.

    Returns:
        The exit status: that of the command, 1 when it failed, 130 when it was interrupted.

    Raises:
        SystemExit: the command ended by itself, or by a signal, with the status in it.
    """
    _with_standard_streams()
    try:
        with _ending_by_signals(), redirect_stdout(cast(TextIO, _Output(sys.stdout))):
            return _flushed(run)
    except KeyboardInterrupt:
        return _told("Interrupted.", INTERRUPTED)
    except _OutputError as failed:
        # Nothing may be left that would fail again at the end of the process.
        _discard(sys.stdout)
        # Whoever closes a pipe has seen enough.
        closed = isinstance(failed.error, BrokenPipeError)
        return 1 if closed else _told(f"The output cannot be written: {failed.error.strerror}.")
    except OSError as error:
        return _told(_of_the_system(error))
    except RecursionError:
        return _told("Something is nested too deeply. Look for a list in a list in a list, or a long row of brackets.")
    except MemoryError:
        return _told("There is not enough memory. End other programs, then call it again.")
    except subprocess.CalledProcessError as error:
        program = Path(error.cmd[0] if isinstance(error.cmd, list | tuple) else error.cmd).name
        return _told(f"{program} failed with status {error.returncode}. Its output is above.")
    except ModuleNotFoundError as missing:
        return _told(_of_a_module(missing))
    except Exception as error:  # noqa: BLE001 - the last door
        return _told(_of_ours(error))


class _OutputError(Exception):
    """What was printed did not get through."""

    def __init__(self, error: OSError) -> None:
        super().__init__(str(error))
        self.error = error


class _Output:
    """Standard output whose faults are told apart from those of the files that a command reads and writes."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)

    def write(self, text: str) -> int:
        """Writes, or says that it is the output that failed."""
        try:
            return self._stream.write(text)
        except OSError as error:
            raise _OutputError(error) from error

    def flush(self) -> None:
        """Sends what was written, or says that it is the output that failed."""
        try:
            self._stream.flush()
        except OSError as error:
            raise _OutputError(error) from error


def _flushed(run: Callable[[], int]) -> int:
    try:
        return run()
    finally:
        # Here and not at the end of the process, where nobody could say what is wrong.
        sys.stdout.flush()


def _with_standard_streams() -> None:
    """Opens those that whoever called us has closed, else the next file would take their number and what is printed."""
    for number, flags in ((0, os.O_RDONLY), (1, os.O_RDONLY), (2, os.O_WRONLY)):
        try:
            os.fstat(number)
        except OSError:
            # Standard output opened for reading only: whatever is printed fails, and is not lost without a word.
            opened = os.open(os.devnull, flags)
            if opened != number:
                os.dup2(opened, number)
                os.close(opened)
            os.set_inheritable(number, True)
    sys.stdin = sys.stdin or open(0, encoding="utf-8", closefd=False)  # noqa: SIM115 - for the whole process
    sys.stdout = sys.stdout or open(1, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
    sys.stderr = sys.stderr or open(2, "w", encoding="utf-8", closefd=False)  # noqa: SIM115


@contextmanager
def _ending_by_signals() -> Iterator[None]:
    """Signals that would end the process at once end it as an exception does, so that work folders are removed."""

    def end(number: int, _frame: FrameType | None) -> None:
        raise SystemExit(128 + number)

    changed = []
    for number in _SIGNALS:
        if signal.getsignal(number) is signal.SIG_DFL:
            # Only the main thread may; elsewhere nobody sends us signals.
            with suppress(ValueError):
                signal.signal(number, end)
                changed.append(number)
    try:
        yield
    finally:
        for number in changed:
            signal.signal(number, signal.SIG_DFL)


def _discard(stream: TextIO) -> None:
    with suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)


def _told(line: str, status: int = 1) -> int:
    try:
        sys.stderr.write(f"{line}\n")
        sys.stderr.flush()
    except OSError:
        _discard(sys.stderr)
    return status


def _of_the_system(error: OSError) -> str:
    if isinstance(error, shutil.Error) and isinstance(error.args[0], list):
        _, path, why = error.args[0][0]
        return printable(f"{path}: {why}")
    if error.strerror is None:
        return printable(str(error))
    # Of a copy, the system names both; where there is no room, it is the second that is meant.
    path = error.filename2 if error.filename2 and error.errno in _NO_ROOM else error.filename
    place = f"{path}: " if path else ""
    remedy = _REMEDIES.get(error.errno or 0, "Mend that, then call it again.")
    return printable(f"{place}{error.strerror}. {remedy}")


def _of_a_module(missing: ModuleNotFoundError) -> str:
    """Of a package that this Python lacks; a module of our own is a fault of ours."""
    package = (missing.name or "").partition(".")[0]
    if package in _OURS:
        return _of_ours(missing)
    if package in sys.stdlib_module_names:
        return f"This system's Python lacks its module {package}. Build the manual on Linux; its site can be read on any system."
    return printable(
        f"The Python package {package} is not installed for {sys.executable}. "
        "Call .venv/bin/python in its place; make serve sets that up if it is not there."
    )


def _of_ours(error: Exception) -> str:
    if os.environ.get(_TRACEBACK):
        return "".join(traceback.format_exception(error)).rstrip()
    *_, last = traceback.extract_tb(error.__traceback__)
    what = printable(f"{type(error).__name__}: {error}")
    return (
        f"This is a fault of the program itself: {what} ({Path(last.filename).name}, line {last.lineno}). "
        f"Report it; {_TRACEBACK}=1 shows more."
    )
