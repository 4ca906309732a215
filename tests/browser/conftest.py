"""A small site with panels of every kind, served under a strict policy, and a browser to open it with."""

from __future__ import annotations

import functools
import http.server
import shutil
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, override

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from build_hooks.bundle import BrowserFiles, build_browser_files, write_inlined_parts
from build_hooks.forms.form import CarriedOver, Form, TrialPack, TrialShape
from build_hooks.forms.panel import form_of
from build_hooks.library import load
from build_hooks.markdown.html import html_of
from build_hooks.page.pages import read_pages
from calc_engine import CATALOGUE, work_out
from tests.standing_reply import standing_reply

ROOT: Final = Path(__file__).parents[2]
ASSETS: Final = "assets/benchleaf"
LIMITS: Final = {"min": "0.90 mm", "max": "1.40 mm"}
GIVEN: Final = {"method": "dial", "limits": LIMITS, "gauge": {"resolution": "0.01 mm", "max_error": "0.02 mm"}}
EXAMPLE: Final = {**GIVEN, "lifts": ["1.34 mm", "1.36 mm", "1.33 mm", "1.35 mm"]}
# A start takes a second on an idle machine; a busy one may need many.
PATIENCE: Final = 180_000
POLICY: Final = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self' blob:; connect-src 'self'; "
    "style-src 'self' 'unsafe-inline'; img-src 'self' data:"
)


def _panel(name: str, identity: str, title: str, example: dict[str, Any], **more: Any) -> str:
    return html_of(form_of(Form(CATALOGUE[name], identity, title, "", example, work_out(name, example), **more)))


def _pack(identity: str, title: str) -> str:
    left_out = frozenset({"friction_plates", "wave", "spread_limit", "choices", "fitted"})
    return _panel("pack-clearance", identity, title, EXAMPLE, preset=GIVEN, entries={"lifts": 4}, hidden=left_out)


def _trials() -> str:
    """Two packs with a plate between them, as a drum's unit data would give them."""
    gauge = {"resolution": "0.01 mm", "max_error": "0.02 mm"}
    forward = {"name": "forward", "limits": LIMITS, "gauge": gauge, "spread_limit": "0.15 mm"}
    direct = {**forward, "name": "direct", "limits": {"min": "0.80 mm", "max": "1.20 mm"}}
    sizes = [{"id": "thin", "thickness": "1.57 mm"}, {"id": "thick", "thickness": "1.78 mm"}]
    plates = [{"id": "5.00", "thickness": "5.00 mm"}, {"id": "5.20", "thickness": "5.20 mm"}]
    preset = {
        "packs": [forward, direct],
        "positions": [
            {"name": "ring", "choices": sizes, "effect": {"forward": -1}},
            {"name": "plate", "choices": plates, "effect": {"forward": -1, "direct": -1}},
        ],
    }
    fitted = {"ring": {"id": "thin"}, "plate": {"id": "5.00"}}
    example = {**preset, "trials": [{"fitted": fitted, "readings": {"forward": {"method": "dial", "lifts": ["1.15 mm"] * 4}}}]}
    return _panel(
        "set-clearances",
        "trials",
        "The drum",
        example,
        preset=preset,
        entries={f"trials.0.readings.{field}": 4 for field in ("0.lifts", "1.to_plate", "1.to_ring")},
        choices={"trials.0.fitted.0.id": ["thin", "thick"], "trials.0.fitted.1.id": ["5.00", "5.20"]},
        defaults={"trials.0.fitted.0.id": "thin", "trials.0.fitted.1.id": "5.00"},
        trial=TrialShape(["ring", "plate"], [TrialPack("forward", "dial", ["Limits"]), TrialPack("direct", "depth", ["Limits"])]),
    )


def _converted() -> str:
    return _panel(
        "convert",
        "converted",
        "The same in inches",
        {"value": "1.345 mm", "to": "in"},
        preset={"to": "in"},
        carried={"value": CarriedOver("forward", "clearance")},
    )


_GEARS: Final[dict[str, Any]] = {
    "sets": [{"name": "P", "sun": 30, "ring": 72}],
    "joined": [["input", "P.sun"]],
    "elements": [{"name": "B", "holds": "P.ring"}, {"name": "C", "joins": ["input", "P.carrier"]}],
    "gears": [{"name": "low", "on": ["B"]}, {"name": "N", "on": []}],
    "input": "input",
    "output": "P.carrier",
}


# A shop that reads in inches, and a unit whose maker writes millimetres.
_INCH_SHOP: Final = {
    "shop.yml": "name: Quay Lane\nunits: inch\ngauges: {dial: {name: Dial, kind: dial, resolution: 0.001 in, max_error: 0.0005 in}}\n",
    "units/oak-2/unit.yml": """\
name: Oak 2
parts: {plate: {name: Steel plate, kind: steel, thickness: 1.80 mm ± 0.03}}
packs:
  low:
    name: Low pack
    stack: [plate, {measure: With the dial.}]
    clearance: {min: 0.90 mm, max: 1.40 mm, gauge: dial, method: dial, source: FL-1, revision: A}
""",
    "units/oak-2/low.md": "# Low pack\n\n```calc\ncalculation: pack-clearance\npack: low\n```\n",
    "units/oak-2/metric.md": "# Low pack\n\n```calc\ncalculation: pack-clearance\npack: low\nunits: metric\n```\n",
}


def _write_inch_shop(site: Path, docs: Path) -> None:
    """The pages of an inch shop, made from its data as a build makes them."""
    for name, text in _INCH_SHOP.items():
        (docs / name).parent.mkdir(parents=True, exist_ok=True)
        (docs / name).write_text(text, encoding="utf-8")
    library, problems = load(docs)
    assert library is not None
    pages, more = read_pages(docs, library)
    assert (problems, more) == ((), ())
    for name in ("low", "metric"):
        blocks = pages.by_path[f"units/oak-2/{name}.md"].blocks
        (site / f"inch-{name}.html").write_text(_document("Low pack", "".join(blocks)), encoding="utf-8")


def _document(title: str, body: str, options: str = "") -> str:
    return (
        f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{title}</title><link rel="icon" href="data:,"></head>'
        f'<body><h1>{title}</h1>{body}<p style="height: 200vh">The end.</p>'
        f'<script src="{ASSETS}/benchleaf.js"{options}></script></body></html>'
    )


def _write_pages(site: Path) -> None:
    forward, direct = _pack("forward", "Forward pack"), _pack("direct", "Direct pack")
    anyhow = _panel("pack-clearance", "anyhow", "By any method", EXAMPLE)
    gears = _panel("gear-train", "gears", "Gears", _GEARS)
    drum = _panel("set-clearances", "drum", "A drum", dict(CATALOGUE["set-clearances"].example))
    pan = _panel("fluid-from-level", "pan", "A pan", dict(CATALOGUE["fluid-from-level"].example))
    pages = {
        "index": _document("Forward pack", forward),
        "packs": _document("Two packs", forward + direct + _converted()),
        "anyhow": _document("By any method", anyhow),
        "trials": _document("The drum", _trials()),
        "drum": _document("A drum", drum),
        "gears": _document("Gears", gears),
        "pan": _document("A pan", pan),
        "reading": _document("No calculation here", "<p>Only words.</p>"),
        "impatient": _document("Forward pack", forward, ' data-start-silence="3000" data-run-limit="400"'),
    }
    for name, text in pages.items():
        (site / f"{name}.html").write_text(text, encoding="utf-8")


@dataclass(frozen=True)
class Site:
    """The built site: its folder, its address, and what the bundle wrote."""

    folder: Path
    address: str
    files: BrowserFiles

    @property
    def engine(self) -> Path:
        """Folder of the engine."""
        return self.folder / ASSETS / self.files.engine


@pytest.fixture(scope="session")
def site_folder(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, BrowserFiles]:
    """The pages and the browser's files, from the cache where nothing has changed."""
    folder = tmp_path_factory.mktemp("site")
    (folder / ASSETS).mkdir(parents=True)
    _write_pages(folder)
    _write_inch_shop(folder, tmp_path_factory.mktemp("inch-shop"))
    warnings: list[str] = []
    files = build_browser_files(folder / ASSETS, ROOT / "node_modules", ROOT / ".cache" / "benchleaf", warnings.append)
    assert warnings == []
    return folder, files


class _Handler(http.server.SimpleHTTPRequestHandler):
    """Serves with a policy, and with types that are of no help."""

    @override
    def guess_type(self, path: Any) -> str:
        known = {".html": "text/html", ".js": "text/javascript"}
        return known.get(Path(path).suffix, "text/plain")

    @override
    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", POLICY)
        self.send_header("X-Content-Type-Options", "nosniff")
        super().end_headers()

    @override
    def log_message(self, *args: Any) -> None:
        pass


@pytest.fixture(scope="session")
def serve() -> Iterator[Callable[[Path], str]]:
    """Serves a folder; gives its address."""
    servers: list[http.server.ThreadingHTTPServer] = []

    def start(folder: Path) -> str:
        handler = functools.partial(_Handler, directory=str(folder))
        servers.append(http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler))
        threading.Thread(target=servers[-1].serve_forever, daemon=True).start()
        return f"http://127.0.0.1:{servers[-1].server_port}"

    yield start
    for server in servers:
        server.shutdown()
        server.server_close()


@pytest.fixture(scope="session")
def site(site_folder: tuple[Path, BrowserFiles], serve: Callable[[Path], str]) -> Site:
    """The site, served."""
    folder, files = site_folder
    return Site(folder, serve(folder), files)


@pytest.fixture
def copy_of_site(site: Site, serve: Callable[[Path], str], tmp_path: Path) -> Site:
    """A copy to be damaged, served."""
    folder = tmp_path / "copy"
    shutil.copytree(site.folder, folder)
    return Site(folder, serve(folder), site.files)


@pytest.fixture(scope="session")
def folder_site(site: Site, tmp_path_factory: pytest.TempPathFactory) -> Site:
    """A copy for opening from a folder."""
    folder = tmp_path_factory.mktemp("folder") / "manual"
    shutil.copytree(site.folder, folder)
    copy = Site(folder, folder.as_uri(), site.files)
    write_inlined_parts(copy.engine)
    return copy


@pytest.fixture(scope="session")
def browser(chromium: Browser) -> Browser:
    """Debian's Chromium."""
    return chromium


@dataclass
class Seen:
    """What a page asked for and said."""

    requests: list[str] = field(default_factory=list)
    console: list[str] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)

    def watch(self, page: Page) -> None:
        """Listens to a page and its workers."""
        page.on("request", lambda request: self.requests.append(request.url))
        page.on("console", lambda message: self.console.append(message.text))
        page.on("pageerror", lambda error: self.errors.append(str(error)))


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    """An empty profile."""
    opened = browser.new_context()
    opened.set_default_timeout(PATIENCE)
    expect.set_options(timeout=PATIENCE)
    yield opened
    opened.close()


@pytest.fixture
def page(context: BrowserContext) -> Page:
    """An empty page."""
    return context.new_page()


@pytest.fixture
def seen(page: Page) -> Iterator[Seen]:
    """What the page asks for and says. No page may fail, or ask another host for anything."""
    noted = Seen()
    noted.watch(page)
    yield noted
    own = ("http://127.0.0.1:", "file:", "blob:", "data:")
    assert [url for url in noted.requests if not url.startswith(own)] == []
    assert noted.errors == []


class Panel:
    """One calculation of a page, handled as a reader would."""

    def __init__(self, page: Page, identity: str) -> None:
        self.page = page
        self.root = page.locator(f"#{identity}")
        self.result = self.root.locator("[data-bench=result]")
        self.state = self.root.locator("[data-bench=state]")
        self.summary = self.root.locator("[data-bench=problem-summary]")
        self.work = self.root.locator("button[data-bench=work]")

    def entry(self, name: str) -> Any:
        """The entry of a field."""
        return self.root.locator(f'[name="{name}"]')

    def problem(self, name: str) -> Any:
        """The place for the problem of a field."""
        return self.root.locator(f'[data-bench=problem][data-field="{name}"]')

    def type_lifts(self, *values: str) -> None:
        """Types a reading at each position."""
        for index, value in enumerate(values):
            self.entry(f"lifts.{index}").fill(value)

    def expect_verdict(self, verdict: str) -> None:
        """Waits for an answer to the reader's own figures."""
        expect(self.root.locator(f'[data-bench=result][data-verdict="{verdict}"]:not([data-example])')).to_be_visible()

    def reply(self) -> Any:
        """The reply that stands."""
        return standing_reply(self.root)


@pytest.fixture
def open_panel(page: Page, site: Site, seen: Seen) -> Callable[..., Panel]:
    """Opens a page of the site and takes a panel of it."""
    assert seen.requests == []

    def opened(name: str = "index", identity: str = "forward") -> Panel:
        page.goto(f"{site.address}/{name}.html")
        return Panel(page, identity)

    return opened


def expect_engine(page: Page, state: str) -> None:
    """Waits until the page says how its engine stands."""
    page.wait_for_selector(f"html[data-engine={state}]", state="attached")


@pytest.fixture
def wait_for_engine() -> Callable[[Page, str], None]:
    """See `expect_engine`."""
    return expect_engine
