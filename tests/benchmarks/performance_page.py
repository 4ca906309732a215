"""Writes what was measured as a page of the manual."""

from __future__ import annotations

import math
import os
import platform
import statistics
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final

__all__ = ["ENOUGH", "Measured", "machine", "percentile", "performance_page", "with_size_section"]

_SIZE_HEADING: Final = "## A manual of "
ENOUGH: Final = 7  # Rounds below which a median says little.


@dataclass(frozen=True, slots=True)
class Measured:
    """All figures of one run; times in milliseconds.

    Attributes:
        rounds: how many rounds were run.
        machine: what they were run on, in lines.
        ready: from navigation to an engine that is ready, by side (``ours``, ``stock``) and visit (``first``, ``second``).
        pages: the same for pages of the demo as they are built, by name and visit.
        from_folder: the same for a first visit to a page opened from a folder.
        slowed: the same for a first visit on a slowed processor, by side.
        slower: how many times slower the slowed processor was.
        paint: to the first contentful paint, with the calculations and without.
        at_once: from a request until its answer stands in the page, by calculation; asked once, when the page had just
            become ready.
        answers: the same, asked again and again from two seconds later on.
        slowed_answers: the same on a slowed processor.
        weights: bytes that a first visit fetches, by side: as the files lie there, and compressed.
    """

    rounds: int
    machine: Sequence[str]
    ready: Mapping[str, Mapping[str, Sequence[float]]]
    pages: Mapping[str, Mapping[str, Sequence[float]]]
    from_folder: Sequence[float]
    slowed: Mapping[str, Sequence[float]]
    slower: float
    paint: tuple[Sequence[float], Sequence[float]]
    at_once: Mapping[str, Sequence[float]]
    answers: Mapping[str, Sequence[float]]
    slowed_answers: Mapping[str, Sequence[float]]
    weights: Mapping[str, tuple[int, int]]


def percentile(values: Iterable[float], share: float) -> float:
    """The smallest value that is not exceeded by at least this share of all (nearest rank)."""
    ordered = sorted(values)
    return ordered[math.ceil(share * len(ordered)) - 1]


def machine(browser: str) -> list[str]:
    """The machine, for whoever compares figures."""
    model = next(
        (line.partition(":")[2].strip() for line in _lines("/proc/cpuinfo") if line.startswith("model name")),
        platform.machine(),
    )
    memory = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES") / 2**30
    load = os.getloadavg()[0]
    return [
        f"Processor: {model}, {os.cpu_count()} cores",
        f"Memory: {memory:.0f} GiB",
        f"System: {platform.system()} {platform.release()}",
        f"Browser: {browser}",
        f"Date: {date.today().isoformat()}",  # noqa: DTZ011 - the day at the place of the machine
        f"Load when it began: {load:.1f}",
    ]


def _lines(path: str) -> list[str]:
    file = Path(path)
    return file.read_text(encoding="utf-8").splitlines() if file.is_file() else []


def performance_page(found: Measured, page: str) -> str:
    """The page, in Markdown.

    Args:
        found: what was measured.
        page: the page as it was; its section about a large manual, which another command measures, is kept.
    """
    parts = (_head(found), _start(found), _bytes(found), _paint(found), _answers(found), _how(found))
    return with_size_section("\n".join(parts), _size_section(page))


def with_size_section(page: str, section: str) -> str:
    """The page with another section about a large manual.

    Args:
        page: the page as it was.
        section: Markdown that begins with its heading; may be empty.
    """
    before = page.removesuffix(_size_section(page)).rstrip("\n")
    return f"{before}\n\n{section}" if section else f"{before}\n"


def _size_section(page: str) -> str:
    """The section about a large manual, which is the last."""
    start = page.find(f"\n{_SIZE_HEADING}")
    return page[start + 1 :] if start >= 0 else ""


def _head(found: Measured) -> str:
    lines = "\n".join(f"- {line}" for line in found.machine)
    return f"""\
---
title: How fast it is
status: {{state: draft, revision: A}}
asked_as: [how long does it take to load, slow computer, slow tablet, is it slow, speed of the pages, milliseconds, benchmark, load time, qué tan
  rápido]
---

# How fast it is

`make bench` measures these figures and writes this page. Do not write into it by hand.

The machine:

{lines}
"""


def _start(found: Measured) -> str:
    rows = [
        _beside("Empty profile", found.ready["ours"]["first"], found.ready["stock"]["first"], "0.45"),
        _beside("Second visit", found.ready["ours"]["second"], found.ready["stock"]["second"], "0.35"),
        *_pages(found),
        _beside("From a folder, beside a served stock start", found.from_folder, found.ready["stock"]["first"], "1.00"),
        _beside("Empty profile, slow processor", found.slowed["ours"], found.slowed["stock"], "0.45"),
    ]
    return f"""\
## From the address to a calculator that is ready

The stock start loads the same runtime as its own guide shows, then the same engine from its wheel, on a page with one form.
Ours is measured on the same page, and on two pages of the demo as they are built.
Each figure is the median of all rounds ({found.rounds}), with the fastest and the slowest.

| | Ours, ms | Stock, ms | Ratio | Wanted |
|---|---|---|---|---|
{_joined(rows)}

The slow processor stands for a cheap tablet. In this run it was {found.slower:.1f} times slower.
"""


def _pages(found: Measured) -> Iterable[str]:
    for name, visits in found.pages.items():
        yield _beside(f"{name}, empty profile", visits["first"], found.ready["stock"]["first"], "0.30")
        yield _beside(f"{name}, second visit", visits["second"], found.ready["stock"]["second"], "0.30")


def _beside(name: str, ours: Sequence[float], stock: Sequence[float], wanted: str) -> str:
    ratio = statistics.median(ours) / statistics.median(stock)
    return f"| {name} | {_median(ours)} | {_median(stock)} | {ratio:.2f} | at most {wanted} |"


def _median(values: Sequence[float]) -> str:
    return f"{statistics.median(values):,.0f} ({min(values):,.0f} to {max(values):,.0f})"


def _bytes(found: Measured) -> str:
    ours, stock = found.weights["ours"], found.weights["stock"]
    rows = [
        f"| {name} | {ours[at]:,} | {stock[at]:,} | {ours[at] / stock[at]:.2f} | at most 1.00 |"
        for at, name in enumerate(("As the files lie there", "From a server that compresses"))
    ]
    return f"""\
## Bytes for the first calculation

| | Ours, bytes | Stock, bytes | Ratio | Wanted |
|---|---|---|---|---|
{_joined(rows)}
"""


def _paint(found: Measured) -> str:
    with_calculations, without = found.paint
    row = _beside("First contentful paint", with_calculations, without, "1.05")
    return f"""\
## First paint

One page of the demo, with its calculations and without. Each figure is the median of {len(with_calculations)} visits.

| | With, ms | Without, ms | Ratio | Wanted |
|---|---|---|---|---|
{row}
"""


def _answers(found: Measured) -> str:
    rows = [
        f"| {name} | {_half_and_most(taken)} | {_half_and_most(found.slowed_answers[name])} | {_median(found.at_once[name])} |"
        for name, taken in found.answers.items()
    ]
    count = min(len(taken) for taken in found.answers.values())
    slowed_count = min(len(taken) for taken in found.slowed_answers.values())
    worst = max(percentile(taken, 0.95) for taken in found.answers.values())
    return f"""\
## From a request to its answer

From the press of the button until the answer stands in the page. Each calculation answers its worked example.
Half of the answers take no longer than the first figure, 95 of 100 no longer than the second.
{count} answers each, from two seconds after the page had become ready; {slowed_count} each on the slow processor.
The last column: asked once, in the moment in which the page became ready, one calculation after the other;
the median of {min(map(len, found.at_once.values()))}, with the fastest and the slowest.
Wanted: 95 of 100 in under 16 ms. The slowest calculation took {worst:.1f} ms.

| Calculation | Half, ms | 95 of 100, ms | Slow processor: half, ms | 95 of 100, ms | At once, ms |
|---|---|---|---|---|---|
{_joined(rows)}
"""


def _half_and_most(taken: Sequence[float]) -> str:
    return f"{percentile(taken, 0.5):.1f} | {percentile(taken, 0.95):.1f}"


def _how(found: Measured) -> str:
    few = "" if found.rounds >= ENOUGH else f"\nRounds in this run: {found.rounds}. Fewer than {ENOUGH} say little.\n"
    return f"""\
## How it is measured
{few}
- Both sides are served by the same server with the same headers. They take turns within each round.
- Each round has a new, empty profile. The second visit comes a second after the first.
- The clock of the page is read: from its navigation until `data-engine` says `ready`.
- Each answer is asked for when the page has been drawn, so that none takes the layout of the one before into its time.
- The slow processor: all threads of the page are let run for a quarter of the time, in turns of 4 ms. The browser's own
  throttle slows one thread only, and the engine runs in another. The factor is measured with a fixed loop.
- Bytes are those of the files that a first visit asks for. Compressed means gzip, level 9.

Run it on a machine that does nothing else: `.venv/bin/python tests/benchmarks/bench_start.py`.
"""


def _joined(rows: Iterable[str]) -> str:
    return "\n".join(rows)
