"""The exact choice of selective parts for packs that may share them.

How it goes, and why its answer is the optimum:

1. The bench is counted in whole steps of one small length (`selection_bench`), so nothing is ever rounded.
2. "A margin of at least m" is a window of whole steps for each pack (`selection_margins`). Lowering m only widens the windows.
   The search starts from the highest margin that nothing could beat and comes down level by level (`selection_ranking`); the
   first level at which a choice fits is the best margin, because every higher level was searched whole and held none.
3. One question is asked at each level: which choices keep every pack in its window, with at most so many changes
   (`selection_frame`, `selection_search`)? Positions that move the packs alike count only by their sum. The sums of each such
   group are bits of large integers (`selection_sums`), and groups are joined two and two (`selection_joins`): a pack that no
   later group touches is settled, and states that agree on what is still open merge. A state is dropped only when no choice
   of the positions still to come could bring a pack back into its window, so no choice that counts is lost.
4. Ties go to fewer changes, then to the order of the choices; within merged states the first ways in that order are kept, as
   many as are asked for, which is enough because the rest of a choice does not depend on which of them is taken.
5. Stock of an id that several places may take is watched only when an answer would overdraw it; the search is then asked again
   with the uses of that id counted.

The tests hold the whole list of answers against every choice tried one by one, and the margin against a general solver.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from .selection_bench import Bench, Choice, Pack, Position, check, measure_out
from .selection_margins import Margins, feasible_margins, nearest_margins
from .selection_ranking import Overdrawn, Ranking

__all__ = ["Choice", "Outcome", "Pack", "Position", "Solution", "choose"]


@dataclass(frozen=True, slots=True)
class Solution:
    """One choice for every position.

    Attributes:
        choice: for each position the index of its choice.
        clearances: for each pack the clearance that results.
        margin: the worst over the packs.
        changes: how many positions take another part than the fitted one.
    """

    choice: tuple[int, ...]
    clearances: tuple[Fraction, ...]
    margin: Fraction
    changes: int


@dataclass(frozen=True, slots=True)
class Outcome:
    """The answer.

    Attributes:
        feasible: whether any choice puts every pack within its limits.
        solutions: the best within limits, best first.
        nearest: when none is within limits, the best of all, best first; their margins are against the limits.
        needs: for each pack, how far the best nearest solution is outside its limits: positive by how much the
            pack is too loose, negative by how much too tight; 0 within limits.
    """

    feasible: bool
    solutions: tuple[Solution, ...]
    nearest: tuple[Solution, ...]
    needs: tuple[Fraction, ...]


def choose(
    packs: Sequence[Pack],
    positions: Sequence[Position],
    prefer: Literal["centred", "fewest-changes"] = "centred",
    top: int = 5,
) -> Outcome:
    """Chooses."""
    check(packs, positions)
    if top < 1:
        raise ValueError("At least one solution must be asked for.")
    bench = measure_out(packs, positions)
    while True:
        try:
            return _solve(bench, prefer, top)
        except Overdrawn as found:
            bench = bench.watching(found.shelves)


def _solve(bench: Bench, prefer: str, top: int) -> Outcome:
    """The answer.

    Raises:
        Overdrawn: when ids must be watched to find it.
    """
    margins = feasible_margins(bench)
    ranking = Ranking(bench, margins)
    found = ranking.fewest_changes(top) if prefer == "fewest-changes" else ranking.centred(top)
    if found:
        solutions = tuple(_solution(bench, margins, picks) for picks in found)
        return Outcome(feasible=True, solutions=solutions, nearest=(), needs=(Fraction(0),) * len(bench.packs))
    margins = nearest_margins(bench)
    nearest = tuple(_solution(bench, margins, picks) for picks in Ranking(bench, margins).centred(top))
    needs = tuple(
        max(clearance - pack.maximum, Fraction(0)) + min(clearance - pack.minimum, Fraction(0))
        for pack, clearance in zip(bench.packs, nearest[0].clearances, strict=True)
    )
    return Outcome(feasible=False, solutions=(), nearest=nearest, needs=needs)


def _solution(bench: Bench, margins: Margins, picks: tuple[int, ...]) -> Solution:
    """A choice with what comes of it."""
    shifts = bench.shifts(picks)
    clearances = tuple(pack.clearance + shift * bench.unit for pack, shift in zip(bench.packs, shifts, strict=True))
    return Solution(picks, clearances, Fraction(margins.of(shifts), margins.scale), bench.changes(picks))
