"""Builds a manual again and again, in a process of its own, and sends to open pages what became of it."""

from __future__ import annotations

import hashlib
import json
import re
import sys
import threading
import time
from collections.abc import Callable, Iterable
from html import escape
from pathlib import Path
from typing import Any, Final, NamedTuple
from urllib.parse import parse_qs, unquote

from build_hooks.reading.addresses import SERVICE_WORKER
from build_hooks.site.app import Application, StartResponse, type_of
from build_hooks.site.watching.asking import Worker
from build_hooks.site.watching.files import States, changes

__all__ = ["Builds", "build_command", "live_command"]

_FOLDER: Final = "/benchleaf-watch/"
_STATE: Final = "/benchleaf-watch/state.json"
_STOPPED: Final = "The build has stopped. It is tried again when a file changes."
# Seconds that a reader waits for a page while an edit is read; then the last one is sent.
_PATIENCE: Final = 0.5
# Seconds in which open pages are loaded anew.
_LOADING: Final = 1.0
_SCRIPT: Final = Path(__file__).parents[2] / "browser" / "watch" / "watch.js"
_TAG: Final = '<script src="/benchleaf-watch/watch.js" data-page="{}" defer></script>'
# Pages that a browser has stored would be shown in place of those that were just built.
# This one removes itself and them, and nothing else of this host.
_NO_WORKER: Final = b"""\
self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name.startsWith("benchleaf:")) await caches.delete(name);
  await self.registration.unregister();
})()));
"""
_NO_SCRIPT: Final = b"// Nothing is stored while the manual is watched.\n"
_TYPES: Final = {"js": "text/javascript; charset=utf-8", "json": "application/json", "html": "text/html; charset=utf-8"}
# What the builder says around our own lines.
_AROUND: Final = re.compile(r"\s*(ERROR +-.*|Aborted with .*|The last site stays as it was\.|)\s*")


class Builds:
    """The builds of one manual.

    Attributes:
        edition: how often it was found sound.
        problem: what is wrong with it as it is now; empty when nothing is.
    """

    def __init__(
        self,
        command: list[str],
        look: Callable[[], States],
        say: Callable[[str], object],
        live_command: list[str] | None = None,
    ) -> None:
        """Takes the command of what builds, what gives the states of the files, who is told, and the command of what makes single pages.

        Without the last, pages are seen when a whole build is done.
        """
        self.edition = 0
        self.problem = ""
        self._look = look
        self._say = say
        self._ending = threading.Event()
        self._builder = Worker(command)
        self._live = Worker(live_command) if live_command else None
        # The edition that whole builds have put in place, and the one that the next is to hold.
        self._built = 0
        self._wanted = 0
        self._turn = threading.Condition()
        self._resuming = threading.Timer(0, self._builder.resume)
        # The files that single pages were asked for in this edition, and what each was when it was last good.
        self._pages: dict[str, _Sent | None] = {}
        self._last: dict[str, _Sent] = {}
        self._beside = ""

    def run(self) -> None:
        """Builds at once, and again whenever a file has changed, until `end` is called."""
        whole = threading.Thread(target=self._build_when_wanted)
        if self._live is not None:
            whole.start()
        for states in changes(self._look, wait=self._ending.wait):
            if self._ending.is_set():
                break
            if self._live is None:
                self._build()
            else:
                self._take_alone(self._live)
            if not self.problem:
                self._beside = _of_what_pages_load(states)
        if self._live is not None:
            with self._turn:
                self._turn.notify_all()
            whole.join()
            self._live.end()
        self._builder.end()

    def end(self) -> None:
        """Ends `run`, from any thread."""
        self._ending.set()
        for worker in (self._live, self._builder):
            if worker is not None:
                worker.stop()

    def _take_alone(self, live: Worker) -> None:
        """Takes an edit while the whole site waits, also until open pages are loaded anew: somebody looks at them."""
        self._resuming.cancel()
        self._builder.pause()
        self._take(live)
        self._resuming = threading.Timer(_LOADING if self.edition > 1 else 0, self._builder.resume)
        self._resuming.daemon = True
        self._resuming.start()

    def _take(self, live: Worker) -> None:
        """Lets pages be made of the manual as it is now, and the whole site be built after them."""
        began = time.monotonic()
        answer = live.asked({"take": True}) or {"problem": _STOPPED, "pages": False}
        if self._ending.is_set():
            return
        if answer["problem"]:
            self.problem = answer["problem"]
            self._say(f"{self.problem}\nThe last good pages stay as they were.\n")
            return
        with self._turn:
            self._pages = {}
            self.problem, self.edition = "", self.edition + 1
            self._wanted = self.edition
            self._turn.notify_all()
        if self.edition > 1 and answer["pages"]:
            self._say(f"Shown in {time.monotonic() - began:.1f} s. The search, the wall and the pages kept offline follow.\n")

    def _build_when_wanted(self) -> None:
        """Builds the whole site whenever there is a newer edition than the one in place."""
        while True:
            with self._turn:
                self._turn.wait_for(lambda: self._wanted or self._ending.is_set())
                if self._ending.is_set():
                    return
                wanted, self._wanted = self._wanted, 0
            self._build(wanted)

    def _build(self, edition: int | None = None) -> None:
        """Builds the whole site.

        Args:
            edition: the one that single pages are made of already; None where they are not.
        """
        began = time.monotonic()
        answer = self._builder.asked("build") or {"status": 1, "said": f"{_STOPPED}\n"}
        said = answer["said"]
        if self._ending.is_set():
            return
        with self._turn:
            if answer["status"]:
                self._say(said)
                if edition in {None, self.edition}:
                    self.problem = "\n".join(line for line in said.splitlines() if not _AROUND.fullmatch(line)) or said
                return
            if edition is None:
                self.problem, self.edition = "", self.edition + 1
            self._built = edition or self.edition
        self._say(f"{said}Built in {time.monotonic() - began:.1f} s.\n")

    def application(self, site: Application) -> Application:
        """The site with a script in every page that asks for the state of the builds.

        Args:
            site: what serves the site. Its headers are sent as they are.
        """

        def application(environ: dict[str, Any], start_response: StartResponse) -> Iterable[bytes]:
            path = environ.get("PATH_INFO", "")
            own = self._state(site, environ) if path == _STATE else self._own(path)
            if own is None:
                return self._with_script(site, environ, start_response)
            kind = path.rpartition(".")[2]
            headers = [("Content-Type", _TYPES[kind]), ("Content-Length", str(len(own))), ("Cache-Control", "no-store")]
            start_response("200 OK", headers)
            return [] if environ["REQUEST_METHOD"] == "HEAD" else [own]

        return application

    def _own(self, path: str) -> bytes | None:
        """What is sent in place of a file of the site."""
        if path == f"{_FOLDER}watch.js":
            return _SCRIPT.read_bytes()
        if path == f"/{SERVICE_WORKER}":
            return _NO_WORKER
        return _NO_SCRIPT if path == "/assets/benchleaf/offline.js" else None

    def _state(self, site: Application, environ: dict[str, Any]) -> bytes:
        """What an open page asks again and again: what is wrong, and whether it is still the page that is sent."""
        asked = parse_qs(environ.get("QUERY_STRING", ""))
        page = ""
        if "page" in asked:
            # Names come as bytes in Latin-1 (PEP 3333).
            path = unquote(asked["page"][0]).encode().decode("latin-1")
            page = self._name(self._sent(site, {**environ, "PATH_INFO": path}).body)
        return json.dumps({"edition": self.edition, "problem": self.problem, "page": page}).encode()

    def _name(self, page: bytes) -> str:
        """A name for what a reader sees of a page: another one as soon as it differs, or a picture or a sheet does."""
        return hashlib.sha256(page + self._beside.encode()).hexdigest()[:16]

    def _sent(self, site: Application, environ: dict[str, Any]) -> _Sent:
        """What is sent for an address: the page as its files are now, where the site in place is older, else what that holds."""
        # As it is in the file, and all of it: a page that a browser has kept may be one without the script.
        asked = {name: value for name, value in environ.items() if name not in {"HTTP_ACCEPT_ENCODING", "HTTP_IF_NONE_MATCH"}}
        started: list[tuple[str, list[tuple[str, str]]]] = []
        body = b"".join(site({**asked, "REQUEST_METHOD": "GET"}, lambda *given: started.append(given)))
        status, headers = started[0]
        in_place = _Sent(status, headers, body)
        if self._live is None or self._built >= self.edition or status.startswith(("503", "405")):
            return in_place
        return self._made(self._live, in_place, environ.get("PATH_INFO") or "/") or in_place

    def _made(self, live: Worker, in_place: _Sent, path: str) -> _Sent | None:
        """An address as its files are now; None where only a whole build makes it."""
        place = path[1:].encode("latin-1").decode("utf-8", "replace")
        place = f"{place}index.html" if place.endswith("/") or not place else place
        pages = self._pages
        if place not in pages:
            answer = live.asked({"page": place}, wait=_PATIENCE)
            if answer is None:
                # It reads an edit, or has ended. The page is asked for again soon.
                return self._last.get(place)
            pages[place] = _answered(answer, in_place)
            if "problem" in answer:
                self.problem = answer["problem"]
                self._say(f"{self.problem}\n")
                pages[place] = self._last.get(place)
            elif (made := pages[place]) is not None:
                self._last[place] = made
        return pages[place]

    def _with_script(self, site: Application, environ: dict[str, Any], start_response: StartResponse) -> Iterable[bytes]:
        status, headers, body = self._sent(site, environ)
        given, sent = dict(headers), body
        if status.startswith("503"):
            # Nothing was built yet.
            given["Content-Type"] = _TYPES["html"]
            body = f"<!doctype html><title>Benchleaf</title><body><p>{escape(self.problem) or 'The manual is being built.'}</p></body>".encode()
        if given.get("Content-Type", "").startswith("text/html"):
            tag = _TAG.format(self._name(sent)).encode()
            head, end, rest = body.rpartition(b"</body>")
            body = b"".join((head, tag, end, rest)) if end else body + tag
            given["Cache-Control"] = "no-store"
            given.pop("ETag", None)
        given["Content-Length"] = str(len(body))
        start_response(status, list(given.items()))
        return [] if environ["REQUEST_METHOD"] == "HEAD" else [body]


class _Sent(NamedTuple):
    """A reply."""

    status: str
    headers: list[tuple[str, str]]
    body: bytes


def _answered(answer: dict[str, Any], in_place: _Sent) -> _Sent | None:
    """What was made, with the headers of the site in place."""
    if "html" in answer:
        body, kind = answer["html"].encode(), _TYPES["html"]
    elif "file" in answer:
        file = Path(answer["file"])
        try:
            body, kind = file.read_bytes(), type_of(file.name)
        except OSError:
            return None
    else:
        return None
    own = [(name, value) for name, value in in_place.headers if name not in {"Content-Type", "ETag", "Cache-Control", "Location"}]
    return _Sent("200 OK", [*own, ("Content-Type", kind), ("Cache-Control", "no-store")], body)


def _of_what_pages_load(states: States) -> str:
    """A name for the state of pictures, sheets and the like: not of what pages are made of."""
    return repr(sorted(item for item in states.items() if not item[0].endswith((".md", ".yml"))))


def build_command(config: Path, site: Path) -> list[str]:
    """What builds a manual again and again in a process of its own.

    Args:
        config: its mkdocs.yml.
        site: where to put the site.
    """
    return [sys.executable, "-m", "build_hooks.site.watching.worker", str(config), str(site)]


def live_command(config: Path, site: Path) -> list[str]:
    """What makes single pages of a manual in a process of its own.

    Args:
        config: its mkdocs.yml.
        site: where the site is put.
    """
    return [sys.executable, "-m", "build_hooks.live", str(config), str(site)]
