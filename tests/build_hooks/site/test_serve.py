"""The server sends what a shop's own server should, answers whatever it is asked, and shows nothing but the site."""

from __future__ import annotations

import contextlib
import gc
import gzip
import json
import os
import shutil
import socket
import threading
import time
import urllib.error
import urllib.request
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from build_hooks.site.serve import HEADERS_FILE, make_server, serve


@dataclass(frozen=True)
class Served:
    """A site being served."""

    folder: Path
    port: int

    @property
    def address(self) -> str:
        """Without a slash at its end."""
        return f"http://localhost:{self.port}"

    def raw(self, request: bytes) -> bytes:
        """Everything that comes back for some bytes on a connection of their own."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=10) as connection:
            connection.sendall(request)
            with contextlib.suppress(OSError):
                connection.shutdown(socket.SHUT_WR)
            return b"".join(iter(lambda: connection.recv(65_536), b""))

    def status(self, target: bytes, method: bytes = b"GET", headers: bytes = b"") -> int:
        """The status of one request."""
        answer = self.raw(method + b" " + target + b" HTTP/1.1\r\nHost: here\r\nConnection: close\r\n" + headers + b"\r\n")
        return int(answer.split(b" ", 2)[1])


def write_site(folder: Path) -> None:
    """A site of three files, with a policy."""
    (folder / HEADERS_FILE).parent.mkdir(parents=True)
    (folder / HEADERS_FILE).write_text(json.dumps({"Content-Security-Policy": "default-src 'none'"}), encoding="utf-8")
    (folder / "index.html").write_text("<p>here</p>" * 100, encoding="utf-8")
    (folder / "engine.wasm").write_bytes(b"\0asm")


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    """The site, served on a free port."""
    site = tmp_path / "site"
    write_site(site)
    server = make_server(site, 0, quiet=True)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield Served(site, server.port)
    server.shutdown()
    thread.join()


def test_types_come_from_the_name(served: Served) -> None:
    """WebAssembly has its own type, whatever the machine's table says."""
    with urllib.request.urlopen(f"{served.address}/engine.wasm") as answer:
        assert answer.headers["Content-Type"] == "application/wasm"


def test_the_policy_of_the_site_is_sent(served: Served) -> None:
    """Every answer carries it."""
    with urllib.request.urlopen(f"{served.address}/index.html") as answer:
        assert answer.headers["Content-Security-Policy"] == "default-src 'none'"


def test_a_new_policy_is_sent_without_a_new_start(served: Served) -> None:
    """A build may write another one while the server runs."""
    (served.folder / HEADERS_FILE).write_text('{"Content-Security-Policy": "default-src \'self\'"}', encoding="utf-8")
    with urllib.request.urlopen(f"{served.address}/index.html") as answer:
        assert answer.headers["Content-Security-Policy"] == "default-src 'self'"


def test_text_is_compressed_for_a_browser_that_takes_it(served: Served) -> None:
    """The content is the same."""
    request = urllib.request.Request(f"{served.address}/index.html", headers={"Accept-Encoding": "gzip"})
    with urllib.request.urlopen(request) as answer:
        assert answer.headers["Content-Encoding"] == "gzip"
        assert gzip.decompress(answer.read()) == b"<p>here</p>" * 100


def test_a_browser_that_refuses_an_encoding_does_not_get_it(served: Served) -> None:
    """A weight of 0 is a refusal (RFC 9110, 12.5.3)."""
    request = urllib.request.Request(f"{served.address}/index.html", headers={"Accept-Encoding": "gzip;q=0, br;q=0"})
    with urllib.request.urlopen(request) as answer:
        assert answer.headers["Content-Encoding"] is None
        assert answer.read() == b"<p>here</p>" * 100


def test_what_is_not_there_is_404(served: Served) -> None:
    """And never a file outside the site, nor a list of a folder's files. The site's own page says so, if it has one."""
    for page in (None, "<h1>Not here</h1>"):
        if page is not None:
            (served.folder / "404.html").write_text(page, encoding="utf-8")
        for path in ("/nothing", "/../../etc/passwd", "/assets/"):
            with pytest.raises(urllib.error.HTTPError) as refused:
                urllib.request.urlopen(f"{served.address}{path}")
            with refused.value as answer:
                assert (answer.code, answer.headers["Content-Security-Policy"]) == (404, "default-src 'none'")
                body = answer.read().decode()
            assert body == (page or "There is no page at this address.\n")


def test_the_head_of_a_page_is_that_of_the_page(served: Served) -> None:
    """The same headers, no content (RFC 9110, 9.3.2)."""
    heads = []
    for method in ("GET", "HEAD"):
        with urllib.request.urlopen(urllib.request.Request(f"{served.address}/index.html", method=method)) as answer:
            heads.append([(name, value) for name, value in answer.headers.items() if name != "Date"])
            length = len(answer.read())
    assert heads[0] == heads[1]
    assert length == 0


def test_what_the_browser_has_already_is_not_sent_again(served: Served) -> None:
    """As long as the file is the same."""
    with urllib.request.urlopen(f"{served.address}/index.html") as answer:
        tag = answer.headers["ETag"].encode()
    assert served.status(b"/index.html", headers=b"If-None-Match: " + tag + b"\r\n") == 304
    (served.folder / "index.html").write_text("another", encoding="utf-8")
    assert served.status(b"/index.html", headers=b"If-None-Match: " + tag + b"\r\n") == 200


@pytest.mark.parametrize(
    ("target", "expected"),
    [
        (b"/%00", 404), (b"/a%00b.html", 404), (b"/%ff%fe", 404), (b"/%", 404), (b"/%zz", 404), (b"/" + b"a" * 300, 404),
        (b"/" + b"a/" * 2500, 404), (b"/" + b"a" * 40_000, 404), (b"//", 200), (b"/./index.html", 404), (b"/index.html/", 404), (b"/index.html/x", 404),
        (b"/..%2f..%2fetc/passwd", 404), (b"/%2e%2e/%2e%2e/etc/passwd", 404), (b"/..%5c..%5cetc", 404), (b"/assets/..%2f..%2fsite", 404),
        (b"/index.html?a=b", 200), (b"/index.html?%00", 200), (b"http://here/index.html", 200), (b"/\xc3\xa9", 400), (b"/assets", 301), (b"/", 200),
    ],
)  # fmt: skip
def test_every_address_has_an_answer(served: Served, target: bytes, expected: int) -> None:
    """However odd it is; and none leads out of the site."""
    assert served.status(target) == expected


@pytest.mark.parametrize("method", [b"POST", b"PUT", b"DELETE", b"OPTIONS", b"TRACE", b"PATCH", b"PROPFIND", b"BREW"])
def test_other_methods_are_refused(served: Served, method: bytes) -> None:
    """The site is there to be read."""
    assert served.status(b"/index.html", method) == 405


def test_nothing_hidden_and_no_link_is_served(served: Served, tmp_path: Path) -> None:
    """A link may lead out of the site; a hidden file was not meant to be shown; a pipe would wait for ever."""
    secret = tmp_path / "secret.html"
    secret.write_text("secret", encoding="utf-8")
    (served.folder / "out.html").symlink_to(secret)
    (served.folder / "folder").symlink_to(tmp_path)
    (served.folder / ".git").mkdir()
    (served.folder / ".git" / "config").write_text("secret", encoding="utf-8")
    (served.folder / ".env").write_text("secret", encoding="utf-8")
    os.mkfifo(served.folder / "pipe.html")
    for target in (b"/out.html", b"/folder/secret.html", b"/folder/", b"/.git/config", b"/.env", b"/pipe.html"):
        assert served.status(target) == 404, target


def test_half_requests_do_not_keep_others_waiting(served: Served) -> None:
    """They cost no thread, and are closed when they say nothing for a while."""
    threads_before = threading.active_count()
    with contextlib.ExitStack() as half_requests:
        for _ in range(100):
            connection = half_requests.enter_context(socket.create_connection(("127.0.0.1", served.port)))
            connection.sendall(b"GET / HTTP/1.1\r\nHost: he")
        assert served.status(b"/index.html") == 200
        assert threading.active_count() <= threads_before
    assert served.status(b"/index.html") == 200


def test_a_request_smuggled_in_a_body_is_not_answered(served: Served) -> None:
    """One request, one answer."""
    body = b"GET /engine.wasm HTTP/1.1\r\nHost: here\r\n\r\n"
    head = b"GET /index.html HTTP/1.1\r\nHost: here\r\nConnection: close\r\nContent-Length: %d\r\n\r\n" % len(body)
    assert served.raw(head + body).count(b"HTTP/1.1 ") == 1


def test_a_site_that_is_replaced_is_served_all_the_time(served: Served, tmp_path: Path) -> None:
    """Each answer is whole, from the old edition or the new one, or says for a moment that there is none."""
    new, old = tmp_path / "new", tmp_path / "old"
    shutil.copytree(served.folder, new)
    (new / "index.html").write_text("new", encoding="utf-8")
    stop, seen = threading.Event(), set()

    def read() -> None:
        while not stop.is_set():
            try:
                with urllib.request.urlopen(f"{served.address}/index.html") as answer:
                    seen.add(answer.read())
            except urllib.error.HTTPError as refused:
                seen.add(str(refused.code).encode())
                refused.close()

    reader = threading.Thread(target=read)
    reader.start()
    for _ in range(20):
        served.folder.rename(old)
        new.rename(served.folder)
        time.sleep(0.005)
        served.folder.rename(new)
        old.rename(served.folder)
    stop.set()
    reader.join()
    assert seen <= {b"<p>here</p>" * 100, b"new", b"503"}


def leftovers_of_a_cut_reply(site: Path) -> list[str]:
    """What Python warns of after a server was shut down while it was sending a large file."""
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        server = make_server(site, 0, quiet=True)
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        with socket.create_connection(("127.0.0.1", server.port), timeout=10) as reader:
            reader.sendall(b"GET /engine.wasm HTTP/1.1\r\nHost: here\r\n\r\n")
            assert reader.recv(12) == b"HTTP/1.1 200"
            server.shutdown()
        thread.join()
        del server, thread
        gc.collect()
    return [str(warning.message) for warning in caught]


def test_a_server_that_ends_amid_a_large_reply_leaves_no_file_open(tmp_path: Path) -> None:
    """A reply that is larger than memory is spared for waits in a file; so does one that the reader has taken, until the next."""
    site = tmp_path / "site"
    write_site(site)
    (site / "engine.wasm").write_bytes(b"\0asm" * 6_000_000)
    assert [leftovers_of_a_cut_reply(site) for _ in range(5)] == [[]] * 5


def test_a_server_may_be_shut_down_before_it_runs_and_twice(tmp_path: Path) -> None:
    """It then has no more to do."""
    write_site(tmp_path / "site")
    server = make_server(tmp_path / "site", 0, quiet=True)
    server.shutdown()
    server.shutdown()
    server.serve_forever()
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection(("127.0.0.1", server.port))


def test_only_this_machine_is_served_unless_told_otherwise(tmp_path: Path) -> None:
    """A shop's manual is not opened to the network by starting it."""
    write_site(tmp_path / "site")
    for host, addresses in (("localhost", {"127.0.0.1", "::1"}), ("0.0.0.0", {"0.0.0.0", "::"})):  # noqa: S104
        server = make_server(tmp_path / "site", 0, host=host, quiet=True)
        assert server.addresses() <= addresses
        assert server.addresses()
        server.shutdown()


def test_serving_nothing_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without a site one line says what to do."""
    assert serve(tmp_path / "site", 0) == 1
    assert capsys.readouterr().err.endswith("there is no built site here. Build it first: benchleaf build.\n")


def test_a_port_or_host_that_cannot_be_used_is_explained(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With the reason and what to do."""
    write_site(tmp_path / "site")
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert serve(tmp_path / "site", port) == 1
    assert serve(tmp_path / "site", 70_000) == 1
    assert serve(tmp_path / "site", 0, "192.0.2.7") == 1
    assert serve(tmp_path / "site", 0, "no such host") == 1
    assert capsys.readouterr().err.splitlines() == [
        f"Port {port} cannot be used: Address already in use. Try another: --port {port + 1}, or make serve PORT={port + 1}",
        "There is no port 70000. Try another: --port 8000, or make serve PORT=8000",
        "The host 192.0.2.7 is no address of this machine. Give one that is, for example --host 0.0.0.0 for all of them.",
        "The host no such host is not known. Give a name or an address of this machine, for example --host 0.0.0.0.",
    ]
