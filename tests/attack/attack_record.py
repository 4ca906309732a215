"""Attacks on what the page stores: hostile files, damaged storage, two tabs at once, rapid typing."""

from __future__ import annotations

import copy
import json
import random
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

from build_hooks.site.serve import make_server
from tests.attack.table import Row, cases
from tests.build_hooks.learning.records import PUT, records_in
from tests.chromium import FLAGS, chromium_program
from tests.waiting import until

__all__ = ["run"]

_ROOT: Final = Path(__file__).parents[2]
_SAMPLE: Final[dict[str, Any]] = json.loads((_ROOT / "tests/build_hooks/learning/sample-record.json").read_text(encoding="utf-8"))
_HOSTILE: Final[list[Any]] = [
    None, True, 0, -1, 10**12, 1.5, "", "x" * 5000, "<img src=x onerror=__x()>", "javascript:__x()", "2999-01-01", "1969-12-31",
    "2026-02-30", "9999-12-31T00:00:00Z", "2026-13-01T00:00:00Z", [], {}, [[]], {"__proto__": 1}, "constructor", "\u0000", "../../x",
]  # fmt: skip
_NOTHING: Final = "Nothing was changed."
_DAMAGE: Final = ["null", "{", "[]", "5", '"text"', "true", '{"lists":null}', '{"entries":[null]}', "\u0000", "x" * 100_000]


def run(share: float) -> Iterator[Row]:
    """All rows on one served demo, which must have been built."""
    with _served() as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_program(), args=FLAGS)
        yield _files(browser, address, cases(2000, share))
        yield _storage(browser, address, cases(113, share))
        yield _database(browser, address, cases(26, share))
        yield _two_tabs(browser, address, cases(50, share))
        yield _typing(browser, address, cases(1500, share))
        browser.close()


@contextmanager
def _served() -> Iterator[str]:
    server = make_server(_ROOT / "site", 0, quiet=True)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://localhost:{server.port}"
    server.shutdown()


@contextmanager
def _opened(browser: Browser, where: str) -> Iterator[tuple[Page, list[str]]]:
    """A page in a profile of its own, and the faults it runs into."""
    context = browser.new_context(service_workers="block")
    page = context.new_page()
    faults = _watched(page)
    page.goto(where)
    yield page, faults
    context.close()


def _watched(page: Page) -> list[str]:
    faults: list[str] = []
    page.on("pageerror", lambda error: faults.append(f"error in the page: {error}"))
    page.add_init_script("window.__x = () => { window.__ran = true; }")
    return faults


def _places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    inner = list(value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ())
    return [found for key, item in inner for found in ((*path, key), *_places(item, (*path, key)))]


def _mutated(chance: random.Random) -> bytes:
    """A saved record with places replaced, removed or doubled, or its text damaged."""
    record = copy.deepcopy(_SAMPLE)
    for _ in range(chance.randint(1, 3)):
        path = chance.choice(_places(record))
        here: Any = record
        for key in path[:-1]:
            here = here[key]
        kind = chance.randrange(3)
        if kind == 0:
            here[path[-1]] = chance.choice(_HOSTILE)
        elif kind == 1:
            del here[path[-1]]
        elif isinstance(here, list):
            here.append(copy.deepcopy(here[path[-1]]))
        else:
            here[f"{path[-1]}x"] = here[path[-1]]
    text = json.dumps(record).encode()
    if chance.random() < 0.1:
        place = chance.randrange(len(text))
        text = text[:place] + bytes([chance.randrange(256)]) + text[place + chance.randrange(20) :]
    return text


def _files(browser: Browser, address: str, number: int) -> Row:
    row = Row("record files mutated: refused whole with a reason, or taken whole; nothing runs")
    chance = random.Random(1)
    with _opened(browser, f"{address}/learning/record/") as (page, faults):
        page.locator("#bench-record-file").wait_for(state="attached")
        for _ in range(number):
            before = len(records_in(page)) if row.cases else 0
            content = _mutated(chance)
            page.evaluate("document.querySelector('[data-bench=moved]').textContent = ''")
            file = {"name": "record.json", "mimeType": "application/json", "buffer": content}
            page.locator("#bench-record-file").set_input_files(file)
            until(
                page,
                "() => !['', 'Reading the file…'].includes(document.querySelector('[data-bench=moved]').textContent)",
                seconds=20,
            )
            words = page.locator("[data-bench=moved]").inner_text()
            after = len(records_in(page))
            fault = None
            if words.endswith(_NOTHING) and after != before:
                fault = f"refused, and {after - before} records were taken: {content[:200]!r}"
            elif not words.endswith(_NOTHING) and " records were read." not in words:
                fault = f"{words}: {content[:200]!r}"
            row.tried(fault or (faults.pop() if faults else None) or ("a script ran" if page.evaluate("window.__ran") else None))
    return row


def _storage(browser: Browser, address: str, number: int) -> Row:
    row = Row("sessionStorage and localStorage damaged: the form comes up and answers")
    chance = random.Random(2)
    with _opened(browser, f"{address}/units/alder-4/front-drum-clearance/") as (page, faults):
        page.locator("html[data-engine=ready]").wait_for(state="attached", timeout=90_000)
        field = page.locator("bench-calc input[name='trials.0.readings.0.lifts.0']").first
        field.fill("1.20")
        page.evaluate("localStorage.setItem(Object.keys(sessionStorage)[0].replace(/:[^:]*$/, ':units'), 'null')")
        for _ in range(number):
            area = chance.choice(["sessionStorage", "localStorage"])
            page.evaluate(
                "([area, value]) => { for (const key of Object.keys(window[area])) window[area].setItem(key, value); }",
                [area, chance.choice(_DAMAGE)],
            )
            page.reload()
            page.locator("html[data-engine=ready]").wait_for(state="attached", timeout=90_000)
            field.fill("1.2")
            row.tried(faults.pop() if faults else None)
    return row


def _database(browser: Browser, address: str, number: int) -> Row:
    row = Row("records damaged in the database: set aside, the person still shown")
    chance = random.Random(3)
    for _ in range(number):
        with _opened(browser, f"{address}/learning/first-week/") as (page, faults):
            _be(page, "Ann")
            kind = chance.choice(["person", "step", "signed", "attempt", "review"])
            page.evaluate(PUT, [kind, "bad", chance.choice(_HOSTILE)])
            page.goto(f"{address}/learning/record/")
            fault = None
            try:
                page.locator(".bench-person-now", has_text="Ann").wait_for(timeout=20_000)
                page.locator("[data-bench=aside]").wait_for(timeout=20_000)
            except Exception as error:  # noqa: BLE001 - whatever keeps it from coming up is the finding
                fault = f"{kind}: {str(error)[:200]}"
            row.tried(fault or (faults.pop() if faults else None))
    return row


def _be(page: Page, name: str) -> None:
    page.locator("[data-bench=change-person], [name=new-person]").first.wait_for()
    change = page.locator("[data-bench=change-person]")
    if change.is_visible():
        change.click()
        page.locator("[name=new-person]").wait_for()
    known = page.locator(".bench-person-names button", has_text=name)
    if known.count():
        known.click()
    else:
        page.locator("[name=new-person]").fill(name)
        page.locator(".bench-person-add button").click()
    page.locator(".bench-person-now", has_text=name).wait_for()


def _two_tabs(browser: Browser, address: str, number: int) -> Row:
    row = Row("two tabs choose people at random: a tick belongs to whom the page showed")
    chance = random.Random(4)
    context = browser.new_context(service_workers="block")
    tabs = [_tab(context, address) for _ in range(2)]
    for name in ("Ann", "Ben"):
        _be(tabs[0], name)
    _be(tabs[1], "Ann")
    for _ in range(number):
        _be(chance.choice(tabs), chance.choice(["Ann", "Ben"]))
        page = chance.choice(tabs)
        shown = page.locator(".bench-person-now strong").inner_text()
        row.tried(_ticked(page, shown))
    context.close()
    return row


def _tab(context: BrowserContext, address: str) -> Page:
    page = context.new_page()
    page.goto(f"{address}/learning/first-week/")
    page.locator("[data-bench=person] > div > *").first.wait_for()
    return page


def _ticked(page: Page, shown: str) -> str | None:
    """Ticks a page as read, or takes the tick back; the fault if it was written for somebody else."""
    item = page.locator("li[data-step=read-start]")
    button = item.locator("button").first
    before = {record["id"]: record["value"]["at"] for record in records_in(page) if record["kind"] == "step"}
    button.click()
    page.wait_for_timeout(60)
    found = records_in(page)
    names = {record["id"]: record["value"]["name"] for record in found if record["kind"] == "person"}
    new = [record for record in found if record["kind"] == "step" and before.get(record["id"]) != record["value"]["at"]]
    wrong = [record for record in new if names[record["value"]["person"]] != shown]
    return f"shown {shown}, written for {names[wrong[0]['value']['person']]}" if wrong else None


def _typing(browser: Browser, address: str, number: int) -> Row:
    row = Row("rapid edits of the readings: no error, and the verdict belongs to what is typed")
    chance = random.Random(5)
    with _opened(browser, f"{address}/units/alder-4/front-drum-clearance/") as (page, faults):
        page.locator("html[data-engine=ready]").wait_for(state="attached", timeout=90_000)
        panel = page.locator("bench-calc[data-calculator=pack-clearance]").first
        for count in range(number):
            field = panel.locator(f"input[name='lifts.{chance.randrange(4)}']")
            field.fill(chance.choice(["1.15", "1.2", "1,25", "0.4", "3", "x", "", "1.3 mm"]))
            fault = None
            if count % 50 == 49:
                fault = _settled(panel)
            row.tried(fault or (faults.pop() if faults else None))
    return row


def _settled(panel: Any) -> str | None:
    """With the same good reading everywhere the clearance shown is that reading."""
    for place in range(4):
        panel.locator(f"input[name='lifts.{place}']").fill("1.15")
    panel.locator("button[type=submit]").first.click()
    shown = panel.locator("[data-output=clearance]")
    try:
        shown.filter(has_text="1.15 mm").wait_for(timeout=20_000)
    except Exception as error:  # noqa: BLE001 - whatever keeps it from coming is the finding
        return str(error)[:200]
    return None
