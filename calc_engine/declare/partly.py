"""A request that is right in part: what could be read of it is still held against the rest, so that all faults are told at once."""

from __future__ import annotations

__all__ = ["entries_read"]


def entries_read[T](given: object, shape: type[T]) -> list[T]:
    """The entries of a list of groups that could be read; none where the list itself could not.

    Args:
        given: the field, as `problems` of a request finds it.
        shape: the dataclass of each entry.
    """
    return [item for item in given if isinstance(item, shape)] if isinstance(given, tuple) else []
