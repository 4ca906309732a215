"""A manual of somebody's own: the wheel, installed where there is no Node, no network and nothing of this checkout."""

from __future__ import annotations

import subprocess
import sys
import sysconfig
import threading
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from email.message import Message
from email.parser import BytesParser
from pathlib import Path
from typing import Final

import pytest
from playwright.sync_api import Browser, Page, expect

from build_hooks.site.serve import make_server
from tests.site.conftest import PATIENCE, ROOT

LARGEST: Final = 12_000_000  # bytes; what a package index takes without being asked is several times that
# Put into the new environment: whatever is asked beyond this machine fails.
NO_NETWORK: Final = """\
import socket
def _refuse(*asked):
    raise OSError(f"this environment has no network: {asked[-1]}")
socket.socket.connect = socket.socket.connect_ex = socket.getaddrinfo = _refuse
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Made as `make wheel` makes it, with the cache of this checkout."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "--no-build-isolation", "--no-index"]
    subprocess.run([*command, "--disable-pip-version-check", "--wheel-dir", str(folder), "."], check=True, cwd=ROOT)
    (made,) = folder.glob("*.whl")
    return made


@pytest.fixture(scope="module")
def benchleaf(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The command in an environment that holds the wheel, and sees the dependencies of the tests but not this checkout."""
    folder = tmp_path_factory.mktemp("installed") / "env"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(folder)], check=True)
    pip = [sys.executable, "-m", "pip", "--python", str(folder), "install", "-q", "--no-index", "--no-deps"]
    subprocess.run([*pip, "--disable-pip-version-check", str(wheel)], check=True)
    packages = folder / "lib" / f"python{sys.version_info[0]}.{sys.version_info[1]}" / "site-packages"
    # A folder that a .pth file names is searched, but its own .pth files are not read: our checkout is in one of those.
    (packages / "dependencies.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    (packages / "sitecustomize.py").write_text(NO_NETWORK, encoding="utf-8")
    return folder / "bin" / "benchleaf"


def run(benchleaf: Path, folder: Path, *arguments: str) -> str:
    """What the command prints; it finds no other program, and is not told where this checkout is."""
    environment = {"PATH": str(benchleaf.parent), "HOME": str(folder), "LANG": "C.UTF-8"}
    done = subprocess.run([str(benchleaf), *arguments], cwd=folder, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture
def manual(benchleaf: Path, tmp_path: Path) -> Path:
    """A manual of somebody's own with a unit and a page, begun and built with the installed command alone."""
    run(benchleaf, tmp_path, "new", "manual", "my café", "--name", "Quay Lane")
    folder = tmp_path / "my café"
    run(benchleaf, folder, "new", "unit", "Birch 5")
    run(benchleaf, folder, "new", "procedure", "birch-5", "Clearance")
    assert run(benchleaf, folder, "check").endswith("Checked: 1 unit, 1 pack, 3 pages. No problems, 16 warnings.\n")
    run(benchleaf, folder, "build")
    return folder


def test_a_wheel_holds_all_it_needs_and_nothing_of_the_demo(wheel: Path) -> None:
    """Styles, scripts, fonts, runtime, memory image and licences; none of the demo's pages, data and tests."""
    with zipfile.ZipFile(wheel) as packed:
        names = packed.namelist()
        metadata = BytesParser().parsebytes(packed.read(next(name for name in names if name.endswith(".dist-info/METADATA"))))
    folders = {name.split("/")[0] for name in names}
    assert folders == {"build_hooks", "calc_engine", f"benchleaf-{metadata['Version']}.dist-info"}
    endings = (
        "styles/paper.css", "browser/calc-panel/panel.css", "words/spanish.yml", "assets/benchleaf.js", "assets/wall.js", "/image.gz",
        "/wasm.gz", "/stdlib.zip", "/engine.whl", "/runtime.js", "fonts/atkinson-hyperlegible-next.woff2", "offline/service-worker.js",
        "licenses/LICENSE", "licenses/licenses/pyodide.txt", "licenses/licenses/python.txt",
        "licenses/licenses/atkinson-hyperlegible-next.txt",
    )  # fmt: skip
    assert [ending for ending in endings if not any(name.endswith(ending) for name in names)] == []
    demo = {path.name for folder in ("docs", "tests") for path in (ROOT / folder).rglob("*.*") if path.suffix != ".py"}
    ours = {path.name for folder in ("build_hooks", "licenses") for path in (ROOT / folder).rglob("*.*")}
    assert [name for name in names if Path(name).name in demo - ours] == []
    assert wheel.stat().st_size < LARGEST
    _is_fit_for_an_index(metadata)


def _is_fit_for_an_index(metadata: Message) -> None:
    assert (metadata["Name"], metadata["Requires-Python"]) == ("benchleaf", "<3.14,>=3.13")
    assert str(metadata["License-Expression"]).startswith("Apache-2.0 AND MPL-2.0 AND ")
    assert metadata["Description-Content-Type"] == "text/markdown"
    assert str(metadata.get_payload()).startswith("# Benchleaf")
    assert "mkdocs<2,>=1.6.1" in metadata.get_all("Requires-Dist", [])


def test_licences_are_those_that_the_packages_bring() -> None:
    """A new version of a package may come under another one."""
    fonts = {
        f"atkinson-hyperlegible-{name}": f"@fontsource-variable/atkinson-hyperlegible-{name}/LICENSE" for name in ("next", "mono")
    }
    for name, file in {**fonts, "idb": "idb/LICENSE", "minisearch": "minisearch/LICENSE.txt"}.items():
        assert (ROOT / "licenses" / f"{name}.txt").read_bytes() == (ROOT / "node_modules" / file).read_bytes()
    for name, licence in (("pyodide", "MPL-2.0"), ("qrcode-generator", "MIT")):
        assert f'"license": "{licence}"' in (ROOT / "node_modules" / name / "package.json").read_text(encoding="utf-8")


@contextmanager
def opened(site: Path, address: str, chromium: Browser) -> Iterator[Page]:
    """A page of a served site whose engine is ready."""
    server = make_server(site, 0, quiet=True)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    context = chromium.new_context(service_workers="block")
    try:
        page = context.new_page()
        page.set_default_timeout(PATIENCE)
        page.goto(f"http://localhost:{server.port}/{address}")
        page.wait_for_selector("html[data-engine=ready]", state="attached")
        yield page
    finally:
        context.close()
        server.shutdown()


@pytest.mark.browser
def test_a_manual_of_ones_own_answers(benchleaf: Path, manual: Path, chromium: Browser) -> None:
    """Its page calculates, from the memory image that the wheel carried."""
    where = run(benchleaf.parent / "python", manual, "-c", "import build_hooks; print(build_hooks.__file__)")
    assert where.startswith(str(benchleaf.parents[1]))
    assert not (manual / ".cache").exists()
    with opened(manual / "site", "units/birch-5/clearance/", chromium) as page:
        assert page.get_attribute("html", "data-engine-start") == "image"
        for position, lift in enumerate(("1.10", "1.12", "1.11", "1.13")):
            page.locator(f'#calc-birch-5-forward [name="lifts.{position}"]').fill(lift)
        answer = page.locator('#calc-birch-5-forward [data-bench=result][data-verdict="in"]:not([data-example])')
        expect(answer).to_contain_text("mean = (1.10 + 1.12 + 1.11 + 1.13) / 4", timeout=PATIENCE)


@pytest.mark.browser
def test_a_calculation_of_ones_own_answers_without_node(benchleaf: Path, tmp_path: Path, chromium: Browser) -> None:
    """The wheel's files take it up: there is no memory image of it, which the build says, and the page answers all the same."""
    run(benchleaf, tmp_path, "new", "manual", "shop")
    folder = tmp_path / "shop"
    run(benchleaf, folder, "new", "calculation", "Pan depth")
    run(benchleaf, folder, "build")
    with opened(folder / "site", "calculations/pan-depth/", chromium) as page:
        assert page.get_attribute("html", "data-engine-start") == "stock"
        for name, value in {"bore": "25.43", "shaft": "24.53", "limits.min": "0.90", "limits.max": "1.40"}.items():
            page.locator(f'[name="{name}"]').fill(value)
        answer = page.locator('[data-bench=result][data-verdict="in"]:not([data-example])')
        expect(answer).to_contain_text("difference = 25.43 - 24.53 = 0.90 mm", timeout=PATIENCE)
