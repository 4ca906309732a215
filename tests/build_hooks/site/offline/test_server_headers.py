"""The server lets browsers keep what may be kept, and ask about the rest."""

from __future__ import annotations

import gzip
import http.client
import os
import threading
from collections.abc import Callable, Iterator
from http.client import HTTPMessage
from pathlib import Path

import pytest

from build_hooks.site.serve import make_server

type Ask = Callable[..., tuple[int, HTTPMessage, bytes]]

TEXT = b"<p>here</p>" * 100
ENGINE = "assets/benchleaf/engine-0123456789abcdef/image.gz"


@pytest.fixture
def ask(tmp_path: Path) -> Iterator[Ask]:
    """Asks a served site of a few files for one."""
    for path in ("index.html", "oak/index.html", "service-worker.js", "assets/a.57a0d79d.min.css", "assets/a.min.css", ENGINE):
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_bytes(TEXT)
    server = make_server(tmp_path, 0, quiet=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()

    def asked(path: str, **headers: str) -> tuple[int, HTTPMessage, bytes]:
        connection = http.client.HTTPConnection("localhost", server.port)
        connection.request("GET", path, headers={name.replace("_", "-"): value for name, value in headers.items()})
        answer = connection.getresponse()
        body = answer.read()
        connection.close()
        return answer.status, answer.headers, body

    yield asked
    server.shutdown()
    thread.join()


@pytest.mark.parametrize(
    ("path", "caching"),
    [
        ("/", "no-cache"),
        ("/oak/", "no-cache"),
        ("/oak/index.html?screen=bay-1", "no-cache"),
        ("/service-worker.js", "no-cache"),
        ("/assets/a.min.css", "no-cache"),
        ("/assets/a.57a0d79d.min.css", "public, max-age=31536000, immutable"),
        (f"/{ENGINE}", "public, max-age=31536000, immutable"),
    ],
)
def test_what_is_named_by_its_content_is_kept_for_ever(path: str, caching: str, ask: Ask) -> None:
    """Everything else is asked about each time: an old page beside a new one would mix two editions."""
    status, headers, body = ask(path)
    assert (status, headers["Cache-Control"], body) == (200, caching, TEXT)


def test_what_is_not_there_is_not_kept(ask: Ask) -> None:
    """A part that is missing while a new edition is being copied comes later."""
    status, headers, _ = ask(f"/{ENGINE}x")
    assert (status, headers["Cache-Control"]) == (404, None)


def test_a_copy_that_is_still_good_is_not_sent_again(ask: Ask, tmp_path: Path) -> None:
    """It is told by its tag, which changes with the file, even within the same second."""
    _, headers, _ = ask("/", Accept_Encoding="gzip")
    status, again, body = ask("/", Accept_Encoding="gzip", If_None_Match=headers["ETag"])
    assert (status, again["ETag"], body) == (304, headers["ETag"], b"")
    assert ask("/", If_None_Match=headers["ETag"])[0] == 200
    at = (tmp_path / "index.html").stat()
    os.utime(tmp_path / "index.html", ns=(at.st_atime_ns, at.st_mtime_ns + 1))
    assert ask("/", Accept_Encoding="gzip", If_None_Match=headers["ETag"])[0] == 200


def test_a_compressed_sibling_is_sent_in_place_of_the_file(ask: Ask, tmp_path: Path) -> None:
    """To a browser that takes it, and only while it is no older than the file."""
    page = tmp_path / "index.html"
    packed = {"br": b"brotli, the browser believes us", "gzip": gzip.compress(TEXT, 1)}
    for ending, content in ((".br", packed["br"]), (".gz", packed["gzip"])):
        (tmp_path / f"index.html{ending}").write_bytes(content)

    def sent(accepted: str) -> tuple[str | None, bytes]:
        _, headers, body = ask("/", Accept_Encoding=accepted)
        assert headers["Content-Type"] == "text/html; charset=utf-8"
        return headers["Content-Encoding"], body

    assert sent("gzip, br") == ("br", packed["br"])
    assert sent("gzip") == ("gzip", packed["gzip"])
    assert sent("identity") == (None, TEXT)
    newer = page.stat().st_mtime_ns + 10**9
    os.utime(page, ns=(newer, newer))
    encoding, body = sent("gzip, br")
    assert (encoding, gzip.decompress(body)) == ("gzip", TEXT)
