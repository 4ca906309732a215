"""Locks on folders. The system lifts them when their holder ends, however it ends."""

from __future__ import annotations

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

__all__ = ["lock", "locked"]


def lock(descriptor: int, *, wait: bool) -> None:
    """Locks a folder until the descriptor, and every copy of it that another process has inherited, is closed.

    Args:
        descriptor: of the open folder.
        wait: whether to wait for whoever holds it.

    Raises:
        BlockingIOError: another process holds it, and it was not to wait.
        OSError: the file system has no locks.
    """
    fcntl.flock(descriptor, fcntl.LOCK_EX if wait else fcntl.LOCK_EX | fcntl.LOCK_NB)


@contextmanager
def locked(folder: Path, *, wait: bool) -> Iterator[None]:
    """Holds the lock of a folder; see `lock`."""
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        lock(descriptor, wait=wait)
        yield
    finally:
        os.close(descriptor)
