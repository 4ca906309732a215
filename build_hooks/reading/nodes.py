"""The tree that a data file is read into: plain values, each with the place where it stands."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from build_hooks.reading.problems import Mark, nearest

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

    def misspelt(self, key: str, known: Collection[str]) -> str | None:
        """An unknown key that looks like a misspelling of a known one; that is reported already."""
        return next((other for other in self.children if other not in known and nearest(self.meant(other), known) == key), None)

    def meant(self, key: str) -> str:
        """The key that was meant: in braces, one whose colon or space was left out has swallowed its value."""
        return re.split(r"[:\s]", key)[0] if key in self.lone_keys else key

    def lacks(self, key: str, known: Collection[str]) -> bool:
        """Whether a key is missing, and is not just misspelt."""
        return key not in self.children and self.misspelt(key, known) is None

    def plain(self) -> Any:
        """The value without places: dict, list, text, number, date, truth value or None."""
        if isinstance(self.value, Mapping):
            return {key: child.plain() for key, child in self.value.items()}
        if isinstance(self.value, tuple):
            return [child.plain() for child in self.value]
        return self.value
