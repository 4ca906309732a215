"""Serving while somebody writes: what has changed is built again, open pages follow, and faults are shown over the last good page."""

from __future__ import annotations

import json
import re
import sys
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from build_hooks.cli import main
from build_hooks.reading.addresses import SERVICE_WORKER
from build_hooks.site.serve import make_server
from build_hooks.site.watching import Builds, build_command, changes, states_of, worker

# Stands for the builder: the text becomes the page, and “bad” in it is a fault.
BUILDER = """
import json, sys
from pathlib import Path
for _ in sys.stdin:
    text = Path("docs/index.md").read_text()
    bad = "bad" in text
    if not bad:
        Path("site").mkdir(exist_ok=True)
        Path("site/index.html").write_text(f"<!doctype html><html><body><h1>{text}</h1><p style='height:4000px'>.</p></body></html>")
    said = "ERROR   -  \\ndocs/index.md:1:1: It is bad. Mend it.\\nThe last site stays as it was.\\n" if bad else ""
    print(json.dumps({"status": int(bad), "said": said}), flush=True)
"""


# Stands for what makes single pages: the site of the builder above has none but the first, for that never builds again.
LIVE = """
import json, sys
from pathlib import Path
state = None
for line in sys.stdin:
    asked, text = json.loads(line), Path("docs/index.md").read_text()
    if "take" in asked:
        if "bad" not in text:
            state = text
        print(json.dumps({"problem": "docs/index.md:1:1: It is bad." if "bad" in text else "", "pages": True}), flush=True)
    elif asked["page"] == "index.html":
        refused = "refused" in state
        page = f"<!doctype html><html><body><h1>{state}, live</h1></body></html>"
        print(json.dumps({"problem": "docs/index.md: It is refused."} if refused else {"html": page}), flush=True)
    elif asked["page"] == "a.png":
        print(json.dumps({"file": str(Path("docs/a.png").absolute())}), flush=True)
    else:
        print("{}", flush=True)
"""
# Builds once, then waits for ever.
ONCE = """
import json, sys
from pathlib import Path
sys.stdin.readline()
Path("site").mkdir()
Path("site/index.html").write_text("<!doctype html><html><body><h1>Built</h1></body></html>")
Path("site/other.html").write_text("<!doctype html><html><body><h1>Other</h1></body></html>")
print(json.dumps({"status": 0, "said": ""}), flush=True)
sys.stdin.read()
"""


class Watched:
    """A manual of one page that is watched and served."""

    def __init__(self, folder: Path, builder: str = BUILDER, live: str | None = None) -> None:
        """Takes an empty folder, which is also the current one."""
        self.page = folder / "docs" / "index.md"
        self.page.parent.mkdir()
        self.page.write_text("First", encoding="utf-8")
        self.said: list[str] = []
        live_command = None if live is None else [sys.executable, "-c", live]
        command = [sys.executable, "-c", builder]
        self.builds = Builds(command, lambda: states_of(folder / "docs"), self.said.append, live_command)
        self.server = make_server(folder / "site", 0, quiet=True, builds=self.builds)
        self.address = f"http://localhost:{self.server.port}/"
        self.threads = [threading.Thread(target=run) for run in (self.builds.run, self.server.serve_forever)]

    def get(self, path: str = "") -> tuple[str, dict[str, str]]:
        """What the server sends."""
        with urllib.request.urlopen(self.address + path) as reply:
            return reply.read().decode(), dict(reply.headers)

    def name_of(self, path: str) -> str:
        """The name of what is sent for an address."""
        found: str = json.loads(self.get(f"benchleaf-watch/state.json?page={path}")[0])["page"]
        return found

    def state(self) -> tuple[int, str]:
        """What open pages are told."""
        found = json.loads(self.get("benchleaf-watch/state.json")[0])
        return found["edition"], found["problem"]


@pytest.fixture
def watched(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Watched]:
    """It, running."""
    monkeypatch.chdir(tmp_path)
    yield from running(Watched(tmp_path))


@pytest.fixture
def live(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Watched]:
    """It, with single pages that are made at once and a whole site that is built only once."""
    monkeypatch.chdir(tmp_path)
    made = Watched(tmp_path, ONCE, LIVE)
    for _ in running(made):
        until(lambda: any(line.startswith("Built in") for line in made.said))
        yield made


def running(made: Watched) -> Iterator[Watched]:
    """It, from the first state to the end of the test."""
    for thread in made.threads:
        thread.start()
    until(lambda: made.state() == (1, ""))
    yield made
    made.builds.end()
    made.server.shutdown()
    for thread in made.threads:
        thread.join()


def heading(page: str) -> str:
    """What stands on top of a page."""
    return page.partition("<h1>")[2].partition("</h1>")[0]


def test_a_page_is_seen_before_the_whole_site_is_built_again(live: Watched) -> None:
    """What the site holds is sent until something changes; then pages and pictures as they are now, and the rest as it was."""
    assert heading(live.get()[0]) == "Built"
    name = live.name_of("/")
    picture = live.page.with_name("a.png")
    live.page.write_text("Second", encoding="utf-8")
    until(lambda: live.state() == (2, ""))
    assert heading(live.get()[0]) == "Second, live"
    assert f'data-page="{live.name_of("/")}"' in live.get()[0]
    assert live.name_of("/") != name
    assert heading(live.get("other.html")[0]) == "Other"
    name, other = live.name_of("/"), live.name_of("/other.html")
    picture.write_bytes(b"picture")
    until(lambda: live.state() == (3, ""))
    until(lambda: live.name_of("/") != name)
    assert live.name_of("/other.html") != other
    sent, headers = live.get("a.png")
    assert (sent, headers["Content-Type"], headers["Cache-Control"]) == ("picture", "image/png", "no-store")
    assert live.said[1].endswith("The search, the wall and the pages kept offline follow.\n")


def test_a_fault_is_shown_over_the_last_good_page(live: Watched) -> None:
    """Also one that only shows when the page is made; the page of the edit before stays."""
    live.page.write_text("Second", encoding="utf-8")
    until(lambda: live.state() == (2, ""))
    assert heading(live.get()[0]) == "Second, live"
    live.page.write_text("bad", encoding="utf-8")
    until(lambda: live.state() == (2, "docs/index.md:1:1: It is bad."))
    assert heading(live.get()[0]) == "Second, live"
    assert live.said[-1] == "docs/index.md:1:1: It is bad.\nThe last good pages stay as they were.\n"
    live.page.write_text("refused", encoding="utf-8")
    until(lambda: live.state() == (3, ""))
    assert heading(live.get()[0]) == "Second, live"
    assert live.state() == (3, "docs/index.md: It is refused.")
    assert live.said[-1] == "docs/index.md: It is refused.\n"


def until(done: Callable[[], bool]) -> None:
    """Waits, for a minute at most."""
    deadline = time.monotonic() + 60
    while not done():
        assert time.monotonic() < deadline
        time.sleep(0.05)


def test_each_change_is_built_and_told(watched: Watched) -> None:
    """Good builds are counted; the fault of a bad one is told without what the builder says around it."""
    watched.page.write_text("Second", encoding="utf-8")
    until(lambda: watched.state() == (2, ""))
    watched.page.write_text("bad", encoding="utf-8")
    until(lambda: watched.state() == (2, "docs/index.md:1:1: It is bad. Mend it."))
    watched.page.write_text("Third", encoding="utf-8")
    until(lambda: watched.state() == (3, ""))
    assert [line.split(" in ")[0].splitlines()[-1] for line in watched.said] == [
        "Built",
        "Built",
        "The last site stays as it was.",
        "Built",
    ]


def test_the_script_is_in_what_is_sent_and_in_no_built_site(watched: Watched, tmp_path: Path) -> None:
    """At the end of each page, whole and uncached; files are as they are, and nothing is stored by a service worker."""
    (tmp_path / "site" / SERVICE_WORKER).write_text("// keeps the site", encoding="utf-8")
    (tmp_path / "site" / "a.css").write_text("p {}", encoding="utf-8")
    page, headers = watched.get()
    assert re.search(r'</p><script src="/benchleaf-watch/watch.js" data-page="[0-9a-f]{16}" defer></script></body></html>$', page)
    assert (headers["Cache-Control"], int(headers["Content-Length"])) == ("no-store", len(page.encode()))
    assert "ETag" not in headers
    assert watched.get("a.css")[0] == "p {}"
    assert "unregister" in watched.get(SERVICE_WORKER)[0]
    assert "Nothing is stored" in watched.get("assets/benchleaf/offline.js")[0]
    assert "benchleaf-watch" not in (tmp_path / "site" / "index.html").read_text(encoding="utf-8")
    assert (tmp_path / "site" / SERVICE_WORKER).read_text(encoding="utf-8") == "// keeps the site"


def test_a_builder_that_was_killed_is_started_again(watched: Watched) -> None:
    """The next change is built as if nothing had been."""
    process = watched.builds._builder._process
    assert process is not None
    process.kill()
    process.wait()
    watched.page.write_text("Second", encoding="utf-8")
    until(lambda: watched.state() == (2, ""))


@pytest.mark.browser
def test_an_open_page_follows_and_keeps_its_place(watched: Watched, chromium: Browser) -> None:
    """It loads anew by itself where it was; a fault is laid over the last good page, and goes when it is mended."""
    context = chromium.new_context()
    page = context.new_page()
    try:
        page.goto(watched.address)
        page.evaluate("scrollTo(0, 700)")
        watched.page.write_text("Second", encoding="utf-8")
        expect(page.locator("h1")).to_have_text("Second", timeout=60_000)
        page.wait_for_timeout(300)
        assert page.evaluate("scrollY") == 700
        watched.page.write_text("bad", encoding="utf-8")
        expect(page.get_by_role("alert")).to_have_text("docs/index.md:1:1: It is bad. Mend it.", timeout=60_000)
        expect(page.locator("h1")).to_have_text("Second")
        watched.page.write_text("Third", encoding="utf-8")
        expect(page.locator("h1")).to_have_text("Third", timeout=60_000)
        expect(page.get_by_role("alert")).to_have_count(0)
    finally:
        context.close()


def test_before_the_first_good_build_the_page_says_so(tmp_path: Path) -> None:
    """What is wrong is text, whatever it holds; the page asks on by itself."""
    builds = Builds([], dict, print)
    server = make_server(tmp_path / "site", 0, quiet=True, builds=builds)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        for problem, shown in (("", "The manual is being built."), ("docs/a<b>.md: no", "docs/a&lt;b&gt;.md: no")):
            builds.problem = problem
            with pytest.raises(urllib.error.HTTPError) as refused:
                urllib.request.urlopen(f"http://localhost:{server.port}/")
            assert refused.value.code == 503
            assert f"<p>{shown}</p>" in refused.value.read().decode()
    finally:
        server.shutdown()
        thread.join()


def test_the_builder_builds_again_and_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """In one process: what changed between two builds is in the second, and a fault of the third is said once."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs/shop.yml").write_text("name: Quay Lane\n", encoding="utf-8")
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: Q\ntheme: {name: material, font: false}\nplugins: [benchleaf]\n", encoding="utf-8"
    )
    for name in ("node_modules", ".cache"):
        (tmp_path / name).symlink_to(Path(__file__).parents[3] / name)
    page = tmp_path / "docs/index.md"

    def asked() -> Iterator[str]:
        for text in ("# First", "# Second", "# Second\n\n[x](nowhere.md)"):
            page.write_text(f"{text}\n", encoding="utf-8")
            yield "build\n"
            shown.append((tmp_path / "site/index.html").read_text(encoding="utf-8"))

    shown: list[str] = []
    monkeypatch.setattr(sys, "argv", build_command(Path("mkdocs.yml"), Path("site"))[2:])
    assert worker.main(asked()) == 0
    answers = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    assert [answer["status"] for answer in answers] == [0, 0, 1]
    assert ['id="first"' in shown[0], 'id="second"' in shown[1], shown[1] == shown[2]] == [True, True, True]
    assert answers[2]["said"].count("docs/index.md:3:5: “nowhere.md” is no file of the manual.") == 1


def test_states_leave_out_what_no_build_reads(tmp_path: Path) -> None:
    """Hidden files are not looked at, and links are not followed round in a circle."""
    (tmp_path / "docs" / "deep").mkdir(parents=True)
    (tmp_path / "docs" / "deep" / "a.md").write_text("a", encoding="utf-8")
    (tmp_path / "docs" / ".a.md.swp").write_text("a", encoding="utf-8")
    (tmp_path / "docs" / "round").symlink_to(tmp_path / "docs")
    (tmp_path / "mkdocs.yml").write_text("a", encoding="utf-8")
    found = states_of(tmp_path / "mkdocs.yml", tmp_path / "docs", tmp_path / "none")
    assert sorted(Path(path).name for path in found) == ["a.md", "mkdocs.yml", "round"]


def test_check_looks_again_when_a_file_changes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each time the whole list, and that it goes on."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs/shop.yml").write_text("name: Quay Lane\n", encoding="utf-8")

    def twice(_look: object) -> Iterator[object]:
        yield {}
        (tmp_path / "docs/shop.yml").write_text("nam: Quay Lane\n", encoding="utf-8")
        yield {}

    monkeypatch.setattr("build_hooks.cli.changes", twice)
    assert main(["check", "--watch"]) == 0
    assert capsys.readouterr().out == (
        "Checked: 0 units, 0 packs, 0 pages. No problems.\n"
        "Watching docs (end with Ctrl+C).\n"
        "docs/shop.yml:1:1: Unknown key “nam”. Did you mean “name”?\n"
        "Watching docs (end with Ctrl+C).\n"
    )


def test_a_state_is_told_once() -> None:
    """Where nothing has changed it waits."""
    states = iter([{"a": (1, 1)}, {"a": (1, 1)}, {"a": (2, 1)}])
    waited: list[float] = []
    found = changes(lambda: next(states), wait=waited.append)
    assert [next(found), next(found)] == [{"a": (1, 1)}, {"a": (2, 1)}]
    assert waited == [0.1]


def test_serve_without_a_manual_says_where_to_call_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing is served."""
    monkeypatch.chdir(tmp_path)
    assert main(["serve"]) == 1
    assert capsys.readouterr() == (
        "",
        "mkdocs.yml: there is no such file. Call it in the folder of a manual, or name a built site with --site.\n",
    )
