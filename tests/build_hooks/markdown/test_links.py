"""A link that leads nowhere is told with its place before anything is built."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest

from build_hooks.edition import prepare
from build_hooks.markdown.links import link_faults
from tests.site.conftest import ROOT

PAGE = "units/oak-2/index.md"
FILES = {
    PAGE,
    "units/oak-2/low-pack.md",
    "standards/seals.md",
    "standards/air-check.md",
    "pictures/hub.png",
    "index.md",
    "my page.md",
}


def told(page: str) -> list[tuple[int, int, str, str]]:
    """Line, column, message and remedy of each fault."""
    return [(fault.mark.line, fault.mark.column, fault.message, fault.remedy) for fault in link_faults(page, PAGE, FILES)]


@pytest.mark.parametrize(
    "link",
    [
        "[a](low-pack.md)", "[a](./low-pack.md#hub)", "[a](../../standards/seals.md)", "[a](<../../my%20page.md>)",
        '[a](low-pack.md "A title")', "![a](../../pictures/hub.png)", "[![a](../../pictures/hub.png)](low-pack.md)",
        "[a](#below)", "[a](https://example.org/x.md)", "[a](mailto:a@example.org)", "[a](/anywhere.md)", "[a](../../wall/)",
        "[a](../../wall/index.html)", "`[a](nothing.md)`", "``[a](`nothing.md)``", "```\n[a](nothing.md)\n```", "[a]: low-pack.md",
        "[^1]: nothing.md is the name of a file that is not there", "<!-- [a](nothing.md) -->",
    ],
)  # fmt: skip
def test_links_that_lead_somewhere_or_are_not_ours_to_judge(link: str) -> None:
    """Files of the manual, places in a page, other hosts, pages as they are served, and code."""
    assert told(f"{link}\n") == []


@pytest.mark.parametrize(
    ("line", "column", "target", "remedy"),
    [
        ("See [a](low-pak.md).", 9, "low-pak.md", "Did you mean “low-pack.md”?"),
        ("See [a](seals.md#lip).", 9, "seals.md#lip", "Did you mean “../../standards/seals.md”?"),
        ("![a]( ../hub.png )", 7, "../hub.png", "Did you mean “../../pictures/hub.png”?"),
        ("[a]: ../air-chek.md", 6, "../air-chek.md", "Did you mean “../../standards/air-check.md”?"),
        ("[a](../../../outside.md)", 5, "../../../outside.md", "Correct the path: it begins at this page's own folder."),
        ("[a](../../learning/index.md)", 5, "../../learning/index.md", "Correct the path: it begins at this page's own folder."),
        ("[a](rules.md)", 5, "rules.md", "Correct the path: it begins at this page's own folder."),
        ("[a](high-pack.md)", 5, "high-pack.md", "Correct the path: it begins at this page's own folder."),
        ("[a](../../unit/oak-2/index.md)", 5, "../../unit/oak-2/index.md", "Did you mean “index.md”?"),
        ("[a](scan.pdf)", 5, "scan.pdf", "Correct the path: it begins at this page's own folder."),
    ],
)
def test_links_that_lead_nowhere(line: str, column: int, target: str, remedy: str) -> None:
    """With the file that may be meant."""
    assert told(f"Text.\n\n{line}\n") == [(3, column, f"“{target}” is no file of the manual.", remedy)]


def test_several_in_a_line_are_all_told() -> None:
    """In their order."""
    assert [fault[:2] for fault in told("[a](x.md), [b](low-pack.md), ![c](y.png)\n[d](z.md)\n")] == [(1, 5), (1, 35), (2, 5)]


def test_the_manual_is_not_built_with_one(tmp_path: Path) -> None:
    """Pages that are made, such as those of the calculations and the words, may be linked to like any other."""
    docs = tmp_path / "docs"
    shutil.copytree(ROOT / "docs", docs)
    with (docs / "index.md").open("a", encoding="utf-8") as page:
        page.write("\n[a](calculations/pack-clearance.md) [b](words/index.md) [c](standards/seal.md)\n")
    edition, problems = prepare(docs, date(2026, 11, 25))
    assert edition is None
    (problem,) = problems
    assert str(problem).startswith(f"{(docs / 'index.md').as_posix()}:")
    assert problem.message == "“standards/seal.md” is no file of the manual."
    assert problem.remedy == "Did you mean “standards/seals.md”?"
