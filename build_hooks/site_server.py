"""Serves a built site the way a shop's own server should: types, caching, compression and policy."""

from __future__ import annotations

import gzip
import json
import os
import re
import socket
import sys
from collections.abc import Mapping
from functools import cache
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Final
from urllib.parse import urlsplit

__all__ = ["HEADERS_FILE", "NOT_FOUND_PAGE", "make_server", "serve"]

HEADERS_FILE: Final = "assets/benchleaf/headers.json"
NOT_FOUND_PAGE: Final = "404.html"

_TYPES: Final[Mapping[str, str]] = {
    ".css": "text/css; charset=utf-8",
    ".gz": "application/gzip",
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json; charset=utf-8",
    ".svg": "image/svg+xml",
    ".wasm": "application/wasm",
    ".webmanifest": "application/manifest+json",
    ".woff2": "font/woff2",
    ".yml": "text/plain; charset=utf-8",
}
_COMPRESSED: Final = frozenset({".css", ".html", ".js", ".json", ".svg", ".wasm", ".yml"})
# A name that says the content: the folder of an engine, and what the theme names by its hash.
_NAMED_BY_CONTENT: Final = re.compile(r"/engine-[0-9a-f]{16}/|\.[0-9a-f]{8}\.min\.(css|js)$")
_FOR_EVER: Final = "public, max-age=31536000, immutable"
# Other names say nothing of the content: every copy is asked about before it is used again.
_ASK: Final = "no-cache"


@cache
def _gzipped(path: Path, _modified: int) -> bytes:
    """A file compressed once for each state it has been in."""
    return gzip.compress(path.read_bytes(), 6, mtime=0)


def _best_for(path: Path, accepted: str) -> tuple[bytes, str]:
    """What to send of a file and how it is encoded: a compressed sibling that is not older, or compressed here."""
    status = path.stat()
    for ending, encoding in ((".br", "br"), (".gz", "gzip")):
        sibling = path.with_name(path.name + ending)
        if encoding in accepted and sibling.is_file() and sibling.stat().st_mtime_ns >= status.st_mtime_ns:
            return sibling.read_bytes(), encoding
    if "gzip" in accepted and path.suffix in _COMPRESSED:
        return _gzipped(path, status.st_mtime_ns), "gzip"
    return path.read_bytes(), ""


class _Handler(SimpleHTTPRequestHandler):
    """One request. Everything it needs stands on its class, made by `make_server`."""

    headers_of_site: Mapping[str, str] = {}
    quiet = False
    protocol_version = "HTTP/1.1"

    def guess_type(self, path: str) -> str:  # type: ignore[override]
        """The type by the end of the name: the machine's own table may be wrong."""
        return _TYPES.get(Path(path).suffix, "application/octet-stream")

    def end_headers(self) -> None:
        """Adds the site's own headers to every answer."""
        for name, value in self.headers_of_site.items():
            self.send_header(name, value)
        super().end_headers()

    def do_GET(self) -> None:
        """A file, compressed where the browser takes it; nothing, where the browser has it already."""
        address = urlsplit(self.path).path
        path = Path(self.translate_path(address)) / ("index.html" if address.endswith("/") else "")
        if not path.is_file():
            super().do_GET()
            return
        body, encoding = _best_for(path, self.headers.get("Accept-Encoding", ""))
        status = path.stat()
        tag = f'"{status.st_mtime_ns:x}-{status.st_size:x}{encoding and f"-{encoding}"}"'
        known = self.headers.get("If-None-Match") == tag
        self.send_response(HTTPStatus.NOT_MODIFIED if known else HTTPStatus.OK)
        self.send_header("Content-Type", self.guess_type(str(path)))
        if encoding:
            self.send_header("Content-Encoding", encoding)
        self.send_header("Vary", "Accept-Encoding")
        self.send_header("ETag", tag)
        self.send_header("Cache-Control", _FOR_EVER if _NAMED_BY_CONTENT.search(address) else _ASK)
        if not known:
            self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        if not known:
            self.wfile.write(body)

    def list_directory(self, path: str | os.PathLike[str]) -> None:  # noqa: ARG002 - the name of the base class
        """No list of files: a folder without a page is not there."""
        self.send_error(HTTPStatus.NOT_FOUND)

    def send_error(self, code: int, message: str | None = None, explain: str | None = None) -> None:
        """The site's own page for what is not there, as every other server of the site sends it."""
        page = Path(self.directory) / NOT_FOUND_PAGE
        if code != HTTPStatus.NOT_FOUND or not page.is_file():
            super().send_error(code, message, explain)
            return
        body = page.read_bytes()
        self.send_response(code)
        self.send_header("Content-Type", self.guess_type(NOT_FOUND_PAGE))
        self.send_header("Cache-Control", _ASK)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(body)

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - the name of the base class
        """One line a request, or none."""
        if not self.quiet:
            super().log_message(format, *args)


class _Server(ThreadingHTTPServer):
    """Answers on IPv4 and IPv6, so that ``localhost`` finds it whichever the browser tries first."""

    daemon_threads = True
    address_family = socket.AF_INET6

    def server_bind(self) -> None:
        """Takes both families on one port."""
        self.socket.setsockopt(socket.IPPROTO_IPV6, socket.IPV6_V6ONLY, 0)
        super().server_bind()

    def handle_error(self, request: object, client_address: object) -> None:
        """A browser that goes away in the middle is no fault of ours."""
        if not isinstance(sys.exc_info()[1], ConnectionError):
            super().handle_error(request, client_address)  # type: ignore[arg-type]


class _Server4(_Server):
    """For a machine without IPv6."""

    address_family = socket.AF_INET

    def server_bind(self) -> None:
        """One family only."""
        ThreadingHTTPServer.server_bind(self)


def make_server(site: Path, port: int, *, quiet: bool = False) -> ThreadingHTTPServer:
    """A server for a built site.

    Args:
        site: the folder of the site.
        port: the port; 0 takes a free one.
        quiet: whether requests are passed over in silence.

    Returns:
        The server, not yet running.

    Raises:
        OSError: the port is taken.
    """
    stored = site / HEADERS_FILE
    headers = json.loads(stored.read_text(encoding="utf-8")) if stored.is_file() else {}

    class Handler(_Handler):
        headers_of_site = headers

        def __init__(self, *arguments: object, **named: object) -> None:
            super().__init__(*arguments, directory=str(site), **named)  # type: ignore[arg-type]

    Handler.quiet = quiet
    try:
        return _Server(("::", port), Handler)
    except OSError:
        return _Server4(("", port), Handler)


def serve(site: Path, port: int) -> int:
    """Serves until interrupted.

    Returns:
        The exit code: 0, or 1 when the port is taken or there is no site.
    """
    if not (site / "index.html").is_file():
        print(f"{site.as_posix()}: there is no built site here. Call make build first.", file=sys.stderr)  # noqa: T201
        return 1
    try:
        server = make_server(site, port)
    except OSError as error:
        print(f"Port {port} cannot be used: {error.strerror}. Try another: make serve PORT={port + 1}", file=sys.stderr)  # noqa: T201
        return 1
    print(f"The manual is at http://localhost:{server.server_address[1]}/ (end with Ctrl+C)", flush=True)  # noqa: T201
    try:
        server.serve_forever()
    except KeyboardInterrupt:
        pass
    finally:
        server.server_close()
    return 0
