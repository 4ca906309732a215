"""A finished folder takes the place of an older one of ours, and of nothing else, and no kill leaves half of it."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from build_hooks.cli import main
from build_hooks.site.replacing import put_in_place, recover, work_folder
from build_hooks.site.replacing.exchange import exchange
from build_hooks.site.replacing.locks import locked

ROOT = Path(__file__).parents[3]
SITE = ("index.html", "assets/benchleaf/a.css")


def put(folder: Path, *names: str, content: str = "mine") -> Path:
    """Writes files into a folder."""
    for name in names:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(content, encoding="utf-8")
    return folder


def everything(folder: Path) -> dict[str, str]:
    """Every entry with its content, or where it leads."""
    return {
        path.relative_to(folder).as_posix(): path.readlink().as_posix() if path.is_symlink() else path.read_text(encoding="utf-8")
        for path in folder.rglob("*")
        if path.is_symlink() or path.is_file()
    }


@pytest.fixture
def project(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A project folder with sources, a site, and other things beside it."""
    folder = put(tmp_path / "shop" / "manual", "mkdocs.yml", "docs/shop.yml", "docs/pictures/a.png", "photos/a.jpg", "notes.txt")
    put(folder / "site", *SITE)
    put(folder / "kept", *SITE, ".git/HEAD")
    (folder / "link").symlink_to("site")
    (folder / "nowhere").symlink_to("not-there")
    monkeypatch.chdir(folder)
    return folder


REFUSED = {
    ".": "{here}: this is the project folder",
    "docs": "{here}/docs: this is the docs folder",
    "docs/../docs": "{here}/docs: this is the docs folder",
    "docs/site": "{here}/docs/site: this lies in the docs folder",
    "docs/pictures": "{here}/docs/pictures: this lies in the docs folder",
    "..": "{up}: the project folder lies in here",
    "docs/..": "{here}: this is the project folder",
    "../..": "{top}: the project folder lies in here",
    "/": "/: this is the root of the file system",
    "link": "{here}/link: this is a link, which a folder would replace",
    "nowhere": "{here}/nowhere: this is a link, which a folder would replace",
    "notes.txt": "{here}/notes.txt: something else is here",
    "photos": "{here}/photos: something else is here",
    "kept": "{here}/kept: a history is kept here, in .git",
}


@pytest.mark.parametrize("target", REFUSED)
def test_a_build_replaces_nothing_but_a_site(project: Path, target: str, capsys: pytest.CaptureFixture[str]) -> None:
    """One line says what is there and what to do; not a byte is touched."""
    before = everything(project.parent)
    assert main(["build", "--site", target]) == 1
    message = REFUSED[target].format(here=project, up=project.parent, top=project.parents[1])
    assert capsys.readouterr() == ("", f"{message}. Name another folder with --site.\n")
    assert everything(project.parent) == before


def test_the_docs_folder_may_have_another_name(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It is the one that mkdocs.yml names."""
    (project / "mkdocs.yml").write_text("docs_dir: pages\n? [a]\n: b\n", encoding="utf-8")
    assert main(["build", "--site", "pages/site"]) == 1
    assert capsys.readouterr().err == f"{project}/pages/site: this lies in the docs folder. Name another folder with --site.\n"


def test_a_packed_copy_replaces_nothing_else(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The zip file beside the folder is as much somebody's work as the folder."""
    put(project, "thesis.zip")
    before = everything(project)
    assert main(["folder", "--to", "thesis"]) == 1
    assert main(["folder", "--to", "link"]) == 1
    assert capsys.readouterr() == (
        "",
        (
            f"{project}/thesis.zip: something else is here. Name another folder with --to.\n"
            f"{project}/link: this is a link, which a folder would replace. Name another folder with --to.\n"
        ),
    )
    assert everything(project) == before


@pytest.mark.parametrize(("mode", "moments_without"), [("one", 0), ("two", 1)])
def test_a_kill_at_any_step_leaves_a_whole_folder(tmp_path: Path, mode: str, moments_without: int) -> None:
    """The old or the new one, at once or at the next start; and nothing else is left beside it."""
    script = Path(__file__).with_name("kill_at_each_step.py")
    command = [sys.executable, str(script), str(tmp_path / "here"), mode]
    done = subprocess.run(command, capture_output=True, text=True, check=False, env={**os.environ, "PYTHONPATH": str(ROOT)})
    steps, missing, *failures = done.stdout.splitlines() or ["0", "0"]
    assert (failures, done.stderr) == ([], "")
    assert int(steps) > 10
    # Between the two renames, where the file system has no exchange: the next start puts the old one back.
    assert int(missing) >= moments_without
    assert mode == "two" or int(missing) == 0


def test_folders_change_places(tmp_path: Path) -> None:
    """Where the system can; a name that is not there is an error and not a reason to do without."""
    put(tmp_path, "a/one", "b/two")
    assert exchange(tmp_path / "a", tmp_path / "b")
    assert sorted(everything(tmp_path)) == ["a/two", "b/one"]
    with pytest.raises(FileNotFoundError):
        exchange(tmp_path / "a", tmp_path / "c")


def test_what_a_killed_call_left_is_swept_and_nothing_else(tmp_path: Path) -> None:
    """A folder is swept by its name, its mark, and a lock that nobody holds."""
    swept = put(tmp_path / ".site-new-abcdefgh", ".benchleaf-work", "site/index.html")
    (tmp_path / ".site-new-abcd_f9h").mkdir()
    running = put(tmp_path / ".site-new-running_", ".benchleaf-work")
    foreign = put(tmp_path / ".site-new-somebody", "notes.txt")
    other = put(tmp_path / ".other-new-abcdefgh", ".benchleaf-work")
    target = tmp_path / "site"
    with locked(running, wait=False), work_folder(target) as work, work_folder(target):
        assert work.path.is_dir()
        assert not swept.exists()
    assert sorted(tmp_path.iterdir()) == sorted([running, foreign, other])


def test_the_last_folder_goes_back_only_where_none_is(tmp_path: Path) -> None:
    """And nothing is put there, or removed, that is no site."""
    target, old = tmp_path / "site", put(tmp_path / ".site-old", *SITE, content="last")
    recover(target)
    assert everything(tmp_path) == {f"site/{name}": "last" for name in SITE}
    put(old, *SITE, content="older")
    recover(target)
    assert everything(tmp_path) == {f"site/{name}": "last" for name in SITE}
    put(old, "notes.txt")
    recover(target)
    assert (old / "notes.txt").is_file()


def test_serving_finds_the_last_site(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A build that was killed between two steps does not take the manual away."""
    put(tmp_path / ".site-old", *SITE)
    assert main(["serve", "--site", str(tmp_path / "site"), "--port", "1000000"]) == 1
    assert (tmp_path / "site" / "index.html").is_file()
    assert "there is no built site" not in capsys.readouterr().err


def test_a_name_in_the_way_is_left_alone(tmp_path: Path) -> None:
    """Where two steps are needed and their middle is taken, nothing is moved. On this system the exchange needs no middle."""
    old = put(tmp_path / ".site-old", "notes.txt")
    put(tmp_path / "site", *SITE, content="old")
    with work_folder(tmp_path / "site") as work:
        put(work.new, *SITE, content="new")
        put_in_place(work.new, tmp_path / "site")
    assert (tmp_path / "site" / "index.html").read_text(encoding="utf-8") == "new"
    assert (old / "notes.txt").is_file()
