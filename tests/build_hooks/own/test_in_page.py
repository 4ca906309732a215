"""A shop's own calculation answers in the page as on the machine that built it."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final

import pytest
from playwright.sync_api import Browser, Page, expect

from build_hooks.own import read_own
from build_hooks.site.build import build_site
from build_hooks.site.serve import make_server
from build_hooks.site.watching import worker
from calc_engine import answer_for_page, set_own
from tests.build_hooks.own.manual import own_manual
from tests.site.conftest import PATIENCE, ROOT
from tests.site.test_parity import ASK_ALL

pytestmark = pytest.mark.browser

_GIVEN: Final[dict[str, Any]] = {"depth": "50.8 mm", "filter": "1.75 in", "limits": {"min": "4 mm", "max": "8 mm"}}
_ASKED: Final[tuple[dict[str, Any], ...]] = (
    _GIVEN,
    {**_GIVEN, "units": "inch"},
    {**_GIVEN, "depth": "44.45 mm"},
    {**_GIVEN, "depth": "52.4500001 mm"},
    {**_GIVEN, "depth": "52"},
    {**_GIVEN, "filter": "0 mm", "limits": {"min": "8 mm", "max": "4 mm"}},
    {"deph": "1 mm"},
    {},
)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The manual as it is built; this process knows its calculation too."""
    folder = tmp_path_factory.mktemp("own")
    docs = own_manual(folder)
    for name in ("node_modules", ".cache"):
        (folder / name).symlink_to(ROOT / name)
    assert build_site(folder / "mkdocs.yml", folder / "site", run=worker._run_here) == 0
    set_own(read_own(docs)[0].calculations)
    yield folder / "site"
    set_own(())


@pytest.fixture
def page(chromium: Browser, site: Path) -> Iterator[Page]:
    """A page of it, under the headers of the site."""
    server = make_server(site, 0, quiet=True)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    context = chromium.new_context(service_workers="block", base_url=f"http://localhost:{server.port}")
    opened = context.new_page()
    opened.set_default_timeout(PATIENCE)
    yield opened
    context.close()
    server.shutdown()


@pytest.mark.parametrize("start", ["image", "stock"])
def test_a_form_answers(page: Page, start: str) -> None:
    """From the memory image, and from the wheel where there is none, after it has proved itself."""
    if start == "stock":
        page.route("**/image.gz", lambda route: route.abort())
    page.goto("/pan/")
    page.wait_for_selector("html[data-engine=ready]", state="attached")
    assert page.get_attribute("html", "data-engine-start") == start
    for name, value in {"depth": "60", "filter": "46.5", "limits.min": "4", "limits.max": "8"}.items():
        page.locator(f'[name="{name}"]').fill(value)
    answer = page.locator('[data-bench=result][data-verdict="high"]:not([data-example])')
    expect(answer).to_contain_text("gap = 60.00 - 46.50 = 13.50 mm", timeout=PATIENCE)
    expect(answer).to_contain_text("Gap too large")
    expect(answer).to_contain_text("Look for the right filter.")


def test_the_page_gives_the_bytes_that_this_python_gives(page: Page, site: Path) -> None:
    """Answers and problems; and those of the engine's own calculations beside it."""
    asked = [("pan-depth", json.dumps(request)) for request in _ASKED]
    asked.append(("sight-size", json.dumps({"distance": "5 m", "arc_minutes": "20"})))
    expected = [answer_for_page(name, text) for name, text in asked]
    assert ['"ok": true' in text[:40] for text in expected] == [True, True, True, True, False, False, False, False, True]
    (engine,) = (site / "assets" / "benchleaf").glob("engine-*")
    page.goto("/pan/")
    base = f"{page.url.removesuffix('pan/')}assets/benchleaf/{engine.name}/"
    assert page.evaluate(ASK_ALL, {"base": base, "requests": asked}) == expected


def test_its_reference_page_calculates_and_is_found(page: Page, site: Path) -> None:
    """It stands in the list, its page calculates, the search finds it, and its file is no page of the site."""
    page.goto("/calculations/")
    page.locator("article").get_by_role("link", name="Filter: <gap> below it").click()
    page.wait_for_selector("html[data-engine=ready]", state="attached")
    expect(page.locator("article h1")).to_contain_text("Filter: <gap> below it")
    expect(page.locator("[data-bench=result]")).to_contain_text("gap = 52.00 - 46.50 = 5.50 mm")
    expect(page.locator("article")).to_contain_text("python -m calc_engine --own docs/calculations run pan-depth")
    assert "pan-depth" in (site / "assets/benchleaf/search-index.js").read_text(encoding="utf-8")
    assert not list(site.rglob("*.py"))
