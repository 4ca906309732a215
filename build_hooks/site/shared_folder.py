"""A folder in which the devices of a shop share their jobs, as a WSGI application (PEP 3333) in front of the site.

It speaks as much of WebDAV as the manual's pages use: they list the folder (RFC 4918, PROPFIND), read a job's file, and write it
only if it is still the one they have read (RFC 9110, 13.1). Nothing is deleted, and a file is replaced whole or not at all.
"""

from __future__ import annotations

import errno
import os
import re
import stat
import threading
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from email.utils import formatdate
from http import HTTPStatus
from pathlib import Path
from time import time_ns
from typing import Any, Final, NamedTuple
from xml.sax.saxutils import escape

from build_hooks.reading.hosts import is_private_host
from build_hooks.site.app import Application, StartResponse

__all__ = ["LARGEST_FILE", "SHARED_ADDRESS", "shared_folder_application"]

SHARED_ADDRESS: Final = "shared-jobs"
# The pages make no larger file, and read none.
LARGEST_FILE: Final = 50_000_000
_MOST_FILES: Final = 10_000
_NAME: Final = re.compile(r"[0-9a-f]{16}\.json")
_METHODS: Final = "OPTIONS, GET, HEAD, PUT, PROPFIND"
_ETAG: Final = re.compile(r'"[\x21\x23-\x7e]*"')
_COMMON: Final = (
    ("Cache-Control", "no-store"),
    ("X-Content-Type-Options", "nosniff"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
    ("Content-Security-Policy", "default-src 'none'; sandbox"),
)
_TEXT: Final = ("Content-Type", "text/plain; charset=utf-8")
_XML: Final = ("Content-Type", "application/xml; charset=utf-8")
_NO_DEPTH: Final = b'<?xml version="1.0" encoding="utf-8"?>\n<D:error xmlns:D="DAV:"><D:propfind-finite-depth/></D:error>\n'
_IN_THIS_PROCESS: Final = threading.Lock()


class _Answer(NamedTuple):
    status: HTTPStatus
    headers: tuple[tuple[str, str], ...] = ()
    body: bytes = b""


class _RefusedError(Exception):
    """A request that is not met, with the answer to it."""

    def __init__(self, status: HTTPStatus, why: str, *headers: tuple[str, str]) -> None:
        super().__init__(why)
        self.answer = _Answer(status, (_TEXT, *headers), f"{why}\n".encode())


def shared_folder_application(folder: Path, site: Application) -> Application:
    """The application that offers a folder at `SHARED_ADDRESS`, and leaves everything else to the site.

    Args:
        folder: where the jobs are, a file each.
        site: what answers for all other addresses.

    Returns:
        A WSGI application. It raises nothing for any request.
    """

    def application(environ: dict[str, Any], start_response: StartResponse) -> Iterable[bytes]:
        path = environ.get("PATH_INFO", "")
        if path != f"/{SHARED_ADDRESS}" and not path.startswith(f"/{SHARED_ADDRESS}/"):
            return site(environ, start_response)
        answer = _safe_answer(folder, path.removeprefix(f"/{SHARED_ADDRESS}"), environ)
        headers = [*answer.headers, *_COMMON, ("Content-Length", str(len(answer.body)))]
        start_response(f"{answer.status.value} {answer.status.phrase}", headers)
        return [] if environ["REQUEST_METHOD"] == "HEAD" else [answer.body]

    return application


def _safe_answer(folder: Path, path: str, environ: Mapping[str, Any]) -> _Answer:
    try:
        _refuse_strangers(environ)
        with _opened(folder) as opened:
            return _answer(opened, path, environ)
    except _RefusedError as refused:
        return refused.answer
    except OSError as error:
        full = error.errno in {errno.ENOSPC, errno.EDQUOT}
        status = HTTPStatus.INSUFFICIENT_STORAGE if full else HTTPStatus.INTERNAL_SERVER_ERROR
        why = "The disk is full." if full else f"The folder cannot be used: {os.strerror(error.errno or errno.EIO)}."
        return _RefusedError(status, why).answer


def _refuse_strangers(environ: Mapping[str, Any]) -> None:
    """Refuses what the page of another site makes a browser ask.

    Such a page is known by where the browser says it is from; or by the name that it has called this server by: one that somebody
    outside owns may lead to this machine.

    Raises:
        _RefusedError: for such a request.

    Source: W3C Fetch Metadata Request Headers; RFC 6454 (Origin).
    """
    host = environ.get("HTTP_HOST", "").lower()
    if not is_private_host(re.sub(r":[0-9]*$", "", host)):
        raise _RefusedError(
            HTTPStatus.MISDIRECTED_REQUEST, "Jobs are shared here under the name of this machine or of its own network only."
        )
    origin = environ.get("HTTP_ORIGIN")
    site = environ.get("HTTP_SEC_FETCH_SITE", "same-origin")
    if (origin is not None and origin.lower().partition("://")[2] != host) or site not in {"same-origin", "none"}:
        raise _RefusedError(HTTPStatus.FORBIDDEN, "Only pages of this server may use this folder.")


@contextmanager
def _opened(folder: Path) -> Iterator[int]:
    descriptor = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        yield descriptor
    finally:
        os.close(descriptor)


def _answer(folder: int, path: str, environ: Mapping[str, Any]) -> _Answer:
    method = environ["REQUEST_METHOD"]
    if method not in _METHODS.split(", "):
        raise _RefusedError(HTTPStatus.METHOD_NOT_ALLOWED, f"Only {_METHODS}: nothing is deleted here.", ("Allow", _METHODS))
    if method == "OPTIONS":
        return _Answer(HTTPStatus.NO_CONTENT, (("Allow", _METHODS),))
    name = path.removeprefix("/")
    if method == "PROPFIND":
        return _listed(folder, name, environ)
    if name == "" and method != "PUT":
        return _Answer(
            HTTPStatus.OK,
            (_TEXT,),
            b"The jobs that this shop shares. The manual's page \xe2\x80\x9cJobs\xe2\x80\x9d shows them.\n",
        )
    if not _NAME.fullmatch(name):
        raise _RefusedError(
            HTTPStatus.NOT_FOUND, "Files here are named by the key of their job: 16 figures and letters, then .json."
        )
    return _written(folder, name, environ) if method == "PUT" else _read(folder, name, environ)


def _listed(folder: int, name: str, environ: Mapping[str, Any]) -> _Answer:
    depth = environ.get("HTTP_DEPTH", "infinity").lower()
    if depth not in {"0", "1"}:
        return _Answer(HTTPStatus.FORBIDDEN, (_XML,), _NO_DEPTH)
    found: dict[str, os.stat_result | None]
    if name == "":
        found = {"": None, **(dict(_files(folder)) if depth == "1" else {})}
    else:
        status = _status(folder, name) if _NAME.fullmatch(name) else None
        if status is None:
            raise _RefusedError(HTTPStatus.NOT_FOUND, "There is no such file.")
        found = {name: status}
    root = f"{environ.get('SCRIPT_NAME', '')}/{SHARED_ADDRESS}/"
    body = "".join(_properties(escape(root + name), status) for name, status in found.items())
    text = f'<?xml version="1.0" encoding="utf-8"?>\n<D:multistatus xmlns:D="DAV:">\n{body}</D:multistatus>\n'
    return _Answer(HTTPStatus.MULTI_STATUS, (_XML,), text.encode())


def _properties(address: str, status: os.stat_result | None) -> str:
    """What is told of a file, or of the folder itself."""
    if status is None:
        told = "<D:resourcetype><D:collection/></D:resourcetype>"
    else:
        told = (
            f"<D:resourcetype/><D:getetag>{escape(_tag(status))}</D:getetag><D:getcontentlength>{status.st_size}</D:getcontentlength>"
            f"<D:getlastmodified>{formatdate(status.st_mtime, usegmt=True)}</D:getlastmodified>"
        )
    return (
        f"<D:response><D:href>{address}</D:href><D:propstat><D:prop>{told}</D:prop>"
        "<D:status>HTTP/1.1 200 OK</D:status></D:propstat></D:response>\n"
    )


def _files(folder: int) -> Iterator[tuple[str, os.stat_result]]:
    for name in sorted(os.listdir(folder)):
        status = _status(folder, name) if _NAME.fullmatch(name) else None
        if status is not None:
            yield name, status


def _status(folder: int, name: str) -> os.stat_result | None:
    """Of a plain file; None for what is none, or is not there."""
    with suppress(FileNotFoundError):
        found = os.stat(name, dir_fd=folder, follow_symlinks=False)
        return found if stat.S_ISREG(found.st_mode) else None
    return None


def _tag(status: os.stat_result) -> str:
    # The moment of a file is later than that of the one it replaces: see _replace.
    return f'"{status.st_mtime_ns:x}-{status.st_size:x}"'


def _read(folder: int, name: str, environ: Mapping[str, Any]) -> _Answer:
    try:
        descriptor = os.open(name, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK, dir_fd=folder)
    except OSError as error:
        if error.errno not in {errno.ENOENT, errno.ELOOP, errno.ENXIO}:
            raise
        raise _RefusedError(HTTPStatus.NOT_FOUND, "There is no such file.") from error
    with os.fdopen(descriptor, "rb") as file:
        status = os.fstat(file.fileno())
        if not stat.S_ISREG(status.st_mode) or status.st_size > LARGEST_FILE:
            raise _RefusedError(HTTPStatus.NOT_FOUND, "There is no such file.")
        tag = ("ETag", _tag(status))
        if _names(environ.get("HTTP_IF_NONE_MATCH"), _tag(status)):
            return _Answer(HTTPStatus.NOT_MODIFIED, (tag,))
        return _Answer(HTTPStatus.OK, (("Content-Type", "application/json; charset=utf-8"), tag), file.read())


def _written(folder: int, name: str, environ: Mapping[str, Any]) -> _Answer:
    must, must_not = environ.get("HTTP_IF_MATCH"), environ.get("HTTP_IF_NONE_MATCH")
    if must is None and must_not is None:
        raise _RefusedError(
            HTTPStatus.PRECONDITION_REQUIRED,
            "Say which file this is to replace (If-Match), or that there is none (If-None-Match: *). Nothing was written.",
        )
    content = environ["wsgi.input"].read(int(environ.get("CONTENT_LENGTH") or 0))
    if len(content) > LARGEST_FILE:
        raise _RefusedError(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, f"Files of up to {LARGEST_FILE // 1_000_000} MB are taken.")
    with _alone(folder):
        there = _status(folder, name)
        if there is None and _exists(folder, name):
            raise _RefusedError(HTTPStatus.CONFLICT, "There is something of this name that is no plain file.")
        tag = None if there is None else _tag(there)
        if (must is not None and not _names(must, tag)) or (must_not is not None and _names(must_not, tag)):
            raise _RefusedError(HTTPStatus.PRECONDITION_FAILED, "The file is another by now. Nothing was written.")
        if there is None and sum(1 for _ in _files(folder)) >= _MOST_FILES:
            raise _RefusedError(HTTPStatus.INSUFFICIENT_STORAGE, f"The folder holds {_MOST_FILES} jobs already.")
        new = _replace(folder, name, content, there)
    return _Answer(HTTPStatus.CREATED if there is None else HTTPStatus.NO_CONTENT, (("ETag", _tag(new)),))


def _exists(folder: int, name: str) -> bool:
    with suppress(FileNotFoundError):
        os.stat(name, dir_fd=folder, follow_symlinks=False)
        return True
    return False


def _names(condition: str | None, tag: str | None) -> bool:
    """Whether a condition names the file that is there (RFC 9110, 13.1); our tags are strong, so a weak one is none of them."""
    if condition is None or tag is None:
        return False
    return condition.strip() == "*" or tag in _ETAG.findall(re.sub(r'W/"[^"]*"', "", condition))


@contextmanager
def _alone(folder: int) -> Iterator[None]:
    """Nobody else writes in the meantime: no thread of this process, and no other server with the same folder."""
    import fcntl  # noqa: PLC0415 - not on Windows

    with _IN_THIS_PROCESS:
        fcntl.flock(folder, fcntl.LOCK_EX)
        try:
            yield
        finally:
            fcntl.flock(folder, fcntl.LOCK_UN)


def _replace(folder: int, name: str, content: bytes, before: os.stat_result | None) -> os.stat_result:
    """Puts a file in place of another in one step, once it is on the disk."""
    made = f".{name}.part"
    with suppress(FileNotFoundError):
        os.unlink(made, dir_fd=folder)  # Of a write that was cut off.
    descriptor = os.open(made, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW, 0o644, dir_fd=folder)
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
            file.flush()
            # Two writes in the same moment of the clock, or a clock that was set back, must not give the same tag.
            moment = max(time_ns(), before.st_mtime_ns + 1 if before else 0)
            os.utime(file.fileno(), ns=(moment, moment))
            os.fsync(file.fileno())
            status = os.fstat(file.fileno())
        os.rename(made, name, src_dir_fd=folder, dst_dir_fd=folder)
    except BaseException:
        with suppress(OSError):
            os.unlink(made, dir_fd=folder)
        raise
    os.fsync(folder)
    return status
