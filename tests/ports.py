"""A port for a server that a test or a benchmark starts."""

from __future__ import annotations

import socket

__all__ = ["free_port"]


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
