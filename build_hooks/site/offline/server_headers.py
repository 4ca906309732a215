"""The site's own headers in the words of a server's settings, to be included there."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Final

from build_hooks.site.replacing import NotMadeError
from build_hooks.site.serve import HEADERS_FILE

__all__ = ["SERVERS", "headers_for"]

_WORDS: Final[Mapping[str, Callable[[str, str], str]]] = {
    "apache": 'Header always set {} "{}"'.format,
    "caddy": 'header {} "{}"'.format,
    "nginx": 'add_header {} "{}" always;'.format,
}
SERVERS: Final = tuple(_WORDS)


def headers_for(server: str, site: Path) -> str:
    """The lines that make a server send the site's headers with every answer.

    Args:
        server: one of `SERVERS`.
        site: the folder of the built site.

    Returns:
        One line for each header.

    Raises:
        NotMadeError: there is no built site in the folder.
        ValueError: a header holds what could not be written between quotation marks.
    """
    if not (site / HEADERS_FILE).is_file():
        raise NotMadeError(f"{site.as_posix()}: there is no built site here. Build it first: benchleaf build.")
    headers: Mapping[str, str] = json.loads((site / HEADERS_FILE).read_text(encoding="utf-8"))
    if any(mark in value for value in headers.values() for mark in '"\\\n$'):
        raise ValueError("A header holds a character that would end or change its line in the server's settings.")
    return "".join(f"{_WORDS[server](name, value)}\n" for name, value in headers.items())
