"""The best choices in order, found by asking for them level by level."""

from __future__ import annotations

from collections.abc import Sequence

from calc_engine.selection.bench import Bench
from calc_engine.selection.margins import Margins
from calc_engine.selection.search import Matches, Picks, Search, Way

__all__ = ["Overdrawn", "Ranking"]

_MOST_WAYS = 3000
_MOST_OF_A_WAY = 400
_LIKELY = 3
_JUDGED = 50  # Work for one choice, in units of effort.


class Overdrawn(Exception):  # noqa: N818 - it carries what was found, not an error
    """Too many choices take more parts than there are: the search must count these ids while it goes.

    Attributes:
        shelves: the ids.
    """

    def __init__(self, shelves: set[str]) -> None:
        super().__init__(shelves)
        self.shelves = shelves


class Ranking:
    """Asks the search for choices in the order in which they are ranked.

    Attributes:
        known: the first choices in that order, as far as they are proved. They remain when the effort is spent.
        unbeaten: a margin that no choice beyond those known can have more of.
    """

    def __init__(self, bench: Bench, margins: Margins) -> None:
        """Prepares the search for a bench whose margins are counted in one of the two ways."""
        self._bench, self._margins = bench, margins
        self._search = Search(bench, margins.sums)
        self._all = len(bench.slots)
        self.known: list[Picks] = []
        self.unbeaten = margins.scale

    def centred(self, top: int) -> list[Picks]:
        """The first choices by margin, then changes, then order of the choices.

        Returns:
            Up to `top` choices; none when none is to be considered.
        """
        self.known = self._by_margin(0, self._all, top)
        return self.known

    def fewest_changes(self, top: int) -> list[Picks]:
        """The first choices by changes, then margin, then order of the choices.

        Returns:
            Up to `top` choices; none when none is to be considered.
        """
        found = self.known
        ceiling = self._margins.ceiling(self._all)
        if ceiling is None:
            return found
        self.unbeaten = min(self.unbeaten, ceiling)
        whole = self._margins.box(self._margins.lowest())
        for changes in range(self._search.fewest_changes(whole), self._all + 1):
            matches = self._search.matches(whole, changes, changes)
            count = matches.count(changes)
            if 0 < count <= _MOST_WAYS:
                found += self._sorted(matches, range(changes, changes + 1), top - len(found))
            elif count:
                found += self._by_margin(changes, changes, top - len(found))
            if len(found) >= top:
                break
        return found

    def _by_margin(self, fewest: int, most: int, top: int) -> list[Picks]:
        """The first choices with `fewest` to `most` changes by margin, changes and order.

        Goes down from a margin that nothing can beat. `done` is a margin down to which every choice is known.
        One level below it is asked for changes by changes; several levels at once are asked for as a whole, as
        long as they do not hold too many choices.
        """
        highest = self._margins.ceiling(most)
        if highest is None:
            return []
        by_margin_alone = fewest == 0 and most == self._all
        found: list[Picks] = []
        done, too_low = highest + 1, None
        while len(found) < top:
            after = self._margins.below(done)
            if after is None:
                break
            if by_margin_alone:
                self.known, self.unbeaten = found, after
            level = self._next_level(highest, done, after, too_low, most, top)
            if level == after:
                found = self._on_level(level, fewest, most, found, top)
                done = level
                continue
            several = self._levels_above(level, fewest, most, top)
            if several is None:
                too_low = level
            else:
                found, done = several, level
        return found[:top]

    def _next_level(self, highest: int, done: int, after: int, too_low: int | None, most: int, top: int) -> int:
        """The margin to ask for next.

        Half way to one that was too low; else twice as far from the highest as the last, and on until about as
        many choices as wanted can be expected.
        """
        if too_low is not None:
            middle = self._margins.below((done + too_low) // 2 + 1)
            return after if middle is None or middle <= too_low else middle
        level, lowest = min(after, 2 * done - highest), self._margins.lowest()
        while level > lowest and self._search.expected(self._margins.box(level), most) < _LIKELY * top:
            level = min(level - 1, 3 * level - 2 * highest)
        return max(level, min(lowest, after))

    def _on_level(self, level: int, fewest: int, most: int, known: list[Picks], top: int) -> list[Picks]:
        """Adds the choices that have this very margin, when all with a larger one are known."""
        box = self._margins.box(level)
        found = list(known)
        changes = max(fewest, self._search.fewest_changes(box))
        while changes <= most and len(found) < top:
            matches = self._search.matches(box, changes, most, top)
            for exact in range(changes, matches.most + 1):
                found += [picks for picks in self._first(matches, exact, top) if picks not in known]
                if len(found) >= top:
                    break
            changes = matches.most + 1
        return found[:top]

    def _levels_above(self, level: int, fewest: int, most: int, top: int) -> list[Picks] | None:
        """The first choices with at least this margin; None when there are too many to look at each."""
        box = self._margins.box(level)
        found: list[Picks] = []
        count, changes = 0, max(fewest, self._search.fewest_changes(box))
        while changes <= most:
            matches = self._search.matches(box, changes, most, top)
            for exact in range(changes, matches.most + 1):
                count += matches.count(exact)
                if count > _MOST_WAYS:
                    return None
            found += self._sorted(matches, range(changes, matches.most + 1), top)
            changes = matches.most + 1
        return sorted(found, key=self._rank)[:top]

    def _sorted(self, matches: Matches, covered: Sequence[int], top: int) -> list[Picks]:
        """The first choices of some numbers of changes, looked at one by one."""
        self._bench.effort.spend(_JUDGED * sum(matches.count(changes) for changes in covered))
        ways = [(-self._margins.of(matches.shifts(way)), changes, way) for changes in covered for way in matches.ways(changes)]
        ways.sort(key=lambda way: way[:2])
        found: list[tuple[int, int, Picks]] = []
        for index, (margin, changes, way) in enumerate(ways):
            if len(found) >= top and (margin, changes) != ways[index - 1][:2]:
                break
            found += [(margin, changes, picks) for picks in self._of_way(matches, way, top)]
        return [picks for _, _, picks in sorted(found)[:top]]

    def _first(self, matches: Matches, changes: int, top: int) -> list[Picks]:
        """The first choices with so many changes that the shelf allows, in order of the choices."""
        found = matches.first(changes, top)
        overdrawn = set().union(*map(self._bench.overdrawn, found))
        if not overdrawn:
            return found
        if matches.count(changes) > _MOST_WAYS:
            raise Overdrawn(overdrawn)
        every = [picks for way in matches.ways(changes) for picks in self._of_way(matches, way, top)]
        return sorted(every)[:top]

    def _of_way(self, matches: Matches, way: Way, top: int) -> list[Picks]:
        """The first choices of one way that the shelf allows."""
        found = matches.picks(way, top)
        self._bench.effort.spend(_JUDGED * len(found))
        overdrawn = set().union(*map(self._bench.overdrawn, found))
        if not overdrawn:
            return found
        every = matches.picks(way, _MOST_OF_A_WAY)
        self._bench.effort.spend(_JUDGED * len(every))
        if len(every) == _MOST_OF_A_WAY:
            raise Overdrawn(overdrawn)
        return [picks for picks in every if not self._bench.overdrawn(picks)][:top]

    def _rank(self, picks: Picks) -> tuple[int, int, Picks]:
        """What choices are sorted by."""
        return -self._margins.of(self._bench.shifts(picks)), self._bench.changes(picks), picks
