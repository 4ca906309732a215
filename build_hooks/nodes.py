"""The tree that a data file is read into: plain values, each with the place where it stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from build_hooks.problems import Mark

__all__ = ["Node", "Scalar"]

type Scalar = str | bool | int | date | None


@dataclass(frozen=True, slots=True)
class Node:
    """One value of a data file.

    Attributes:
        mark: where the value starts.
        value: a plain value, a list of nodes, or the nodes by their keys.
        keys: where each key of a mapping starts.
        lone_keys: the keys of a mapping that stand without a colon; in braces a comma splits a text into such keys.
    """

    mark: Mark
    value: Scalar | tuple[Node, ...] | Mapping[str, Node]
    keys: Mapping[str, Mark] = field(default_factory=dict)
    lone_keys: frozenset[str] = frozenset()

    @property
    def is_mapping(self) -> bool:
        """Whether this holds keys with values."""
        return isinstance(self.value, Mapping)

    @property
    def children(self) -> Mapping[str, Node]:
        """The nodes by their keys; none if this is no mapping."""
        return self.value if isinstance(self.value, Mapping) else {}

    @property
    def items(self) -> tuple[Node, ...]:
        """The nodes of a list; none if this is no list."""
        return self.value if isinstance(self.value, tuple) else ()

    @property
    def text(self) -> str | None:
        """The value as it was written, if it is a text, a number or a date."""
        if isinstance(self.value, bool) or not isinstance(self.value, (str, int, date)):
            return None
        return str(self.value).strip()

    def get(self, key: str) -> Node | None:
        """The value of a key, or None."""
        return self.children.get(key)

    def text_of(self, key: str) -> str | None:
        """The text of a key, or None if the key is not there or holds no text."""
        child = self.get(key)
        return None if child is None else child.text

    def plain(self) -> Any:
        """The value without places: dict, list, text, number, date, truth value or None."""
        if isinstance(self.value, Mapping):
            return {key: child.plain() for key, child in self.value.items()}
        if isinstance(self.value, tuple):
            return [child.plain() for child in self.value]
        return self.value
