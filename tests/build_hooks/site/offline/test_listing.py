"""What a browser is told to keep, and what a server is told to send."""

from __future__ import annotations

import base64
import gzip
import hashlib
import json
from pathlib import Path

import pytest

from build_hooks.cli import main
from build_hooks.site.offline import NotMadeError, headers_for, write_folder
from build_hooks.site.offline.listing import KeptFile, edition_name, kept_files
from build_hooks.site.serve import HEADERS_FILE

POLICY = "default-src 'none'; script-src 'self' 'sha256-AbC/+='"


def put(site: Path, files: dict[str, bytes]) -> None:
    """Writes files of a site."""
    for path, content in files.items():
        (site / path).parent.mkdir(parents=True, exist_ok=True)
        (site / path).write_bytes(content)


def integrity(*contents: bytes) -> str:
    """As W3C Subresource Integrity writes it."""
    return " ".join(f"sha256-{base64.b64encode(hashlib.sha256(content).digest()).decode()}" for content in contents)


def test_every_file_that_a_page_may_ask_for_is_listed(tmp_path: Path) -> None:
    """Not what is for servers, search engines and developers' tools, nor the compressed sibling of a file."""
    kept = ("404.html", "a b/ü.html", "assets/image.gz", "assets/x.js", "index.html", "notes.gz.txt")
    left = ("assets/x.js.gz", "assets/x.js.br", "assets/x.js.map", "sitemap.xml", "sitemap.xml.gz", HEADERS_FILE, "sw.js")
    put(tmp_path, dict.fromkeys((*kept, *left, "assets/engine-1/inlined/wasm.js"), b"x"))
    assert list(kept_files(tmp_path, without="sw.js")) == sorted(kept)


def test_a_file_is_told_by_its_hash(tmp_path: Path) -> None:
    """A part that is stored compressed may arrive inflated, as some servers send it; a damaged one only as it is."""
    packed = gzip.compress(b"memory", mtime=0)
    put(tmp_path, {"a.html": b"abc", "b.gz": packed, "c.gz": packed[:-3]})
    # The hash of "abc" is the example of FIPS 180-4.
    assert kept_files(tmp_path, without="") == {
        "a.html": KeptFile("sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0=", 3),
        "b.gz": KeptFile(integrity(packed, b"memory"), len(packed)),
        "c.gz": KeptFile(integrity(packed[:-3]), len(packed) - 3),
    }


def test_an_edition_has_another_name_as_soon_as_anything_differs() -> None:
    """A file, its path, or the script that keeps them."""
    files = {"a": KeptFile("sha256-1", 1), "b": KeptFile("sha256-2", 1)}
    name = edition_name(files, "script")
    assert len(name) == 16
    assert edition_name(dict(reversed(files.items())), "script") == name
    others = [
        edition_name({**files, "b": KeptFile("sha256-3", 1)}, "script"),
        edition_name({"a": files["a"], "c": files["b"]}, "script"),
        edition_name({"a": files["a"]}, "script"),
        edition_name(files, "script 2"),
    ]
    assert len({name, *others}) == 5


@pytest.mark.parametrize(
    ("server", "lines"),
    [
        ("apache", f'Header always set Content-Security-Policy "{POLICY}"\nHeader always set Referrer-Policy "no-referrer"\n'),
        ("caddy", f'header Content-Security-Policy "{POLICY}"\nheader Referrer-Policy "no-referrer"\n'),
        ("nginx", f'add_header Content-Security-Policy "{POLICY}" always;\nadd_header Referrer-Policy "no-referrer" always;\n'),
    ],
)
def test_headers_come_in_the_words_of_the_server(
    server: str, lines: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One line for each."""
    put(tmp_path, {HEADERS_FILE: json.dumps({"Content-Security-Policy": POLICY, "Referrer-Policy": "no-referrer"}).encode()})
    assert main(["headers", server, "--site", str(tmp_path)]) == 0
    assert capsys.readouterr() == (lines, "")


@pytest.mark.parametrize("mark", ['"', "\\", "\n", "$"])
def test_a_header_that_would_end_its_line_is_refused(mark: str, tmp_path: Path) -> None:
    """Better none than one that says something else to the server."""
    put(tmp_path, {HEADERS_FILE: json.dumps({"Referrer-Policy": f"no{mark}referrer"}).encode()})
    with pytest.raises(
        ValueError, match=r"^A header holds a character that would end or change its line in the server's settings\.$"
    ):
        headers_for("nginx", tmp_path)


def test_without_a_site_there_are_no_headers(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """One line says what to do."""
    assert main(["headers", "nginx", "--site", str(tmp_path)]) == 1
    assert capsys.readouterr() == ("", f"{tmp_path.as_posix()}: there is no built site here. Build it first: benchleaf build.\n")


def test_a_folder_that_holds_something_else_is_left_alone(tmp_path: Path) -> None:
    """Nothing is written over that is no copy of a manual; the site and what it lies in least of all."""
    site = tmp_path / "here" / "site"
    put(site, {"index.html": b"<body></body>", "assets/benchleaf/x.css": b""})
    put(tmp_path, {"photos/one.jpg": b"1", "file": b"2"})
    for target, why in (
        (tmp_path / "photos", "something else is here"),
        (tmp_path / "file", "something else is here"),
        (site, "this is the site"),
        (tmp_path / "here", "the site lies in here"),
        (site / "copy", "this lies in the site"),
    ):
        with pytest.raises(NotMadeError) as refused:
            write_folder(site, target)
        assert str(refused.value) == f"{target.as_posix()}: {why}. Name another folder with --to."
    with pytest.raises(NotMadeError) as refused:
        write_folder(tmp_path / "photos", tmp_path / "new")
    assert (
        str(refused.value) == f"{(tmp_path / 'photos').as_posix()}: there is no built site here. Build it first: benchleaf build."
    )
    assert sorted(path.name for path in tmp_path.iterdir()) == ["file", "here", "photos"]
