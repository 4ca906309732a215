"""The server of `make serve` under every kind of request: it always answers, and shows nothing but the site. Loopback only."""

from __future__ import annotations

import contextlib
import random
import socket
import tempfile
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from pathlib import Path

from build_hooks.site.serve import make_server
from tests.attack.table import Row, cases

_PAGE = b"<p>here</p>" * 200
_TRAVERSAL = (
    "../", "..%2f", "%2e%2e/", "%2e%2e%2f", "..\\", "..%5c", "%252e%252e/", "....//", "..;/", "%c0%ae%c0%ae/", ".%2e/", "%2e./", "..//", "/../",
)  # fmt: skip
_HEADERS = (
    b"", b"Accept-Encoding: gzip;q=0\r\n", b"If-None-Match: x\r\n", b"X: " + b"y" * 2000 + b"\r\n", b"Range: bytes=0-1\r\n",
)  # fmt: skip
_METHODS = (b"POST", b"PUT", b"DELETE", b"OPTIONS", b"TRACE", b"PATCH", b"CONNECT", b"PROPFIND")


def run(share: float) -> Iterator[Row]:
    """One server for all rows, each row with its own kind of request."""
    with tempfile.TemporaryDirectory() as name:
        top = Path(name)
        (top / "secret.txt").write_text("root:secret", encoding="utf-8")
        site = top / "site"
        (site / "deep" / "er").mkdir(parents=True)
        for folder in (site, site / "deep", site / "deep" / "er"):
            (folder / "index.html").write_bytes(_PAGE)
        server = make_server(site, 0, quiet=True)
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        try:
            yield _odd_requests(server.port, cases(3318, share))
            yield _traversal(server.port, cases(14 * 8, share))
            yield _other_methods(server.port, cases(80, share))
            yield _smuggled(server.port, cases(60, share))
            yield _half_requests(server.port, cases(1500, share))
            yield _swaps(site, server.port, cases(1745, share))
        finally:
            server.shutdown()
            thread.join()


def _raw(port: int, request: bytes) -> bytes:
    """What comes back for some bytes; the connection is half closed after them, as a client that has said everything would."""
    with socket.create_connection(("127.0.0.1", port), timeout=20) as connection:
        with contextlib.suppress(ConnectionError):
            connection.sendall(request)
            connection.shutdown(socket.SHUT_WR)
        chunks = []
        with contextlib.suppress(ConnectionError):
            while chunk := connection.recv(65_536):
                chunks.append(chunk)
        return b"".join(chunks)


def _get(port: int, target: bytes, method: bytes = b"GET", headers: bytes = b"") -> bytes:
    return _raw(port, method + b" " + target + b" HTTP/1.1\r\nHost: here\r\nConnection: close\r\n" + headers + b"\r\n")


def _alive(port: int) -> bool:
    return _get(port, b"/index.html").startswith(b"HTTP/1.1 200")


def _odd_requests(port: int, number: int) -> Row:
    row = Row("odd addresses, headers and versions: an answer each, and the next request answered")
    chance = random.Random(1)
    pieces = [
        b"/",
        b"a",
        b"%00",
        b"%",
        b"%zz",
        b"..",
        b".",
        b"\\",
        b"%2f",
        b"?",
        b"#",
        b" ",
        b"\xff",
        b"%ff",
        b"x" * 300,
        b"~",
        b":",
        b"*",
        b"deep/",
    ]
    for _ in range(number):
        target = b"/" + b"".join(chance.choices(pieces, k=chance.randint(0, 12)))
        headers = chance.choice(_HEADERS)
        answer = _get(port, target, headers=headers)
        fault = None if answer.startswith(b"HTTP/1.") else f"{target!r}: no answer"
        if b"secret" in answer or b"Traceback" in answer:
            fault = f"{target!r}: {answer[:200]!r}"
        row.tried(fault)
    row.tried(None if _alive(port) else "dead afterwards")
    return row


def _traversal(port: int, number: int) -> Row:
    row = Row("14 spellings of a way out of the site, one to eight deep")
    for index in range(number):
        way = _TRAVERSAL[index % len(_TRAVERSAL)] * (1 + index // len(_TRAVERSAL) % 8)
        answer = _get(port, f"/deep/{way}secret.txt".encode())
        row.tried(f"{way}: {answer[:100]!r}" if b"root:" in answer or not answer else None)
    return row


def _other_methods(port: int, number: int) -> Row:
    row = Row("other methods: refused")
    for index in range(number):
        answer = _get(port, b"/index.html", _METHODS[index % len(_METHODS)])
        row.tried(None if answer[9:12] in {b"400", b"405", b"501"} else repr(answer[:100]))
    return row


def _smuggled(port: int, number: int) -> Row:
    row = Row("a request hidden in a body: one answer, or two to two requests that follow each other rightly")
    inner = b"GET /deep/index.html HTTP/1.1\r\nHost: here\r\n\r\n"
    heads = [
        b"Content-Length: %d\r\n" % len(inner),
        b"Content-Length: %d\r\nContent-Length: 0\r\n" % len(inner),
        b"Transfer-Encoding: chunked\r\nContent-Length: %d\r\n" % len(inner),
        b"Transfer-Encoding: chunked, identity\r\n",
        b"Transfer-Encoding : chunked\r\n",
        b"Content-Length: +%d\r\n" % len(inner),
    ]
    for index in range(number):
        answer = _raw(
            port, b"GET / HTTP/1.1\r\nHost: here\r\nConnection: close\r\n" + heads[index % len(heads)] + b"\r\n" + inner
        )
        row.tried(None if answer.count(b"HTTP/1.") == 1 else repr(answer[:200]))
    return row


def _half_requests(port: int, number: int) -> Row:
    row = Row("half requests held open while a good client reads")
    held = []
    try:
        for index in range(number):
            connection = socket.create_connection(("127.0.0.1", port), timeout=20)
            connection.sendall(b"GET / HTTP/1.1\r\nHost: he")
            held.append(connection)
            if index % 100 == 0:
                row.tried(None if _alive(port) else f"a good client went without beside {index}")
            else:
                row.tried()
        row.tried(None if threading.active_count() < 50 else f"{threading.active_count()} threads")
    finally:
        for connection in held:
            connection.close()
    time.sleep(0.5)
    row.tried(None if _alive(port) else "dead afterwards")
    return row


def _swaps(site: Path, port: int, number: int) -> Row:
    row = Row("requests while the site is replaced again and again: each answer whole")
    new, stop = site.with_name("new"), threading.Event()
    new.mkdir()
    (new / "index.html").write_bytes(b"new")

    def swap() -> None:
        spare = site.with_name("spare")
        for _ in range(200):
            if stop.is_set():
                return
            site.rename(spare)
            new.rename(site)
            spare.rename(new)
            time.sleep(0.01)

    swapping = threading.Thread(target=swap)
    swapping.start()
    for _ in range(number):
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/index.html", timeout=20) as answer:
                body = answer.read()
            row.tried(None if body in {_PAGE, b"new"} else f"{body[:60]!r}")
        except urllib.error.HTTPError as refused:
            # Between two renames there is no site for a moment, and the server says so.
            row.tried(None if refused.code == 503 else str(refused.code))
            refused.close()
        except OSError as error:
            row.tried(str(error))
    stop.set()
    swapping.join()
    return row
