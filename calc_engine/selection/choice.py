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

6. The work is counted (`selection_effort`). A bench on which it would take too long is answered with what is proved by then, else
   with a choice found by climbing (`selection_climb`), and with a margin that no choice can have more of.

The tests hold the whole list of answers against every choice tried one by one, and the margin against a general solver.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from calc_engine.selection.bench import Bench, KitPart, MeasuredPack, Position, check, measure_out
from calc_engine.selection.climb import climb
from calc_engine.selection.effort import Effort, EffortSpent
from calc_engine.selection.margins import Gauges, Margins, feasible_gauges, nearest_gauges
from calc_engine.selection.ranking import Overdrawn, Ranking
from calc_engine.selection.search import Picks

__all__ = ["Effort", "KitPart", "MeasuredPack", "Position", "Selection", "Solution", "better_than_fitted", "choose"]


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
class Selection:
    """The answer.

    Attributes:
        feasible: whether a choice was found that puts every pack within its limits.
        solutions: the best within limits, best first.
        nearest: when none is within limits, the best of all, best first; their margins are against the limits. None, when every
            choice would leave some pack less than no clearance.
        needs: for each pack, how far the best nearest solution, or what is fitted if there is none, is outside its limits:
            positive by how much the pack is too loose, negative by how much too tight; 0 within limits.
        proved: whether the first choice is proved to be the best. If not, the search ended because its effort was spent.
        beatable: when not proved, a margin that no choice can have more of; of the same kind as that of the first choice.
        infeasible: whether it is proved that no choice puts every pack within its limits.
        complete: whether the lists hold as many choices as were asked for, or all there are.
    """

    feasible: bool
    solutions: tuple[Solution, ...]
    nearest: tuple[Solution, ...]
    needs: tuple[Fraction, ...]
    proved: bool
    beatable: Fraction | None
    infeasible: bool
    complete: bool


def choose(
    packs: Sequence[MeasuredPack],
    positions: Sequence[Position],
    prefer: Literal["centred", "fewest-changes"] = "centred",
    top: int = 5,
    effort: Effort | None = None,
) -> Selection:
    """The best choices for a bench, proved as far as the effort goes.

    Args:
        packs: what has a clearance to be set.
        positions: what takes a part of chosen size.
        prefer: ``centred``: by margin, then fewest changes, then order of the choices. ``fewest-changes``: by changes, then
            margin, then order.
        top: how many choices are wanted, at least 1.
        effort: how much work the search may do; by default as much as a reader would wait for.

    Returns:
        The choices within limits, or the nearest when there is none. The clearance of no pack is below zero in any of them.

    Raises:
        ValueError: the bench has no meaning (see `check`), or `top` is below 1.
    """
    check(packs, positions)
    if top < 1:
        raise ValueError("At least one solution must be asked for.")
    bench = measure_out(packs, positions, effort)
    within = _search(bench, feasible_gauges(bench), prefer, top)
    if within.known or not within.spent:
        if within.known:
            return _feasible(bench, within)
        nearest = _search(bench, nearest_gauges(bench), "centred", top)
        return _nearest(bench, nearest, infeasible=True)
    return _unproved(bench, within)


def better_than_fitted(
    packs: Sequence[MeasuredPack],
    positions: Sequence[Position],
    prefer: Literal["centred", "fewest-changes"] = "centred",
    effort: Effort | None = None,
) -> Solution | None:
    """The best of the choices that have a larger margin than the fitted parts.

    Args:
        packs: as in `choose`; each is within its limits.
        positions: as in `choose`.
        prefer: what is best among those choices, as in `choose`.
        effort: as in `choose`.

    Returns:
        The choice, or None when none is known that has a larger margin.

    Raises:
        ValueError: the bench has no meaning (see `check`), or a pack is outside its limits.
    """
    check(packs, positions)
    bench = measure_out(packs, positions, effort)
    gauges = feasible_gauges(bench)
    fitted = gauges.margins([0] * len(packs))
    if fitted is None:
        raise ValueError("Every pack must be within its limits.")
    larger = replace(gauges, floor=min(fitted) + 1)
    found = _search(bench, larger, prefer, 1)
    known = found.known if found.known or not found.spent else _climbed(bench, larger)
    return _solution(bench, larger, known[0]) if known else None


@dataclass(frozen=True, slots=True)
class _Found:
    """What a search came to: the first choices in order, whether it stopped before its end, and what they may be short of."""

    gauges: Gauges
    known: list[Picks]
    spent: bool
    unbeaten: int


def _search(bench: Bench, gauges: Gauges, prefer: str, top: int) -> _Found:
    """Searches until it has all that is wanted or the effort is spent."""
    unbeaten = gauges.scale
    ranking: Ranking | None = None
    try:
        margins = Margins(bench, gauges)
        while True:
            ranking = Ranking(bench, margins)
            try:
                found = ranking.fewest_changes(top) if prefer == "fewest-changes" else ranking.centred(top)
            except Overdrawn as short:
                unbeaten = min(unbeaten, ranking.unbeaten)
                bench = bench.watching(short.shelves)
            else:
                return _Found(gauges, found, spent=False, unbeaten=unbeaten)
    except EffortSpent:
        known = ranking.known if ranking else []
        return _Found(gauges, known, spent=True, unbeaten=min(unbeaten, ranking.unbeaten if ranking else unbeaten))


def _feasible(bench: Bench, found: _Found) -> Selection:
    solutions = tuple(_solution(bench, found.gauges, picks) for picks in found.known)
    needs = (Fraction(0),) * len(bench.packs)
    return Selection(
        feasible=True, solutions=solutions, nearest=(), needs=needs, proved=True, beatable=None, infeasible=False,
        complete=not found.spent,
    )  # fmt: skip


def _nearest(bench: Bench, found: _Found, *, infeasible: bool) -> Selection:
    """The choices that come nearest, found by the search or, where that did not get so far, by climbing."""
    proved = bool(found.known) or not found.spent
    known = found.known if proved else _climbed(bench, found.gauges)
    nearest = tuple(_solution(bench, found.gauges, picks) for picks in known)
    clearances = nearest[0].clearances if nearest else tuple(pack.clearance for pack in bench.packs)
    needs = tuple(
        max(clearance - pack.maximum, Fraction(0)) + min(clearance - pack.minimum, Fraction(0))
        for pack, clearance in zip(bench.packs, clearances, strict=True)
    )
    beatable = None if proved else Fraction(found.unbeaten, found.gauges.scale)
    return Selection(
        feasible=False, solutions=(), nearest=nearest, needs=needs, proved=proved, beatable=beatable, infeasible=infeasible,
        complete=not found.spent,
    )  # fmt: skip


def _unproved(bench: Bench, found: _Found) -> Selection:
    """What climbing finds, when the search was spent before it had found anything within limits."""
    gauges = nearest_gauges(bench)
    picks = next(iter(_climbed(bench, gauges)), None)
    if picks is None or found.gauges.margins(bench.shifts(picks)) is None:
        # Whether a choice within limits exists is not known; the nearest is judged against the limits alone.
        return _nearest(bench, _Found(gauges, [], spent=True, unbeaten=gauges.scale), infeasible=False)
    better = climb(bench, _rank(found.gauges), picks)
    solution = _solution(bench, found.gauges, better or picks)
    return Selection(
        feasible=True, solutions=(solution,), nearest=(), needs=(Fraction(0),) * len(bench.packs), proved=False,
        beatable=Fraction(found.unbeaten, found.gauges.scale), infeasible=False, complete=False,
    )  # fmt: skip


def _climbed(bench: Bench, gauges: Gauges) -> list[Picks]:
    """A choice found by climbing; the fitted parts if there is nothing better, none if they leave less than no clearance."""
    picks = climb(bench, _rank(gauges))
    return [] if picks is None else [picks]


def _rank(gauges: Gauges) -> Callable[[Sequence[int]], tuple[int, ...] | None]:
    """Better is a larger worst margin; of the same, a larger second worst, and so on."""

    def rank(shifts: Sequence[int]) -> tuple[int, ...] | None:
        margins = gauges.margins(shifts)
        return None if margins is None else tuple(sorted(margins))

    return rank


def _solution(bench: Bench, gauges: Gauges, picks: Picks) -> Solution:
    """A choice with what comes of it."""
    shifts = bench.shifts(picks)
    clearances = tuple(pack.clearance + shift * bench.unit for pack, shift in zip(bench.packs, shifts, strict=True))
    margins = [gauge.margin(shift, gauges.scale) for gauge, shift in zip(gauges.of_packs, shifts, strict=True)]
    return Solution(picks, clearances, Fraction(min(margins), gauges.scale), bench.changes(picks))
