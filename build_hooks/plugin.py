"""The MkDocs plugin: its events in order, nothing else. The only module that imports MkDocs."""

from __future__ import annotations

import logging
import re
import sys
from collections.abc import Iterable
from datetime import UTC, datetime
from html import escape, unescape
from pathlib import Path
from typing import ClassVar

from jinja2 import Environment
from mkdocs.config import config_options
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import File, Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page
from mkdocs.structure.toc import AnchorLink

from build_hooks.bundle import PackageChangedError
from build_hooks.edition import Edition, prepare
from build_hooks.markdown.extensions import EXTENSIONS
from build_hooks.own import is_own
from build_hooks.process.time_limit import LONGEST, begin, end, too_slow
from build_hooks.reading.memory import Memory
from build_hooks.reading.problems import Problem
from build_hooks.reading.showing import as_text
from build_hooks.search import SCRIPT as SEARCH_SCRIPT
from build_hooks.search import IndexedPage
from build_hooks.site.files import SCRIPT, STYLES, WORDS_SCRIPT, Tools, write_site_files
from build_hooks.site.replacing import PROJECT, NotMadeError, refuse_what_is_not_ours
from build_hooks.site.security import InlineScripts
from build_hooks.site.serve import NOT_FOUND_PAGE

__all__ = ["STRAY", "BenchleafPlugin", "named"]

_log = logging.getLogger("mkdocs.plugins.benchleaf")
# Our own command builds quietly. What an author should mend is told all the same.
_writing = logging.getLogger("mkdocs.plugins.benchleaf.writing")
_writing.setLevel(logging.WARNING)
# What only the builder knows: links to places within a page, and menu entries without a page.
for _found in ("pages", "nav"):
    logging.getLogger(f"mkdocs.structure.{_found}").setLevel(logging.WARNING)
_ID = re.compile(r'\sid="([^"]+)"')
_NOT_FOUND = (
    "<p>There is no page at this address. It may have been renamed, or the address mistyped.</p>\n"
    "<p>Search for the part, the job or the limit, or choose a page from the menu.</p>"
)

STRAY = "This page holds a script that no template wrote. Take it out of what the page is made of."


class _Settings(Config):  # type: ignore[no-untyped-call]
    """What mkdocs.yml may set."""

    node_modules = config_options.Type(str, default="node_modules")
    cache = config_options.Type(str, default=".cache/benchleaf")


class BenchleafPlugin(BasePlugin[_Settings]):  # type: ignore[no-untyped-call]
    """Checks the whole manual before anything is written, then fills each page and adds the browser's files."""

    # Of this process: whoever builds a manual again and again makes anew only what has changed.
    memory: ClassVar[Memory] = Memory()
    edition: Edition
    root: Path
    finished: dict[str, IndexedPage]
    scripts: InlineScripts

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Our extension, styles and script, before the theme looks for them."""
        self.root = Path(config.config_file_path).parent if config.config_file_path else Path.cwd()
        config.markdown_extensions.extend(name for name in EXTENSIONS if name not in config.markdown_extensions)
        config.extra_css.append(STYLES)
        config.extra_javascript.extend([SCRIPT, SEARCH_SCRIPT, WORDS_SCRIPT])
        config.validation.links.anchors = logging.WARNING
        self.finished = {}
        self.scripts = InlineScripts()
        return config

    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        """Every problem of every file, all at once. The old site has not been touched yet, so it stays as it was."""
        try:
            # Called without our command, the builder would empty whatever folder is named. That the folder lies in the docs
            # or the docs in it, it refuses itself.
            refuse_what_is_not_ours(Path(config.site_dir), "site_dir", {PROJECT: self.root})
        except NotMadeError as refused:
            raise PluginError(str(refused)) from refused
        edition, problems = prepare(Path(config.docs_dir), datetime.now(UTC).date(), self.memory)
        if edition is None:
            raise PluginError(_told(problems))
        for warning in edition.warnings():
            _writing.warning("%s", warning)
        self.edition = edition

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """The pages that are made from the engine's catalogue; the files of the manual's own calculations go into the engine, not the site."""
        for file in [file for file in files if is_own(file.src_uri)]:
            files.remove(file)
        for path, text in self.edition.made.items():
            files.append(File.generated(config, path, content=text))
        return files

    def on_nav(self, nav: Navigation, *, config: MkDocsConfig, files: Files) -> Navigation:  # noqa: ARG002 - MkDocs names them
        """Names in the menu are text; where no menu is written, folders have given them."""
        waiting = list(nav.items)
        while waiting:
            item = waiting.pop()
            waiting.extend(item.children or ())
            if not item.is_page:
                item.title = _as_html(item.title)
        return nav

    def on_env(self, env: Environment, *, config: MkDocsConfig, files: Files) -> Environment:  # noqa: ARG002 - MkDocs names them
        """No template has been loaded yet: what they write is known from here on."""
        self.scripts.watch(env)
        return env

    @event_priority(100)
    def on_page_markdown(self, markdown: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:  # noqa: ARG002 - MkDocs names them
        """The page with a marker for each block."""
        # The theme would write it into a class name in every page's navigation; the strip under the title says it in words.
        page.meta.pop("status", None)
        # It prints these as they are.
        for name in ("title", "description"):
            if name in page.meta:
                page.meta[name] = escape(str(page.meta[name]))
        ours = self.edition.markdown(page.file.src_uri)
        begin(LONGEST, PluginError(str(too_slow(page.file.src_uri))))
        return markdown if ours is None else ours

    @event_priority(100)
    def on_page_content(self, html: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:  # noqa: ARG002 - MkDocs names them
        """The blocks in their places, under the strip that says what the page is."""
        title, own_title = named(page)
        content = self.content_of(page, html, own_title)
        end()
        # MkDocs looks for places in what Markdown made, before our blocks were in it.
        page.present_anchor_ids = {*(page.present_anchor_ids or ()), *_ID.findall(content)}
        self.finished[page.file.url.removeprefix("./")] = self.edition.indexed(page.file.src_uri, title, content)
        return content

    def content_of(self, page: Page, html: str, own_title: str) -> str:
        """What a page shows, below its heading and all.

        Args:
            page: the page, with its names as `named` leaves them.
            html: what Markdown made of it.
            own_title: what it calls itself.

        Raises:
            PluginError: it holds what no page may.
        """
        refused = self.edition.refused(page.file.src_uri, html)
        if refused:
            raise PluginError(_told(refused))
        return self.edition.content(page.file.src_uri, html, page.canonical_url, own_title)

    def on_post_page(self, output: str, *, page: Page, config: MkDocsConfig) -> str:  # noqa: ARG002 - MkDocs names them
        """The scripts of the theme are listed."""
        return self.scripts.take(output)

    def on_post_template(self, output: str, *, template_name: str, config: MkDocsConfig) -> str:  # noqa: ARG002 - MkDocs names them
        """The page for what is not there says what to do; the theme has only its heading."""
        output = self.scripts.take(output)
        return output.replace("</h1>", f"</h1>\n{_NOT_FOUND}", 1) if template_name == NOT_FOUND_PAGE else output

    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """What the browser runs: styles, fonts, script, engine."""
        tools = Tools(self.root / self.config.node_modules, self.root / self.config.cache, _log.warning)
        address = f"{config.site_url.rstrip('/')}/" if config.site_url else None
        site = Path(config.site_dir)
        try:
            write_site_files(self.edition, self.finished, site, address, tools, self.scripts.written)
        except PackageChangedError as fault:
            raise PluginError(str(fault)) from fault
        strays = [path.relative_to(site).as_posix() for path in sorted(site.rglob("*.html")) if self._has_stray_script(path)]
        if strays:
            raise PluginError("\n".join(["", *(f"{path}: {STRAY}" for path in strays), "Nothing was built."]))

    def _has_stray_script(self, page: Path) -> bool:
        return bool(self.scripts.strays(page.read_text(encoding="utf-8", errors="replace")))


def _as_html(title: object) -> str:
    """A title as text in HTML, whether it came to us escaped or not."""
    return escape(unescape(str(title)))


def named(page: Page) -> tuple[str, str]:
    """Makes text of the names that the theme prints as they are: once for each page, when Markdown has found its heading.

    Returns:
        What the menu calls the page, and what it calls itself: the menu may call it something shorter.
    """
    title = unescape(str(page.title))
    own_title = unescape(str(page.meta.get("title") or page.title))
    page.title = escape(title)
    if page.title != title:
        # For the browser's tab the theme undoes the escapes of a title, unless it is one of the page's own facts.
        page.meta["title"] = page.title
    _make_text_of(page.toc)
    return title, own_title


def _make_text_of(entries: Iterable[AnchorLink]) -> None:
    """The theme prints names and addresses of a page's headings as they are."""
    for entry in entries:
        entry.title, entry.id = _as_html(entry.title), _as_html(entry.id)
        _make_text_of(entry.children)


def _told(problems: Iterable[Problem]) -> str:
    found = list(problems)
    count = "1 problem" if len(found) == 1 else f"{len(found)} problems"
    # On a terminal somebody reads it; a log is read by tools, which want a line for each.
    return f"\n{as_text(found, lines=sys.stderr.isatty())}{count}. Nothing was built."
