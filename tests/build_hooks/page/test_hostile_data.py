"""Whatever stands in the data files, loading ends with a library or with problems that can be read."""

import random
import tempfile
from pathlib import Path
from typing import Any

import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from build_hooks.library import load
from build_hooks.reading.problems import MOST_FAULTS

SHOP = b"name: Quay Lane\ngauges: {bench-dial: {name: Dial, kind: dial, resolution: 0.01 mm, max_error: 0.02 mm}}\n"
SOUND: str = yaml.safe_load((Path(__file__).parents[1] / "messages" / "sense.yml").read_text(encoding="utf-8"))["sound"]
EVER = settings(deadline=None, max_examples=150, suppress_health_check=[HealthCheck.too_slow])


def judge(data: bytes, name: str = "units/oak-2/unit.yml") -> list[str]:
    """Loads a folder with these bytes in one of its files, and holds the outcome to its promises."""
    with tempfile.TemporaryDirectory() as folder:
        docs = Path(folder)
        (docs / "units" / "oak-2").mkdir(parents=True)
        (docs / "shop.yml").write_bytes(SHOP)
        (docs / name).write_bytes(data)
        library, problems = load(docs)
    assert library is not None
    if name == "shop.yml":
        assert library.shop_at_fault is bool(problems)
    else:
        assert ("oak-2" in library.units) is (not problems)
    assert len(problems) <= 3 * MOST_FAULTS
    lines = data.count(b"\n") + data.count(b"\r") + data.count(b"\xc2\x85") + data.count(b"\xe2\x80") + 2
    for problem in problems:
        assert 1 <= problem.line <= lines
        assert 1 <= problem.column <= len(data) + 2
        assert problem.message
        assert problem.remedy
        assert str(problem).isprintable()
    assert list(problems) == sorted(problems, key=lambda problem: problem.place)
    return [problem.code for problem in problems]


@EVER
@given(st.binary(max_size=300))
def test_any_bytes(data: bytes) -> None:
    """A file may hold anything."""
    judge(data)
    judge(data, "shop.yml")


@EVER
@given(st.text(st.sampled_from("ab: \n\t-[]{},'\"#&*!|>?%@`\\~<0x.é\u2028\ufeff\0=…😀"), max_size=120))
def test_any_text_of_yaml_signs(text: str) -> None:
    """Text of the signs that mean something in YAML finds the odd corners of its parser."""
    judge(text.encode())


WORDS = st.sampled_from(
    ["name", "parts", "packs", "drums", "stack", "part", "repeat", "of", "clearance", "min", "max", "wave", "selective", "choices",
     "tightens", "kind", "steel", "thickness", "1.80 mm", "0.90 mm ± 2", "status", "state", "approved", "shafts", "end_play", "gauge",
     "bench-dial", "side", "caution", "danger", "look_alikes", "<<", "[key]", "id", "entry", "grooves", "stock", "at", "4 positions"]
)  # fmt: skip
TREES: st.SearchStrategy[Any] = st.recursive(
    WORDS | st.none() | st.booleans() | st.integers(-2, 70) | st.floats(allow_nan=True) | st.dates() | st.text(max_size=6),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(WORDS | st.text(max_size=4), inner, max_size=5),
    max_leaves=25,
)


@EVER
@given(st.dictionaries(WORDS, TREES, max_size=6))
def test_any_tree_of_our_own_words(tree: dict[str, Any]) -> None:
    """Right words in wrong places upset neither model nor checks."""
    judge(yaml.safe_dump(tree, allow_unicode=True).encode())
    judge(yaml.safe_dump({"gauges": tree, "words": tree, "screens": tree}, default_flow_style=True).encode(), "shop.yml")


@EVER
@given(st.randoms(use_true_random=False), st.integers(1, 6))
def test_sound_data_with_a_few_slips_of_the_keyboard(chance: random.Random, slips: int) -> None:
    """Sound data in which characters were lost, doubled, swapped or lines moved."""
    text = SOUND
    for _ in range(slips):
        at = chance.randrange(len(text) - 1)
        lines = text.splitlines(keepends=True)
        line = chance.randrange(len(lines))
        text = chance.choice(
            [
                text[:at] + text[at + 1 :],
                text[:at] + text[at] + text[at:],
                text[:at] + text[at + 1] + text[at] + text[at + 2 :],
                text[:at] + chance.choice(":,[]{}'\"#-0 \t") + text[at:],
                "".join(lines[:line] + lines[line + 1 :]),
                "".join([*lines[:line], f"  {lines[line]}", *lines[line + 1 :]]),
                "".join(lines[:line] + lines[line : line + 1] * 2 + lines[line + 1 :]),
            ]
        )
    judge(text.encode())


def test_the_sound_data_is_sound() -> None:
    """The slips above start from data without a problem."""
    assert judge(SOUND.encode()) == []


def test_a_file_with_thousands_of_faults_is_answered_with_the_first_hundred() -> None:
    """A broken file is not mended from a list of thousands, and finding them all would take its time."""
    assert judge(b"name: Oak\n" + b"".join(b"key%d: x\n" % number for number in range(20_000))) == ["unknown-key"] * MOST_FAULTS
    assert judge(b"name: Oak\n" * 20_000) == [*["duplicate-key"] * MOST_FAULTS, "too-many"]
    stack = b", ".join(b"part-%d" % number for number in range(20_000))
    data = b"name: Oak\nparts: {steel: {name: S, kind: hub}}\npacks: {low: {name: Low, stack: [" + stack + b"]}}\n"
    assert judge(data) == ["too-many", *["unknown-part"] * (MOST_FAULTS - 1)]
