"""What only the builder knows is told when the manual is built: places within a page, and entries of the menu."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from build_hooks.site.build import build_site
from tests.site.conftest import ROOT

# A place of a block of ours, one of a heading, and two that are not there.
PAGE = """---
unit: hazel-2
---
# Readings

```calc
calculation: set-clearances
drum: drum
```

[ours](#calc-hazel-2-drum) [heading](seals.md#which-way-the-lip-points) [nowhere](seals.md#no-such-place) [nor here](#nor-this)
"""
SEALS = "# Seals\n\n## Which way the lip points\n\nTo the pressure.\n"
CONFIG = (
    "site_name: Quay Lane\ntheme: {name: material, font: false}\nplugins: [benchleaf]\nnav: [index.md, readings.md, seal.md]\n"
)


def test_a_place_or_a_page_that_is_not_there_is_told(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """The manual is built all the same: whoever follows the link reaches the page. Places in blocks of ours count."""
    docs = tmp_path / "docs"
    shutil.copytree(ROOT / "docs/units/hazel-2", docs / "units/hazel-2", ignore=shutil.ignore_patterns("*.md"))
    shutil.copy(ROOT / "docs/shop.yml", docs)
    for name, text in {"index.md": "# Quay Lane\n", "readings.md": PAGE, "seals.md": SEALS, "../mkdocs.yml": CONFIG}.items():
        (docs / name).write_text(text, encoding="utf-8")
    for folder in ("node_modules", ".cache"):
        (tmp_path / folder).symlink_to(ROOT / folder)
    assert build_site(tmp_path / "mkdocs.yml", tmp_path / "site") == 0
    lines = capfd.readouterr().err.splitlines()
    assert len([line for line in lines if "seal.md" in line and "nav" in line]) == 1
    told = [line for line in lines if "anchor" in line]
    assert len(told) == 2
    assert all("readings.md" in line for line in told)
    for place, line in zip(("#nor-this", "#no-such-place"), sorted(told, key=len), strict=True):
        assert place in line
