"""What differs between two states of a manual, in the words of the trade."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any, Final

from build_hooks.changes.facts import Facts, PageFacts, Piece
from build_hooks.changes.telling import Told, told

__all__ = ["Change", "changes_between", "differ"]

_TRAILING_ZEROS: Final = re.compile(r"(?<=\d)(\.\d*?)0+(?=\D|$)")
# The keys that say what an entry is, which stands first.
_CALLED: Final = ("part", "name", "id")
# What says who vouches for the words, and not what they say.
_STATUS: Final = frozenset({"status", "approved_on", "approved_by", "review_due"})


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that differs.

    Attributes:
        where: from the whole to the part: a unit or a page, then what in it.
        old: what it said; None for what is new.
        new: what it says; None for what is gone.
    """

    where: tuple[str, ...]
    old: str | None
    new: str | None


def changes_between(old: Facts, new: Facts) -> tuple[Change, ...]:
    """Everything that differs: the data first, file by file, then the pages.

    Args:
        old: what a manual said.
        new: what it says.

    Returns:
        The changes in the order of the files. An amount that is only written otherwise (0.9 mm, 0.90 mm) is none.
    """
    return (*_of_data(old, new), *_of_pages(old, new))


def differ(old: Any, new: Any) -> bool:
    """Whether two states of a file's data differ in more than who vouches for them, or how an amount is written."""
    return any(_of_values(old, new, (), _as_written, status=False))


def _of_data(old: Facts, new: Facts) -> Iterator[Change]:
    for name in _in_order(old.data, new.data):
        before, after = old.data.get(name), new.data.get(name)
        if file := told(name, old, new):
            yield from _of_told(file)
            continue
        titled = after if after is not None else before
        called = str(titled.get("name", name)) if isinstance(titled, dict) and name != "shop.yml" else name
        if before is None or after is None:
            yield Change((called,), None if before is None else "the whole file", None if after is None else "the whole file")
            continue
        shop = [facts.data.get("shop.yml") for facts in (old, new)]
        yield from _of_values(before, after, (called,), _naming(before, after, *shop))


def _of_told(file: Told) -> Iterator[Change]:
    if file.old is None or file.new is None:
        yield Change(
            (file.called,), None if file.old is None else "the whole file", None if file.new is None else "the whole file"
        )
    else:
        yield from _of_values(file.old, file.new, (file.called,), str)


def _of_pages(old: Facts, new: Facts) -> Iterator[Change]:
    for path in _in_order(old.pages, new.pages):
        before, after = old.pages.get(path), new.pages.get(path)
        title = (after or before or PageFacts(path, {}, ())).title
        where = (f"Page “{title}”",)
        if before is None or after is None:
            yield Change(where, None if before is None else "the whole page", None if after is None else "the whole page")
            continue
        yield from _of_values({"status": before.status}, {"status": after.status}, where, _as_written)
        yield from _of_pieces(before.pieces, after.pieces, where)


def _in_order(old: Mapping[str, Any], new: Mapping[str, Any]) -> tuple[str, ...]:
    """The keys of the new, and behind them those that only the old has."""
    return (*new, *(key for key in old if key not in new))


def _of_pieces(old: Sequence[Piece], new: Sequence[Piece], where: tuple[str, ...]) -> Iterator[Change]:
    for before, after in _paired(old, new, lambda one, other: one.kind == other.kind):
        kind = (after or before or Piece("text", "")).kind
        yield Change((*where, kind), before.text if before else None, after.text if after else None)


def _paired[T](old: Sequence[T], new: Sequence[T], alike: Callable[[T, T], bool]) -> Iterator[tuple[T | None, T | None]]:
    """What two lists do not share, in order; an old and a new thing of one place and one kind stand together."""
    for kind, start, end, begin, stop in SequenceMatcher(None, old, new, autojunk=False).get_opcodes():
        if kind == "equal":
            continue
        gone, come = list(old[start:end]), list(new[begin:stop])
        while gone or come:
            if gone and come and alike(gone[0], come[0]):
                yield gone.pop(0), come.pop(0)
            elif gone and (not come or not any(alike(gone[0], other) for other in come)):
                yield gone.pop(0), None
            else:
                yield None, come.pop(0)


type _Naming = Callable[[str], str]


def _of_values(old: Any, new: Any, where: tuple[str, ...], naming: _Naming, *, status: bool = True) -> Iterator[Change]:
    if isinstance(old, dict) and isinstance(new, dict):
        for key in _in_order(old, new):
            if status or key not in _STATUS:
                yield from _of_values(old.get(key), new.get(key), (*where, naming(key)), naming, status=status)
    elif isinstance(old, list) and isinstance(new, list):
        for gone, come in _paired([_Item(item, naming) for item in old], [_Item(item, naming) for item in new], _is_one_thing):
            if gone and come and isinstance(gone.value, dict) and isinstance(come.value, dict):
                yield from _of_values(gone.value, come.value, (*where, *filter(None, [come.called])), naming, status=status)
            else:
                yield Change(where, gone.line if gone else None, come.line if come else None)
    elif _plain(_line(old, naming)) != _plain(_line(new, naming)):
        yield Change(where, None if old is None else _line(old, naming), None if new is None else _line(new, naming))


class _Item:
    """An entry of a list: its value, its line, and what it is called. Two of one line are equal, whatever zeros end their figures."""

    def __init__(self, value: Any, naming: _Naming) -> None:
        self.value = value
        self.line = _line(value, naming)
        self.called = next((_line(value[key], naming) for key in _CALLED if key in value), "") if isinstance(value, dict) else ""

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Item) and _plain(self.line) == _plain(other.line)

    def __hash__(self) -> int:
        return hash(_plain(self.line))


def _is_one_thing(old: _Item, new: _Item) -> bool:
    """Whether an old and a new entry are about the same part or step; entries without a name of their own are, if both have none."""
    return type(old.value) is type(new.value) and old.called == new.called


def _line(value: Any, naming: _Naming) -> str:
    """A value in one line; of a mapping, what it is stands first."""
    if isinstance(value, dict):
        if set(value) == {"repeat", "of"}:
            return f"{value['repeat']} times {_line(value['of'], naming)}"
        first = [_line(value[key], naming) for key in _CALLED if key in value]
        rest = [_with_key(key, _line(item, naming), naming) for key, item in value.items() if key not in _CALLED]
        return "; ".join((*first, *rest))
    if isinstance(value, list):
        return f"({', '.join(_line(item, naming) for item in value)})"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return naming(str(value)) if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


def _with_key(key: str, line: str, naming: _Naming) -> str:
    """A key with its value; where the key is an id and the value begins with its name, that is enough."""
    called = naming(key)
    return line if called != _as_written(key) and line.startswith(called) else f"{called} {line}"


def _as_written(text: str) -> str:
    return text.replace("_", " ").strip()


def _plain(line: str) -> str:
    """A line as it is compared: an amount is the same with zeros at its end."""
    return _TRAILING_ZEROS.sub(lambda found: found[1].rstrip("."), line)


def _naming(*trees: Any) -> _Naming:
    """Puts names in the place of ids, as far as the data of a unit give them."""
    names = {
        key: str(entry["name"])
        for tree in trees
        if isinstance(tree, dict)
        for section in tree.values()
        if isinstance(section, dict)
        for key, entry in section.items()
        if isinstance(entry, dict) and "name" in entry
    }
    return lambda text: names.get(text) or _as_written(text)
