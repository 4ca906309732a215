"""The manual can move house: another builder makes the same site, and the theme is known in one place."""

from __future__ import annotations

import re
from collections.abc import Mapping
from importlib.metadata import entry_points
from pathlib import Path

import pytest

from build_hooks.site.build import build_site

from .conftest import ROOT

BROWSER = ROOT / "build_hooks" / "browser"
GENERATOR = re.compile(rb'<meta name="generator" content="([^"]*)">')


@pytest.fixture(scope="module")
def moved(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo, with not one file of it changed, as ProperDocs builds it."""
    folder = tmp_path_factory.mktemp("moved") / "site"
    assert build_site(ROOT / "mkdocs.yml", folder, builder="properdocs") == 0
    return folder


def contents(site: Path) -> Mapping[str, bytes]:
    """Every file of a site by its path, without the list of hashes over all of them and without dates."""
    left_out = {"service-worker.js", "sitemap.xml", "sitemap.xml.gz"}
    paths = {path.relative_to(site).as_posix(): path for path in site.rglob("*") if path.is_file()}
    return {name: path.read_bytes() for name, path in paths.items() if name not in left_out}


def test_the_fork_builds_the_same_site(site: Path, moved: Path) -> None:
    """Every page, block, script and drawing is the same to the byte; only the builder's name differs."""
    here, there = contents(site), contents(moved)
    assert sorted(here) == sorted(there)
    assert [name for name in here if GENERATOR.sub(b"", here[name]) != GENERATOR.sub(b"", there[name])] == []
    assert builder_of(here) == "mkdocs"
    assert builder_of(there) == "mkdocs-ProperDocs"


def builder_of(files: Mapping[str, bytes]) -> str:
    """Who says that it built the start page."""
    found = GENERATOR.search(files["index.html"])
    assert found
    return found[1].decode().split(",")[0].rstrip("0123456789. -")


def test_the_fork_finds_the_plugin_by_the_name_that_the_other_does() -> None:
    """One entry point serves both: what is installed for the one is there for the other."""
    (plugin,) = entry_points(group="mkdocs.plugins", name="benchleaf")
    assert plugin.value == "build_hooks.plugin:BenchleafPlugin"


def test_one_script_knows_the_theme() -> None:
    """The search box and the notes at words are our own; where the theme's page has room for them stands in one module."""
    naming = {path.name for path in BROWSER.rglob("*.js") if re.search(r"[\"'`.]md-\w", path.read_text(encoding="utf-8"))}
    assert naming == {"theme.js"}


def test_no_block_is_written_in_the_words_of_the_theme() -> None:
    """What the build writes into pages, signal words included, has class names of our own: `build_hooks/markdown/admonitions.py`."""
    modules = [path for path in (ROOT / "build_hooks").rglob("*.py") if re.search(r"\bmd-\w", path.read_text(encoding="utf-8"))]
    assert [path.name for path in modules] == []
