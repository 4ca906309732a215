"""Builds the tree of nodes from YAML, with none of YAML's guesses.

Only ``true``, ``false``, ``null``, plain whole numbers and ISO dates are more than text: ``no``, ``1:30``, ``0123``, ``1e3``
and ``1.57`` stay as they were written. What YAML offers beyond that (anchors, aliases, tags, merges, several documents) is
refused, so that a file means what it shows and a small file cannot grow into a large one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Final

import yaml

from build_hooks.reading.nodes import Node, Scalar
from build_hooks.reading.problems import MOST_FAULTS, START, Fault, Mark, in_order, mark_at, quoted
from build_hooks.reading.yaml_faults import fault_of

__all__ = ["DEEPEST", "MOST_VALUES", "tree_of"]

DEEPEST: Final = 20
MOST_VALUES: Final = 100_000

_LOADER: Final = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_WHOLE: Final = re.compile(r"0|-?[1-9][0-9]{0,8}")
_DATE: Final = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_WORDS: Final[Mapping[str, Scalar]] = {"true": True, "false": False, "null": None, "~": None, "": None}
# What the parser takes for the end of a line, and no editor (YAML 1.2 does not either, 5.4): written out, lines would be miscounted.
_UNSEEN_IN_SOURCE: Final = re.compile(r"[^\t\n\r\x20-\x7e\xa0-\u2027\u202a-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_UNSEEN: Final = re.compile(r"[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


class _Stopped(Exception):  # noqa: N818 - not an error of ours: the file cannot be read any further
    def __init__(self, mark: Mark, code: str, message: str, remedy: str) -> None:
        super().__init__(message)
        self.fault = Fault(mark, code, message, remedy)


@dataclass(slots=True)
class _Open:
    """A list or mapping that is not closed yet."""

    mark: Mark
    items: list[Node] | None = None
    children: dict[str, Node] = field(default_factory=dict)
    keys: dict[str, Mark] = field(default_factory=dict)
    lone_keys: set[str] = field(default_factory=set)
    key: str | None = None
    key_end: Mark = START
    key_comes: bool = True

    def node(self) -> Node:
        if self.items is not None:
            return Node(self.mark, tuple(self.items))
        return Node(self.mark, self.children, self.keys, frozenset(self.lone_keys))


class _Builder:
    """Takes the parser's events one by one, without recursion, and keeps what it found fault with."""

    def __init__(self) -> None:
        self.faults: list[Fault] = []
        self.root: Node | None = None
        self._open: list[_Open] = []
        self._documents = 0
        self._values = 0

    def take(self, event: yaml.Event) -> None:
        """One more event."""
        mark = _mark(event.start_mark)
        if len(self.faults) >= MOST_FAULTS:
            raise _Stopped(mark, "too-many", f"There are {MOST_FAULTS} faults before this.", "Mend those first.")
        if isinstance(event, yaml.DocumentStartEvent):
            self._documents += 1
            if self._documents > 1:
                raise _Stopped(mark, "several-documents", "A second document starts here.", "Take the line --- out.")
        elif isinstance(event, yaml.AliasEvent):
            message = f"{quoted(f'*{event.anchor}')} is a YAML alias, and there are none here."
            raise _Stopped(mark, "alias", message, "Write the value out, or put a text that starts with * in quotes.")
        elif isinstance(event, yaml.NodeEvent):
            self._begin(event, mark)
        elif isinstance(event, yaml.CollectionEndEvent):
            closed = self._open.pop()
            self._place(closed.node(), _mark(event.end_mark))

    def _begin(self, event: yaml.NodeEvent, mark: Mark) -> None:
        self._values += 1
        if self._values > MOST_VALUES:
            raise _Stopped(mark, "too-many", f"The file holds more than {MOST_VALUES} values.", "Split it up.")
        if event.anchor is not None:
            message = f"{quoted(f'&{event.anchor}')} is a YAML anchor, and there are none here."
            raise _Stopped(mark, "alias", message, "Write the value out again, or put a text that starts with & in quotes.")
        tag = getattr(event, "tag", None)
        if tag is not None:
            message = f"{quoted(_tag_text(tag))} is a YAML tag, and there are none here."
            raise _Stopped(mark, "tag", message, "Take it out, or put a text that starts with ! in quotes.")
        if isinstance(event, yaml.ScalarEvent):
            self._scalar(event, mark)
            return
        if len(self._open) >= DEEPEST:
            raise _Stopped(mark, "too-deep", f"This is nested more than {DEEPEST} levels deep.", "Close the brackets before.")
        self._open.append(_Open(mark, [] if isinstance(event, yaml.SequenceStartEvent) else None))

    def _scalar(self, event: yaml.ScalarEvent, mark: Mark) -> None:
        unseen = _UNSEEN.search(event.value)
        if unseen:
            message = f"This text holds the control character {_code(unseen[0])}."
            self.faults.append(Fault(mark, "control-character", message, "Take it out."))
        plain = event.implicit[0] and not event.style
        value = _plain_value(event.value) if plain else event.value
        self._place(Node(mark, value), _mark(event.end_mark))

    def _place(self, node: Node, end: Mark) -> None:
        if not self._open:
            self.root = node
            return
        parent = self._open[-1]
        if parent.items is not None:
            parent.items.append(node)
        elif parent.key_comes:
            parent.key, parent.key_end, parent.key_comes = self._key(parent, node), end, False
        else:
            if parent.key is not None:
                parent.children[parent.key] = node
                if node.value is None and node.mark == parent.key_end:
                    parent.lone_keys.add(parent.key)
            parent.key, parent.key_comes = None, True

    def _key(self, parent: _Open, node: Node) -> str | None:
        """The key that a node stands for; None if it cannot be one, and then its value is passed over."""
        value = node.value
        if isinstance(value, (tuple, Mapping)):
            # Most likely a bracket or a brace is amiss, and what comes then is not what was meant.
            message = "A key cannot be a list or hold keys itself."
            raise _Stopped(node.mark, "bad-key", message, "Write one word before the colon.")
        fault = _key_fault(parent, node.mark, value)
        if fault is not None:
            self.faults.append(fault)
            return None
        key = str(value)
        parent.keys[key] = node.mark
        return key


def _key_fault(parent: _Open, mark: Mark, key: Scalar) -> Fault | None:
    if key is None:
        return Fault(mark, "bad-key", "The key before the colon is missing.", "Write one, or take the colon out.")
    if not isinstance(key, str):
        written = str(key).lower()
        return Fault(mark, "bad-key", f"The key {quoted(written)} is not a text.", f'Put it in quotes: "{written}".')
    if key == "<<":
        return Fault(mark, "merge-key", "“<<” would merge keys, and that is not done here.", "Write the keys out.")
    if key in parent.keys:
        message = f"{quoted(key)} appears twice; the first is in line {parent.keys[key].line}."
        return Fault(mark, "duplicate-key", message, "Rename one of them or take it out.")
    return None


def _tag_text(tag: str) -> str:
    return tag.replace("tag:yaml.org,2002:", "!!")


def _code(character: str) -> str:
    return f"U+{ord(character):04X}"


def _mark(mark: Any) -> Mark:
    return Mark(mark.line + 1, mark.column + 1)


def _plain_value(text: str) -> Scalar:
    if text in _WORDS:
        return _WORDS[text]
    if _WHOLE.fullmatch(text):
        return int(text)
    if _DATE.fullmatch(text):
        try:
            return date.fromisoformat(text)
        except ValueError:
            return text
    return text


def _events(text: str) -> Iterator[yaml.Event]:
    try:
        yield from yaml.parse(text, Loader=_LOADER)
    except yaml.YAMLError as error:
        raise _Stopped(*fault_of(error, text)) from error


def tree_of(text: str) -> tuple[Node | None, tuple[Fault, ...]]:
    """The tree of a YAML text.

    Args:
        text: decoded, without byte order mark.

    Returns:
        The root, or None if the text could not be read to its end or holds nothing; and everything wrong, by place.
    """
    builder = _Builder()
    unseen = _UNSEEN_IN_SOURCE.search(text)
    if unseen:
        place = mark_at(text, unseen.start())
        return None, (
            Fault(place, "control-character", f"The control character {_code(unseen[0])} is not allowed here.", "Take it out."),
        )
    try:
        for event in _events(text):
            builder.take(event)
    except _Stopped as stopped:
        return None, in_order([*builder.faults, stopped.fault])
    return builder.root, in_order(builder.faults)
