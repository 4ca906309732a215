"""What only the builder knows is told when the manual is built: places within a page, and entries of the menu."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from build_hooks.site.build import build_site
from tests.site.conftest import ROOT

LINKS = (
    "[ours](../alder-4/front-drum-clearance.md#calc-alder-4-front-drum) [heading](../../standards/seals.md#which-way-the-lip-points)"
    " [nowhere](../../standards/seals.md#no-such-place) [nor here](#nor-this)"
)


def test_a_place_or_a_page_that_is_not_there_is_told(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    """The manual is built all the same: whoever follows the link reaches the page. Places in blocks of ours count."""
    shutil.copytree(ROOT / "docs", tmp_path / "docs")
    config = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    (tmp_path / "mkdocs.yml").write_text(
        config.replace("Seals: standards/seals.md", "Seals: standards/seal.md"), encoding="utf-8"
    )
    for folder in ("node_modules", ".cache"):
        (tmp_path / folder).symlink_to(ROOT / folder)
    with (tmp_path / "docs/units/hazel-2/low-pack-clearance.md").open("a", encoding="utf-8") as page:
        page.write(f"\n{LINKS}\n")
    assert build_site(tmp_path / "mkdocs.yml", tmp_path / "site") == 0
    lines = capfd.readouterr().err.splitlines()
    assert len([line for line in lines if "standards/seal.md" in line and "nav" in line]) == 1
    told = [line for line in lines if "anchor" in line]
    assert len(told) == 2
    assert all("units/hazel-2/low-pack-clearance.md" in line for line in told)
    for place, line in zip(("#nor-this", "#no-such-place"), sorted(told, key=len), strict=True):
        assert place in line
