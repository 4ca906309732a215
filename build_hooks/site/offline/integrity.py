"""Says in each page what its scripts are to be: a browser runs none that is another, on plain http either."""

from __future__ import annotations

import base64
import hashlib
import os
import re
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Final
from urllib.parse import unquote, urlsplit

from build_hooks.site.offline.tags import change_tags

__all__ = ["page_with_integrity", "with_integrity", "without_integrity", "write_integrity"]

_SCRIPTS: Final = frozenset({"script"})
_GIVEN: Final = re.compile(r'\sintegrity="sha256-[\w+/=]+"')


def write_integrity(pages: Iterable[Path]) -> None:
    """Writes it into finished pages.

    Args:
        pages: HTML files beside the scripts that they name.
    """
    digest = cache(_digest)
    for page in pages:
        page.write_text(page_with_integrity(page.read_text(encoding="utf-8"), page, digest), encoding="utf-8")


def page_with_integrity(text: str, page: Path, digest: Callable[[Path], str] | None = None) -> str:
    """A page whose scripts carry the digest of what they are to be.

    Args:
        text: its HTML.
        page: its place, beside the scripts that it names; what is not there gets no digest.
        digest: gives the ``integrity`` of a script.
    """

    def digest_of(source: str) -> str | None:
        parts = urlsplit(source)
        if parts.scheme or parts.netloc or not parts.path:
            return None
        # A page that is not there yet may be named from its folder all the same.
        script = Path(os.path.normpath(page.parent / unquote(parts.path)))
        return (digest or _digest)(script) if script.is_file() else None

    return with_integrity(text, digest_of)


def with_integrity(page: str, digest_of: Callable[[str], str | None]) -> str:
    """A page whose scripts carry the digest of what they are to be.

    Args:
        page: its HTML.
        digest_of: the ``integrity`` of the script at an address, or None where that is not known.

    Returns:
        The HTML; only tags of scripts differ.

    Source: W3C Subresource Integrity.
    """

    def change(_tag: str, attributes: Mapping[str, str | None], text: str) -> str:
        source = attributes.get("src")
        digest = digest_of(source) if source and "integrity" not in attributes else None
        return text if digest is None else f'<script integrity="{digest}"{text[len("<script") :]}'

    return change_tags(page, _SCRIPTS, change)


def without_integrity(page: str) -> str:
    """A page as it was before: on file:// a browser can check nothing, and would run no script that says it must be checked."""
    return change_tags(page, _SCRIPTS, lambda _tag, _attributes, text: _GIVEN.sub("", text, count=1))


def _digest(script: Path) -> str:
    return f"sha256-{base64.b64encode(hashlib.sha256(script.read_bytes()).digest()).decode()}"
