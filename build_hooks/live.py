"""The pages of a manual that somebody is writing: each as a whole build would make it, as soon as it is asked for.

``python -m build_hooks.live CONFIG SITE`` answers lines of JSON on its input, one for each:

- ``{"take": true}``: reads the manual as it is now. ``{"problem": ..., "pages": ...}`` says what is wrong, or is empty, and whether
  pages can be made of it from now on.
- ``{"page": "units/alder-4/index.html"}``: that file of the site. ``{"html": ...}`` is a page, ``{"file": ...}`` the path of what is
  served as it is, ``{"problem": ...}`` why a page cannot be shown, ``{}`` what only a whole build makes.

What is made anew is little: see `build_hooks.reading.memory`. With the plugin, the only module that imports MkDocs.
"""

from __future__ import annotations

import json
import logging
import sys
from collections.abc import Iterable
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from datetime import UTC, datetime
from io import StringIO
from pathlib import Path
from typing import Any, Final, cast

from jinja2 import Environment
from mkdocs.commands.build import get_context
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import MkDocsException
from mkdocs.structure.files import File, Files, get_files, set_exclusions
from mkdocs.structure.nav import Navigation, get_navigation
from mkdocs.structure.pages import Page

from build_hooks.edition import prepare
from build_hooks.plugin import STRAY, BenchleafPlugin, named
from build_hooks.process.ending import ended
from build_hooks.process.time_limit import end
from build_hooks.reading.memory import Memory
from build_hooks.reading.showing import as_text
from build_hooks.site.offline.integrity import page_with_integrity
from build_hooks.site.offline.keeping import with_script

__all__ = ["LivePages", "main"]

_OURS: Final = "benchleaf"


@dataclass(frozen=True, slots=True)
class _Builder:
    """MkDocs with its settings, which stay while mkdocs.yml does."""

    config: MkDocsConfig
    plugin: BenchleafPlugin
    environment: Environment


@dataclass(frozen=True, slots=True)
class _State:
    """The manual as it was last found sound.

    Attributes:
        builder: what makes pages of it.
        files: everything that goes into the site.
        navigation: the menu.
        own_titles: what each page calls itself, by its path below the docs folder.
        by_place: the same files by their place in the site.
    """

    builder: _Builder
    files: Files
    navigation: Navigation
    own_titles: dict[str, str]
    by_place: dict[str, File]


class LivePages:
    """Makes single pages of a manual."""

    def __init__(self, config: Path, site: Path) -> None:
        """Takes the manual's mkdocs.yml, and where whole builds put its site: pages name the scripts in there by their digests."""
        self._config = config
        self._site = site
        self._memory = Memory()
        self._state: _State | None = None

    def take(self) -> dict[str, Any]:
        """Reads the manual as it is now.

        Returns:
            As ``problem`` what is wrong with it: pages are then made of the last state that was sound. Empty when it is sound; then
            ``pages`` says whether pages are made of it: not where the settings are at fault or let others take part, which a whole
            build sees to.
        """
        try:
            text = self._config.read_text(encoding="utf-8")
            builder = self._memory.made("builder", "", text, self._builder)
            if builder is None:
                self._state = None
                return {"problem": "", "pages": False}
            edition, problems = prepare(Path(builder.config.docs_dir), datetime.now(UTC).date(), self._memory)
            if edition is None:
                return {"problem": as_text(problems, lines=True).rstrip("\n"), "pages": True}
            builder.plugin.edition = edition
            self._state = self._state_of(builder)
        except (MkDocsException, OSError, ValueError) as fault:
            return {"problem": str(fault).strip(), "pages": True}
        return {"problem": "", "pages": True}

    def _builder(self) -> _Builder | None:
        """MkDocs as this manual sets it up; None where that fails, or where others than our plugin take part, who may need all pages."""
        try:
            config = load_config(config_file=str(self._config), site_dir=str(self._site))
        except MkDocsException:
            return None
        if set(config.plugins) != {_OURS} or config.hooks:
            return None
        config.plugins.on_startup(command="build", dirty=False)
        config = config.plugins.on_config(config)
        environment = config.plugins.on_env(config.theme.get_env(), config=config, files=Files([]))
        return _Builder(config, cast("BenchleafPlugin", config.plugins[_OURS]), environment)

    def _state_of(self, builder: _Builder) -> _State:
        config = builder.config
        files = config.plugins.on_files(get_files(config), config=config)
        set_exclusions(files, config)
        navigation = config.plugins.on_nav(get_navigation(files, config), config=config, files=files)
        # Where a link leads depends on which files there are, not on what is in them.
        names = (id(config), frozenset(files.src_uris))
        own_titles = {}
        for file in files.documentation_pages():
            page = file.page or Page(None, file, config)
            self._convert(page, builder, files, names)
            own_titles[file.src_uri] = named(page)[1]
        return _State(builder, files, navigation, own_titles, {file.dest_uri: file for file in files})

    def _convert(self, page: Page, builder: _Builder, files: Files, names: object) -> None:
        """Fills a page with what Markdown makes of its text."""
        config = builder.config
        page.read_source(config)
        page.markdown = config.plugins.on_page_markdown(page.markdown or "", page=page, config=config, files=files)

        def converted() -> tuple[Any, ...]:
            page.render(config, files)
            return page.content, page.toc, page._title_from_render  # noqa: SLF001 - what MkDocs itself keeps of a heading

        try:
            known = self._memory.made("html", page.file.src_uri, (page.markdown, names), converted)
        finally:
            # The plugin has set a limit for the page, for itself to lift when its blocks are in it.
            end()
        page.content, page.toc, page._title_from_render = known  # noqa: SLF001

    def page(self, place: str) -> dict[str, str]:
        """One file of the site.

        Args:
            place: its path in the site, with forward slashes.

        Returns:
            The answer, as the head of this module says.
        """
        state = self._state
        file = state.by_place.get(place) if state else None
        if state is None or file is None or not file.inclusion.is_included():  # type: ignore[no-untyped-call]
            return {}
        if file.page is None:
            return {"file": file.abs_src_path} if file.abs_src_path else {}
        try:
            return self._finished(state, file.page, place)
        except MkDocsException as fault:
            return {"problem": str(fault).strip()}

    def _finished(self, state: _State, page: Page, place: str) -> dict[str, str]:
        html = page.content or ""
        try:
            output = _from_template(state, page)
        finally:
            # It is asked for again: what Markdown made stays what it was.
            page.content = html
        scripts = state.builder.plugin.scripts
        if scripts.strays(output):
            return {"problem": f"{place}: {STRAY}"}
        text = page_with_integrity(output, self._site / place)
        return {"html": with_script(text, "../" * place.count("/"))}


def _from_template(state: _State, page: Page) -> str:
    config, plugins = state.builder.config, state.builder.config.plugins
    page.content = state.builder.plugin.content_of(page, page.content or "", state.own_titles[page.file.src_uri])
    page.active = True
    try:
        context = get_context(state.navigation, state.files.documentation_pages(), config, page)
        template = state.builder.environment.get_template(str(page.meta.get("template", "main.html")))
        context = plugins.on_page_context(context, page=page, config=config, nav=state.navigation)
        output: str = plugins.on_post_page(template.render(context), page=page, config=config)
    finally:
        page.active = False
    return output.encode(errors="xmlcharrefreplace").decode()


def main(asked: Iterable[str] | None = None) -> int:
    """Answers until nobody asks any more.

    Args:
        asked: a line for each question; by default what comes in.

    Returns:
        The exit status.
    """
    answers = sys.stdout
    # What a whole build tells, it tells in its own time.
    logging.getLogger("mkdocs").setLevel(logging.CRITICAL)
    with redirect_stderr(StringIO()), redirect_stdout(StringIO()):
        pages = LivePages(Path(sys.argv[1]), Path(sys.argv[2]))
        for line in sys.stdin if asked is None else asked:
            question = json.loads(line)
            answer = pages.page(question["page"]) if "page" in question else pages.take()
            answers.write(json.dumps(answer) + "\n")
            answers.flush()
    return 0


if __name__ == "__main__":
    sys.exit(ended(main))
