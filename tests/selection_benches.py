"""Random benches for the choice of selective parts, and the same question as a mixed-integer model for HiGHS."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from calc_engine.selection.choice import KitPart, MeasuredPack, Position

type Bench = tuple[tuple[MeasuredPack, ...], tuple[Position, ...]]
type Thicknesses = Callable[[random.Random, int], list[Fraction]]

MILLIMETRE_STEPS = tuple(Fraction(step, 100) for step in (5, 8, 10, 12, 15, 20))


def even_steps(rng: random.Random, count: int) -> list[Fraction]:
    """A kit as sold: one step throughout, 0.05 to 0.20 mm, thicknesses to 0.01 mm."""
    first, step = Fraction(rng.randint(120, 260), 100), rng.choice(MILLIMETRE_STEPS)
    return [first + step * place for place in range(count)]


def coarse_steps(rng: random.Random, count: int) -> list[Fraction]:
    """All kits in steps of 0.05 mm or twice that."""
    first, step = Fraction(rng.randint(24, 52), 20), Fraction(rng.choice((1, 2)), 20)
    return [first + step * place for place in range(count)]


def measured(rng: random.Random, count: int) -> list[Fraction]:
    """Parts measured one by one to 0.001 mm."""
    first = rng.randint(1200, 2600)
    return [Fraction(first + place, 1000) for place in sorted(rng.sample(range(2500), count))]


def measured_inch(rng: random.Random, count: int) -> list[Fraction]:
    """Parts measured one by one to 0.0001 in, in mm."""
    first = rng.randint(480, 1020)
    return [Fraction(first + place, 10_000) * Fraction(254, 10) for place in sorted(rng.sample(range(1000), count))]


def mixed_units(rng: random.Random, count: int) -> list[Fraction]:
    """Some kits to 0.0001 in, some to 0.001 mm."""
    return rng.choice((measured, measured_inch))(rng, count)


def few_sizes(rng: random.Random, count: int) -> list[Fraction]:
    """Many parts of the same few thicknesses."""
    sizes = even_steps(rng, 6)
    return sorted(rng.choice(sizes) for _ in range(count))


def chain(rng: random.Random, positions: int) -> list[dict[int, int]]:
    """Packs A-B-C-D, one to three positions between neighbours, the others private."""
    effects = []
    for pack in range(3):
        sign = rng.choice((-1, 1))
        effects += [{pack: -1, pack + 1: sign}] * rng.randint(1, 3)
    while len(effects) < positions:
        effects.append({rng.randrange(4): -1})
    return effects[:positions]


def ring(rng: random.Random, positions: int) -> list[dict[int, int]]:
    """Packs in a ring, two positions between neighbours, the others private."""
    effects = [{pack: -1, (pack + 1) % 4: rng.choice((-1, 1))} for pack in range(4) for _ in range(2)]
    while len(effects) < positions:
        effects.append({rng.randrange(4): -1})
    return effects[:positions]


def star(rng: random.Random, positions: int) -> list[dict[int, int]]:
    """Pack A in the middle, two positions between it and each of the others, the rest private."""
    effects = [{0: rng.choice((-1, 1)), pack: -1} for pack in (1, 2, 3) for _ in range(2)]
    while len(effects) < positions:
        effects.append({rng.randrange(4): -1})
    return effects[:positions]


def all_shared(rng: random.Random, positions: int) -> list[dict[int, int]]:
    """Every position between two packs drawn at random, with signs drawn at random."""
    return [{pack: rng.choice((-1, 1)) for pack in rng.sample(range(4), 2)} for _ in range(positions)]


def all_pairs(rng: random.Random, positions: int) -> list[dict[int, int]]:
    """Every position alone of its kind: each pair of packs once with equal and once with opposite signs."""
    kinds = [{a: -1, b: sign} for a in range(4) for b in range(a + 1, 4) for sign in (-1, 1)]
    return [kinds[place % len(kinds)] for place in range(positions)]


def two_kinds(rng: random.Random, positions: int) -> list[dict[int, int]]:
    """Two packs only, the positions between them either of equal or of opposite effect; few of the second kind."""
    return [{0: -1, 1: -1}] * (positions - 2) + [{0: -1, 1: 1}] * 2


def one_pack(rng: random.Random, positions: int) -> list[dict[int, int]]:
    """All on one pack of four; the others have no position."""
    return [{0: -1}] * positions


def some_threes(rng: random.Random, positions: int) -> list[dict[int, int]]:
    """A chain in which three positions move three packs."""
    effects = chain(rng, positions)
    for place in rng.sample(range(positions), 3):
        effects[place] = {pack: rng.choice((-1, 1)) for pack in rng.sample(range(4), 3)}
    return effects


def all_threes(rng: random.Random, positions: int) -> list[dict[int, int]]:
    """Every position moves three packs drawn at random."""
    return [{pack: rng.choice((-1, 1)) for pack in rng.sample(range(4), 3)} for _ in range(positions)]


def all_fours(rng: random.Random, positions: int) -> list[dict[int, int]]:
    """Every position moves all four packs, with signs drawn at random."""
    return [{pack: rng.choice((-1, 1)) for pack in range(4)} for _ in range(positions)]


SHAPES = {
    shape.__name__: shape
    for shape in (
        chain,
        ring,
        star,
        all_shared,
        all_pairs,
        two_kinds,
        one_pack,
        some_threes,
        all_threes,
        all_fours,
    )
}
KITS = {kit.__name__: kit for kit in (even_steps, coarse_steps, measured, measured_inch, mixed_units, few_sizes)}


def make_bench(
    shape: str,
    kit: str,
    seed: int,
    *,
    positions: int = 12,
    choices: int = 25,
    off: Fraction = Fraction(1),
    shared_ids: bool = False,
    stock: int | None = None,
    targets: bool = False,
) -> Bench:
    """A bench.

    Args:
        shape: a name in SHAPES.
        kit: a name in KITS.
        seed: of the random numbers.
        positions: how many.
        choices: for each position.
        off: the largest distance of a measured clearance from the middle of its limits [mm].
        shared_ids: whether all positions take from one shelf.
        stock: of every part; None for not counted.
        targets: whether packs aim at a clearance other than the middle.
    """
    rng = random.Random(f"{shape} {kit} {seed}")
    effects = SHAPES[shape](rng, positions)
    rng.shuffle(effects)
    packs = []
    for name in "ABCD":
        low, width = Fraction(rng.randint(60, 120), 100), Fraction(rng.randint(20, 60), 100)
        away = off * rng.randint(-1000, 1000) / 1000
        clearance = Fraction(round((low + width / 2 + away) * 1000), 1000)
        target = low + width * Fraction(rng.randint(3, 7), 10) if targets else None
        packs.append(MeasuredPack(name, clearance, low, low + width, target))
    common = KITS[kit](rng, choices)
    places = []
    for place, effect in enumerate(effects):
        sizes = common if shared_ids else KITS[kit](rng, choices)
        prefix = "" if shared_ids else f"{place}-"
        parts = tuple(KitPart(f"{prefix}{number}", size, stock) for number, size in enumerate(sizes))
        named = {"ABCD"[pack]: sign for pack, sign in effect.items()}
        places.append(Position(f"position {place}", rng.choice(parts).id, parts, named))
    moved = {"ABCD"[pack] for effect in effects for pack in effect}
    packs = [pack if pack.name in moved else replace(pack, clearance=(pack.minimum + pack.maximum) / 2) for pack in packs]
    return tuple(packs), tuple(places)
