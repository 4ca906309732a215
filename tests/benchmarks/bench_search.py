"""The search beside the theme's own, in the same run: what is found, and how long it takes.

The peer is the theme's search plugin with nothing changed, driven through its own box in the browser, on the same demo.
First the share of queries (tests/build_hooks/search/queries.yml) whose page is the first, or among the first three; then, on a made-up
manual of a thousand pages, the time from a key to the results on the screen, and from the first use to the first results.

    python tests/benchmarks/bench_search.py [ROUNDS]
"""

from __future__ import annotations

import json
import os
import platform
import shutil
import statistics
import subprocess
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

import yaml
from playwright.sync_api import Browser, Page, sync_playwright

ROOT: Final = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from build_hooks.bundle.assets import scripts_from
from build_hooks.search import INDEX, SCRIPT, entries_of, index_data, index_script, words_of, write_search
from build_hooks.search.ready_index import ready_index
from tests.benchmarks.serving import served
from tests.build_hooks.search.asking import Asked, ask, load_queries, page_rank, page_rank_of, rank
from tests.build_hooks.search.demo_pages import demo_edition, pages_of_edition
from tests.build_hooks.search.made_up_manual import made_up_entries, plain_documents
from tests.chromium import FLAGS, chromium_program

FEWEST_ROUNDS: Final = 2
# The demo with the theme's own search and nothing else changed.
CONFIG: Final = """\
INHERIT: {root}/mkdocs.yml
docs_dir: {root}/docs
plugins:
  - search
  - benchleaf:
      node_modules: {root}/node_modules
      cache: {root}/.cache/benchleaf
"""
TYPED: Final = (
    "clearance", "snap ring", "friction plate", "measure the clearance", "forward pack clearance", "return spring press",
    "which way does the lip go", "air check hiss", "torque wrench adapter", "drum windows", "fr12-157", "clearence",
)  # fmt: skip
SETTLED_MS: Final = 500
PATIENCE: Final = 120_000
# Notes when a key went down, and when what it changed in the list stood on the screen.
WATCH: Final = """
selector => {
  const watch = (window.watch = { key: 0, painted: 0 });
  addEventListener("keydown", () => { watch.key = performance.now(); watch.painted = 0; }, true);
  new MutationObserver(() => requestAnimationFrame(() => setTimeout(() => { watch.painted = performance.now(); })))
    .observe(document.querySelector(selector), { childList: true, subtree: true, characterData: true });
}
"""
SETTLED: Final = "settled => window.watch.painted && performance.now() - window.watch.painted > settled"


def told(text: str) -> None:
    """A line for whoever runs this."""
    sys.stdout.write(f"{text}\n")
    sys.stdout.flush()


def built_demo(folder: Path) -> Path:
    """The demo with the theme's own search; ours is written beside it."""
    config = folder / "mkdocs.yml"
    config.write_text(CONFIG.format(root=ROOT), encoding="utf-8")
    site = folder / "site"
    command = [sys.executable, "-m", "mkdocs", "build", "--quiet", "--config-file", str(config), "--site-dir", str(site)]
    subprocess.run(command, check=True, env={**os.environ, "NO_MKDOCS_2_WARNING": "1"})
    edition = demo_edition()
    write_search(site, pages_of_edition(edition), edition.library, scripts_from(ROOT / "node_modules"), told)
    return site


# --- what is found ------------------------------------------------------------------------------------------------------


def plain_pages(page: Page, words: str) -> list[str]:
    """The pages that the theme's search lists, in order."""
    field = page.locator(".md-search__input")
    field.fill("")
    page.wait_for_timeout(50)
    field.press_sequentially(words)
    # It answers in a worker and says how many it found; a text that stands still is its answer.
    said, since = None, 0
    while since < SETTLED_MS:
        page.wait_for_timeout(50)
        now = page.locator(".md-search-result__meta").inner_text(), page.locator(".md-search-result__item").count()
        since = since + 50 if now == said else 0
        said = now
    links = page.locator(".md-search-result__item > .md-search-result__link, .md-search-result__item > :first-child")
    hrefs: list[str] = links.evaluate_all("nodes => nodes.map(node => node.pathname).filter(Boolean)")
    return [path.removeprefix("/") for path in hrefs]


def print_recall(browser: Browser, site: Path) -> None:
    """What each finds, for the queries tuned on, those held out, and those written afterwards."""
    queries = load_queries(yaml.safe_load((ROOT / "tests/build_hooks/search/queries.yml").read_text(encoding="utf-8")))
    answers = ask(site / INDEX, [asked.words for asked in queries])
    told(f"{len(queries)} queries are typed into the theme's search, letter by letter: one or two seconds each.\n")
    with served(site) as address:
        page = browser.new_page()
        page.set_default_timeout(PATIENCE)
        page.goto(address)
        page.locator(".md-search__input").focus()
        page.wait_for_function("!/Initializ/.test(document.querySelector('.md-search-result__meta').textContent)")
        plain = [page_rank_of(asked, plain_pages(page, asked.words)) for asked in queries]
        page.close()
    ours = [page_rank(asked, answer) for asked, answer in zip(queries, answers, strict=True)]
    entries = [rank(asked, answer) for asked, answer in zip(queries, answers, strict=True)]
    told("Right page (or, last two columns, right section, stack, limit, part...) first / among the first three:\n")
    told(f"{'queries':34} {'n':>4}  {'plain @1':>8} {'@3':>6}  {'ours @1':>8} {'@3':>6}  {'entry @1':>8} {'@3':>6}")
    for name, chosen in _parts(queries):
        cells = [_share([ranks[at] for at in chosen], most) for ranks in (plain, ours, entries) for most in (1, 3)]
        numbers = "  ".join(f"{cells[at]:>8} {cells[at + 1]:>6}" for at in (0, 2, 4))
        told(f"{name:34} {len(chosen):4}  {numbers}")
    worse = [asked.words for asked, at, peer in zip(queries, ours, plain, strict=True) if peer == 1 and at > 1]
    told(f"\nFirst by plain search and not by ours: {worse or 'none'}")


def _parts(queries: Sequence[Asked]) -> Iterator[tuple[str, list[int]]]:
    numbered = list(enumerate(queries))
    yield "all", [at for at, _ in numbered]
    yield "tuned on", [at for at, asked in numbered if asked.tuned]
    yield "held out", [at for at, asked in numbered if not asked.tuned and not asked.fresh]
    yield "written after tuning", [at for at, asked in numbered if asked.fresh]
    for group in dict.fromkeys(asked.group for asked in queries if not asked.fresh):
        yield f"  {group}", [at for at, asked in numbered if asked.group == group]


def _share(ranks: Sequence[int], most: int) -> str:
    return f"{sum(at <= most for at in ranks) / len(ranks):.3f}"


# --- how long it takes ----------------------------------------------------------------------------------------------------


def big_site(demo: Path, folder: Path) -> tuple[Path, dict[str, int]]:
    """The demo's start page with the index of a thousand made-up pages, for both searches; and what they weigh."""
    edition = demo_edition()
    sections, data = made_up_entries(entries_of(pages_of_edition(edition), edition.library))
    shutil.copytree(demo, folder)
    plain = json.loads((demo / "search/search_index.json").read_text(encoding="utf-8"))
    plain["docs"] = plain_documents(sections)
    (folder / "search/search_index.json").write_text(json.dumps(plain), encoding="utf-8")
    index = index_data((*sections, *data), words_of(edition.library.shop))
    ready = ready_index(index, scripts_from(ROOT / "node_modules")("search/make-index.js"), told)
    (folder / INDEX).write_text(index_script({**index, "ready": ready}), encoding="utf-8")
    (folder / "raw").mkdir()
    for name, content in ((INDEX, index_script(index)), (SCRIPT, (folder / SCRIPT).read_text(encoding="utf-8"))):
        target = folder / "raw" / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(content, encoding="utf-8")
    html = (folder / "index.html").read_text(encoding="utf-8")
    for name, script in (("ours", SCRIPT), ("raw", f"raw/{SCRIPT}")):
        page = html.replace(f'<script src="{SCRIPT}"></script>', "").replace(
            "</body>", f'<script src="{script}"></script></body>'
        )
        (folder / f"{name}.html").write_text(page, encoding="utf-8")
    sizes = {name: (folder / path).stat().st_size for name, path in _INDEXES.items()}
    return folder, {**sizes, "sections": len(sections), "data": len(data)}


_INDEXES: Final = {"plain": "search/search_index.json", "ours": INDEX, "raw": f"raw/{INDEX}"}


def opened(browser: Browser, address: str) -> Page:
    """A page with an empty cache."""
    page = browser.new_context().new_page()
    page.set_default_timeout(PATIENCE)
    page.goto(address)
    return page


def key_times(page: Page, field: str, results: str) -> list[float]:
    """Milliseconds from the last key of each query to its results on the screen."""
    page.evaluate(WATCH, results)
    times = []
    for words in TYPED:
        page.locator(field).fill("")
        page.locator(field).press_sequentially(words[:-1])
        page.wait_for_function(SETTLED, arg=SETTLED_MS)
        page.keyboard.press(words[-1])
        page.wait_for_function(SETTLED, arg=SETTLED_MS)
        times.append(page.evaluate("window.watch.painted - window.watch.key"))
    return times


def first_use_ours(page: Page) -> float:
    """Milliseconds from the first use of our box to its first results."""
    return float(
        page.evaluate(
            """async () => {
              const field = document.querySelector(".bench-search-field");
              field.value = "clearance";
              const start = performance.now();
              field.focus();
              while (!document.querySelector(".bench-find")) await new Promise((go) => setTimeout(go, 5));
              return performance.now() - start;
            }"""
        )
    )


def first_use_plain(page: Page) -> float:
    """Milliseconds from the start of the page until the theme's search, which starts with the page, can answer."""
    page.wait_for_function("!/Initializ/.test(document.querySelector('.md-search-result__meta').textContent)")
    return float(page.evaluate("performance.now()"))


def print_times(browser: Browser, site: Path, sizes: dict[str, int], rounds: int) -> None:
    """Key to results, and first use, both in turn in each round."""
    keys: dict[str, list[float]] = {"plain": [], "ours": []}
    starts: dict[str, list[float]] = {"plain": [], "ours": [], "raw": []}
    with served(site) as address:
        for _ in range(rounds):
            page = opened(browser, f"{address}/ours.html")
            starts["plain"].append(first_use_plain(page))
            page.locator(".md-search__input").focus()
            keys["plain"] += key_times(page, ".md-search__input", ".md-search-result")
            page.context.close()
            for name in ("ours", "raw"):
                page = opened(browser, f"{address}/{name}.html")
                starts[name].append(first_use_ours(page))
                if name == "ours":
                    keys["ours"] += key_times(page, ".bench-search-field", ".bench-search-panel")
                page.context.close()
    told(
        f"\nA made-up manual: 1,000 pages, {sizes['sections']:,} sections; ours holds {sizes['data']:,} parts, limits, stacks as well."
    )
    told(f"Index: plain {sizes['plain']:,} bytes, ours {sizes['ours']:,} (without the ready part {sizes['raw']:,}).\n")
    told(f"{'milliseconds':44} {'median':>8} {'slowest':>8}")
    _print("key to results, plain", keys["plain"])
    _print("key to results, ours", keys["ours"])
    _print("page start until plain can answer", starts["plain"])
    _print("first use to first results, ours", starts["ours"])
    _print("the same without the ready index", starts["raw"])
    told(f"\nkey to results, ours / plain: {statistics.median(keys['ours']) / statistics.median(keys['plain']):.2f}")
    told(f"first use, ready / not ready: {statistics.median(starts['ours']) / statistics.median(starts['raw']):.2f}")


def _print(name: str, times: Sequence[float]) -> None:
    told(f"{name:44} {statistics.median(times):8.0f} {max(times):8.0f}")


def main() -> None:
    """Measures and prints."""
    rounds = max(FEWEST_ROUNDS, int(sys.argv[1]) if len(sys.argv) > 1 else 3)
    with TemporaryDirectory() as name, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_program(), args=FLAGS)
        told(f"Chromium {browser.version}, {platform.machine()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}\n")
        demo = built_demo(Path(name))
        print_recall(browser, demo)
        site, sizes = big_site(demo, Path(name) / "big")
        print_times(browser, site, sizes, rounds)
        browser.close()


if __name__ == "__main__":
    main()
