"""The choice of selective parts is the optimum: held against every choice tried, and against a general solver."""

from __future__ import annotations

import itertools
import random
import re
from dataclasses import replace
from fractions import Fraction
from functools import cache

import highspy
import pytest

from calc_engine.selection.choice import Effort, KitPart, MeasuredPack, Position, Selection, better_than_fitted, choose
from tests.selection_benches import make_bench


def shelf(positions: list[Position]) -> dict[str, int]:
    """One id is one shelf: the smallest stock given for it."""
    stock: dict[str, int] = {}
    for position in positions:
        for choice in position.choices:
            if choice.stock is not None:
                stock[choice.id] = min(choice.stock, stock.get(choice.id, choice.stock))
    return stock


def clearance(pack: MeasuredPack, positions: list[Position], picks: tuple[int, ...]) -> Fraction:
    """What a pack has with these choices."""
    value = pack.clearance
    for position, index in zip(positions, picks, strict=True):
        fitted = next(choice.thickness for choice in position.choices if choice.id == position.fitted)
        value += position.effect.get(pack.name, 0) * (position.choices[index].thickness - fitted)
    return value


def half_width(pack: MeasuredPack, *, by_target: bool) -> Fraction:
    """From the middle, or from the target, to the farther limit."""
    middle = pack.target if by_target and pack.target is not None else (pack.minimum + pack.maximum) / 2
    return max(middle - pack.minimum, pack.maximum - middle)


def margin(packs: list[MeasuredPack], values: list[Fraction], *, by_target: bool) -> Fraction:
    """The worst over the packs: 1 on the middle or the target, 0 half a width away.

    Limits of no width are met or not; a miss is measured by the narrowest half-width of the others, by 1 mm without any.
    """
    halves = [half_width(pack, by_target=by_target) for pack in packs]
    narrowest = min((half for half in halves if half), default=Fraction(1))
    worst = Fraction(1)
    for pack, value, half in zip(packs, values, halves, strict=True):
        middle = pack.target if by_target and pack.target is not None else (pack.minimum + pack.maximum) / 2
        away = abs(value - middle)
        if half:
            worst = min(worst, 1 - away / half)
        elif away:
            worst = min(worst, -away / narrowest)
    return worst


def every_choice(
    packs: list[MeasuredPack], positions: list[Position], prefer: str, top: int
) -> tuple[bool, list[tuple[int, ...]]]:
    """The answer by trying every choice and sorting."""
    stock = shelf(positions)
    inside, everything = [], []
    for picks in itertools.product(*(range(len(position.choices)) for position in positions)):
        taken = [position.choices[index].id for position, index in zip(positions, picks, strict=True)]
        changed = [name for name, position in zip(taken, positions, strict=True) if name != position.fitted]
        if any(changed.count(name) > stock.get(name, len(changed)) for name in changed):
            continue
        values = [clearance(pack, positions, picks) for pack in packs]
        if any(value < 0 for value in values):
            continue
        everything.append((-margin(packs, values, by_target=False), len(changed), picks))
        if all(pack.minimum <= value <= pack.maximum for pack, value in zip(packs, values, strict=True)):
            best = margin(packs, values, by_target=True)
            key = (-best, len(changed)) if prefer == "centred" else (len(changed), -best)
            inside.append((*key, picks))
    if inside:
        return True, [entry[-1] for entry in sorted(inside)[:top]]
    return False, [entry[-1] for entry in sorted(everything)[:top]]


def small_bench(chance: random.Random) -> tuple[list[MeasuredPack], list[Position]]:
    """A bench that can be tried whole, with everything that may occur: targets, stock, shared ids, ties."""
    names = "ABCD"[: chance.randint(1, 4)]
    packs = []
    for name in names:
        low = Fraction(chance.randint(50, 120), 100)
        high = low + (Fraction(chance.randint(5, 60), 100) if chance.random() < 0.9 else 0)
        target = None if chance.random() < 0.7 else low + (high - low) * Fraction(chance.randint(0, 10), 10)
        packs.append(MeasuredPack(name, Fraction(chance.randint(0, 250), 100), low, high, target))
    positions = []
    for place in range(chance.randint(1, 5)):
        choices = tuple(
            KitPart(
                f"{'shared' if chance.random() < 0.3 else place}-{size}",
                Fraction(chance.randint(100, 200), 100),
                None if chance.random() < 0.7 else chance.randint(0, 2),
            )
            for size in range(chance.randint(1, 5))
        )
        effect = {name: chance.choice([-1, 1]) for name in chance.sample(names, chance.randint(1, min(3, len(names))))}
        positions.append(Position(f"place {place}", chance.choice(choices).id, choices, effect))
    return packs, positions


def assert_same_as_every_choice(packs: list[MeasuredPack], positions: list[Position], prefer: str, top: int) -> None:
    """The whole list, in its order."""
    feasible, expected = every_choice(packs, positions, prefer, top)
    found = choose(packs, positions, prefer, top)  # type: ignore[arg-type]
    assert found.feasible == feasible
    assert [solution.choice for solution in (found.solutions or found.nearest)] == expected


@pytest.mark.parametrize("seed", range(12))
def test_the_whole_list_is_that_of_trying_every_choice(seed: int) -> None:
    """Order, ties, stock, targets, limits of no width and kits that fall short, on twelve times fifteen benches."""
    chance = random.Random(seed)
    for _ in range(15):
        packs, positions = small_bench(chance)
        assert_same_as_every_choice(packs, positions, chance.choice(["centred", "fewest-changes"]), chance.choice([1, 3, 5, 20]))


# Where the search turns from one way of working to another. Any values must give the same answer; the ways meant for large
# benches are so tried on benches small enough for every choice to be tried.
TURNS = {
    "selection.joins._FEW": (1, 2),
    "selection.joins._MANY_PAIRS": (0, 3),
    "selection.search.SMALL_SIDE": (0, 20),
    "selection.plan.SMALL_SIDE": (0, 20),
    "selection.leaves._LONGEST": (0, 5),
    "selection.layout._FEW_POINTS": (0, 3),
    "selection.ranking._MOST_WAYS": (0, 2),
    "selection.ranking._MOST_OF_A_WAY": (1, 3),
    "selection.ranking._LIKELY": (0, 50),
    "selection.search._CHEAP": (0.0, 10.0),
    "selection.search._EXPECTED": (0, 1),
    "selection.search._FEW_MATCHES": (0.0, 4.0),
    "selection.search._NO_DEARER": (0.0, 1.0),
    "selection.margins._WIDEST_DIRECTION": (0, 64),
    "selection.lattice._LATTICE_STEPS": (1, 5),
}


@pytest.mark.parametrize("seed", range(8, 24))
def test_every_way_of_working_gives_the_same_list(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """With its turning points drawn at random, the search still gives what trying every choice gives."""
    chance = random.Random(f"turns {seed}")
    for _ in range(10):
        with monkeypatch.context() as patch:
            for name, values in TURNS.items():
                if chance.random() < 0.5:
                    patch.setattr(f"calc_engine.{name}", chance.choice(values))
            packs, positions = small_bench(chance)
            assert_same_as_every_choice(packs, positions, chance.choice(["centred", "fewest-changes"]), chance.choice([1, 5, 20]))


def best_margin(packs: tuple[MeasuredPack, ...], positions: tuple[Position, ...], seconds: float = 60.0) -> float | None:
    """The largest worst margin, by HiGHS as a mixed-integer programme; None when it is not through in time."""
    solver = highspy.Highs()
    solver.setOptionValue("time_limit", seconds)
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
    done = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return float(solver.getInfo().objective_function_value) if done else None


def found_margin(outcome: Selection) -> float:
    """The margin of the best."""
    return float((outcome.solutions or outcome.nearest)[0].margin)


@pytest.mark.parametrize("shape", ["chain", "ring", "star", "two_kinds", "one_pack", "some_threes"])
@pytest.mark.parametrize("kit", ["even_steps", "measured"])
def test_the_optimum_is_that_of_a_general_solver(shape: str, kit: str) -> None:
    """HiGHS (the highspy package) finds the same largest margin; its own feasibility tolerance is 1e-6."""
    packs, positions = make_bench(shape, kit, 3, positions=6, choices=8)
    assert found_margin(choose(packs, positions, "centred", 1)) == pytest.approx(best_margin(packs, positions), abs=1e-5)


@pytest.mark.parametrize("prefer", ["centred", "fewest-changes"])
@pytest.mark.parametrize(("shape", "kit"), [("chain", "few_sizes"), ("ring", "even_steps"), ("star", "coarse_steps")])
def test_twelve_places_of_twenty_five_sizes_keep_every_promise(shape: str, kit: str, prefer: str) -> None:
    """Too many to try each, so the list is held against itself: sorted as asked, nothing twice, and each figure worked out anew."""
    packs, positions = make_bench(shape, kit, 1, targets=True)
    found = choose(packs, positions, prefer, 20)  # type: ignore[arg-type]
    listed = found.solutions or found.nearest
    keys = []
    for solution in listed:
        values = [clearance(pack, list(positions), solution.choice) for pack in packs]
        changes = sum(p.choices[index].id != p.fitted for p, index in zip(positions, solution.choice, strict=True))
        assert solution.clearances == tuple(values)
        assert solution.changes == changes
        assert solution.margin == margin(list(packs), values, by_target=found.feasible)
        by_changes = found.feasible and prefer == "fewest-changes"
        keys.append((changes, -solution.margin) if by_changes else (-solution.margin, changes))
    assert [(*key, s.choice) for key, s in zip(keys, listed, strict=True)] == sorted(
        (*key, s.choice) for key, s in zip(keys, listed, strict=True)
    )
    assert len({solution.choice for solution in listed}) == len(listed) == 20


PACK = MeasuredPack("A", Fraction(1), Fraction(1), Fraction(2), None)
PLACE = Position("ring", "thin", (KitPart("thin", Fraction(1), None), KitPart("thick", Fraction(2), None)), {"A": -1})


@pytest.mark.parametrize(
    ("packs", "positions", "top", "message"),
    [
        ([], [PLACE], 1, "A bench needs packs, each with a name of its own."),
        ([PACK, PACK], [PLACE], 1, "A bench needs packs, each with a name of its own."),
        ([replace(PACK, minimum=Fraction(3))], [PLACE], 1, "Pack A: the limits are crossed or the target is outside them."),
        ([replace(PACK, target=Fraction(3))], [PLACE], 1, "Pack A: the limits are crossed or the target is outside them."),
        ([PACK], [replace(PLACE, fitted="lost")], 1, "Position ring: the fitted part must be among choices that differ."),
        ([PACK], [replace(PLACE, effect={"B": 1})], 1, "Position ring: each effect is -1 or 1 on a pack of the bench."),
        ([PACK], [replace(PLACE, effect={"A": 2})], 1, "Position ring: each effect is -1 or 1 on a pack of the bench."),
        ([PACK], [PLACE], 0, "At least one solution must be asked for."),
    ],
)
def test_a_bench_without_meaning_is_refused(packs: list[MeasuredPack], positions: list[Position], top: int, message: str) -> None:
    """The caller is told which rule is broken, and where."""
    with pytest.raises(ValueError, match=re.escape(message)):
        choose(packs, positions, "centred", top)


def test_no_choice_leaves_a_clearance_below_zero() -> None:
    """Parts cannot overlap: the nearest choice of a kit that is too thick leaves no clearance, never less than none."""
    pack = MeasuredPack("A", Fraction(10, 100), Fraction(60, 100), Fraction(90, 100), None)
    other = MeasuredPack("B", Fraction(300, 100), Fraction(60, 100), Fraction(90, 100), None)
    sizes = tuple(KitPart(str(size), Fraction(size, 100), None) for size in (100, 105, 110, 150, 300))
    outcome = choose([pack, other], [Position("ring", "100", sizes, {"A": -1, "B": -1})], top=5)
    assert not outcome.feasible
    assert outcome.infeasible
    assert [solution.clearances[0] for solution in outcome.nearest] == [0, Fraction(5, 100), Fraction(10, 100)]


def test_where_every_choice_binds_a_pack_none_is_offered() -> None:
    """What is fitted leaves less than nothing, and so would anything else: how short it is, is that of what is fitted."""
    pack = MeasuredPack("A", Fraction(-10, 100), Fraction(60, 100), Fraction(90, 100), None)
    sizes = tuple(KitPart(str(size), Fraction(size, 100), None) for size in (95, 100, 110))
    outcome = choose([pack], [Position("ring", "100", sizes, {"A": -1})])
    assert (outcome.feasible, outcome.nearest, outcome.needs) == (False, (), (Fraction(-70, 100),))
    assert (outcome.infeasible, outcome.proved, outcome.beatable, outcome.complete) == (True, True, None, True)
    stopped = choose([pack], [Position("ring", "100", sizes, {"A": -1})], effort=Effort(0))
    assert (stopped.feasible, stopped.nearest, stopped.infeasible, stopped.proved) == (False, (), False, False)
    thinner = (*sizes, KitPart("90", Fraction(90, 100), None))
    assert [near.clearances for near in choose([pack], [Position("ring", "100", thinner, {"A": -1})]).nearest] == [(Fraction(0),)]


def brought_in(chance: random.Random) -> tuple[list[MeasuredPack], list[Position]]:
    """A bench on which what is fitted is within every limit."""
    packs, positions = small_bench(chance)
    positions = positions[:3]
    inside = [pack.minimum + (pack.maximum - pack.minimum) * Fraction(chance.randint(0, 10), 10) for pack in packs]
    return [replace(pack, clearance=value) for pack, value in zip(packs, inside, strict=True)], positions


def better_by_hand(packs: list[MeasuredPack], positions: list[Position], prefer: str) -> tuple[tuple[int, ...], Fraction] | None:
    """The first of all choices in order that has a larger margin than what is fitted, with its margin."""

    def worst(picks: tuple[int, ...]) -> Fraction:
        return margin(packs, [clearance(pack, positions, picks) for pack in packs], by_target=True)

    fitted = tuple([choice.id for choice in position.choices].index(position.fitted) for position in positions)
    _, order = every_choice(packs, positions, prefer, 10**6)
    now = worst(fitted)
    return next(((picks, worst(picks)) for picks in order if worst(picks) > now), None)


@pytest.mark.parametrize("prefer", ["centred", "fewest-changes"])
@pytest.mark.parametrize("seed", range(3))
def test_a_choice_with_more_room_is_the_first_of_them(seed: int, prefer: str) -> None:
    """Of all choices in order, the first that has a larger margin; a search that is stopped names one that has, or none."""
    chance = random.Random(f"more room {seed}")
    for _ in range(15):
        packs, positions = brought_in(chance)
        expected = better_by_hand(packs, positions, prefer)
        found = better_than_fitted(packs, positions, prefer)  # type: ignore[arg-type]
        assert (None if found is None else (found.choice, found.margin)) == expected


@pytest.mark.parametrize("effort", [0, 100, 1000])
def test_a_choice_with_more_room_has_it_although_the_search_was_stopped(effort: int) -> None:
    """It is found by climbing then; where there is none, none is named."""
    sizes = tuple(KitPart(str(size), Fraction(size, 100), None) for size in (100, 107, 121, 130))
    packs = [
        MeasuredPack("A", Fraction(139, 100), Fraction(90, 100), Fraction(140, 100), None),
        MeasuredPack("B", Fraction(82, 100), Fraction(80, 100), Fraction(120, 100), None),
    ]
    positions = [Position("ring", "100", sizes, {"A": -1}), Position("plate", "100", sizes, {"A": -1, "B": 1})]
    stopped = better_than_fitted(packs, positions, "centred", Effort(effort))
    assert stopped is not None
    assert stopped.margin > margin(packs, [pack.clearance for pack in packs], by_target=True)
    alone = [replace(position, choices=sizes[:1]) for position in positions]
    assert better_than_fitted(packs, alone, "centred", Effort(effort)) is None


def test_more_room_is_asked_for_within_the_limits_only() -> None:
    """Elsewhere the first thing is to bring every pack in."""
    pack = MeasuredPack("A", Fraction(2), Fraction(60, 100), Fraction(90, 100), None)
    with pytest.raises(ValueError, match="Every pack must be within its limits"):
        better_than_fitted([pack], [Position("ring", "a", (KitPart("a", Fraction(1), None),), {"A": -1})])


@cache
def searched_whole(seed: int) -> Selection:
    """What a search to the end gives; it takes seconds, so each bench is searched once."""
    return choose(*small_bench(random.Random(f"stopped {seed}")), "centred", 3)


@pytest.mark.parametrize("effort", [0, 300, 3_000, 30_000])
@pytest.mark.parametrize("seed", range(12))
def test_a_search_that_is_stopped_says_what_is_not_excluded(seed: int, effort: int) -> None:
    """What it gives is a choice that can be had; the best of all choices lies between its margin and the one it names."""
    packs, positions = small_bench(random.Random(f"stopped {seed}"))
    spent = choose(packs, positions, "centred", 3, Effort(effort))
    whole = searched_whole(seed)
    best = (whole.solutions or whole.nearest)[0]
    first = (spent.solutions or spent.nearest)[0]
    assert all(value >= 0 for value in first.clearances)
    if spent.proved:
        assert (spent.feasible, first) == (whole.feasible, best)
        return
    assert spent.beatable is not None
    assert not spent.complete
    assert not (spent.feasible and whole.infeasible)
    assert not (spent.infeasible and whole.feasible)
    if spent.feasible == whole.feasible:
        assert first.margin <= best.margin <= spent.beatable


def test_a_bench_that_is_too_hard_is_stopped_and_answered() -> None:
    """Twelve places on four packs each, measured to 0.001 mm: no shop has that. It is answered, and says that it is not proved."""
    outcome = choose(*make_bench("all_fours", "measured", 1), effort=Effort(1_000_000))
    assert not outcome.proved
    assert outcome.feasible
    assert outcome.beatable is not None
    assert outcome.solutions[0].margin < outcome.beatable


def test_as_much_work_gives_the_same_answer_every_time() -> None:
    """The work is counted, not timed."""
    bench = make_bench("all_pairs", "measured", 2)
    assert choose(*bench, effort=Effort(200_000)) == choose(*bench, effort=Effort(200_000))
