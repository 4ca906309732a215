"""No page makes a check or a build run for ever: what cannot be taken apart in time is refused at its place."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from build_hooks.markdown.tangles import tangles
from build_hooks.process.time_limit import LimitError, at_most

ROOT = Path(__file__).parents[3]


def told(page: str) -> list[str]:
    """Each fault with its place."""
    return [f"{fault.mark.line}:{fault.mark.column}: {fault.message} {fault.remedy}" for fault in tangles(page)]


@pytest.mark.parametrize(
    ("page", "line"),
    [
        (
            "# A\n\nText " + "[" * 51,
            "3:6: More than 50 brackets “[” of this paragraph are not closed. Close them, or put \\ before each that is no link.",
        ),
        (
            "a ![x\n" * 51,
            "1:4: More than 50 brackets “[” of this paragraph are not closed. Close them, or put \\ before each that is no link.",
        ),
        ("[" * 21 + "]" * 21, "1:1: More than 20 brackets “[” are nested here. Put \\ before each that is no link."),
        ("- a\n" + " " * 84 + "- b", "2:85: This list is more than 20 lists deep. Move it further left."),
        (
            "a" + "*" * 101 + "a",
            "1:2: More than 100 stars or underscores in a row here. Shorten the row, or put it on a line of its own.",
        ),
    ],
)
def test_a_tangle_is_told_at_its_place(page: str, line: str) -> None:
    """Once for each paragraph."""
    assert told(page) == [line]


@pytest.mark.parametrize(
    "page",
    [
        "[" * 50,
        "[a](b.md) " * 5000,
        "\\[" * 5000,
        "[ a\n\n" * 500,
        "[" * 20 + "]" * 20,
        "```\n" + "[" * 5000 + "\n```\n",
        "*" * 500,
        "*a* _b_ " * 500,
        " " * 200 + "code",
    ],
)
def test_what_markdown_takes_apart_in_time_is_let_through(page: str) -> None:
    """Many links, brackets that are shown as such, listings, rules."""
    assert told(page) == []


def test_no_page_of_the_demo_is_tangled() -> None:
    """What an author writes is far from the limits."""
    assert [path for path in (ROOT / "docs").rglob("*.md") if told(path.read_text(encoding="utf-8"))] == []


# The timer may go off in the garbage collector: there Python reports the error and goes on, and the timer comes again.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
def test_what_takes_too_long_is_broken_off() -> None:
    """Even where something on the way swallows exceptions; and afterwards nothing is."""

    def work() -> None:
        while True:
            try:
                while True:
                    pass
            except LimitError:
                if swallowed:
                    raise
                swallowed.append(1)

    swallowed: list[int] = []
    with pytest.raises(LimitError), at_most(0.05):
        work()
    with at_most(0.05):
        pass
    sum(range(3_000_000))


def test_the_builder_names_a_page_that_takes_too_long(tmp_path: Path) -> None:
    """Here the page waits in a slow extension, as a tangle would that no rule knows."""
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "shop.yml").write_text("name: Quay Lane\n", encoding="utf-8")
    (tmp_path / "docs" / "index.md").write_text("# Quay Lane\n", encoding="utf-8")
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: Q\ntheme: {name: material, font: false}\nplugins: [benchleaf]\nmarkdown_extensions: [slow_extension]\n",
        encoding="utf-8",
    )
    (tmp_path / "slow_extension.py").write_text(
        "import markdown\nfrom build_hooks.process import time_limit\n\n"
        "class Slow(markdown.Extension):\n"
        "    def extendMarkdown(self, md):\n"
        "        md.preprocessors.register(Wait(md), 'wait', 0)\n\n"
        "class Wait(markdown.preprocessors.Preprocessor):\n"
        "    def run(self, lines):\n"
        "        while True:\n"
        "            pass\n\n"
        "def makeExtension():\n"
        "    from build_hooks import plugin\n"
        "    plugin.LONGEST = 0.1\n"
        "    return Slow()\n",
        encoding="utf-8",
    )
    environment = {**os.environ, "PYTHONPATH": f"{ROOT}{os.pathsep}{tmp_path}"}
    command = [sys.executable, "-m", "build_hooks", "build"]
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd=tmp_path, env=environment)
    assert done.returncode == 1
    assert (
        "index.md:1:1: This page takes more than 20 seconds. Split it up, and look for a passage that is no text." in done.stderr
    )
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "site").exists()
