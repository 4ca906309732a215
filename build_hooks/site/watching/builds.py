"""Builds a manual again and again, in a process of its own, and sends to open pages what became of it."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterable
from html import escape
from pathlib import Path
from typing import Any, Final

from build_hooks.reading.addresses import SERVICE_WORKER
from build_hooks.site.app import Application, StartResponse
from build_hooks.site.watching.files import States, changes

__all__ = ["Builds"]

_FOLDER: Final = "/benchleaf-watch/"
_SCRIPT: Final = Path(__file__).parents[2] / "browser" / "watch" / "watch.js"
_TAG: Final = b'<script src="/benchleaf-watch/watch.js" defer></script>'
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
        edition: how many of them were good.
        problem: what is wrong with the last; empty when it was good.
    """

    def __init__(self, command: list[str], look: Callable[[], States], say: Callable[[str], object]) -> None:
        """Takes the command of what builds, what gives the states of the files, and who is told."""
        self.edition = 0
        self.problem = ""
        self._command = command
        self._look = look
        self._say = say
        self._ending = threading.Event()
        self._worker: subprocess.Popen[str] | None = None

    def run(self) -> None:
        """Builds at once, and again whenever a file has changed, until `end` is called."""
        for _ in changes(self._look, wait=self._ending.wait):
            if self._ending.is_set():
                break
            self._build()
        if self._worker is not None:
            self._worker.terminate()
            self._worker.communicate()

    def end(self) -> None:
        """Ends `run`, from any thread."""
        self._ending.set()
        if self._worker is not None:
            self._worker.terminate()

    def _build(self) -> None:
        began = time.monotonic()
        status, said = self._asked()
        if self._ending.is_set():
            return
        if status:
            self.problem = "\n".join(line for line in said.splitlines() if not _AROUND.fullmatch(line)) or said
            self._say(said)
            return
        self.problem, self.edition = "", self.edition + 1
        self._say(f"{said}Built in {time.monotonic() - began:.1f} s.\n")

    def _asked(self) -> tuple[int, str]:
        """The status of a build, and what it said."""
        if self._worker is not None and self._worker.poll() is not None:
            # It closes what leads to it.
            self._worker.communicate()
            self._worker = None
        if self._worker is None:
            self._worker = subprocess.Popen(  # noqa: S603 - our own interpreter, no shell
                self._command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, encoding="utf-8", process_group=0
            )
        assert self._worker.stdin is not None and self._worker.stdout is not None  # noqa: S101, PT018 - for the type checker
        try:
            self._worker.stdin.write("build\n")
            self._worker.stdin.flush()
            answer = json.loads(self._worker.stdout.readline())
        except (OSError, ValueError):
            return 1, "The build has stopped. It is tried again when a file changes.\n"
        return answer["status"], answer["said"]

    def application(self, site: Application) -> Application:
        """The site with a script in every page that asks for the state of the builds.

        Args:
            site: what serves the site. Its headers are sent as they are.
        """

        def application(environ: dict[str, Any], start_response: StartResponse) -> Iterable[bytes]:
            path = environ.get("PATH_INFO", "")
            own = self._own(path)
            if own is None:
                return self._with_script(site, environ, start_response)
            kind = path.rpartition(".")[2]
            headers = [("Content-Type", _TYPES[kind]), ("Content-Length", str(len(own))), ("Cache-Control", "no-store")]
            start_response("200 OK", headers)
            return [] if environ["REQUEST_METHOD"] == "HEAD" else [own]

        return application

    def _own(self, path: str) -> bytes | None:
        """What is sent in place of a file of the site."""
        if path == f"{_FOLDER}state.json":
            return json.dumps({"edition": self.edition, "problem": self.problem}).encode()
        if path == f"{_FOLDER}watch.js":
            return _SCRIPT.read_bytes()
        if path == f"/{SERVICE_WORKER}":
            return _NO_WORKER
        return _NO_SCRIPT if path == "/assets/benchleaf/offline.js" else None

    def _with_script(self, site: Application, environ: dict[str, Any], start_response: StartResponse) -> Iterable[bytes]:
        started: list[tuple[str, list[tuple[str, str]]]] = []
        # As it is in the file, and all of it: a page that a browser has kept may be one without the script.
        asked = {name: value for name, value in environ.items() if name not in {"HTTP_ACCEPT_ENCODING", "HTTP_IF_NONE_MATCH"}}
        body = b"".join(site({**asked, "REQUEST_METHOD": "GET"}, lambda *given: started.append(given)))
        status, headers = started[0]
        given = dict(headers)
        if status.startswith("503"):
            # Nothing was built yet.
            given["Content-Type"] = _TYPES["html"]
            body = f"<!doctype html><title>Benchleaf</title><body><p>{escape(self.problem) or 'The manual is being built.'}</p></body>".encode()
        if given.get("Content-Type", "").startswith("text/html"):
            head, end, rest = body.rpartition(b"</body>")
            body = b"".join((head, _TAG, end, rest)) if end else body + _TAG
            given["Cache-Control"] = "no-store"
            given.pop("ETag", None)
        given["Content-Length"] = str(len(body))
        start_response(status, list(given.items()))
        return [] if environ["REQUEST_METHOD"] == "HEAD" else [body]


def build_command(config: Path, site: Path) -> list[str]:
    """What builds a manual again and again in a process of its own.

    Args:
        config: its mkdocs.yml.
        site: where to put the site.
    """
    return [sys.executable, "-m", "build_hooks.site.watching.worker", str(config), str(site)]
