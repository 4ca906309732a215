"""Chance from a seed: the published generator, fair and the same everywhere."""

from __future__ import annotations

from collections import Counter
from math import factorial

from hypothesis import given
from hypothesis import strategies as st

from calc_engine.practice.generator import LARGEST_SEED, Generator, generator_for


def test_words_are_those_of_the_reference_code() -> None:
    """The first words of seeds 0 and 1234567 are those printed for the reference code (its seed 0 in hexadecimal)."""
    # Source: outputs of S. Vigna's splitmix64.c as many public test suites quote them; the second list also on Rosetta Code,
    # "Pseudo-random numbers/Splitmix64".
    zero, other = Generator(0), Generator(1234567)
    assert [zero.word() for _ in range(4)] == [0xE220A8397B1DCDAF, 0x6E789E6AA1B965F4, 0x06C45D188009454F, 0xF88BB8A8724C81EC]
    assert [other.word() for _ in range(5)] == [
        6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821,
    ]  # fmt: skip


def test_seed_is_taken_modulo_a_word() -> None:
    """A seed beyond 64 bits counts as its last 64 bits."""
    assert Generator(2**64 + 5).word() == Generator(5).word()


def test_names_fold_into_the_seed_by_the_published_hash() -> None:
    """The stream of a name starts at the seed crossed with FNV-1a of the name: of “foobar” the published 85944171f73967e8."""
    # Source of the value: the test vectors of the FNV reference code.
    first = Generator(Generator(7 ^ 0x85944171F73967E8).word())
    assert [generator_for(7, "foobar").word() for _ in range(1)] == [first.word()]


def test_names_are_kept_apart() -> None:
    """The same seed draws otherwise for another name, and otherwise where the names are cut otherwise."""
    assert len({generator_for(1, *names).word() for names in (("a", "b"), ("a", "c"), ("ab",), ("a",), ("b", "a"))}) == 5


@given(st.integers(0, LARGEST_SEED), st.integers(1, 2**64))
def test_below_stays_below(seed: int, count: int) -> None:
    """A number below a count is never the count."""
    assert 0 <= Generator(seed).below(count) < count


def test_below_draws_again_beyond_the_last_multiple() -> None:
    """Words that would make the first numbers likelier are drawn again: with 2^63 + 1 numbers nearly every second one."""
    generator, reference = Generator(0), Generator(0)
    words = [reference.word() for _ in range(40)]
    kept = [word for word in words if word < 2**63 + 1]
    assert len(kept) < 30
    assert [generator.below(2**63 + 1) for _ in range(5)] == kept[:5]


@given(st.integers(0, LARGEST_SEED), st.integers(-50, 50), st.integers(0, 50))
def test_between_takes_both_ends(seed: int, least: int, width: int) -> None:
    """A number between two bounds is one of them or lies between them."""
    assert least <= Generator(seed).between(least, least + width) <= least + width


def test_choice_and_chance_are_even() -> None:
    """Of 6000 draws each of six things comes up 1000 times, give or take five standard deviations; a chance of 1 in 3 likewise."""
    generator = Generator(3)
    counted = Counter(generator.choice("abcdef") for _ in range(6000))
    assert all(abs(count - 1000) < 5 * 29 for count in counted.values())
    assert abs(sum(generator.chance(1, 3) for _ in range(6000)) - 2000) < 5 * 37


def test_every_order_is_as_likely() -> None:
    """Of 12000 shuffles of four cards each of the 24 orders comes up 500 times, give or take five standard deviations."""
    generator = Generator(4)
    counted = Counter(generator.shuffled("abcd") for _ in range(12000))
    assert len(counted) == factorial(4)
    assert all(abs(count - 500) < 5 * 22 for count in counted.values())


@given(st.integers(0, LARGEST_SEED), st.lists(st.integers(), max_size=30))
def test_shuffling_keeps_everything(seed: int, items: list[int]) -> None:
    """A shuffle loses nothing and adds nothing, and leaves the list as it was."""
    before = list(items)
    assert sorted(Generator(seed).shuffled(items)) == sorted(before)
    assert items == before
