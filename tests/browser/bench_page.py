"""A small site for the browser tests: a page with panels of every kind, and one with none."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from build_hooks.form import CarriedOver, Form, form_of
from build_hooks.html import html_of
from calc_engine import CATALOGUE, answer

__all__ = ["ASSETS", "FORWARD", "write_pages"]

ASSETS: Final = "assets/benchleaf"
LIMITS: Final = {"min": "0.90 mm", "max": "1.40 mm"}
READINGS: Final = ["1.34 mm", "1.36 mm", "1.33 mm", "1.35 mm"]

FORWARD: Final = {"method": "dial", "limits": LIMITS, "gauge": {"resolution": "0.01 mm", "max_error": "0.02 mm"}}


def write_pages(site: Path) -> None:
    """Writes the pages into a folder; the browser's files are not among them."""
    panels = [_pack("forward", "Forward pack"), _pack("direct", "Direct pack"), _converted(), _plain("pack-clearance", "plain")]
    (site / "index.html").write_text(_page("Front drum", "".join(panels)), encoding="utf-8")
    (site / "alone.html").write_text(_page("Forward pack", panels[0]), encoding="utf-8")
    (site / "reading.html").write_text(_page("No calculation here", "<p>Only words.</p>"), encoding="utf-8")


def _page(title: str, body: str) -> str:
    return (
        f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{title}</title></head><body><h1>{title}</h1>{body}'
        f'<p style="height: 200vh">The end.</p><script src="{ASSETS}/benchleaf.js" OPTIONS></script></body></html>'
    ).replace(" OPTIONS", "")


def _panel(name: str, identity: str, title: str, example: dict[str, Any], **more: Any) -> str:
    reply = answer(name, example)
    assert reply["ok"], reply
    return html_of(form_of(Form(CATALOGUE[name], identity, title, "", example, reply, **more)))


def _pack(name: str, title: str) -> str:
    example = {**FORWARD, "lifts": READINGS}
    return _panel(
        "pack-clearance",
        f"calc-{name}",
        title,
        example,
        preset=FORWARD,
        entries={"lifts": 4},
        hidden=frozenset({"friction_plates", "wave", "spread_limit", "choices", "fitted"}),
    )


def _converted() -> str:
    return _panel(
        "convert",
        "calc-convert",
        "The same in inches",
        {"value": "1.345 mm", "to": "in"},
        preset={"to": "in"},
        carried={"value": CarriedOver("calc-forward", "clearance")},
    )


def _plain(name: str, identity: str) -> str:
    return _panel(name, f"calc-{identity}", "By any method", dict(CATALOGUE[name].example))
