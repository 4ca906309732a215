"""The headers that a built site is to be served with, and the scripts they let run: those that a template wrote, by list.

A template's own scripts are marked before any page is made, with a word that nobody can know beforehand. What stands in a
page's title, text or data comes later and has no mark, so it gets on no list.
"""

from __future__ import annotations

import base64
import hashlib
import re
import secrets
from collections.abc import Collection, Iterable, Mapping
from html.parser import HTMLParser
from typing import Final

from jinja2 import Environment
from jinja2.ext import Extension

__all__ = ["InlineScripts", "content_security_policy", "headers_of_site", "inline_scripts"]

# Types that a browser runs; anything else in a script element is data and needs no leave.
_RUN: Final = frozenset({"", "text/javascript", "application/javascript", "module"})
_TEMPLATE_SCRIPT: Final = re.compile(r"<script(?P<tag>[^>]*)>(?P<text>.*?)</script>", re.DOTALL | re.IGNORECASE)
# Whatever a browser could take for the beginning of a script, and those of which there can be no two readings.
_ANY_SCRIPT: Final = re.compile(r"<script", re.IGNORECASE)
_VALUE: Final = r'="[^"<>]*+"'
_PLAIN_SCRIPT: Final = re.compile(
    rf"<script(?:(?: (?!src|type)[a-z-]+(?:{_VALUE})?)*+(?P<not_inline> src{_VALUE}| type=\"application/json\")"
    rf"(?: [a-z-]+(?:{_VALUE})?)*+>|>(?P<text>.*?)</script>)",
    re.DOTALL,
)
# A page says these of itself. A script that they go into holds an author's text.
_OF_A_PAGE: Final = re.compile(r"\{[{%][^}]*\bpage\b")


class _Scripts(HTMLParser):
    """Collects the text of scripts that stand in the page itself."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=False)
        self.found: list[str] = []
        self._inside = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Opens an inline script."""
        # Of an attribute that is given twice, a browser takes the first.
        given = dict(reversed(attrs))
        self._inside = tag == "script" and "src" not in given and (given.get("type") or "").strip().casefold() in _RUN
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


class InlineScripts:
    """The scripts that templates write into pages.

    Attributes:
        written: the text of each, as far as pages have been taken.
    """

    def __init__(self) -> None:
        self._mark = f' data-written="{secrets.token_hex(16)}"'
        self.written: set[str] = set()

    def watch(self, environment: Environment) -> None:
        """Marks the scripts of every template that this environment loads from now on."""
        mark = self._mark

        class Marking(Extension):
            """Puts the mark into the source of a template, where no data has come yet."""

            def preprocess(self, source: str, name: str | None, filename: str | None = None) -> str:  # noqa: ARG002 - of Jinja
                """The template with its scripts marked."""
                return _TEMPLATE_SCRIPT.sub(lambda script: _marked(script, mark), source)

        environment.add_extension(Marking)

    def take(self, page: str) -> str:
        """Lists the marked scripts of a page and removes the marks.

        Args:
            page: what a template has made.

        Returns:
            The page as it is to be served.
        """
        opening = re.compile(rf"<script{re.escape(self._mark)}[^>]*>(?P<text>.*?)</script>", re.DOTALL | re.IGNORECASE)
        self.written.update(script["text"] for script in opening.finditer(page))
        return page.replace(self._mark, "")

    def strays(self, page: str) -> tuple[str, ...]:
        """The inline scripts of a finished page that no template wrote."""
        if _has_only(page, self.written):
            return ()
        return tuple(script for script in inline_scripts(page) if script not in self.written)


def _has_only(page: str, written: Collection[str]) -> bool:
    """Whether every script that a page could hold, however its markup is read, comes from a file, is data, or is one of these.

    Most pages are like that, and reading one tag by tag takes a hundred times as long.
    """
    plain = [script for script in _PLAIN_SCRIPT.finditer(page) if script["not_inline"] or script["text"] in written]
    return len(plain) == len(_ANY_SCRIPT.findall(page))


def _marked(script: re.Match[str], mark: str) -> str:
    # What has a source or is data needs no mark, and what a page's own words go into must have none.
    if not inline_scripts(script[0]) or _OF_A_PAGE.search(script[0]):
        return script[0]
    return f"<script{mark}{script['tag']}>{script['text']}</script>"


def headers_of_site(scripts: Iterable[str], shared: str | None = None) -> Mapping[str, str]:
    """Every header that the site is to be served with.

    Args:
        scripts: the inline scripts that may run.
        shared: the origin of another server that holds the shop's shared folder of jobs, if shop.yml names one.
    """
    return {
        "Content-Security-Policy": content_security_policy(scripts, shared),
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": "no-referrer",
    }


def content_security_policy(scripts: Iterable[str], shared: str | None = None) -> str:
    """The policy under which the pages work, and nothing else does.

    Args:
        scripts: the text of each inline script that may run.
        shared: the one other origin that pages may call; None for no other.

    Returns:
        The value of the ``Content-Security-Policy`` header: our own host only, and the one that shop.yml names; inline scripts
        by the hash of their text, WebAssembly for the engine, workers from our host or made by the page, never ``unsafe-eval``.

    Source: W3C Content Security Policy Level 3 (hash sources, ``wasm-unsafe-eval``).
    """
    hashes = sorted({_hash(script) for script in scripts})
    allowed = " ".join(["'self'", "'wasm-unsafe-eval'", *(f"'sha256-{value}'" for value in hashes)])
    return "; ".join(
        (
            "default-src 'none'",
            f"script-src {allowed}",
            "worker-src 'self' blob:",
            f"connect-src 'self' blob: data:{f' {shared}' if shared else ''}",
            "style-src 'self' 'unsafe-inline'",
            "font-src 'self'",
            "img-src 'self' data:",
            "media-src 'self'",
            "manifest-src 'self'",
            "base-uri 'self'",
            "form-action 'self'",
            "frame-ancestors 'self'",
        )
    )


def _hash(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode()).digest()).decode("ascii")
