"""`make quick` runs the tests of the rooms that were changed."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.changed_rooms import QUICKEST, places_to_test

ROOT = Path(__file__).parent.parent


@pytest.mark.parametrize(
    ("changed", "expected"),
    [
        (["build_hooks/reading/nodes.py"], ("tests/build_hooks/reading",)),
        (["calc_engine/bench/verdict.py", "calc_engine/bench/readings.py"], ("tests/calc_engine/bench",)),
        (["build_hooks/site/offline/tags.py"], ("tests/build_hooks/site",)),
        (["calc_engine/answer.py"], ("tests/calc_engine/test_answer.py",)),
        (["tests/site/test_demo.py"], ("tests/site/test_demo.py",)),
        (["calc_engine/bench/verdict.py", "tests/calc_engine/bench/test_verdict.py"], ("tests/calc_engine/bench",)),
        (["tests/site/test_never_written.py"], QUICKEST),
        (["build_hooks/styles/paper.css", "README.md"], QUICKEST),
        ([], QUICKEST),
    ],
)
def test_tests_follow_the_changed_room(changed: list[str], expected: tuple[str, ...]) -> None:
    """Each changed file leads to the tests of its room, and to nothing that is not there."""
    assert places_to_test(changed, ROOT) == expected


def test_the_quickest_tests_exist() -> None:
    """What runs where nothing was changed is there to run."""
    assert [place for place in QUICKEST if not (ROOT / place).is_dir()] == []
