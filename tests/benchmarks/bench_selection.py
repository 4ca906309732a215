"""Time of choose-parts beside HiGHS, a general solver, on the same benches in the same run: `python -m tests.benchmarks.bench_selection`."""

from __future__ import annotations

import statistics
import time

from calc_engine.selection import choose
from tests.engine.test_selection import best_margin, found_margin
from tests.selection_benches import make_bench

_SHAPES = ("chain", "ring", "all_shared", "one_pack")
_KITS = ("even_steps", "measured")
_SEEDS = range(3)


def main() -> None:
    """Prints the times of both on 24 benches of 12 places with 25 sizes over 4 packs, and whether the margins agree."""
    ratios = []
    print(f"{'bench':28} {'ours':>9} {'HiGHS':>9} {'ratio':>7}  same margin")
    for shape in _SHAPES:
        for kit in _KITS:
            for seed in _SEEDS:
                packs, positions = make_bench(shape, kit, seed)
                start = time.perf_counter()
                ours = choose(packs, positions, "centred", 1)
                between = time.perf_counter()
                theirs = best_margin(packs, positions)
                end = time.perf_counter()
                ratios.append((between - start) / (end - between))
                same = abs(found_margin(ours) - theirs) < 1e-5
                name = f"{shape} {kit} {seed}"
                print(f"{name:28} {between - start:8.3f}s {end - between:8.3f}s {ratios[-1]:7.3f}  {same}")
    print(f"ratio ours / HiGHS: median {statistics.median(ratios):.3f}, worst {max(ratios):.3f}, {len(ratios)} benches")


if __name__ == "__main__":
    main()
