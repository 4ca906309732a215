"""The page's engine and CPython give the same bytes for the same requests, good and bad."""

from __future__ import annotations

import os
from itertools import islice
from pathlib import Path

import pytest
from playwright.sync_api import Page

from calc_engine import CATALOGUE, answer_for_page

from .requests_for_parity import extreme_requests, requests

pytestmark = pytest.mark.browser

# The whole run of 5,000 is `make parity`.
NUMBER = int(os.environ.get("BENCHLEAF_PARITY", "500"))
SEED = 20261125

# Speaks to the worker that the pages use, by the protocol of build_hooks/browser/engine/protocol.js.
ASK_ALL = """
async ({ base, requests }) => {
  const read = async (file) => new Uint8Array(await (await fetch(base + file)).arrayBuffer());
  const scripts = [await read("runtime.js"), "\\n", await read("benchleaf-worker.js")];
  const worker = new Worker(URL.createObjectURL(new Blob(scripts, { type: "text/javascript" })));
  const replies = new Map();
  await new Promise((done, failed) => {
    worker.onmessage = ({ data }) => {
      if (data.kind === "phase" && data.phase === "ready") done();
      if (data.kind === "problem" && data.id === 0) failed(new Error(data.why));
    };
    worker.postMessage({ v: 1, kind: "start", id: 0, image: true, life: "" });
    for (const name of ["wasm", "image"]) {
      read(`${name}.gz`).then((bytes) => {
        worker.postMessage({ v: 1, kind: "piece", id: 0, name, bytes });
        worker.postMessage({ v: 1, kind: "end", id: 0, name, trouble: null });
      });
    }
  });
  const ask = (id, [calculation, request]) => new Promise((done, failed) => {
    worker.onmessage = ({ data }) => {
      if (data.kind === "result" && data.id === id) done(data.text);
      if (data.kind === "problem") failed(new Error(data.why));
    };
    worker.postMessage({ v: 1, kind: "run", id, calculation, request });
  });
  const texts = [];
  for (const [index, request] of requests.entries()) texts.push(await ask(index + 1, request));
  worker.terminate();
  return texts;
}
"""


def test_the_same_requests_give_the_same_bytes(page: Page, address: str, site: Path) -> None:
    """Reply and answer panel of every calculation, equal to the byte."""
    asked = [*requests(SEED, NUMBER), *islice(extreme_requests(SEED), NUMBER // 3)]
    asked.append(("indicator-angle", '{"reading": "100 mm", "angle": "0.05 deg"}'))
    assert {name for name, _ in asked} == set(CATALOGUE)
    expected = [answer_for_page(name, text) for name, text in asked]
    good = sum('"ok": true' in text[:40] for text in expected)
    # The generator must try both sides: answers and problems.
    assert NUMBER * 0.3 < good < NUMBER * 0.95
    engine = next((site / "assets" / "benchleaf").glob("engine-*"))
    page.goto(f"{address}/first-week/")
    got = page.evaluate(ASK_ALL, {"base": f"{address}/assets/benchleaf/{engine.name}/", "requests": asked})
    differing = [(name, text) for (name, text), ours, theirs in zip(asked, expected, got, strict=True) if ours != theirs]
    assert differing == []
