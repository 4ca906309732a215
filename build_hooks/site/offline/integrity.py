"""Says in each page what its scripts are to be: a browser runs none that is another, on plain http either."""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Callable, Iterable, Mapping
from functools import cache, lru_cache
from pathlib import Path
from typing import Final
from urllib.parse import unquote, urlsplit

from build_hooks.site.offline.tags import change_tags

__all__ = ["with_integrity", "without_integrity", "write_integrity"]

_SOURCE: Final = re.compile(r'\ssrc="([^"]*)"')
_GIVEN: Final = re.compile(r'\sintegrity="sha256-[\w+/=]+"')


def write_integrity(pages: Iterable[Path]) -> None:
    """Writes it into finished pages.

    Args:
        pages: HTML files beside the scripts that they name.
    """
    digest = cache(_digest)
    for page in pages:
        text = page.read_text(encoding="utf-8")

        def digest_of(source: str, page: Path = page) -> str | None:
            parts = urlsplit(source)
            if parts.scheme or parts.netloc or not parts.path:
                return None
            script = (page.parent / unquote(parts.path)).resolve()
            return digest(script) if script.is_file() else None

        page.write_text(_with_integrity(text, digest_of), encoding="utf-8")


def _with_integrity(page: str, digest_of: Callable[[str], str | None]) -> str:
    """The same as `with_integrity`; a page that is as it was, with scripts that are, is not read again."""
    known = tuple((source, digest_of(source)) for source in dict.fromkeys(_SOURCE.findall(page)))
    try:
        return _with_known(page, known)
    except KeyError:
        return with_integrity(page, digest_of)


@lru_cache(maxsize=1024)
def _with_known(page: str, known: tuple[tuple[str, str | None], ...]) -> str:
    """A page whose scripts carry the digests that are known of them.

    Raises:
        KeyError: an address is written in another way than most.
    """
    return with_integrity(page, dict(known).__getitem__)


def with_integrity(page: str, digest_of: Callable[[str], str | None]) -> str:
    """A page whose scripts carry the digest of what they are to be.

    Args:
        page: its HTML.
        digest_of: the ``integrity`` of the script at an address, or None where that is not known.

    Returns:
        The HTML; only tags of scripts differ.

    Source: W3C Subresource Integrity.
    """

    def change(tag: str, attributes: Mapping[str, str | None], text: str) -> str:
        source = attributes.get("src")
        digest = digest_of(source) if tag == "script" and source and "integrity" not in attributes else None
        return text if digest is None else f'<script integrity="{digest}"{text[len("<script") :]}'

    return change_tags(page, change)


def without_integrity(page: str) -> str:
    """A page as it was before: on file:// a browser can check nothing, and would run no script that says it must be checked."""
    return change_tags(page, lambda tag, _attributes, text: _GIVEN.sub("", text, count=1) if tag == "script" else text)


def _digest(script: Path) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(script.read_bytes()).digest()).decode()}"
