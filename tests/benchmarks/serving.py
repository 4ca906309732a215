"""A server for what is measured."""

from __future__ import annotations

import functools
import http.server
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, override

__all__ = ["QuietHandler", "served"]


class QuietHandler(http.server.SimpleHTTPRequestHandler):
    """Serves files and says nothing of it."""

    @override
    def log_message(self, *args: Any) -> None:
        pass


class _Server(http.server.ThreadingHTTPServer):
    """A browser that is closed while a file is on its way is no fault."""

    @override
    def handle_error(self, request: Any, client_address: Any) -> None:
        pass


@contextmanager
def served(folder: Path, handler: type[QuietHandler] = QuietHandler) -> Iterator[str]:
    """The address of a folder, without a slash at its end."""
    server = _Server(("127.0.0.1", 0), functools.partial(handler, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()
