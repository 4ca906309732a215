"""A small site with a search box in it, and a browser to open it with: from a folder, and from a strict server."""

from __future__ import annotations

import functools
import http.server
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, override

import pytest
from playwright.sync_api import Browser, Page

from build_hooks.bundle.assets import bundled
from build_hooks.search import INDEX, SCRIPT, Entry, Kind, WordGroup, index_data, index_script
from build_hooks.search.ready_index import ready_index

ROOT: Final = Path(__file__).parents[3]
NODE_MODULES: Final = ROOT / "node_modules"
POLICY: Final = "default-src 'none'; script-src 'self'; style-src 'self'; img-src data:"
PATIENCE: Final = 60_000
LONG_NAME: Final = "Reaktionsscheibenunterlegringdickenmessuhrhalterungsschraubensicherungsblechzange" + "x" * 9
ENTRIES: Final = (
    Entry(Kind.STANDARD, "Snap rings", "", "rings/", text="A ring leaves its groove fast. " + "Wear safety glasses. " * 20),
    Entry(Kind.STANDARD, "Fit one", "Snap rings", "rings/#fit", text="Wipe the groove. Set the gap of the ring on a land."),
    Entry(
        Kind.SPEC, "Forward pack clearance", "Alder 4", "alder/#limits", "0.90 to 1.40 mm. From shop standard FL-12, revision C"
    ),
    Entry(Kind.PART, "Forward ring", "Alder 4", "alder/#stack", "FR-157 · 1.57 mm ± 0.02 mm", "One dot."),
    Entry(Kind.WORD, "soak", "", "plates/", "To let new plates stand in clean fluid.", "Also: remojo."),
    Entry(Kind.PART, f"Odd {LONG_NAME}", f"Odd {LONG_NAME}", "odd/", f"odd {LONG_NAME}", f"odd {LONG_NAME} " * 9),
    Entry(
        Kind.PART,
        "odd <img src=x onerror=alert(1)><b>bold</b>",
        "</span><i>",
        "odd/#a b",
        "odd <script>alert(1)</script>",
        "odd <u>",
    ),
    Entry(Kind.PART, "odd טבעת קפיץ (אחורית)", "تروس", "odd/#שלום", "odd \u202eright to left", "odd שלום"),
    *(Entry(Kind.GUIDE, f"Many {number}", "", f"many/{number}/", text="many") for number in range(30)),
)
WORDS: Final = (WordGroup("snap ring", ("circlip",), ("snap rign",)),)
HEADER: Final = '<header class="md-header"><nav class="md-header__inner"><a href="./">Shop</a></nav></header>'


@dataclass
class Opened:
    """A page in the browser, with what it asked for and what it complained of."""

    page: Page
    address: str
    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)

    @property
    def field(self) -> Any:
        """The search field."""
        return self.page.get_by_role("combobox", name="Search the manual")

    def type(self, words: str) -> None:
        """Opens the box by key and types."""
        self.page.keyboard.press("/")
        self.page.keyboard.type(words)

    def finds(self) -> list[str]:
        """The text of every result."""
        return [" ".join(text.split()) for text in self.page.get_by_role("option").all_inner_texts()]

    def chosen(self) -> str | None:
        """The text of the result that is chosen."""
        option = self.page.locator('[role="option"][aria-selected="true"]')
        return " ".join(option.inner_text().split()) if option.count() else None


def _page(title: str, up: str, body: str, script: str = SCRIPT) -> str:
    return (
        f'<!doctype html><html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">'
        f'<title>{title}</title><link rel="icon" href="data:,"><link rel="stylesheet" href="{up}style.css"></head>'
        f'<body>{body}<main><h1>{title}</h1><label>Reading <input id="reading"></label><p id="fit">Text.</p></main>'
        f'<script src="{up}{script}"></script></body></html>'
    )


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the site."""
    folder = tmp_path_factory.mktemp("search-site")
    data = index_data(ENTRIES, WORDS)
    warnings: list[str] = []
    ready = ready_index(data, bundled(NODE_MODULES, "search/make-index.js", {}), warnings.append)
    assert warnings == []
    (folder / SCRIPT).parent.mkdir(parents=True)
    (folder / SCRIPT).write_bytes(bundled(NODE_MODULES, "search/main.js", {}))
    (folder / INDEX).write_text(index_script({**data, "ready": ready}), encoding="utf-8")
    # The same script beside no index.
    (folder / "no/index/here.js").parent.mkdir(parents=True)
    (folder / "no/index/here.js").write_bytes((folder / SCRIPT).read_bytes())
    styles = [
        (ROOT / "build_hooks" / name).read_text(encoding="utf-8") for name in ("styles/paper.css", "browser/search/search.css")
    ]
    # What the theme gives: its root size, and a header in a row.
    theme = "html{font-size:125%}body{margin:0}.md-header{position:sticky;top:0}.md-header__inner{display:flex}.md-header__inner>a{flex:1}"
    (folder / "style.css").write_text("\n".join((theme, *styles)), encoding="utf-8")
    for name in ("rings", "alder", "plates", "odd"):
        (folder / name).mkdir()
        (folder / name / "index.html").write_text(_page(name, "../", HEADER), encoding="utf-8")
    (folder / "index.html").write_text(_page("Start", "", HEADER), encoding="utf-8")
    (folder / "bare.html").write_text(_page("Bare", "", ""), encoding="utf-8")
    (folder / "failing.html").write_text(_page("Failing", "", HEADER, "no/index/here.js"), encoding="utf-8")
    return folder


class _Handler(http.server.SimpleHTTPRequestHandler):
    """Serves under a policy that lets nothing in but the site's own files."""

    @override
    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", POLICY)
        super().end_headers()

    @override
    def log_message(self, *args: Any) -> None:
        pass


@pytest.fixture(scope="session")
def served(site: Path) -> Iterator[str]:
    """The address of the site on a server."""
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(_Handler, directory=str(site)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


@pytest.fixture(scope="session")
def browser(chromium: Browser) -> Browser:
    """A browser."""
    return chromium


@pytest.fixture
def open_page(browser: Browser) -> Iterator[Any]:
    """Opens a page of the site; every complaint of a page fails its test."""
    opened: list[Opened] = []

    def start(address: str, width: int = 1280, height: int = 800) -> Opened:
        page = browser.new_page(viewport={"width": width, "height": height})
        page.set_default_timeout(PATIENCE)
        made = Opened(page, address)
        page.on("request", lambda request: made.requests.append(request.url))
        page.on("console", lambda said: made.complaints.append(said.text) if said.type in {"error", "warning"} else None)
        page.on("pageerror", lambda error: made.complaints.append(str(error)))
        page.goto(address)
        opened.append(made)
        return made

    yield start
    for made in opened:
        made.page.close()
    assert [complaint for made in opened for complaint in made.complaints] == []
