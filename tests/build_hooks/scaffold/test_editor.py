"""An editor with the YAML language server completes and marks what the starters begin, by the schema that they name.

The server is that of Red Hat's yaml-language-server, which editors run; it is spoken to by the Language Server Protocol 3.17. Its
catalogue of schemas from the network is switched off, so that what it knows comes from the manual alone.
"""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from queue import Empty, Queue
from threading import Thread
from typing import Any, Final

import pytest

from build_hooks.cli import main

SERVER: Final = Path(__file__).parents[3] / "node_modules" / "yaml-language-server" / "bin" / "yaml-language-server"
PATIENCE: Final = 60
SETTINGS: Final = {"yaml": {"schemaStore": {"enable": False}, "completion": True, "hover": True, "validate": True}, "http": {}}


class Editor:
    """An editor with one file open."""

    def __init__(self, process: subprocess.Popen[bytes], folder: Path) -> None:
        self.process, self.folder = process, folder
        self.came: Queue[dict[str, Any]] = Queue()
        self.kept: list[dict[str, Any]] = []
        self.number = self.version = 0
        self.listening = Thread(target=self._listen, daemon=True)
        self.listening.start()
        self.ask(
            "initialize", {"processId": None, "rootUri": folder.as_uri(), "capabilities": {"workspace": {"configuration": True}}}
        )
        self.tell("initialized", {})

    def _listen(self) -> None:
        stream = self.process.stdout
        assert stream
        while line := stream.readline():
            length = int(line.split(b":")[1])
            while stream.readline().strip():
                pass
            self.came.put(json.loads(stream.read(length)))

    def _send(self, message: dict[str, Any]) -> None:
        body = json.dumps({"jsonrpc": "2.0", **message}).encode()
        stream = self.process.stdin
        assert stream
        stream.write(b"Content-Length: %d\r\n\r\n%b" % (len(body), body))
        stream.flush()

    def _wait_for(self, is_it: Callable[[dict[str, Any]], bool]) -> dict[str, Any]:
        while True:
            try:
                message = self.came.get(timeout=PATIENCE)
            except Empty:
                pytest.fail("The server has said nothing for a minute.")
            if "id" in message and "method" in message:
                answer = [SETTINGS.get(item["section"].split(".")[0]) for item in message["params"]["items"]] \
                    if message["method"] == "workspace/configuration" else None  # fmt: skip
                self._send({"id": message["id"], "result": answer})
            if is_it(message):
                return message

    def ask(self, method: str, params: dict[str, Any]) -> Any:
        """Sends a request and waits for its result."""
        self.number += 1
        mine = self.number
        self._send({"id": mine, "method": method, "params": params})
        return self._wait_for(lambda message: message.get("id") == mine and "method" not in message)["result"]

    def tell(self, method: str, params: dict[str, Any]) -> None:
        """Sends what has no answer."""
        self._send({"method": method, "params": params})

    def open(self, path: Path, text: str) -> list[str]:
        """Opens a file with that text, or changes it; what is marked in it, with the numbers of the lines."""
        address = path.as_uri()
        self.version += 1
        if self.version == 1:
            self.tell(
                "textDocument/didOpen", {"textDocument": {"uri": address, "languageId": "yaml", "version": 1, "text": text}}
            )
        else:
            about = {"uri": address, "version": self.version}
            self.tell("textDocument/didChange", {"textDocument": about, "contentChanges": [{"text": text}]})
        told = self._wait_for(
            lambda message: (
                message.get("method") == "textDocument/publishDiagnostics"
                and message["params"]["uri"] == address
                and message["params"].get("version", self.version) == self.version
            )
        )
        return [f"{mark['range']['start']['line'] + 1}: {mark['message']}" for mark in told["params"]["diagnostics"]]

    def offered(self, path: Path, line: int, column: int) -> set[str]:
        """What is offered at a place, both counted from 1."""
        place = {"line": line - 1, "character": column - 1}
        found = self.ask("textDocument/completion", {"textDocument": {"uri": path.as_uri()}, "position": place})
        return {item["label"] for item in (found["items"] if isinstance(found, dict) else found)}

    def said(self, path: Path, line: int, column: int) -> str:
        """What is shown of the word at a place."""
        place = {"line": line - 1, "character": column - 1}
        found = self.ask("textDocument/hover", {"textDocument": {"uri": path.as_uri()}, "position": place})
        return str(found["contents"]["value"]) if found else ""


@pytest.fixture
def editor(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Iterator[Editor]:
    """An editor on a new manual with a unit, a drum, a pack and a path, in a folder with a space and an accent."""
    monkeypatch.chdir(tmp_path)
    assert main(["new", "manual", "my café", "--name", "Quay Lane"]) == 0
    monkeypatch.chdir(tmp_path / "my café")
    assert main(["new", "unit", "Birch 5"]) == 0
    assert main(["new", "drum", "birch-5", "Rear drum"]) == 0
    assert main(["new", "pack", "birch-5", "Reverse pack", "--drum", "rear-drum"]) == 0
    assert main(["new", "path", "First week"]) == 0
    capsys.readouterr()
    with subprocess.Popen(["node", SERVER, "--stdio"], stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        begun = Editor(process, tmp_path / "my café")
        yield begun
        process.kill()
        begun.listening.join()


def test_a_unit_is_completed_and_marked(editor: Editor) -> None:
    """Keys of a unit and of a pack are offered and explained, a key that there is not is marked at its line."""
    path = editor.folder / "docs" / "units" / "birch-5" / "unit.yml"
    text = path.read_text(encoding="utf-8")
    assert editor.open(path, text) == []
    lines = text.splitlines()
    last = len(lines) + 1
    assert editor.open(path, f"{text}\n") == []
    assert {"gear_set", "shafts"} <= editor.offered(path, last, 1)
    worn = next(at for at, line in enumerate(lines, 1) if "worn_below:" in line)
    assert "Thinner than this it is not used again." in editor.said(path, worn, lines[worn - 1].index("worn_below") + 2)
    groove = next(at for at, line in enumerate(lines, 1) if line.strip().startswith("groove:"))
    (mark,) = editor.open(path, text.replace("groove:", "grove:", 1))
    assert mark == f"{groove}: Property grove is not allowed."


@pytest.mark.parametrize("name", ["docs/shop.yml", "docs/learning/first-week.yml"])
def test_the_other_files_are_marked_too(editor: Editor, name: str) -> None:
    """As they were begun nothing is wrong in them, and a key that there is not is marked."""
    path = editor.folder / name
    text = path.read_text(encoding="utf-8")
    assert editor.open(path, text) == []
    assert editor.open(path, f"{text}\nflavour: mint\n") == [f"{text.count(chr(10)) + 2}: Property flavour is not allowed."]
