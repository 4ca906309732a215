"""Markup planted in every text that a manual's data may hold: none of it runs, and no page loses its foot or its scripts."""

from __future__ import annotations

import json
import re
import shutil
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any, Final

from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright
from playwright.sync_api import TimeoutError as NotInTime

from build_hooks.edition import prepare
from build_hooks.library import load
from build_hooks.reading.sources import mapping_of
from build_hooks.site.build import build_site
from build_hooks.site.serve import make_server
from tests.attack.table import Row, cases
from tests.chromium import FLAGS, chromium_program

__all__ = ["KINDS", "Planted", "built", "judge", "plant", "run"]

ROOT: Final = Path(__file__).parents[2]
# Each says its number when it runs. The third runs nothing: it takes the rest of a page into a script that has no end.
KINDS: Final[tuple[Callable[[int], str], ...]] = (
    lambda number: f"</title><script>__x({number})</script>",
    lambda number: f"\"'><img src=x onerror=__x({number})>",
    lambda number: f"<!--<script>{number}",
    lambda number: f"[a](javascript:__x({number})){{: onclick=__x({number}) }}",
    lambda number: f"]]></script></style><svg onload=__x({number})>",
)
_FRONT: Final = re.compile(r"\A---\n(?P<body>.*?)^---\n", re.DOTALL | re.MULTILINE)
_BLOCK: Final = re.compile(
    r"^(?P<open>(?P<indent> *)```(?P<name>[a-z-]+)\n)(?P<body>.*?)(?P<end>^ *```$)", re.DOTALL | re.MULTILINE
)
_BLOCKS: Final = frozenset({"applied", "calc", "exercise", "kit", "photo", "spec", "stack", "timer", "tools", "wave-plates"})
_MOST_ROUNDS: Final = 40
_NEAR: Final = 30
# Ids, words of a list, paths and amounts: the build would refuse anything else there, and to hear it of each takes time.
_NO_TEXT: Final = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*|[\w/-]+\.md|[-\d.]+ ?(mm|N m|N|kPa|min|m|deg|in|um|cm|s|x|lb).*|[A-Z]")
# Names that are free texts and that parts of the same file refer to.
_REFERRED_TO: Final = frozenset({"groove", "grooves", "boss_grooves", "shoulder", "shoulders"})
_ACTS: Final = """() => {
  const bad = [];
  for (const node of document.querySelectorAll('*')) {
    for (const {name, value} of node.attributes) {
      if (name.startsWith('on') && value.includes('__x')) bad.push(`${node.tagName} ${name}=${value}`);
      if (/^[\\s\\x00-\\x20]*(javascript|vbscript|data:text)/i.test(value) && name !== 'data-word')
        if (['href', 'src', 'action', 'xlink:href'].includes(name)) bad.push(`${node.tagName} ${name}=${value}`);
    }
    if (node.tagName === 'SCRIPT' && !/json/.test(node.type) && node.text.includes('__x')) bad.push(node.text);
  }
  if (!document.querySelector('footer')) bad.push('the foot is missing');
  if (![...document.scripts].some((script) => /assets\\/benchleaf\\/(benchleaf|wall)\\.js/.test(script.src))) bad.push('the scripts are missing');
  return bad;
}"""


class Planted:
    """A text of one file and what was planted in its place."""

    def __init__(self, holder: Any, key: Any, payload: str) -> None:
        self.holder, self.key, self.payload = holder, key, payload
        self.before = holder[key]
        holder[key] = payload

    def undo(self) -> None:
        """Puts the text back."""
        self.holder[self.key] = self.before


class _Part:
    """A piece of YAML within a file: written with one value a line, so that a problem's line says which value it is about."""

    def __init__(self, tree: Any, indent: str = "") -> None:
        self.tree, self.indent = tree, indent
        self.planted: list[Planted] = []

    def plant(self, payload: Callable[[], str]) -> None:
        """A payload for each text; a name that other texts refer to has the same one wherever it stands."""
        self._walk(self.tree, payload, {}, named=False)

    def _walk(self, here: Any, payload: Callable[[], str], names: dict[str, str], *, named: bool) -> None:
        for key, value in here.items() if isinstance(here, dict) else enumerate(here):
            is_name = named or key in _REFERRED_TO
            if isinstance(value, str):
                if _NO_TEXT.fullmatch(value):
                    continue
                if is_name and value not in names:
                    names[value] = payload()
                self.planted.append(Planted(here, key, names[value] if is_name else payload()))
            elif isinstance(value, (dict, list)):
                self._walk(value, payload, names, named=is_name and isinstance(value, list))

    def text(self) -> str:
        """The YAML: JSON is a part of it."""
        written = json.dumps(self.tree, indent=1, ensure_ascii=False, default=str).replace("\u2028", "\\u2028")
        # YAML's dates are not in quotation marks.
        written = re.sub(r'"(\d{4}-\d\d-\d\d)"', r"\1", written)
        return "".join(f"{self.indent}{line}\n" for line in written.split("\n"))

    def undo(self, lines: list[str], number: int) -> bool:
        """Puts back what a line holds; where it holds nothing of ours, what stands next below it."""
        for line in lines[number - 1 : number + _NEAR]:
            for planted in self.planted:
                if json.dumps(planted.payload, ensure_ascii=False).replace("\u2028", "\\u2028") in line:
                    planted.undo()
                    self.planted.remove(planted)
                    return True
        return False


class _File:
    """A file of the manual: text and pieces of YAML in turn."""

    def __init__(self, path: Path, pieces: list[str | _Part]) -> None:
        self.path, self.pieces = path, pieces

    @property
    def parts(self) -> list[_Part]:
        """The pieces that are YAML."""
        return [piece for piece in self.pieces if isinstance(piece, _Part)]

    def write(self) -> None:
        """Writes it."""
        text = "".join(piece if isinstance(piece, str) else piece.text() for piece in self.pieces)
        self.path.write_text(text, encoding="utf-8")

    def undo(self, number: int) -> bool:
        """Puts back what a line holds."""
        lines = self.path.read_text(encoding="utf-8").split("\n")
        return any(part.undo(lines, number) for part in self.parts)


def _tree(text: str) -> Any:
    """A YAML text as the manual reads it."""
    root, problems = mapping_of(text, "planted")
    assert root is not None, problems
    return root.plain()


def _file_of(path: Path) -> _File:
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".yml":
        return _File(path, [_Part(_tree(text))])
    front = _FRONT.match(text)
    facts = {"description": "x", **(_tree(front["body"]) if front else {})}
    rest = text[front.end() :] if front else text
    pieces: list[str | _Part] = ["---\n", _Part(facts), "---\n"]
    at = 0
    for block in _BLOCK.finditer(rest):
        if block["name"] in _BLOCKS:
            body = "\n".join(line.removeprefix(block["indent"]) for line in block["body"].split("\n"))
            pieces += [rest[at : block.start("body")], _Part(_tree(body), block["indent"])]
            at = block.start("end")
    return _File(path, [*pieces, rest[at:]])


def plant(docs: Path, kinds: tuple[Callable[[int], str], ...]) -> int:
    """Puts a payload of its own into every text of a manual that may be any text.

    Which may be is not listed here: everything is planted, and what the build refuses (an id, an amount, a word of a list) is put
    back, until nothing is refused.

    Args:
        docs: the folder, which is changed.
        kinds: the payloads, used in turn.

    Returns:
        How many stay planted.
    """
    count = 0

    def payload() -> str:
        nonlocal count
        count += 1
        return kinds[count % len(kinds)](count)

    files = {path.as_posix(): _file_of(path) for path in sorted(docs.rglob("*")) if path.suffix in {".yml", ".md"}}
    for number, file in enumerate(files.values()):
        facts = file.parts[0].tree
        if file.path.suffix == ".md":
            # The title of every other page is its heading; a heading shows markup as code.
            facts.pop("title", None)
            if number % 2:
                facts["title"] = "x"
            else:
                file.pieces[3:] = _with_heading(file.pieces[3:], payload())
        for part in file.parts:
            part.plant(payload)
    for _ in range(_MOST_ROUNDS):
        for file in files.values():
            file.write()
        # The data alone is soon read.
        _, problems = load(docs)
        if not problems:
            _, problems = prepare(docs, date(2026, 11, 25))
        if not problems:
            return sum(len(part.planted) for file in files.values() for part in file.parts)
        undone = [files[problem.path].undo(problem.line) for problem in problems if problem.path in files]
        assert any(undone), "\n".join(map(str, problems))
    raise AssertionError("\n".join(map(str, problems)))


def _with_heading(pieces: list[str | _Part], payload: str) -> list[str | _Part]:
    first, *rest = pieces
    assert isinstance(first, str)
    heading = payload.replace("\u2028", " ")
    return [re.sub(r"^# .*$", lambda _: f"# Shown `{heading}`", first, count=1, flags=re.MULTILINE), *rest]


@contextmanager
def built(kinds: tuple[Callable[[int], str], ...], keep: Callable[[Path], bool] = lambda _: True) -> Iterator[tuple[Path, int]]:
    """The demo with payloads, built.

    Args:
        kinds: the payloads.
        keep: which files of the docs folder are kept.

    Yields:
        The site, and how many texts are planted.
    """
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copytree(ROOT / "docs", folder / "docs")
        for path in [path for path in (folder / "docs").rglob("*") if path.is_file() and not keep(path)]:
            path.unlink()
        for unit in (folder / "docs" / "units").iterdir():
            if not any(unit.iterdir()):
                unit.rmdir()
        count = plant(folder / "docs", kinds)
        config = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
        # Without a menu of its own the theme shows the titles of all pages.
        (folder / "mkdocs.yml").write_text(config.partition("\nnav:")[0], encoding="utf-8")
        for needed in ("node_modules", ".cache"):
            (folder / needed).symlink_to(ROOT / needed)
        assert build_site(folder / "mkdocs.yml", folder / "site") == 0
        yield folder / "site", count


@contextmanager
def _served(site: Path) -> Iterator[str]:
    server = make_server(site, 0, quiet=True)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://localhost:{server.port}"
    finally:
        server.shutdown()


def judge(browser: Browser, site: Path, pages: list[str]) -> Iterator[tuple[str, str | None]]:
    """Opens pages with the site's policy and without any, and uses what is on them.

    Args:
        browser: Chromium.
        site: the built site.
        pages: their paths below it.

    Yields:
        Each page, and what happened in it that should not.
    """
    with _served(site) as address:
        for bypass in (False, True):
            context = browser.new_context(bypass_csp=bypass, service_workers="block")
            for path in pages:
                faults = _faults_of(context, address, path)
                yield path, f"{path} ({'without' if bypass else 'with'} policy): {faults[0]}" if faults else None
            context.close()


def _faults_of(context: BrowserContext, address: str, path: str) -> list[str]:
    faults: list[str] = []
    page = context.new_page()
    page.expose_function("__x", lambda number: faults.append(f"payload {number} ran"))
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("console", lambda said: faults.append(said.text) if "Content Security Policy" in said.text else None)
    page.on("dialog", lambda dialog: dialog.dismiss())
    page.on("request", lambda asked: None if asked.url.startswith((address, "data:", "blob:")) else faults.append(asked.url))
    page.goto(f"{address}/{path}")
    faults += page.evaluate(_ACTS)
    _use(page)
    faults += page.evaluate(_ACTS)
    page.close()
    return faults


def _use(page: Page) -> None:
    """Notes at words, the search, the steps of a wall view."""
    for mark in page.locator("a.bench-word").all()[:3]:
        mark.click()
        page.keyboard.press("Escape")
    search = page.locator("input[type=search]:visible, input[role=combobox]:visible").first
    if search.count():
        search.fill("onerror script")
        page.wait_for_timeout(300)
    if page.locator("main.wall").count():
        for _ in range(4):
            page.keyboard.press("ArrowRight")


def run(share: float) -> Iterator[Row]:
    """One build for each payload, with that payload in every text; each page with and without the policy."""
    texts = Row("texts with a payload of their own, built into one site for each of five payloads")
    opened = Row("pages opened with the site's policy and without, and used")
    engine = Row("calculators that start on a planted page")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_program(), args=FLAGS)
        for kind in KINDS[: cases(len(KINDS), share)]:
            with built((kind,)) as (site, count):
                texts.cases += count
                pages = sorted(path.relative_to(site).as_posix() for path in site.rglob("*.html"))
                for _, fault in judge(browser, site, pages[:: max(1, round(1 / share / 5))] if share < 1 else pages):
                    opened.tried(fault)
                engine.tried(_engine_fault(browser, site))
        browser.close()
    yield from (texts, opened, engine)


def _engine_fault(browser: Browser, site: Path) -> str | None:
    with _served(site) as address:
        page = browser.new_page()
        page.goto(f"{address}/calculations/pack-clearance/index.html")
        try:
            page.locator("html[data-engine=ready]").wait_for(state="attached", timeout=90_000)
        except NotInTime as late:
            return str(late)
        finally:
            page.close()
    return None
