"""A folder is made beside the place that it is meant for, and put there in one step, or in two that the next start can mend."""

from __future__ import annotations

import errno
import os
import re
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from build_hooks.site.replacing.exchange import exchange
from build_hooks.site.replacing.faults import NotMadeError
from build_hooks.site.replacing.guard import is_ours
from build_hooks.site.replacing.locks import lock, locked

__all__ = ["WorkFolder", "put_in_place", "recover", "work_folder"]

# Says of a folder that whatever it holds may be removed once nobody holds its lock.
_MARK: Final = ".benchleaf-work"


@dataclass(frozen=True, slots=True)
class WorkFolder:
    """A folder beside a place, on the same disk, that is removed when the work is done.

    Attributes:
        path: the folder.
        new: where in it the folder is to be made that is meant for the place; it is not there yet.
        lock: descriptor that keeps others from sweeping the folder away. A process that works in the folder inherits it, so
            that it also holds when ours is killed.
    """

    path: Path
    new: Path
    lock: int


@contextmanager
def work_folder(target: Path) -> Iterator[WorkFolder]:
    """A folder to work in. Before that, what killed calls have left beside the place is mended and swept.

    Args:
        target: the place that something is to be made for, as `settled` gives it.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    recover(target)
    _sweep(target)
    work = _made_and_locked(target)
    try:
        yield work
    finally:
        # Interrupted between two steps, it mends what it has left itself.
        recover(target)
        with suppress(OSError):
            _remove(work.path)
        os.close(work.lock)


def put_in_place(new: Path, target: Path) -> None:
    """Puts a finished folder in a place. What was there is afterwards where the new one was.

    Whenever the process is killed, the disk is full or the power fails, a whole folder is in the place, or `recover` puts the
    last one back.

    Args:
        new: the finished folder, in a work folder of the place.
        target: the place: free, an empty folder, or one that we have made.
    """
    new.chmod(0o755)
    _all_to_disk(new)
    with _alone(target.parent):
        if not os.path.lexists(target):
            new.rename(target)
        elif not exchange(new, target):
            _in_two_steps(new, target)
        _to_disk(target.parent)


def recover(target: Path) -> None:
    """Mends what a kill between two steps has left: the last folder goes back to its place if none is there.

    Args:
        target: the place, as `settled` gives it.
    """
    old = _old_of(target)
    if not is_ours(old):
        return
    with _alone(target.parent):
        if not os.path.lexists(target):
            old.rename(target)
            _to_disk(target.parent)
        else:
            shutil.rmtree(old)


def _in_two_steps(new: Path, target: Path) -> None:
    old = _old_of(target)
    if os.path.lexists(old):
        raise NotMadeError(f"{old.as_posix()}: this is in the way. Move it elsewhere.")
    target.rename(old)
    try:
        new.rename(target)
    except OSError:
        old.rename(target)
        raise
    # Into the work folder, which is removed with all it holds.
    old.rename(new)


def _old_of(target: Path) -> Path:
    return target.with_name(f".{target.name}-old")


def _made_and_locked(target: Path) -> WorkFolder:
    while True:
        path = Path(tempfile.mkdtemp(prefix=f".{target.name}-new-", dir=target.parent))
        held = _lock_of(path)
        # Between its making and its lock another call may have swept it away.
        if held is not None and path.exists():
            (path / _MARK).touch()
            return WorkFolder(path, path / target.name, held)


def _lock_of(path: Path) -> int | None:
    """Descriptor of a folder, locked where the file system has locks; None when another call is sweeping it away."""
    try:
        descriptor = os.open(path, os.O_RDONLY)
    except FileNotFoundError:
        return None
    try:
        lock(descriptor, wait=False)
    except BlockingIOError:
        os.close(descriptor)
        return None
    except OSError:
        # No locks here: then nobody can lock it to sweep it either.
        pass
    return descriptor


def _sweep(target: Path) -> None:
    """Removes the work folders of calls that were killed; those of calls that still run are locked."""
    name = re.compile(rf"\.{re.escape(target.name)}-new-[a-z0-9_]{{8}}")
    for path in target.parent.iterdir():
        if name.fullmatch(path.name) and path.is_dir() and not path.is_symlink() and _is_work(path):
            with suppress(OSError), locked(path, wait=False):
                _remove(path)


def _remove(work: Path) -> None:
    """Removes a work folder, its mark last: killed meanwhile, it is still known for what it is."""
    for path in work.iterdir():
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path)
        elif path.name != _MARK:
            path.unlink()
    (work / _MARK).unlink(missing_ok=True)
    work.rmdir()


def _is_work(path: Path) -> bool:
    return (path / _MARK).is_file() or not any(path.iterdir())


@contextmanager
def _alone(folder: Path) -> Iterator[None]:
    """Waits until no other call is between two steps in a folder. Where there are no locks, it goes on without."""
    with ExitStack() as held:
        with suppress(OSError):
            held.enter_context(locked(folder, wait=True))
        yield


def _all_to_disk(folder: Path) -> None:
    """Brings every file and name of a folder to the disk, so that its new name never leads to files that are not there yet."""
    for here, _, names in os.walk(folder):
        for name in names:
            _to_disk(Path(here, name))
        _to_disk(Path(here))


def _to_disk(path: Path) -> None:
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    except OSError as error:
        # Some file systems bring names to the disk by themselves and do not know the call.
        if error.errno != errno.EINVAL:
            raise
    finally:
        os.close(descriptor)
