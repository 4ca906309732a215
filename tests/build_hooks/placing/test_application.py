"""The server of the page answers its page and nobody else, keeps nothing, and ends cleanly."""

from __future__ import annotations

import json
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest

from build_hooks.placing import placing_application, subject_of
from build_hooks.site.security import headers_of_site
from tests.build_hooks.pictures.test_made import SECRET, from_a_telephone
from tests.small_manual import small_manual

DRAFT = {"shows": "A drum.", "points": [{"at": [40, 25.5], "words": "The gap"}], "beside": {}}


class Asked:
    """The application for one photograph, asked without a network."""

    def __init__(self, docs: Path, file: str) -> None:
        self.application = placing_application(subject_of(docs / file, docs))

    def __call__(
        self, path: str, method: str = "GET", body: bytes = b"", host: str = "localhost:8001"
    ) -> tuple[str, dict[str, str], bytes]:
        """Status, headers and body of one answer."""
        told: list[Any] = []
        environ = {
            "REQUEST_METHOD": method,
            "PATH_INFO": path,
            "HTTP_HOST": host,
            "CONTENT_LENGTH": str(len(body)),
            "wsgi.input": BytesIO(body),
        }
        answer = b"".join(self.application(environ, lambda status, headers: told.append((status, dict(headers)))))
        return told[0][0], told[0][1], answer


@pytest.fixture
def asked(tmp_path: Path) -> Asked:
    """For a photograph of a telephone."""
    docs = tmp_path / "docs"
    small_manual(docs)
    (docs / "units/oak-1/a <b>.jpg").write_bytes(from_a_telephone())
    return Asked(docs, "units/oak-1/a <b>.jpg")


def test_every_answer_has_the_policy_of_a_built_site(asked: Asked) -> None:
    """Also one that refuses."""
    for path in ("/", "/picture", "/browser/placing/placing.js", "/nothing"):
        headers = asked(path)[1]
        assert headers_of_site(()).items() <= headers.items()
        assert "unsafe-eval" not in headers["Content-Security-Policy"].replace("wasm-unsafe-eval", "")


def test_the_picture_is_that_of_the_site(asked: Asked) -> None:
    """Upright, without what the camera wrote; its name does no harm."""
    status, headers, picture = asked("/picture")
    assert (status, headers["Content-Type"], SECRET in picture) == ("200 OK", "image/jpeg", False)
    page = asked("/")[2].decode()
    assert 'width="32" height="64"' in page
    assert "<h1>Call-outs of units/oak-1/a &lt;b&gt;.jpg</h1>" in page


def test_the_page_gets_its_block_and_what_is_missing(asked: Asked) -> None:
    """For each folder with the picture's name from there."""
    sent = {"folder": "", "draft": {**DRAFT, "shows": ""}}
    status, _, answer = asked("/block", "POST", json.dumps(sent).encode())
    assert (status, json.loads(answer)) == (
        "200 OK",
        {
            "text": (
                '```photo\nfile: "units/oak-1/a <b>.jpg"\nshows: ""\ncallouts:\n  - {at: [40, 25.5], text: "The gap"}\n```\n'
            ),
            "problems": ["Description: Say what is to be seen."],
        },
    )


def test_a_block_of_another_picture_is_taken_with_a_word_about_it(asked: Asked) -> None:
    """Its call-outs may be wanted all the same."""
    block = '```photo\nfile: {}\nshows: "A drum."\ncallouts:\n  - {{at: [40, 25.5], text: "The gap"}}\n```\n'
    own, other = (json.loads(asked("/read", "POST", block.format(name).encode())[2]) for name in ('"a <b>.jpg"', "c.jpg"))
    assert own == {"draft": DRAFT, "folder": "units/oak-1", "told": "", "problems": []}
    assert other == {**own, "told": "The block names another picture, c.jpg. Its call-outs now stand on this one."}


@pytest.mark.parametrize(
    ("path", "method", "body", "host", "status"),
    [
        ("/", "HEAD", b"", "127.0.0.1:8001", "200 OK"),
        ("/", "GET", b"", "[::1]:8001", "200 OK"),
        ("/", "GET", b"", "[::1]", "200 OK"),
        ("/", "GET", b"", "evil.example:8001", "403 Forbidden"),
        ("/picture", "GET", b"", "localhost.evil.example", "403 Forbidden"),
        ("/block", "POST", b"{}", "", "403 Forbidden"),
        ("/", "PUT", b"", "localhost", "405 Method Not Allowed"),
        ("/", "POST", b"", "localhost", "404 Not Found"),
        ("/browser/main.js", "GET", b"", "localhost", "404 Not Found"),
        ("/browser/../cli.py", "GET", b"", "localhost", "404 Not Found"),
        ("/docs/shop.yml", "GET", b"", "localhost", "404 Not Found"),
        ("/block", "POST", b"", "localhost", "400 Bad Request"),
        ("/block", "POST", b"\xff", "localhost", "400 Bad Request"),
        ("/read", "POST", b"\xff", "localhost", "400 Bad Request"),
        ("/block", "POST", json.dumps({"folder": "units/no", "draft": DRAFT}).encode(), "localhost", "400 Bad Request"),
        ("/block", "POST", json.dumps({"folder": "", "draft": {**DRAFT, "points": [{"at": [1e9, 2], "words": ""}]}}).encode(), "localhost", "400 Bad Request"),
    ],
)  # fmt: skip
def test_what_the_page_does_not_send_is_refused(
    asked: Asked, path: str, method: str, body: bytes, host: str, status: str
) -> None:
    """A name that is not this machine's, a file that is not the page's, a body that makes no sense."""
    assert asked(path, method, body, host)[0] == status


@pytest.fixture
def taken_port() -> Iterator[int]:
    """A port on which somebody listens."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        yield taken.getsockname()[1]


def _command(docs: Path, port: int) -> list[str]:
    file = docs / "units/oak-1/a <b>.jpg"
    return [sys.executable, "-m", "build_hooks", "photo", str(file), "--docs", str(docs), "--port", str(port)]


def test_a_port_that_is_taken_is_told(asked: Asked, tmp_path: Path, taken_port: int) -> None:
    """With another one."""
    done = subprocess.run(_command(tmp_path / "docs", taken_port), capture_output=True, text=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (
        1,
        "",
        f"Port {taken_port} cannot be used: Address already in use. Try another: --port {taken_port + 1}\n",
    )


def test_ctrl_c_ends_it_cleanly(asked: Asked, tmp_path: Path) -> None:
    """With status 0 and nothing said."""
    with subprocess.Popen(_command(tmp_path / "docs", 0), stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as running:
        assert running.stdout is not None
        line = running.stdout.readline()
        assert line.startswith("The call-outs of units/oak-1/a <b>.jpg are at http://localhost:")
        running.send_signal(signal.SIGINT)
        assert (*running.communicate(timeout=20), running.returncode) == ("", "", 0)
