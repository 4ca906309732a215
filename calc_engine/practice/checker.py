"""Compares a stack with the data and names every difference. It knows nothing of how mistakes are planted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from calc_engine.practice.seen import Row
from calc_engine.practice.unit import Entry, Pack, has_way_round

__all__ = ["Difference", "differences"]


@dataclass(frozen=True, slots=True)
class Difference:
    """Where a stack differs from its list.

    Attributes:
        kind: which mistake, see `effects.FAULTS`.
        at: the number in the stack where it shows, from 1.
        words: what is there and what the list says.
    """

    kind: str
    at: int
    words: str


def differences(rows: Sequence[Row], pack: Pack, labels: Mapping[str, str]) -> tuple[Difference, ...]:
    """Every difference between a stack and the list of its pack, from the bottom up.

    Args:
        rows: the stack.
        pack: what it should be.
        labels: what each part is called in the words, by id.

    Source: parts are paired by a longest common subsequence (R. A. Wagner, M. J. Fischer, "The string-to-string correction
    problem", Journal of the ACM 21 (1974) 168), but place by place where the counts agree.
    """
    compare = _same_length if len(rows) == len(pack.entries) else _other_length
    return tuple(sorted(compare(rows, pack, labels), key=lambda difference: difference.at))


def _same_length(rows: Sequence[Row], pack: Pack, labels: Mapping[str, str]) -> Iterator[Difference]:
    ids = [(row.part.id, entry.part.id) for row, entry in zip(rows, pack.entries, strict=True)]
    place = 0
    while place < len(ids):
        here, wanted = ids[place]
        if here == wanted:
            yield from _ways(place, rows[place], pack.entries[place], labels)
        elif place + 1 < len(ids) and ids[place + 1] == (wanted, here):
            yield Difference(
                "swapped",
                place + 1,
                f"Numbers {place + 1} and {place + 2}: {labels[here]} comes before {labels[wanted]}; the list has them the other way.",
            )
            for step in (0, 1):
                yield from _ways(place + step, rows[place + step], pack.entries[place + 1 - step], labels)
            place += 1
        else:
            words = f"Number {place + 1}: {labels[here]}; the list has {_name(wanted, pack.entries[place], labels)}."
            yield Difference("look-alike", place + 1, words)
        place += 1


def _name(part: str, entry: Entry, labels: Mapping[str, str]) -> str:
    return labels.get(part, entry.part.name)


def _ways(place: int, row: Row, entry: Entry, labels: Mapping[str, str]) -> Iterator[Difference]:
    name = labels[row.part.id]
    if has_way_round(entry.side) and row.side != entry.side:
        lies = f"lies {row.side}" if row.side else "shows no mark"
        yield Difference("flipped", place + 1, f"Number {place + 1}: {name} {lies}; the list has {entry.side}.")
    if row.groove != entry.groove:
        here, wanted = (f"the {groove} groove" if groove else "no groove" for groove in (row.groove, entry.groove))
        yield Difference("groove", place + 1, f"Number {place + 1}: {name} sits in {here}; the list has {wanted}.")


def _other_length(rows: Sequence[Row], pack: Pack, labels: Mapping[str, str]) -> Iterator[Difference]:
    counted = Counter(entry.part.id for entry in pack.entries)
    steps = _paired(rows, pack.entries)
    told: set[str] = set()
    place = 0
    for row_at, entry_at in steps:
        if row_at is not None and entry_at is not None:
            yield from _ways(row_at, rows[row_at], pack.entries[entry_at], labels)
            place = row_at + 1
            continue
        part = rows[row_at].part if row_at is not None else pack.entries[entry_at or 0].part
        place = row_at if row_at is not None else place
        if counted[part.id] == 1 and entry_at is not None:
            yield Difference("left-out", place + 1, f"At number {place + 1}: {labels.get(part.id, part.name)} is missing.")
        elif part.id not in told:
            told.add(part.id)
            here = sum(row.part.id == part.id for row in rows)
            yield Difference(
                "count", place + 1, f"{labels.get(part.id, part.name)}: {here} stand here; the list has {counted[part.id]}."
            )
        place += row_at is not None


def _paired(rows: Sequence[Row], entries: Sequence[Entry]) -> Iterator[tuple[int | None, int | None]]:
    """Places of both side by side; None where one has nothing. What lies as it should is paired first, and as early as can be."""
    best = [[0] * (len(entries) + 1) for _ in range(len(rows) + 1)]
    for i in reversed(range(len(rows))):
        for j in reversed(range(len(entries))):
            best[i][j] = max(best[i + 1][j], best[i][j + 1], best[i + 1][j + 1] + _likeness(rows[i], entries[j]))
    i = j = 0
    while i < len(rows) or j < len(entries):
        alike = _likeness(rows[i], entries[j]) if i < len(rows) and j < len(entries) else 0
        if alike and best[i][j] == best[i + 1][j + 1] + alike:
            yield i, j
            i, j = i + 1, j + 1
        elif j == len(entries) or (i < len(rows) and best[i + 1][j] == best[i][j]):
            yield i, None
            i += 1
        else:
            yield None, j
            j += 1


def _likeness(row: Row, entry: Entry) -> int:
    """3 for the part as it should lie, 2 for the part, 0 for another: two parts that are there outweigh one that lies right."""
    if row.part.id != entry.part.id:
        return 0
    side = entry.side if has_way_round(entry.side) else None
    return 3 if (row.side, row.groove) == (side, entry.groove) else 2
