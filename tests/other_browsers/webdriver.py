"""A browser driven by its own driver: as much of W3C WebDriver as these tests need, with the standard library only.

Source: W3C WebDriver (commands, element references, capabilities); Firefox's Marionette speaks the same commands over
a plain socket, so that Debian's Firefox needs no program beside it.
"""

from __future__ import annotations

import http.client
import json
import socket
import time
from collections.abc import Callable, Mapping
from typing import Any, Final, Protocol

__all__ = ["PATIENCE", "Browser", "DriverError", "HttpDriver", "MarionetteDriver", "connect"]

# One key of a WebDriver element reference, fixed by the standard.
ELEMENT: Final = "element-6066-11e4-a52e-4f735466cecf"
# A busy machine may need long; nothing waits longer than it must.
PATIENCE: Final = 120.0


class DriverError(Exception):
    """The driver refused a command."""


class Driver(Protocol):
    """Carries one command to the browser and brings its value back."""

    def command(self, name: str, arguments: Mapping[str, Any]) -> Any:
        """Gives a command by its name in the standard."""

    def close(self) -> None:
        """Ends the session and the browser."""


# Name: method and path below the session.
_PATHS: Final[Mapping[str, tuple[str, str]]] = {
    "Navigate": ("POST", "/url"),
    "ExecuteScript": ("POST", "/execute/sync"),
    "FindElement": ("POST", "/element"),
    "ElementClear": ("POST", "/element/{id}/clear"),
    "ElementClick": ("POST", "/element/{id}/click"),
    "ElementSendKeys": ("POST", "/element/{id}/value"),
    "PerformActions": ("POST", "/actions"),
}


class HttpDriver:
    """W3C WebDriver over HTTP, as WebKitWebDriver speaks it."""

    def __init__(self, port: int, capabilities: Mapping[str, Any]) -> None:
        self._connection = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
        made = self._ask("POST", "", {"capabilities": {"alwaysMatch": capabilities}})
        self._session = f"/{made['sessionId']}"
        self.capabilities: Mapping[str, Any] = made["capabilities"]

    def command(self, name: str, arguments: Mapping[str, Any]) -> Any:
        """Gives a command by its name in the standard."""
        method, path = _PATHS[name]
        return self._ask(method, self._session + path.format(**arguments), arguments)

    def close(self) -> None:
        """Ends the session and the browser."""
        try:
            self._ask("DELETE", self._session, None)
        finally:
            self._connection.close()

    def _ask(self, method: str, path: str, body: Mapping[str, Any] | None) -> Any:
        text = None if body is None else json.dumps(body)
        self._connection.request(method, f"/session{path}", text, {"Content-Type": "application/json"})
        value = json.load(self._connection.getresponse())["value"]
        if isinstance(value, dict) and "error" in value:
            raise DriverError(f"{value['error']}: {value['message']}")
        return value


class MarionetteDriver:
    """The same commands over Firefox's own socket: each message is its length, a colon, and JSON."""

    def __init__(self, port: int, capabilities: Mapping[str, Any]) -> None:
        self._socket = socket.create_connection(("127.0.0.1", port), timeout=PATIENCE)
        self._stream = self._socket.makefile("rb")
        self._last = 0
        self._receive()  # It says first which protocol it speaks.
        made = self.command("NewSession", {"capabilities": {"alwaysMatch": capabilities}})
        self.capabilities: Mapping[str, Any] = made["capabilities"]

    def command(self, name: str, arguments: Mapping[str, Any]) -> Any:
        """Gives a command by its name in the standard."""
        self._last += 1
        text = json.dumps([0, self._last, f"WebDriver:{name}", dict(arguments)]).encode()
        self._socket.sendall(b"%d:%b" % (len(text), text))
        _, _, error, result = self._receive()
        if error:
            raise DriverError(f"{error['error']}: {error['message']}")
        return result["value"] if isinstance(result, dict) and set(result) == {"value"} else result

    def close(self) -> None:
        """Ends the session; whoever started the browser ends it."""
        self._stream.close()
        self._socket.close()

    def _receive(self) -> Any:
        length = b""
        while (byte := self._stream.read(1)) != b":":
            if not byte:
                raise DriverError("the browser has gone")
            length += byte
        return json.loads(self._stream.read(int(length)))


class Browser:
    """What the tests do with a browser."""

    def __init__(self, driver: Driver) -> None:
        self._driver = driver

    def open(self, address: str) -> None:
        """Goes to an address and waits for the page's load event."""
        self._driver.command("Navigate", {"url": address})

    def run(self, script: str, *arguments: Any) -> Any:
        """Runs the body of a function in the page."""
        return self._driver.command("ExecuteScript", {"script": script, "args": list(arguments)})

    def wait(self, condition: str, *arguments: Any) -> Any:
        """Waits until an expression is true in the page; gives its value."""
        deadline = time.monotonic() + PATIENCE
        while not (value := self.run(f"return {condition};", *arguments)):
            assert time.monotonic() < deadline, f"{condition} did not come true in {PATIENCE:.0f} s"
            time.sleep(0.1)
        return value

    def type(self, selector: str, text: str) -> None:
        """Types into an entry, as a reader would."""
        self._driver.command("ElementSendKeys", {"id": self._element(selector), "text": text})

    def clear(self, selector: str) -> None:
        """Empties an entry."""
        self._driver.command("ElementClear", {"id": self._element(selector)})

    def click(self, selector: str) -> None:
        """Clicks something."""
        self._driver.command("ElementClick", {"id": self._element(selector)})

    def press(self, key: str) -> None:
        """Presses a key, wherever the focus is."""
        actions = [{"type": "keyDown", "value": key}, {"type": "keyUp", "value": key}]
        self._driver.command("PerformActions", {"actions": [{"type": "key", "id": "keys", "actions": actions}]})

    def close(self) -> None:
        """Ends the session."""
        self._driver.close()

    def _element(self, selector: str) -> str:
        found = self._driver.command("FindElement", {"using": "css selector", "value": selector})
        return str(found[ELEMENT])


def connect(make: Callable[[], Driver]) -> Driver:
    """Makes a driver as soon as the program that it talks to is up."""
    deadline = time.monotonic() + PATIENCE
    while True:
        try:
            return make()
        except OSError:
            assert time.monotonic() < deadline, "the browser's driver did not answer"
            time.sleep(0.2)
