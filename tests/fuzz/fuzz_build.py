"""Fuzzes the build side, guided by the lines that a run reaches: `python -m tests.fuzz.fuzz_build --runs 1000000 --seed 1`.

Data files, blocks, pages and whole small manuals are spoilt by their structure, by their lines and signs, and by their bytes. A finding
is an exception, a run of more than two seconds, a problem without a place in its file or without words, markup that data have
made, or a file outside that was opened. Inputs that reach a line of the build, or a kind of problem, that none reached before are spoilt
on. The same seed gives the same inputs on the same sources.
"""

from __future__ import annotations

import argparse
import gc
import os
import random
import signal
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from tests.attack.table import Row
from tests.fuzz.judge import ROOT, Finding, Reached, in_time
from tests.fuzz.targets import Given, Target, all_targets

__all__ = ["IN_MEMORY", "Outcome", "fuzzed", "rows"]

_MOST_KEPT: Final = 3000
IN_MEMORY: Final = next((path for path in ("/dev/shm",) if os.path.isdir(path)), None)  # noqa: S108, PTH112
"""A place on a disk in memory, where a folder of our own is made; None where there is none."""
_SAID_EVERY: Final = 300.0


@dataclass(slots=True)
class Outcome:
    """What came of one target.

    Attributes:
        target: what was tried.
        seeds: how many inputs it began with.
        runs: how many times it ran.
        seconds: of the processor's time, the making of inputs included.
        causes: how often each finding came up, by where it comes from.
        first: of each, the first input and what went wrong.
    """

    target: Target
    seeds: int
    runs: int = 0
    seconds: float = 0.0
    causes: Counter[str] = field(default_factory=Counter)
    first: dict[str, tuple[Given, str]] = field(default_factory=dict)


def fuzzed(work: Path, runs: int, seed: int, names: Iterable[str] = (), keep: Path | None = None) -> list[Outcome]:
    """Runs the targets in turn.

    Args:
        work: a folder to work in, best in memory.
        runs: how many times in all.
        seed: where the changes come from.
        names: which targets; by default all.
        keep: where the input of each new finding is written at once.

    Returns:
        What came of each target.
    """
    chance = random.Random(seed)
    outcomes = [Outcome(target, len(target.corpus)) for target in all_targets(work, names)]
    weights = [outcome.target.weight for outcome in outcomes]
    seen: set[tuple[str, str]] = set()
    said = time.monotonic()
    # What stays for the whole run is not looked through again and again.
    gc.freeze()
    # Whoever has seen enough is told what came of it so far.
    with suppress(KeyboardInterrupt), Reached() as reached:
        for number in range(runs):
            (outcome,) = chance.choices(outcomes, weights)
            began = time.process_time()
            _once(outcome, chance, reached, seen, keep)
            outcome.seconds += time.process_time() - began
            if time.monotonic() - said > _SAID_EVERY:
                said = time.monotonic()
                found = sum(len(each.causes) for each in outcomes)
                print(f"{number + 1:,} runs, {reached.lines:,} lines reached, {found} causes", file=sys.stderr, flush=True)
    return outcomes


def _once(outcome: Outcome, chance: random.Random, reached: Reached, seen: set[tuple[str, str]], keep: Path | None) -> None:
    target = outcome.target
    # The seeds as they are come first: what they reach is not new.
    if outcome.runs < outcome.seeds and target.name != "manual":
        given = target.corpus[outcome.runs]
    else:
        given = target.spoil(_picked(target, chance), chance.choice(target.corpus), chance)
    outcome.runs += 1
    reached.take()
    codes: Iterable[str] = ()
    try:
        with in_time():
            codes = target.run(given)
    except Exception as error:  # noqa: BLE001 - any exception is a finding
        _note(outcome, given, error, keep)
    new = {(target.name, code) for code in codes} - seen
    seen |= new
    if (reached.take() or new) and outcome.runs > outcome.seeds and len(target.corpus) < _MOST_KEPT:
        target.corpus.append(given)


def _picked(target: Target, chance: random.Random) -> Given:
    """One of the corpus: small ones are quicker, and those kept last are the least known."""
    several = chance.choices(target.corpus, k=3)
    return min(several, key=lambda given: len(given.text)) if chance.random() < 0.7 else chance.choice(target.corpus[-30:])


def _note(outcome: Outcome, given: Given, error: Exception, keep: Path | None) -> None:
    cause = _cause(error)
    outcome.causes[cause] += 1
    if cause in outcome.first:
        return
    outcome.first[cause] = given, str(error)
    if keep is not None:
        keep.mkdir(parents=True, exist_ok=True)
        path = keep / f"{outcome.target.name.split()[0]}-{len(outcome.first)}.txt"
        shown = "".join(traceback.format_exception(error))
        text = f"{cause}\n{shown}\n=====\n{given.text or given.files}"
        path.write_bytes(text.encode("utf-8", "surrogatepass"))


def _cause(error: Exception) -> str:
    """Where a finding comes from, so that one cause is told once."""
    if isinstance(error, Finding):
        words = str(error).split(":")
        return ":".join(words[:2] if len(words[0]) < 30 else words[:1])[:70]
    ours = [frame for frame in traceback.extract_tb(error.__traceback__) if frame.filename.startswith(f"{ROOT}/")]
    last = ours[-1]
    return f"{type(error).__name__} in {Path(last.filename).relative_to(ROOT)}:{last.lineno}"


def rows(outcomes: Iterable[Outcome]) -> Iterator[Row]:
    """The outcomes as the attacks report theirs; each cause is one failure."""
    for outcome in outcomes:
        failures = [f"{count} times {cause}: {outcome.first[cause][1][:300]}" for cause, count in outcome.causes.items()]
        yield Row(outcome.target.about, outcome.runs, failures)


def table(outcomes: Iterable[Outcome]) -> str:
    """The outcomes, with how fast each was."""
    lines = ["| target | runs | sound | kept | runs a second | findings |", "|---|---|---|---|---|---|"]
    told = []
    for each in outcomes:
        kept = len(each.target.corpus) - each.seeds
        speed = each.runs / each.seconds if each.seconds else 0
        lines.append(
            f"| {each.target.name} | {each.runs:,} | {each.target.sound:,} | {kept:,} | {speed:,.0f} | {len(each.causes)} |"
        )
        told += [
            f"{each.target.name}: {count} times {cause}: {each.first[cause][1][:300]}" for cause, count in each.causes.items()
        ]
    return "\n".join([*lines, "", *told])


def main() -> int:
    """Prints the table; 1 if anything was found."""
    parser = argparse.ArgumentParser(prog="python -m tests.fuzz.fuzz_build", description="Fuzzes the build side.")
    parser.add_argument("--runs", type=int, default=1_000_000, help="how many in all (default: a million)")
    parser.add_argument("--seed", type=int, default=1, help="where the changes come from (default: 1)")
    parser.add_argument("--only", action="append", default=[], metavar="TARGET", help="one target; may be given again")
    parser.add_argument("--keep", type=Path, metavar="DIR", help="where the input of each finding is written")
    given = parser.parse_args()
    # A shell starts what runs in its background with Ctrl+C ignored.
    signal.signal(signal.SIGINT, signal.default_int_handler)
    with tempfile.TemporaryDirectory(dir=IN_MEMORY) as folder:
        began = time.monotonic()
        outcomes = fuzzed(Path(folder).resolve(), given.runs, given.seed, given.only, given.keep)
        took = time.monotonic() - began
    print(table(outcomes))
    runs, seconds = sum(each.runs for each in outcomes), sum(each.seconds for each in outcomes)
    print(
        f"{runs:,} runs with seed {given.seed} in {took:,.0f} s ({seconds:,.0f} s of the processor, {runs / seconds:,.0f} a second of it)"
    )
    return 1 if any(each.causes for each in outcomes) else 0


if __name__ == "__main__":
    sys.exit(main())
