"""The headers that a built site is to be served with: worked out from the pages, so that no inline script is let in blindly."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterable
from html.parser import HTMLParser
from pathlib import Path
from typing import Final

__all__ = ["content_security_policy", "inline_scripts"]

# Types that a browser runs; anything else in a script element is data and needs no leave.
_RUN: Final = frozenset({"", "text/javascript", "application/javascript", "module"})


class _Scripts(HTMLParser):
    """Collects the text of scripts that stand in the page itself."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.found: list[str] = []
        self._inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Opens an inline script."""
        given = dict(attrs)
        self._inside = tag == "script" and "src" not in given and (given.get("type") or "") in _RUN
        if self._inside:
            self.found.append("")

    def handle_data(self, data: str) -> None:
        """Takes its text, exactly as it stands: the hash is over every byte."""
        if self._inside:
            self.found[-1] += data

    def handle_endtag(self, tag: str) -> None:
        """Closes it."""
        if tag == "script":
            self._inside = False


def inline_scripts(page: str) -> tuple[str, ...]:
    """The text of every script that stands in a page and would be run."""
    reader = _Scripts()
    reader.feed(page)
    reader.close()
    return tuple(reader.found)


def content_security_policy(pages: Iterable[Path]) -> str:
    """The policy under which these pages work, and nothing else does.

    Args:
        pages: HTML files of the site.

    Returns:
        The value of the ``Content-Security-Policy`` header: our own host only, inline scripts by the hash of their text,
        WebAssembly for the engine, workers from our host or made by the page, never ``unsafe-eval``.

    Source: W3C Content Security Policy Level 3 (hash sources, ``wasm-unsafe-eval``).
    """
    hashes = sorted({_hash(script) for page in pages for script in inline_scripts(page.read_text(encoding="utf-8"))})
    scripts = " ".join(["'self'", "'wasm-unsafe-eval'", *(f"'sha256-{value}'" for value in hashes)])
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src {scripts}",
            "worker-src 'self' blob:",
            "connect-src 'self' blob: data:",
            "style-src 'self' 'unsafe-inline'",
            "font-src 'self'",
            "img-src 'self' data:",
            "manifest-src 'self'",
            "base-uri 'self'",
            "form-action 'self'",
            "frame-ancestors 'self'",
        )
    )


def _hash(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode("ascii")
