"""From navigation to an engine that answers: ours beside a stock start of the same runtime and wheel, in the same run.

The peer is what the runtime's own guide shows: a classic worker that calls ``loadPyodide``, unpacks the engine's wheel
and imports it. Both are served by the same server with the same headers, both take turns, every round has a new profile.

    python tests/benchmarks/bench_start.py [ROUNDS]
"""

from __future__ import annotations

import functools
import gzip
import http.server
import platform
import shutil
import statistics
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final, override

from playwright.sync_api import BrowserType, Page, sync_playwright

from build_hooks.bundle import build_browser_files
from build_hooks.form import Form, form_of
from build_hooks.html import html_of
from calc_engine import CATALOGUE, answer

ROOT: Final = Path(__file__).parents[2]
ASSETS: Final = "assets/benchleaf"
FEWEST_ROUNDS: Final = 7
FLAGS: Final = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
STOCK_FILES: Final = ("pyodide.js", "pyodide.asm.js", "pyodide.asm.wasm", "python_stdlib.zip", "pyodide-lock.json")
STOCK_WORKER: Final = """
importScripts("stock/pyodide.js");
onmessage = async ({ data }) => {
  const pyodide = await loadPyodide({ indexURL: new URL("stock/", location.href).href });
  const wheel = await (await fetch(data)).arrayBuffer();
  pyodide.unpackArchive(wheel, "wheel");
  const answer = pyodide.pyimport("calc_engine.page").answer_for_page;
  postMessage(typeof answer);
};
"""
STOCK_PAGE: Final = """
const worker = new Worker("stock-worker.js");
worker.onmessage = () => { document.documentElement.dataset.engine = "ready"; };
worker.postMessage(WHEEL);
"""
NOTE_READY: Final = """
new MutationObserver(() => {
  if (document.documentElement.dataset.engine === "ready") window.readyAfter ??= performance.now();
}).observe(document, { subtree: true, attributes: true, attributeFilter: ["data-engine"] });
"""


class _Handler(http.server.SimpleHTTPRequestHandler):
    """A server as both sides like it best: right types, and files that may be kept."""

    protocol_version = "HTTP/1.1"

    @override
    def guess_type(self, path: Any) -> str:
        return "application/wasm" if str(path).endswith(".wasm") else super().guess_type(path)

    @override
    def end_headers(self) -> None:
        keep = "no-cache" if self.path.endswith(".html") else "max-age=31536000, immutable"
        self.send_header("Cache-Control", keep)
        super().end_headers()

    @override
    def log_message(self, *args: Any) -> None:
        pass


@contextmanager
def _served(folder: Path) -> Iterator[str]:
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(_Handler, directory=str(folder)))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


def _write_site(folder: Path) -> None:
    (folder / ASSETS).mkdir(parents=True)
    files = build_browser_files(folder / ASSETS, ROOT / "node_modules", ROOT / ".cache" / "benchleaf", _say)
    (folder / "stock").mkdir()
    for name in STOCK_FILES:
        shutil.copyfile(ROOT / "node_modules" / "pyodide" / name, folder / "stock" / name)
    shutil.copyfile(folder / ASSETS / files.engine / "engine.whl", folder / "stock" / "engine.whl")
    (folder / "stock-worker.js").write_text(STOCK_WORKER, encoding="utf-8")
    calculation = CATALOGUE["pack-clearance"]
    example = dict(calculation.example)
    form = html_of(form_of(Form(calculation, "pack", "Pack clearance", "", example, answer("pack-clearance", example))))
    ours = f'<script src="{ASSETS}/benchleaf.js"></script>'
    stock = f"<script>{STOCK_PAGE.replace('WHEEL', '"stock/engine.whl"')}</script>"
    for name, script in (("ours", ours), ("stock", stock)):
        page = f'<!doctype html><meta charset="utf-8"><link rel="icon" href="data:,"><title>{name}</title>{form}{script}'
        (folder / f"{name}.html").write_text(page, encoding="utf-8")


def _visit(page: Page, address: str) -> tuple[float, set[str]]:
    """Milliseconds from navigation to an engine that is ready, and the files that were asked for."""
    asked: set[str] = set()
    page.on("request", lambda request: asked.add(request.url))
    page.goto(address)
    page.wait_for_selector("html[data-engine=ready]", state="attached", timeout=120_000)
    return page.evaluate("window.readyAfter"), asked


def _round(chromium: BrowserType, address: str) -> tuple[list[float], set[str]]:
    """First and second visit with an empty profile."""
    with TemporaryDirectory() as profile:
        context = chromium.launch_persistent_context(profile, executable_path=shutil.which("chromium"), args=FLAGS)
        context.add_init_script(NOTE_READY)
        page = context.new_page()
        page.goto("about:blank")
        page.wait_for_timeout(500)
        first, asked = _visit(page, address)
        page.wait_for_timeout(1000)  # What the browser keeps of a first visit it writes when there is time.
        page.goto("about:blank")
        second, _ = _visit(page, address)
        context.close()
    return [first, second], asked


def _weight(folder: Path, address: str, asked: set[str]) -> tuple[int, int]:
    """Bytes of the files as they lie there, and as a server that compresses would send them."""
    raw = packed = 0
    for url in asked:
        if not url.startswith(address):
            continue
        content = (folder / url.removeprefix(f"{address}/")).read_bytes()
        raw += len(content)
        packed += min(len(content), len(gzip.compress(content, 9)))
    return raw, packed


def main() -> None:
    """Runs the rounds in turn and prints medians and ratios."""
    rounds = max(FEWEST_ROUNDS, int(sys.argv[1]) if len(sys.argv) > 1 else FEWEST_ROUNDS)
    times: dict[str, list[list[float]]] = {"ours": [], "stock": []}
    weights: dict[str, tuple[int, int]] = {}
    with TemporaryDirectory() as name, _served(folder := Path(name)) as address, sync_playwright() as playwright:
        _write_site(folder)
        for _ in range(rounds):
            for side, found in times.items():
                taken, asked = _round(playwright.chromium, f"{address}/{side}.html")
                found.append(taken)
                weights[side] = _weight(folder, address, asked)
    _say(f"{platform.machine()}, {rounds} rounds, medians (fastest to slowest)")
    for index, visit in enumerate(("empty profile", "second visit")):
        ours, stock = ([taken[index] for taken in times[side]] for side in ("ours", "stock"))
        ratio = statistics.median(ours) / statistics.median(stock)
        _say(f"{visit:14} ours {_said(ours)}   stock {_said(stock)}   ratio {ratio:.2f}")
    for index, state in enumerate(("as they lie", "compressed")):
        ours, stock = weights["ours"][index], weights["stock"][index]
        _say(f"bytes {state:11} ours {ours:>10,}   stock {stock:>10,}   ratio {ours / stock:.2f}")


def _say(text: str) -> None:
    sys.stdout.write(f"{text}\n")


def _said(times: list[float]) -> str:
    return f"{statistics.median(times):6.0f} ms ({min(times):.0f} to {max(times):.0f})"


if __name__ == "__main__":
    main()
