"""The server sends what a shop's own server should."""

import gzip
import json
import threading
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

from build_hooks.site_server import HEADERS_FILE, make_server, serve


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    """A served site of three files."""
    (tmp_path / HEADERS_FILE).parent.mkdir(parents=True)
    (tmp_path / HEADERS_FILE).write_text(json.dumps({"Content-Security-Policy": "default-src 'none'"}), encoding="utf-8")
    (tmp_path / "index.html").write_text("<p>here</p>" * 100, encoding="utf-8")
    (tmp_path / "engine.wasm").write_bytes(b"\0asm")
    server = make_server(tmp_path, 0, quiet=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield f"http://localhost:{server.server_address[1]}"
    server.shutdown()
    thread.join()
    server.server_close()


def test_types_come_from_the_name(address: str) -> None:
    """WebAssembly has its own type, whatever the machine's table says."""
    with urllib.request.urlopen(f"{address}/engine.wasm") as answer:
        assert answer.headers["Content-Type"] == "application/wasm"


def test_the_policy_of_the_site_is_sent(address: str) -> None:
    """Every answer carries it."""
    with urllib.request.urlopen(f"{address}/index.html") as answer:
        assert answer.headers["Content-Security-Policy"] == "default-src 'none'"


def test_text_is_compressed_for_a_browser_that_takes_it(address: str) -> None:
    """The content is the same."""
    request = urllib.request.Request(f"{address}/index.html", headers={"Accept-Encoding": "gzip"})
    with urllib.request.urlopen(request) as answer:
        assert answer.headers["Content-Encoding"] == "gzip"
        assert gzip.decompress(answer.read()) == b"<p>here</p>" * 100


def test_what_is_not_there_is_404(address: str, tmp_path: Path) -> None:
    """And never a file outside the site, nor a list of a folder's files. The site's own page says so, if it has one."""
    for page in (None, "<h1>Not here</h1>"):
        if page is not None:
            (tmp_path / "404.html").write_text(page, encoding="utf-8")
        for path in ("/nothing", "/../../etc/passwd", "/assets/", "/assets"):
            with pytest.raises(urllib.error.HTTPError) as refused:
                urllib.request.urlopen(f"{address}{path}")
            with refused.value as answer:
                assert (answer.code, answer.headers["Content-Security-Policy"]) == (404, "default-src 'none'")
                said = answer.read().decode()
            assert said == page if page is not None else "Directory listing" not in said


def test_only_the_head_of_what_is_not_there_is_sent_when_only_that_is_asked(address: str, tmp_path: Path) -> None:
    """As the standard has it for HEAD (RFC 9110, 9.3.2): the same headers, no content."""
    (tmp_path / "404.html").write_text("<h1>Not here</h1>", encoding="utf-8")
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(urllib.request.Request(f"{address}/nothing", method="HEAD"))
    with refused.value as answer:
        assert (answer.code, answer.headers["Content-Length"], answer.read()) == (404, "17", b"")


def test_serving_nothing_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without a site, or with the port taken, one line says what to do."""
    assert serve(tmp_path / "site", 0) == 1
    assert capsys.readouterr().err.endswith("there is no built site here. Call make build first.\n")
