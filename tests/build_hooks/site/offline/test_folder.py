"""The manual as a folder that opens by double-click: no server, no network, the same answers."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from bs4 import BeautifulSoup
from playwright.sync_api import BrowserContext, expect

from build_hooks.cli import main
from build_hooks.site.offline import write_folder

from .conftest import CLEARANCE, Reader

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def folder(kept_site: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo as a folder."""
    target = tmp_path_factory.mktemp("stick") / "manual of the shop"
    write_folder(kept_site, target)
    return target


@pytest.fixture
def visitor(reader: Callable[[], Reader], context: BrowserContext) -> Iterator[Reader]:
    """A page that may ask for nothing but files, and whose scripts must not fail."""
    context.set_offline(True)
    made = reader()
    asked: list[str] = []
    faults: list[str] = []
    made.page.on("request", lambda request: asked.append(request.url))
    made.page.on("pageerror", lambda error: faults.append(str(error)))
    yield made
    assert [url for url in asked if not url.startswith(("file:", "blob:", "data:"))] == []
    assert faults == []
    assert made.warnings() == []


def test_search_leads_to_a_calculation_that_answers(folder: Path, visitor: Reader) -> None:
    """Every step leads to a file, and the engine runs in a worker."""
    visitor.open((folder / "index.html").as_uri())
    visitor.page.locator(".md-content a", has_text="Alder 4").first.click()
    expect(visitor.page.locator("h1")).to_contain_text("Alder 4")
    visitor.finds("front drum set the clearance")
    expect(visitor.page).to_have_url(re.compile(f"{(folder / CLEARANCE / 'index.html').as_uri()}.*"))
    visitor.answers()
    assert len(visitor.page.workers) == 1


def test_the_wall_steps(folder: Path, visitor: Reader) -> None:
    """From the wall's start page to the second part of a stack, by keys."""
    visitor.open((folder / "wall/index.html").as_uri())
    visitor.page.keyboard.press("1")
    expect(visitor.page.locator("h1")).to_have_text("Alder 4")
    visitor.page.keyboard.press("Enter")
    expect(visitor.page.locator("html[data-wall=ready]")).to_be_attached()
    visitor.page.keyboard.press("2")
    expect(visitor.page.locator(".wall-step[data-current] .wall-count")).to_contain_text("2 of")


def test_every_link_leads_to_a_file(folder: Path) -> None:
    """A link to a folder would open a list of files; one that begins with a slash, the root of the disk."""
    count = 0
    for page in sorted(folder.rglob("*.html")):
        soup = BeautifulSoup(page.read_text(encoding="utf-8"), "html.parser")
        for tag in soup.select("[href], [src]"):
            link = str(tag.get("href") or tag.get("src"))
            parts = urlsplit(link)
            if parts.scheme or not parts.path:
                continue
            count += 1
            there = page.parent / unquote(parts.path)
            assert there.is_file(), (page, link)
            assert folder in there.resolve().parents, (page, link)
    assert count > 1000


def test_nothing_in_it_needs_a_server(folder: Path) -> None:
    """No module, no part that would be fetched, no service worker."""
    for page in folder.rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        assert 'type="module"' not in text, page
        assert "offline.js" not in text, page
    names = {path.name for path in folder.rglob("*")}
    assert names.isdisjoint({"service-worker.js", "offline.js", "headers.json", "404.html", "wasm.gz", "image.gz"})
    assert {"wasm.js", "image.js", "stdlib.js", "engine.js", "worker.js"} <= names


def test_the_packed_copy_holds_the_same(folder: Path, tmp_path: Path) -> None:
    """One folder of the same name, every file of it, and the same bytes whenever it is packed."""
    with zipfile.ZipFile(folder.with_name(f"{folder.name}.zip")) as packed:
        assert packed.testzip() is None
        packed.extractall(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == [folder.name]
    assert files_of(tmp_path / folder.name) == files_of(folder)


def test_the_command_replaces_an_earlier_copy(kept_site: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """And says where to open it. The packed copy is the same to the byte."""
    target = tmp_path / "folder"
    packed = write_folder(kept_site, target)
    before = packed.read_bytes()
    (target / "index.html").write_text("old", encoding="utf-8")
    assert main(["folder", "--site", str(kept_site), "--to", str(target)]) == 0
    assert capsys.readouterr().out == f"Open {target}/index.html. The same, packed: {target}.zip\n"
    assert packed.read_bytes() == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["folder", "folder.zip"]


def files_of(folder: Path) -> dict[str, bytes]:
    """Content by path."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
