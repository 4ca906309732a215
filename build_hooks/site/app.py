"""A built site as a WSGI application (PEP 3333): types, caching, compression and the site's own headers.

It answers GET and HEAD for files of the site and nothing else: no folder lists, no hidden files, and no links, so that nothing
outside the site can be reached. Every request opens the site anew, so that a new edition is served as soon as it is in place.
"""

from __future__ import annotations

import gzip
import json
import os
import re
import stat
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from functools import lru_cache
from pathlib import Path, PurePosixPath
from typing import Any, Final, NamedTuple

__all__ = ["HEADERS_FILE", "NOT_FOUND_PAGE", "Application", "site_application", "type_of"]

type StartResponse = Callable[[str, list[tuple[str, str]]], object]
type Application = Callable[[dict[str, Any], StartResponse], Iterable[bytes]]

HEADERS_FILE: Final = "assets/benchleaf/headers.json"
NOT_FOUND_PAGE: Final = "404.html"

# The machine's own table may be wrong.
_TYPES: Final[Mapping[str, str]] = {
    ".css": "text/css; charset=utf-8",
    ".gz": "application/gzip",
    ".html": "text/html; charset=utf-8",
    ".jpeg": "image/jpeg",
    ".jpg": "image/jpeg",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json; charset=utf-8",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".wasm": "application/wasm",
    ".webp": "image/webp",
    ".webmanifest": "application/manifest+json",
    ".woff2": "font/woff2",
    ".yml": "text/plain; charset=utf-8",
}
_COMPRESSED: Final = frozenset({".css", ".html", ".js", ".json", ".svg", ".wasm", ".yml"})
# A name that says the content: the folder of an engine, and what the theme names by its hash.
_NAMED_BY_CONTENT: Final = re.compile(r"/engine-[0-9a-f]{16}/|\.[0-9a-f]{8}\.min\.(css|js)$")
_FOR_EVER: Final = "public, max-age=31536000, immutable"
# Other names say nothing about the content: every copy is asked about before it is used again.
_ASK: Final = "no-cache"
_LONGEST_ADDRESS: Final = 2_000


class _File(NamedTuple):
    """An open file of the site."""

    content: bytes
    modified: int
    size: int


def site_application(site: Path) -> Application:
    """The application that serves a site.

    Args:
        site: the folder of the site. It may be replaced while the application runs.

    Returns:
        A WSGI application. It raises nothing for any request.
    """

    def application(environ: dict[str, Any], start_response: StartResponse) -> Iterable[bytes]:
        try:
            with _opened_folder(site) as root:
                status, headers, body = _answer(root, environ)
        except OSError:
            status, headers, body = (
                "503 Service Unavailable",
                [("Content-Type", "text/plain; charset=utf-8")],
                b"No site is here.\n",
            )
        headers.append(("Content-Length", str(len(body))))
        start_response(status, headers)
        return [] if environ["REQUEST_METHOD"] == "HEAD" else [body]

    return application


def _answer(root: int, environ: Mapping[str, Any]) -> tuple[str, list[tuple[str, str]], bytes]:
    own = _own_headers(root)
    if environ["REQUEST_METHOD"] not in {"GET", "HEAD"}:
        return "405 Method Not Allowed", [("Allow", "GET, HEAD"), ("Content-Type", _TYPES[".yml"]), *own], b"Only GET and HEAD.\n"
    address = _address(environ)
    if address is not None:
        if _is_folder(root, address):
            return "301 Moved Permanently", [("Location", f"{environ.get('SCRIPT_NAME', '')}/{address}/"), *own], b""
        found = _best(root, address, _encodings(environ.get("HTTP_ACCEPT_ENCODING", "")))
        if found is not None:
            return _found(address, *found, environ.get("HTTP_IF_NONE_MATCH"), own)
    page = _read(root, NOT_FOUND_PAGE)
    if page is None:
        return "404 Not Found", [("Content-Type", _TYPES[".yml"]), *own], b"There is no page at this address.\n"
    return "404 Not Found", [("Content-Type", _TYPES[".html"]), ("Cache-Control", _ASK), *own], page.content


def _found(
    address: str, file: _File, body: bytes, encoding: str, known: str | None, own: list[tuple[str, str]]
) -> tuple[str, list[tuple[str, str]], bytes]:
    tag = f'"{file.modified:x}-{file.size:x}{encoding and f"-{encoding}"}"'
    headers = [
        ("Content-Type", type_of(address)),
        *([("Content-Encoding", encoding)] if encoding else []),
        ("Vary", "Accept-Encoding"),
        ("ETag", tag),
        ("Cache-Control", _FOR_EVER if _NAMED_BY_CONTENT.search(f"/{address}") else _ASK),
        *own,
    ]
    return ("304 Not Modified", headers, b"") if known == tag else ("200 OK", headers, body)


def type_of(address: str) -> str:
    """The media type of a file, by its name."""
    return _TYPES.get(PurePosixPath(address).suffix.casefold(), "application/octet-stream")


def _address(environ: Mapping[str, Any]) -> str | None:
    """The path of the file asked for, below the site; None for what can be no file of a site."""
    raw = environ.get("PATH_INFO") or "/"
    if len(raw) > _LONGEST_ADDRESS:
        return None
    try:
        # WSGI passes the bytes of the address as Latin-1.
        path = raw.encode("latin-1").decode("utf-8")
    except UnicodeError:
        return None
    if not path.startswith("/"):
        return None
    path = f"{path}index.html" if path.endswith("/") else path
    parts = path[1:].split("/")
    return None if any(_is_odd(part) for part in parts) else "/".join(parts)


def _is_odd(part: str) -> bool:
    """Whether no file of a site has this name: empty, hidden, or with what a file system takes for something else."""
    return not part or part.startswith(".") or any(letter in part for letter in "\0\\:")


@contextmanager
def _opened_folder(folder: Path | str, below: int | None = None) -> Iterator[int]:
    # The site's own folder may be a link; nothing below it may.
    flags = os.O_RDONLY | os.O_DIRECTORY | (0 if below is None else os.O_NOFOLLOW)
    descriptor = os.open(folder, flags, dir_fd=below)
    try:
        yield descriptor
    finally:
        os.close(descriptor)


def _descend(root: int, parts: list[str]) -> int:
    """The folder that some names lead to, opened; the caller closes it.

    Raises:
        OSError: there is none, or a link is on the way.
    """
    here = os.dup(root)
    for part in parts:
        try:
            deeper = os.open(part, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW, dir_fd=here)
        finally:
            os.close(here)
        here = deeper
    return here


def _is_folder(root: int, address: str) -> bool:
    with suppress(OSError, ValueError):
        os.close(_descend(root, address.split("/")))
        return True
    return False


def _read(root: int, address: str) -> _File | None:
    """A file of the site; None when there is none, or when it is no regular file."""
    *folders, name = address.split("/")
    with suppress(OSError, ValueError):
        folder = _descend(root, folders)
        try:
            # Without waiting: opening a pipe would otherwise wait for somebody to write to it.
            descriptor = os.open(name, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK, dir_fd=folder)
        finally:
            os.close(folder)
        with os.fdopen(descriptor, "rb") as file:
            status = os.fstat(file.fileno())
            if stat.S_ISREG(status.st_mode):
                return _File(file.read(), status.st_mtime_ns, status.st_size)
    return None


def _own_headers(root: int) -> list[tuple[str, str]]:
    """The headers that the build wrote for its site; read for each request, because a build may have changed them."""
    file = _read(root, HEADERS_FILE)
    with suppress(ValueError, AttributeError):
        return [(str(name), str(value)) for name, value in json.loads(file.content).items()] if file else []
    return []


def _best(root: int, address: str, accepted: frozenset[str]) -> tuple[_File, bytes, str] | None:
    """What to send of a file and its encoding: a compressed file beside it that is not older, or compressed here."""
    file = _read(root, address)
    if file is None:
        return None
    for ending, encoding in ((".br", "br"), (".gz", "gzip")):
        if encoding in accepted and (sibling := _read(root, address + ending)) and sibling.modified >= file.modified:
            return file, sibling.content, encoding
    if "gzip" in accepted and PurePosixPath(address).suffix in _COMPRESSED:
        return file, _gzipped(file.content), "gzip"
    return file, file.content, ""


@lru_cache(maxsize=512)
def _gzipped(content: bytes) -> bytes:
    return gzip.compress(content, 6, mtime=0)


def _encodings(accepted: str) -> frozenset[str]:
    """The encodings that a browser takes (RFC 9110, 12.5.3); one with a weight of 0 is one that it does not."""
    found = set()
    for item in accepted.lower().split(","):
        name, _, weight = item.strip().partition(";")
        if not re.fullmatch(r"\s*q\s*=\s*0(\.0*)?\s*", weight):
            found.add(name.strip())
    return frozenset(found)
