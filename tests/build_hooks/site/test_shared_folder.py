"""The folder of shared jobs: what is written there is whole, and never over something that the writer has not read."""

from __future__ import annotations

import concurrent.futures
import http.client
import os
import threading
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import pytest

from build_hooks.site import shared_folder
from build_hooks.site.serve import make_server, serve

from .test_serve import write_site

JOB: Final = "00d1f2a3b4c5d6e7.json"
NEW: Final = {"If-None-Match": "*"}


@dataclass(frozen=True)
class Shared:
    """A served folder of jobs."""

    folder: Path
    port: int

    def ask(
        self, method: str, name: str = "", headers: Mapping[str, str] | None = None, body: bytes | None = None
    ) -> tuple[int, http.client.HTTPMessage, bytes]:
        """One request below the folder's address."""
        connection = http.client.HTTPConnection("localhost", self.port, timeout=30)
        connection.request(method, f"/shared-jobs/{name}", body=body, headers=dict(headers or {}))
        answer = connection.getresponse()
        content = answer.read()
        connection.close()
        return answer.status, answer.headers, content

    def put(self, body: bytes, **conditions: str) -> int:
        """Writes a job; gives the status."""
        headers = {name.replace("_", "-"): value for name, value in conditions.items()}
        return self.ask("PUT", JOB, headers, body)[0]

    def names(self) -> list[str]:
        """What is in the folder."""
        return sorted(path.name for path in self.folder.iterdir())

    def tag(self) -> str:
        """The tag of the job."""
        return str(self.ask("GET", JOB)[1]["ETag"])


@pytest.fixture
def shared(tmp_path: Path) -> Iterator[Shared]:
    """A site with a folder of jobs beside it."""
    write_site(tmp_path / "site")
    folder = tmp_path / "jobs"
    folder.mkdir()
    server = make_server(tmp_path / "site", 0, quiet=True, jobs=folder)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    yield Shared(folder, server.port)
    server.shutdown()
    thread.join()


def test_a_job_is_written_read_and_listed(shared: Shared) -> None:
    """With one tag for all three, and nothing else in the folder."""
    status, headers, _ = shared.ask("PUT", JOB, NEW, b"{}")
    assert status == 201
    tag = headers["ETag"]
    assert shared.ask("GET", JOB)[2] == b"{}"
    assert shared.tag() == tag
    assert shared.ask("GET", JOB, {"If-None-Match": tag})[0] == 304
    status, headers, body = shared.ask("PROPFIND", "", {"Depth": "1"})
    assert (status, headers["Content-Type"]) == (207, "application/xml; charset=utf-8")
    found = [
        (one.findtext("{DAV:}href"), one.findtext(".//{DAV:}getetag"), one.findtext(".//{DAV:}getcontentlength"))
        for one in ET.fromstring(body)  # noqa: S314 - our own answer
    ]
    assert found == [("/shared-jobs/", None, None), (f"/shared-jobs/{JOB}", tag, "2")]
    assert shared.names() == [JOB]


def test_only_the_version_that_was_read_is_replaced(shared: Shared) -> None:
    """Whoever comes too late is refused, and the file stays as it was (RFC 9110, 13.1)."""
    assert shared.put(b"1", If_None_Match="*") == 201
    first = shared.tag()
    assert shared.put(b"2", If_None_Match="*") == 412
    assert shared.put(b"2", If_Match='"other"') == 412
    assert shared.put(b"2", If_Match=f"W/{first}") == 412
    assert shared.put(b"2", If_Match=f'"other", {first}') == 204
    assert shared.put(b"3", If_Match=first) == 412
    assert shared.put(b"3") == 428
    assert shared.ask("GET", JOB)[2] == b"2"


def test_what_is_not_there_cannot_be_replaced(shared: Shared) -> None:
    """Neither by its tag nor by any; no file appears."""
    assert shared.put(b"1", If_Match="*") == 412
    assert shared.put(b"1", If_Match='"x"') == 412
    assert shared.names() == []


def test_of_many_that_write_at_once_one_wins(shared: Shared) -> None:
    """Each round, exactly one; the others have read an older file."""
    shared.put(b"begin", If_None_Match="*")
    for turn in range(5):
        tag = shared.tag()
        with concurrent.futures.ThreadPoolExecutor(8) as pool:
            put = [pool.submit(shared.put, b"%d-%d" % (turn, writer), If_Match=tag) for writer in range(8)]
        assert sorted(one.result() for one in put) == [204, *[412] * 7]


def test_two_versions_of_one_moment_have_two_tags(shared: Shared, monkeypatch: pytest.MonkeyPatch) -> None:
    """Even where the clock stands still or is set back."""
    monkeypatch.setattr(shared_folder, "time_ns", lambda: 1_000)
    tags: list[str] = []
    for content in (b"a", b"b", b"c"):
        assert shared.put(content, **({"If_Match": tags[-1]} if tags else {"If_None_Match": "*"})) in {201, 204}
        tags.append(shared.tag())
    assert len(set(tags)) == 3


@pytest.mark.parametrize(
    "name",
    [
        "../site/index.html", "..%2fsite%2findex.html", "00D1F2A3B4C5D6E7.json", "00d1f2a3b4c5d6e7.JSON", "00d1f2a3b4c5d6e7.json/", "x.json",
        "00d1f2a3b4c5d6e7.json%00", "00d1f2a3b4c5d6e7.json%0a", ".00d1f2a3b4c5d6e7.json.part", "a/00d1f2a3b4c5d6e7.json", "/00d1f2a3b4c5d6e7.json", "",
    ],
)  # fmt: skip
def test_no_other_name_is_written_or_read(shared: Shared, name: str) -> None:
    """None leads out of the folder, and none is hidden in it."""
    before = sorted(shared.folder.parent.rglob("*"))
    assert shared.ask("PUT", name, NEW, b"x")[0] == 404
    assert shared.ask("GET", name)[0] == (404 if name else 200)
    assert sorted(shared.folder.parent.rglob("*")) == before


def test_no_link_is_followed(shared: Shared) -> None:
    """Neither to read, nor to write through it; nor is it listed."""
    secret = shared.folder.parent / "secret.json"
    secret.write_text("secret", encoding="utf-8")
    (shared.folder / JOB).symlink_to(secret)
    assert shared.ask("GET", JOB)[0] == 404
    assert shared.put(b"x", If_None_Match="*") == 409
    assert shared.put(b"x", If_Match="*") == 409
    assert JOB.encode() not in shared.ask("PROPFIND", "", {"Depth": "1"})[2]
    assert secret.read_text(encoding="utf-8") == "secret"


def test_nothing_is_deleted(shared: Shared) -> None:
    """The answer says what may be asked."""
    shared.put(b"1", If_None_Match="*")
    for method in ("DELETE", "MOVE", "COPY", "MKCOL", "PROPPATCH", "LOCK", "POST", "PATCH"):
        status, headers, _ = shared.ask(method, JOB)
        assert (status, headers["Allow"]) == (405, "OPTIONS, GET, HEAD, PUT, PROPFIND"), method
    assert shared.ask("OPTIONS", JOB)[1]["Allow"] == "OPTIONS, GET, HEAD, PUT, PROPFIND"
    assert shared.ask("GET", JOB)[2] == b"1"


def test_a_list_has_an_end(shared: Shared) -> None:
    """Of the folder, or of one file; never of all below (RFC 4918, 9.1)."""
    shared.put(b"1", If_None_Match="*")
    assert shared.ask("PROPFIND", "")[0] == 403
    assert shared.ask("PROPFIND", "", {"Depth": "0"})[2].count(b"<D:response>") == 1
    assert shared.ask("PROPFIND", JOB, {"Depth": "0"})[2].count(shared.tag().encode()) == 1
    assert shared.ask("PROPFIND", "ffffffffffffffff.json", {"Depth": "0"})[0] == 404


@pytest.mark.parametrize(
    ("headers", "expected"),
    [
        ({"Origin": "http://{host}"}, 201),
        ({"Sec-Fetch-Site": "same-origin"}, 201),
        ({"Origin": "https://elsewhere.example"}, 403),
        ({"Origin": "null"}, 403),
        ({"Origin": "http://["}, 403),
        ({"Sec-Fetch-Site": "cross-site"}, 403),
        ({"Sec-Fetch-Site": "same-site", "Origin": "http://{host}"}, 403),
        ({"Host": "rebound.example", "Origin": "http://rebound.example", "Sec-Fetch-Site": "same-origin"}, 421),
        ({"Host": "manual.shop.lan", "Origin": "https://manual.shop.lan"}, 201),
        ({"Host": ""}, 421),
    ],
)
def test_the_page_of_another_site_can_do_nothing(shared: Shared, headers: dict[str, str], expected: int) -> None:
    """Not by its own name, nor by one that it has made lead here."""
    given = {name: value.format(host=f"localhost:{shared.port}") for name, value in headers.items()}
    assert shared.ask("PUT", JOB, {**NEW, **given}, b"{}")[0] == expected
    assert (shared.folder / JOB).exists() == (expected == 201)
    assert shared.ask("GET", "", given)[0] == (200 if expected == 201 else expected)


def test_what_is_too_large_or_too_many_is_refused(shared: Shared, monkeypatch: pytest.MonkeyPatch) -> None:
    """And what is there stays as it is."""
    monkeypatch.setattr(shared_folder, "LARGEST_FILE", 10)
    monkeypatch.setattr(shared_folder, "_MOST_FILES", 1)
    assert shared.put(b"x" * 11, If_None_Match="*") == 413
    assert shared.put(b"x" * 10, If_None_Match="*") == 201
    assert shared.ask("PUT", "ffffffffffffffff.json", NEW, b"x")[0] == 507
    assert shared.put(b"y", If_Match=shared.tag()) == 204
    assert shared.names() == [JOB]


def test_a_write_that_fails_leaves_the_file_that_was_there(shared: Shared, monkeypatch: pytest.MonkeyPatch) -> None:
    """A full disk says so; what a write that was cut off has left is in nobody's way."""
    shared.put(b"1", If_None_Match="*")
    (shared.folder / f".{JOB}.part").write_bytes(b"half")

    def fails(_: int) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", fails)
        status, _, body = shared.ask("PUT", JOB, {"If-Match": shared.tag()}, b"2")
    assert (status, body) == (507, b"The disk is full.\n")
    assert shared.ask("GET", JOB)[2] == b"1"
    assert shared.names() == [JOB]
    assert shared.put(b"3", If_Match=shared.tag()) == 204


def test_every_answer_is_of_no_use_to_another_site(shared: Shared) -> None:
    """Not kept, not guessed at, not shown in another's page."""
    for answer in (shared.ask("GET"), shared.ask("GET", JOB), shared.ask("PUT", JOB, {"Origin": "null"})):
        headers = answer[1]
        assert headers["Cache-Control"] == "no-store"
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
        assert headers["Content-Security-Policy"] == "default-src 'none'; sandbox"
        assert headers["Access-Control-Allow-Origin"] is None


def test_the_site_is_served_as_before(shared: Shared) -> None:
    """Beside the folder, and without it there is none."""
    connection = http.client.HTTPConnection("localhost", shared.port, timeout=30)
    connection.request("GET", "/index.html")
    assert connection.getresponse().status == 200
    connection.close()


def test_a_folder_that_cannot_hold_jobs_is_explained(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With what to do."""
    site = tmp_path / "site"
    write_site(site)
    (site / "jobs").mkdir()
    assert serve(site, 0, jobs=tmp_path / "none") == 1
    assert serve(site, 0, jobs=site / "jobs") == 1
    assert capsys.readouterr().err.splitlines() == [
        f"{tmp_path / 'none'}: there is no such folder for shared jobs. Make it, or give another one.",
        f"{site / 'jobs'} is part of the site, and the next build replaces it. Give a folder outside {site}.",
    ]
