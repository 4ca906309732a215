"""The settings of the author's guide do what the guide says: with our own server, and with each that is installed here."""

from __future__ import annotations

import gzip
import http.client
import json
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import expect

from build_hooks.site.serve import HEADERS_FILE

from .conftest import CLEARANCE, Reader
from .servers import INSTALLED, Place, running

pytestmark = pytest.mark.browser


@pytest.fixture(params=INSTALLED, scope="module")
def server(request: pytest.FixtureRequest, short_site: Path) -> Iterator[tuple[Place, Callable[[], None]]]:
    """A server with a copy of the manual."""
    with running(request.param, short_site) as (place, end):
        yield place, end


@pytest.fixture
def place(server: tuple[Place, Callable[[], None]]) -> Place:
    """Where it runs."""
    return server[0]


def ask(place: Place, path: str) -> tuple[int, http.client.HTTPMessage, bytes]:
    """A file as a browser gets it: inflated, if it came compressed."""
    connection = http.client.HTTPConnection("localhost", place.port, timeout=60)
    connection.request("GET", path, headers={"Accept-Encoding": "gzip"})
    answer = connection.getresponse()
    body = answer.read()
    connection.close()
    return answer.status, answer.headers, gzip.decompress(body) if answer.headers["Content-Encoding"] == "gzip" else body


def test_pages_come_with_the_headers_of_the_site(place: Place) -> None:
    """Types, policy, and the order to ask before an old copy is used."""
    headers = json.loads((place.site / HEADERS_FILE).read_text(encoding="utf-8"))
    for path, file, kinds in (
        ("/", "index.html", {"text/html"}),
        (f"/{CLEARANCE}", f"{CLEARANCE}index.html", {"text/html"}),
        ("/service-worker.js", "service-worker.js", {"text/javascript", "application/javascript"}),
    ):
        status, sent, body = ask(place, path)
        assert (status, body) == (200, (place.site / file).read_bytes())
        assert sent.get_content_type() in kinds
        assert sent["Cache-Control"] == "no-cache"
        assert {name: sent[name] for name in headers} == headers


def test_the_engine_is_kept_for_ever_and_sent_as_it_is(place: Place) -> None:
    """Its folder's name says its content. What is compressed already is not touched; its script is sent compressed."""
    (engine,) = (place.site / "assets/benchleaf").glob("engine-*")
    for name in ("wasm.gz", "image.gz", "engine.whl", "runtime.js"):
        status, sent, body = ask(place, f"/assets/benchleaf/{engine.name}/{name}")
        assert (status, body) == (200, (engine / name).read_bytes()), name
        assert sent["Cache-Control"] == "public, max-age=31536000, immutable"
        assert (sent["Content-Encoding"] == "gzip") == (name == "runtime.js"), name


def test_what_is_not_there_is_said(place: Place) -> None:
    """With the status that says so, in the manual's own page, which leads back into it."""
    status, sent, body = ask(place, "/no-such-page/")
    assert (status, sent.get_content_type(), body) == (404, "text/html", (place.site / "404.html").read_bytes())


def test_the_manual_calculates_and_is_kept(server: tuple[Place, Callable[[], None]], reader: Callable[[], Reader]) -> None:
    """Under the policy as this server sends it; then the server is ended, and everything still works."""
    place, end = server
    visitor = reader()
    faults: list[str] = []
    visitor.page.on("console", lambda message: faults.append(message.text) if message.type == "error" else None)
    visitor.open(f"{place.address}{CLEARANCE}")
    visitor.answers()
    assert len(visitor.page.workers) >= 1
    visitor.wait_until_kept()
    assert faults == []
    end()
    visitor.open(f"{place.address}standards/seals/")
    expect(visitor.page.locator("h1")).to_contain_text("Seals")
    visitor.open(f"{place.address}{CLEARANCE}")
    visitor.answers()
    assert visitor.warnings() == []
