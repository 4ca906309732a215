"""The Markdown that pages are written in."""

from __future__ import annotations

from typing import Final

__all__ = ["EXTENSIONS"]

# `sane_lists`: a list behind a break goes on with the number that is written, where Markdown would begin at 1 again.
EXTENSIONS: Final = (
    "admonition",
    "attr_list",
    "md_in_html",
    "sane_lists",
    "tables",
    "pymdownx.superfences",
    "build_hooks.markdown.admonitions",
)
