"""Links of a page as a folder needs them: without a server, a link to a folder opens a list of files, not its page."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html import escape
from pathlib import Path
from typing import Final
from urllib.parse import unquote, urlsplit

from build_hooks.site.offline.tags import change_tags

__all__ = ["for_folder", "link_for_folder"]

_LINKS: Final = frozenset({"a", "area", "link"})
_HREF: Final = re.compile(r"""(\shref\s*=\s*)(?:"[^"]*"|'[^']*'|[^\s"'>]+)""", re.IGNORECASE)


def for_folder(page: str, here: Path) -> str:
    """A page whose links to folders name the page in them.

    Args:
        page: its HTML.
        here: the file it stands in, beside the files that it links to.

    Returns:
        The HTML; only such links differ.
    """

    def change(_tag: str, attributes: Mapping[str, str | None], text: str) -> str:
        link = attributes.get("href")
        if not link:
            return text
        named = link_for_folder(link, here)
        return text if named == link else _HREF.sub(lambda found: f'{found[1]}"{escape(named)}"', text, count=1)

    return change_tags(page, _LINKS, change)


def link_for_folder(link: str, here: Path) -> str:
    """One link, with ``index.html`` named where it leads to a folder of the manual.

    Args:
        link: as a browser reads it, character references resolved.
        here: the file that it stands in.

    Returns:
        The link.
    """
    parts = urlsplit(link)
    if parts.scheme or parts.netloc or not parts.path or parts.path.startswith("/"):
        return link
    if not (here.parent / unquote(parts.path) / "index.html").is_file():
        return link
    slash = "" if parts.path.endswith("/") else "/"
    return f"{parts.path}{slash}index.html{link[len(parts.path) :]}"
