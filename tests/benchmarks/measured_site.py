"""The pages that the start is measured on, and how they are served: both sides alike."""

from __future__ import annotations

import gzip
import re
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, override

from build_hooks.bundle import build_browser_files, write_inlined_parts
from build_hooks.forms.form import Form
from build_hooks.forms.panel import form_of
from build_hooks.markdown.html import html_of
from build_hooks.site.build import build_site
from calc_engine import CATALOGUE, work_out
from tests.benchmarks.serving import QuietHandler

__all__ = ["CALCULATION_PAGE", "BothSidesHandler", "MeasuredSite", "weight", "write_measured_site"]

ROOT: Final = Path(__file__).parents[2]
ASSETS: Final = "assets/benchleaf"
# A page of the demo with a drum's calculation, a long stack and a drawing.
CALCULATION_PAGE: Final = "units/alder-4/front-drum-clearance/"
_BENCH_PAGE: Final = "bench/alder-4/front-drum/"
_STOCK_FILES: Final = ("pyodide.js", "pyodide.asm.js", "pyodide.asm.wasm", "python_stdlib.zip", "pyodide-lock.json")
# What the runtime's own guide shows: a worker that loads the runtime, unpacks the wheel and imports from it.
_STOCK_WORKER: Final = """
importScripts("stock/pyodide.js");
onmessage = async ({ data }) => {
  const pyodide = await loadPyodide({ indexURL: new URL("stock/", location.href).href });
  const wheel = await (await fetch(data)).arrayBuffer();
  pyodide.unpackArchive(wheel, "wheel");
  const answer = pyodide.pyimport("calc_engine.page").answer_for_page;
  postMessage(typeof answer);
};
"""
_STOCK_PAGE: Final = """
const worker = new Worker("stock-worker.js");
worker.onmessage = () => { document.documentElement.dataset.engine = "ready"; };
worker.postMessage("stock/engine.whl");
"""
_CALCULATIONS: Final = re.compile(r"<bench-calc\b.*?</bench-calc>", re.DOTALL)


@dataclass(frozen=True, slots=True)
class MeasuredSite:
    """What was written.

    Attributes:
        served: a folder to be served: ours.html and stock.html hold the same form, all.html one form for each calculation,
            built/ is the demo manual, demo/ the same without its service worker, and plain/ that without its calculations.
        folder: a copy of ours.html that opens by double-click.
        pages: pages of built/ that are measured as they are, address by name.
    """

    served: Path
    folder: Path
    pages: dict[str, str]


class BothSidesHandler(QuietHandler):
    """A server as both sides like it best: right types, and files that may be kept."""

    protocol_version = "HTTP/1.1"

    @override
    def guess_type(self, path: Any) -> str:
        return "application/wasm" if str(path).endswith(".wasm") else super().guess_type(path)

    @override
    def end_headers(self) -> None:
        keep = "no-cache" if self.path.endswith((".html", "/")) else "max-age=31536000, immutable"
        self.send_header("Cache-Control", keep)
        super().end_headers()


def write_measured_site(target: Path) -> MeasuredSite:
    """Writes all pages.

    Args:
        target: an empty folder.
    """
    site, folder = target / "site", target / "folder"
    (site / ASSETS).mkdir(parents=True)
    files = build_browser_files(site / ASSETS, ROOT / "node_modules", ROOT / ".cache" / "benchleaf", print)
    script = f'<script src="{ASSETS}/benchleaf.js"></script>'
    _write(site / "ours.html", _form("pack-clearance", {}) + script)
    shutil.copytree(site, folder)
    write_inlined_parts(folder / ASSETS / files.engine)
    _write(site / "all.html", "".join(_form(name, dict(CATALOGUE[name].example)) for name in CATALOGUE) + script)
    _write(site / "stock.html", f"{_form('pack-clearance', {})}<script>{_STOCK_PAGE}</script>")
    _write_stock(site, site / ASSETS / files.engine / "engine.whl")
    assert build_site(ROOT / "mkdocs.yml", site / "built") == 0
    shutil.copytree(site / "built", site / "demo")
    _without_calculations(site / "demo", site / "plain")
    pages = {"Just the readings of a drum": _BENCH_PAGE, "The longest procedure": _longest_procedure(site / "built")}
    return MeasuredSite(site, folder, {name: f"built/{page}" for name, page in pages.items()})


def _longest_procedure(built: Path) -> str:
    """The page with a calculation that has most bytes."""
    pages = [page for page in built.glob("units/*/*/index.html") if _CALCULATIONS.search(page.read_text(encoding="utf-8"))]
    longest = max(pages, key=lambda page: page.stat().st_size)
    return f"{longest.parent.relative_to(built).as_posix()}/"


def _form(name: str, preset: dict[str, Any]) -> str:
    calculation = CATALOGUE[name]
    example = dict(calculation.example)
    return html_of(form_of(Form(calculation, name, calculation.title, "", example, work_out(name, example), preset=preset)))


def _write(page: Path, body: str) -> None:
    head = f'<meta charset="utf-8"><link rel="icon" href="data:,"><title>{page.stem}</title>'
    page.write_text(f"<!doctype html>{head}{body}", encoding="utf-8")


def _write_stock(site: Path, wheel: Path) -> None:
    (site / "stock").mkdir()
    for name in _STOCK_FILES:
        shutil.copyfile(ROOT / "node_modules" / "pyodide" / name, site / "stock" / name)
    shutil.copyfile(wheel, site / "stock" / "engine.whl")
    (site / "stock-worker.js").write_text(_STOCK_WORKER, encoding="utf-8")


def _without_calculations(demo: Path, plain: Path) -> None:
    """The demo again, its page without the forms. Neither is kept by the browser: that would begin while the other is measured."""
    (demo / "service-worker.js").unlink()
    shutil.copytree(demo, plain)
    page = plain / CALCULATION_PAGE / "index.html"
    text, count = _CALCULATIONS.subn("", page.read_text(encoding="utf-8"))
    assert count, "the page has no calculation to be left out"
    page.write_text(text, encoding="utf-8")


def weight(folder: Path, address: str, asked: set[str]) -> tuple[int, int]:
    """Bytes of the files that were asked for: as they lie there, and as a server that compresses would send them."""
    raw = packed = 0
    for url in asked:
        if url.startswith(address):
            content = (folder / url.removeprefix(f"{address}/")).read_bytes()
            raw += len(content)
            packed += min(len(content), len(gzip.compress(content, 9)))
    return raw, packed
