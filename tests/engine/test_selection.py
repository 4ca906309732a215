"""The choice of selective parts is the optimum: held against every choice tried, and against a general solver."""

from __future__ import annotations

import itertools
import random
from fractions import Fraction

import highspy
import pytest

from calc_engine.selection import Choice, Outcome, Pack, Position, choose
from tests.selection_benches import make_bench


def shelf(positions: list[Position]) -> dict[str, int]:
    """One id is one shelf: the smallest stock given for it."""
    stock: dict[str, int] = {}
    for position in positions:
        for choice in position.choices:
            if choice.stock is not None:
                stock[choice.id] = min(choice.stock, stock.get(choice.id, choice.stock))
    return stock


def clearance(pack: Pack, positions: list[Position], picks: tuple[int, ...]) -> Fraction:
    """What a pack has with these choices."""
    value = pack.clearance
    for position, index in zip(positions, picks, strict=True):
        fitted = next(choice.thickness for choice in position.choices if choice.id == position.fitted)
        value += position.effect.get(pack.name, 0) * (position.choices[index].thickness - fitted)
    return value


def limit_margin(pack: Pack, value: Fraction) -> Fraction:
    """1 on the centre of the limits, 0 on a limit."""
    return min(value - pack.minimum, pack.maximum - value) / ((pack.maximum - pack.minimum) / 2)


def margin(pack: Pack, value: Fraction) -> Fraction:
    """By the target where there is one."""
    if pack.target is None:
        return limit_margin(pack, value)
    return 1 - abs(value - pack.target) / max(pack.target - pack.minimum, pack.maximum - pack.target)


def every_choice(packs: list[Pack], positions: list[Position], prefer: str, top: int) -> tuple[bool, list[tuple[int, ...]]]:
    """The answer by trying every choice and sorting."""
    stock = shelf(positions)
    inside, everything = [], []
    for picks in itertools.product(*(range(len(position.choices)) for position in positions)):
        taken = [position.choices[index].id for position, index in zip(positions, picks, strict=True)]
        changed = [name for name, position in zip(taken, positions, strict=True) if name != position.fitted]
        if any(changed.count(name) > stock.get(name, len(changed)) for name in changed):
            continue
        values = [clearance(pack, positions, picks) for pack in packs]
        by_limits = min(limit_margin(pack, value) for pack, value in zip(packs, values, strict=True))
        everything.append((-by_limits, len(changed), picks))
        if all(pack.minimum <= value <= pack.maximum for pack, value in zip(packs, values, strict=True)):
            best = min(margin(pack, value) for pack, value in zip(packs, values, strict=True))
            key = (-best, len(changed)) if prefer == "centred" else (len(changed), -best)
            inside.append((*key, picks))
    if inside:
        return True, [entry[-1] for entry in sorted(inside)[:top]]
    return False, [entry[-1] for entry in sorted(everything)[:top]]


def small_bench(chance: random.Random) -> tuple[list[Pack], list[Position]]:
    """A bench that can be tried whole, with everything that may occur: targets, stock, shared ids, ties."""
    names = "ABCD"[: chance.randint(1, 4)]
    packs = []
    for name in names:
        low = Fraction(chance.randint(50, 120), 100)
        high = low + Fraction(chance.randint(5, 60), 100)
        target = None if chance.random() < 0.7 else low + (high - low) * Fraction(chance.randint(0, 10), 10)
        packs.append(Pack(name, Fraction(chance.randint(0, 250), 100), low, high, target))
    positions = []
    for place in range(chance.randint(1, 5)):
        choices = tuple(
            Choice(
                f"{'shared' if chance.random() < 0.3 else place}-{size}",
                Fraction(chance.randint(100, 200), 100),
                None if chance.random() < 0.7 else chance.randint(0, 2),
            )
            for size in range(chance.randint(1, 5))
        )
        effect = {name: chance.choice([-1, 1]) for name in chance.sample(names, chance.randint(1, min(3, len(names))))}
        positions.append(Position(f"place {place}", chance.choice(choices).id, choices, effect))
    return packs, positions


@pytest.mark.parametrize("seed", range(12))
def test_the_whole_list_is_that_of_trying_every_choice(seed: int) -> None:
    """Order, ties, stock, targets and kits that fall short, on twelve times fifteen benches."""
    chance = random.Random(seed)
    for _ in range(15):
        packs, positions = small_bench(chance)
        prefer, top = chance.choice(["centred", "fewest-changes"]), chance.choice([1, 3, 5, 20])
        feasible, expected = every_choice(packs, positions, prefer, top)
        found = choose(packs, positions, prefer, top)  # type: ignore[arg-type]
        assert found.feasible == feasible
        assert [solution.choice for solution in (found.solutions or found.nearest)] == expected


def best_margin(packs: tuple[Pack, ...], positions: tuple[Position, ...]) -> float:
    """The largest worst margin, by HiGHS as a mixed-integer programme."""
    solver = highspy.Highs()
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 1e-9)
    worst = solver.addVariable(lb=-1e6, ub=1.0)
    taken = [[solver.addBinary() for _ in position.choices] for position in positions]
    for row in taken:
        solver.addConstr(sum(row) == 1)
    for pack in packs:
        half = float((pack.maximum - pack.minimum) / 2)
        moved = 0
        for position, row in zip(positions, taken, strict=True):
            sign = position.effect.get(pack.name, 0)
            fitted = next(choice.thickness for choice in position.choices if choice.id == position.fitted)
            if sign:
                moved = moved + sum(
                    sign * float(choice.thickness - fitted) * variable
                    for choice, variable in zip(position.choices, row, strict=True)
                )
        solver.addConstr(worst * half - moved <= float(pack.clearance - pack.minimum))
        solver.addConstr(worst * half + moved <= float(pack.maximum - pack.clearance))
    solver.maximize(worst)
    return float(solver.getInfo().objective_function_value)


def found_margin(outcome: Outcome) -> float:
    """The margin of the best."""
    return float((outcome.solutions or outcome.nearest)[0].margin)


@pytest.mark.parametrize("shape", ["chain", "ring", "one_pack", "some_threes"])
@pytest.mark.parametrize("kit", ["even_steps", "measured"])
def test_the_optimum_is_that_of_a_general_solver(shape: str, kit: str) -> None:
    """HiGHS (the highspy package) finds the same largest margin; its own feasibility tolerance is 1e-6."""
    packs, positions = make_bench(shape, kit, 3, positions=6, choices=8)
    assert found_margin(choose(packs, positions, "centred", 1)) == pytest.approx(best_margin(packs, positions), abs=1e-5)
