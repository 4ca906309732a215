"""A short share of the fuzzing of the build, and proof that its judges see what they are there to see."""

from __future__ import annotations

import subprocess
import tempfile
import time
from collections.abc import Callable, Iterable
from pathlib import Path

import pytest

from build_hooks.blocks import BLOCKS
from build_hooks.reading.problems import Problem
from tests.fuzz import judge
from tests.fuzz.fuzz_build import IN_MEMORY, fuzzed, rows
from tests.fuzz.judge import Finding, Guard, Reached, in_time, judge_html, judge_problems
from tests.fuzz.mutate import MARK, PAYLOADS
from tests.fuzz.targets import all_targets


def test_a_few_hundred_runs_find_nothing() -> None:
    """Every target has its turn; the long run is started by hand."""
    with tempfile.TemporaryDirectory(dir=IN_MEMORY) as folder:
        outcomes = fuzzed(Path(folder).resolve(), 300, 20261129)
    assert [failure for row in rows(outcomes) for failure in row.failures] == []
    assert sum(outcome.runs for outcome in outcomes) == 300
    assert {outcome.target.name for outcome in outcomes if outcome.runs} >= {
        "unit",
        "shop",
        "findings and trees",
        "path",
        "block",
        "page",
    }


def test_spoilt_manuals_open_nothing_beside_them() -> None:
    """Whole manuals take longest, so they have a share of their own."""
    with tempfile.TemporaryDirectory(dir=IN_MEMORY) as folder:
        (outcome,) = fuzzed(Path(folder).resolve(), 4, 1, ["manual"])
    assert (outcome.runs, outcome.causes) == (4, {})


def test_the_same_seed_gives_the_same_inputs() -> None:
    """A finding can be looked at again."""
    texts = []
    for _ in range(2):
        with tempfile.TemporaryDirectory(dir=IN_MEMORY) as folder:
            (outcome,) = fuzzed(Path(folder).resolve(), 100, 3, ["findings and trees"])
        texts.append([given.text for given in outcome.target.corpus])
    assert texts[0] == texts[1]
    assert len(texts[0]) > outcome.seeds


@pytest.mark.parametrize(
    "payload", [payload for payload in PAYLOADS if payload.lower().startswith(("<", '"><', "'><")) and "bench" not in payload]
)
def test_markup_in_a_page_is_seen(payload: str) -> None:
    """Each of the payloads, as it would stand in a page that escapes nothing."""
    with pytest.raises(Finding, match="markup"):
        judge_html(f"<p>{payload}</p>")


@pytest.mark.parametrize(
    "html",
    [
        f'<p title="a" on{MARK}="1">a</p>', "<p onclick='a'>a</p>", "<a href='java\tscript:a'>a</a>", "<img src='//other.example/a.png'>", "<a href=DATA:text/html,a>a</a>",
        "<div>a", "a</p>", "<div><p>a</div></p>", "<!-- a -->", '<script type="application/json">{</script>', "<script>a</script>", "<iframe></iframe>",
        "<p style='background: url(a)'>a</p>",
    ],
)  # fmt: skip
def test_what_no_page_may_hold_is_seen(html: str) -> None:
    """Handlers, addresses that run or lead to other hosts, elements that end in the wrong place."""
    with pytest.raises(Finding, match="markup"):
        judge_html(html)


def test_escaped_data_are_no_markup() -> None:
    """What is shown as text is let through."""
    judge_html(
        f'<p title="&quot;&gt;&lt;{MARK}&gt;">&lt;{MARK} on{MARK}=1&gt;</p><script type="application/json">{{"a": "\\u003c{MARK}"}}</script>'
    )


@pytest.mark.parametrize(
    ("problem", "said"),
    [
        (Problem("a.yml", 3, 1, "bad-yaml", "No.", "Mend it."), "beside the file"),
        (Problem("a.yml", 1, 9, "bad-yaml", "No.", "Mend it."), "beside the file"),
        (Problem("b.yml", 1, 1, "bad-yaml", "No.", "Mend it."), "another file"),
        (Problem("a.yml", 1, 1, "bad, yaml", "No.", "Mend it."), "lacks"),
        (Problem("a.yml", 1, 1, "bad-yaml", " ", "Mend it."), "lacks"),
        (Problem("a.yml", 1, 1, "bad-yaml", "No.", ""), "lacks"),
    ],
)
def test_a_problem_that_helps_nobody_is_seen(problem: Problem, said: str) -> None:
    """It needs a place in its file, a code and words."""
    with pytest.raises(Finding, match=said):
        judge_problems([problem], {"a.yml": "name: a\n"})


def test_the_guard_sees_what_is_opened_outside(tmp_path: Path) -> None:
    """By its path, by a link, to read or to write; and what is begun."""
    guard, docs = Guard(), tmp_path / "docs"
    docs.mkdir()
    (tmp_path / "secret").write_text("a", encoding="utf-8")
    (docs / "a").write_text("a", encoding="utf-8")
    (docs / "link").symlink_to("../secret")
    with guard.armed([docs]):
        (docs / "a").read_bytes()
    ways: Iterable[Callable[[], object]] = (
        (tmp_path / "secret").read_bytes,
        (docs / "link").read_bytes,
        (docs / "../secret").read_bytes,
        lambda: (docs / "a").write_bytes(b""),
        (docs / "b").mkdir,
        (docs / "a").unlink,
        lambda: subprocess.run(["true"], check=True),
    )
    for way in ways:
        with pytest.raises(Finding, match="left its folders"), guard.armed([docs]):
            way()


def test_what_is_slow_is_a_finding_and_what_hangs_is_broken_off(monkeypatch: pytest.MonkeyPatch) -> None:
    """The limits are made small, so that nobody waits."""
    monkeypatch.setattr(judge, "LONGEST", 0.05)
    monkeypatch.setattr(judge, "_BROKEN_OFF", 0.2)

    def busy(seconds: float) -> None:
        began = time.process_time()
        while time.process_time() - began < seconds:
            pass

    with pytest.raises(Finding, match="took"), in_time():
        busy(0.1)
    with pytest.raises(Finding, match="broken off"), in_time():
        busy(5)


def test_new_lines_are_counted_once() -> None:
    """What a run reaches for the first time guides the rest."""
    with Reached() as reached:
        judge_problems([], {})
        assert reached.take() == 0
        Problem("a.yml", 1, 1, "a", "b", "c").place  # noqa: B018
        assert reached.take() > 0
        Problem("a.yml", 1, 1, "a", "b", "c").place  # noqa: B018
        assert reached.take() == 0


def test_every_block_has_seeds() -> None:
    """A block that is added is fuzzed as soon as the demo shows it, and not forgotten before."""
    with tempfile.TemporaryDirectory(dir=IN_MEMORY) as folder:
        (target,) = all_targets(Path(folder).resolve(), ["block"])
    assert {given.text.partition("\n")[0] for given in target.corpus} == set(BLOCKS)
