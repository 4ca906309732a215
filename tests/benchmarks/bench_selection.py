"""Time of choose-parts beside HiGHS, a general solver, on the same benches in the same run: `python -m tests.benchmarks.bench_selection`.

HiGHS stands for what a shop could have instead: a well-kept mixed-integer solver in C++. It is stopped after a time limit; the
ratio is then at most the one printed, and its margin is not compared.
"""

from __future__ import annotations

import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from calc_engine.selection.choice import choose
from tests.calc_engine.selection.test_selection import best_margin, found_margin
from tests.selection_benches import make_bench

_SHAPES = ("chain", "ring", "star", "all_shared", "one_pack")
_KITS = ("even_steps", "measured")
_LIMIT = 10.0  # seconds for HiGHS on one bench
_SIZES = ((6, 8, range(3)), (12, 25, range(1)))


def main() -> None:
    """Prints the times of both on small benches and on benches of 12 places with 25 sizes, over 4 packs that share parts."""
    for positions, choices, seeds in _SIZES:
        print(f"{positions} places, {choices} sizes each, 4 packs")
        print(f"{'bench':28} {'ours':>9} {'HiGHS':>9} {'ratio':>8}  same margin")
        ratios, ours = [], []
        for shape in _SHAPES:
            for kit in _KITS:
                for seed in seeds:
                    mine, ratio, line = _compare(shape, kit, seed, positions, choices)
                    print(line, flush=True)
                    ratios.append(ratio)
                    ours.append(mine)
        print(f"ratio ours / HiGHS: median {statistics.median(ratios):.3f}, worst {max(ratios):.3f}, {len(ratios)} benches")
        print(f"ours: median {statistics.median(ours):.3f} s, worst {max(ours):.3f} s\n")


def _compare(shape: str, kit: str, seed: int, positions: int, choices: int) -> tuple[float, float, str]:
    """Our time in seconds, its ratio to that of HiGHS, and a line that tells them."""
    packs, places = make_bench(shape, kit, seed, positions=positions, choices=choices)
    start = time.perf_counter()
    outcome = choose(packs, places, "centred", 1)
    between = time.perf_counter()
    best = best_margin(packs, places, _LIMIT)
    mine, theirs = between - start, time.perf_counter() - between
    same = "stopped" if best is None else "yes" if abs(found_margin(outcome) - best) < 1e-5 else "NO"
    return mine, mine / theirs, f"{f'{shape} {kit} {seed}':28} {mine:8.3f}s {theirs:8.3f}s {mine / theirs:8.4f}  {same}"


if __name__ == "__main__":
    main()
