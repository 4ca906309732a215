"""The page as a WSGI application (PEP 3333). It keeps nothing and writes nothing: the author copies the block."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, Final, NamedTuple

from pydantic import BaseModel, ConfigDict, ValidationError

from build_hooks.placing.block import Draft, block_text, draft_of, missing
from build_hooks.placing.page import PICTURE, SCRIPTS, page_of
from build_hooks.placing.subject import Subject
from build_hooks.site.app import Application, StartResponse, type_of
from build_hooks.site.security import headers_of_site

__all__ = ["placing_application"]

_BROWSER: Final = Path(__file__).parents[1] / "browser"
# Those that the page loads; scripts of other rooms are bundled with what a manual has.
_FILES: Final = (
    "placing/placing.js",
    "placing/points.js",
    "placing/placing-texts.js",
    "placing/placing.css",
    "page/make.js",
    "page/store.js",
)
# By any other name, a page of another site would have been led here.
_OWN_NAMES: Final = frozenset({"localhost", "127.0.0.1", "[::1]"})
_PLAIN: Final = "text/plain; charset=utf-8"
_JSON: Final = "application/json; charset=utf-8"


class _Asked(BaseModel):
    """What the page sends to get the block."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    folder: str
    draft: Draft


class _Answer(NamedTuple):
    """What is sent back."""

    status: str
    type: str
    body: bytes


def placing_application(subject: Subject) -> Application:
    """The application that serves the page.

    Args:
        subject: the photograph.

    Returns:
        A WSGI application. It raises nothing for any request.
    """
    own = headers_of_site(())

    def application(environ: dict[str, Any], start_response: StartResponse) -> Iterable[bytes]:
        answer = _answer(subject, environ)
        headers = [("Content-Type", answer.type), ("Content-Length", str(len(answer.body))), ("Cache-Control", "no-store")]
        start_response(answer.status, [*headers, *own.items()])
        return [] if environ["REQUEST_METHOD"] == "HEAD" else [answer.body]

    return application


def _answer(subject: Subject, environ: Mapping[str, Any]) -> _Answer:
    path = environ.get("PATH_INFO", "")
    if _name_of(environ.get("HTTP_HOST", "")) not in _OWN_NAMES:
        return _Answer("403 Forbidden", _PLAIN, b"Open it as localhost.\n")
    if environ["REQUEST_METHOD"] == "POST":
        return _told(subject, path, environ["wsgi.input"].read(int(environ.get("CONTENT_LENGTH") or 0)))
    if environ["REQUEST_METHOD"] not in {"GET", "HEAD"}:
        return _Answer("405 Method Not Allowed", _PLAIN, b"Only GET, HEAD and POST.\n")
    if path == "/":
        return _Answer("200 OK", type_of("index.html"), page_of(subject).encode())
    if path == f"/{PICTURE}":
        return _Answer("200 OK", type_of(subject.path), subject.picture.content)
    name = path.removeprefix(f"/{SCRIPTS}")
    if name in _FILES:
        return _Answer("200 OK", type_of(name), (_BROWSER / name).read_bytes())
    return _Answer("404 Not Found", _PLAIN, b"There is nothing at this address.\n")


def _name_of(host: str) -> str:
    """The name without the port (RFC 3986, 3.2)."""
    return host.rpartition(":")[0] if host.rpartition(":")[2].isdigit() else host


def _told(subject: Subject, path: str, body: bytes) -> _Answer:
    try:
        if path == "/block":
            asked = _Asked.model_validate_json(body)
            if asked.folder not in subject.folders:
                return _refused()
            file = subject.file_from(asked.folder)
            answer: object = {"text": block_text(file, asked.draft), "problems": missing(file, asked.draft)}
        elif path == "/read":
            answer = _taken(subject, body.decode())
        else:
            return _Answer("404 Not Found", _PLAIN, b"There is nothing at this address.\n")
    except (ValidationError, UnicodeDecodeError):
        return _refused()
    return _Answer("200 OK", _JSON, json.dumps(answer).encode())


def _refused() -> _Answer:
    return _Answer("400 Bad Request", _PLAIN, b"The page sends nothing like this.\n")


def _taken(subject: Subject, text: str) -> object:
    """A pasted block as the page keeps it."""
    read = draft_of(text)
    if read.draft is None:
        return {"problems": read.problems}
    folder = subject.folder_for(read.file)
    told = f"The block names another picture, {read.file}. Its call-outs now stand on this one." if folder is None else ""
    return {
        "draft": read.draft.model_dump(),
        "folder": subject.nearest if folder is None else folder,
        "told": told,
        "problems": [],
    }
