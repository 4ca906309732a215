"""A manual of a thousand procedures: the build, the check and one edit while it is served, beside plain Material, in one run.

``python -m tests.benchmarks.bench_size [PROCEDURES]`` prints the figures and writes them into docs/performance.md; with fewer than a
thousand procedures it prints them only. It takes half an hour on two cores.

The peer is the builder itself with its own theme and the same Markdown files; what we draw and calculate it shows as code.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from tests.benchmarks.large_manual import ROOT, LargeManual, write_large_manual
from tests.benchmarks.performance_page import machine, with_size_section
from tests.ports import free_port

ENOUGH: Final = 1_000
_ROUNDS: Final = 3
_BUILD: Final = (sys.executable, "-m", "build_hooks")
_PLAIN: Final = (sys.executable, "-m", "mkdocs")
_MIB: Final = 2**20
# How often memory is looked at, in seconds.
_LOOK: Final = 0.25
_LONGEST: Final = 3_600.0


@dataclass(frozen=True, slots=True)
class Cost:
    """What a command took.

    Attributes:
        seconds: from its start to its end.
        peak: bytes of memory of all its processes together, at the most; what they share is counted once.
    """

    seconds: float
    peak: int


def _memory_of(pid: int) -> int:
    """Bytes of a process and of all that it started."""
    total = 0
    with suppress(OSError, ValueError):
        for line in Path(f"/proc/{pid}/smaps_rollup").read_text(encoding="ascii").splitlines():
            if line.startswith("Pss:"):
                total = int(line.split()[1]) * 1024
    with suppress(OSError):
        for task in Path(f"/proc/{pid}/task").iterdir():
            with suppress(OSError):
                total += sum(_memory_of(int(child)) for child in (task / "children").read_text(encoding="ascii").split())
    return total


def cost_of(command: Sequence[str], folder: Path) -> Cost:
    """Runs a command in a folder and measures it.

    Raises:
        SystemExit: it failed; what it said comes with it.
    """
    began = time.monotonic()
    with (folder / "said").open("w+", encoding="utf-8") as said:
        process = subprocess.Popen(command, cwd=folder, stdout=said, stderr=said)
        peaks = [0]
        while process.poll() is None:
            peaks.append(_memory_of(process.pid))
            time.sleep(_LOOK)
        if process.returncode:
            said.seek(0)
            sys.exit(f"{' '.join(command)} failed:\n{said.read()[-2_000:]}")
    return Cost(time.monotonic() - began, max(peaks))


@contextmanager
def _serving(command: Sequence[str], folder: Path) -> Iterator[None]:
    with (folder / "served").open("w", encoding="utf-8") as said:
        process = subprocess.Popen(command, cwd=folder, stdout=said, stderr=said)
        try:
            yield
        finally:
            process.terminate()
            process.wait()


def _until_served(address: str, text: str, after: Callable[[], object] = lambda: None) -> float:
    """Seconds until a page holds a text."""
    after()
    began = time.monotonic()
    while time.monotonic() - began < _LONGEST:
        with suppress(OSError), urllib.request.urlopen(address, timeout=60) as answer:
            if text in answer.read().decode():
                return time.monotonic() - began
        time.sleep(0.02)
    sys.exit(f"{address} never held “{text}”.")


def _edits(command: Sequence[str], manual: LargeManual, port: int) -> list[float]:
    """Seconds from the writing of a page to its new text at the server, for some edits."""
    folder = manual.config.parent
    page = folder / "docs" / manual.page
    text = page.read_text(encoding="utf-8")
    address = f"http://localhost:{port}/{manual.page.removesuffix('.md')}/"
    times = []
    with _serving(command, folder):
        try:
            _until_served(address, manual.title)
            for number in range(_ROUNDS):
                said = f"Edited for the time number {number}."
                times.append(_until_served(address, said, lambda said=said: page.write_text(f"{text}\n\n{said}\n", "utf-8")))
                time.sleep(3)
        finally:
            page.write_text(text, encoding="utf-8")
    return times


def _tree_bytes(folder: Path) -> tuple[int, int]:
    files = [path for path in folder.rglob("*") if path.is_file()]
    return len(files), sum(path.stat().st_size for path in files)


def _row(name: str, ours: float, plain: float, unit: str, wanted: str) -> str:
    return f"| {name} | {ours:,.1f} {unit} | {plain:,.1f} {unit} | {ours / plain:.2f} | {wanted} |"


def section(manual: LargeManual, folder: Path, told: Callable[[str], object]) -> str:
    """Measures, and writes what was found as Markdown."""
    first = cost_of([*_BUILD, "build", "--site", "site"], folder)
    told(f"first build {first}")
    again = cost_of([*_BUILD, "build", "--site", "site"], folder)
    told(f"second build {again}")
    check = cost_of([*_BUILD, "check"], folder)
    told(f"check {check}")
    plain = cost_of([*_PLAIN, "build", "--quiet", "--config-file", str(manual.plain)], folder)
    told(f"plain {plain}")
    port = free_port()
    edits = _edits([*_BUILD, "serve", "--port", str(port)], manual, port)
    told(f"edits {edits}")
    port = free_port()
    serve = [*_PLAIN, "serve", "--quiet", "--no-strict", "--config-file", str(manual.plain), "--dev-addr", f"localhost:{port}"]
    plain_edits = _edits(serve, manual, port)
    told(f"plain edits {plain_edits}")
    files, size = _tree_bytes(folder / "site")
    plain_files, plain_size = _tree_bytes(folder / "plain")
    rows = [
        _row("Build, nothing remembered", first.seconds, plain.seconds, "s", "at most 1.50"),
        _row("Build again, nothing changed", again.seconds, plain.seconds, "s", ""),
        _row("Memory of that build, at most", first.peak / _MIB, plain.peak / _MIB, "MiB", "at most 2.00"),
        _row("Check, beside our own build", check.seconds, first.seconds, "s", "at most 0.20"),
        _row("A page edited while it is served", statistics.median(edits), statistics.median(plain_edits), "s", ""),
    ]
    return f"""\
## A manual of {manual.procedures:,} procedures

Made up from the demo: {manual.units} units with {manual.packs} packs, {manual.paths} learning paths and {manual.photographs} photographs.
The peer is plain Material with the same Markdown, which shows what we draw and calculate as code.

| | Ours | Plain | Ratio | Wanted |
|---|---|---|---|---|
{"\n".join(rows)}

Our site has {files:,} files with {size / _MIB:,.0f} MiB, the plain one {plain_files:,} with {plain_size / _MIB:,.0f} MiB.
Memory is that of all processes together. An edit is timed until the server gives the new text; the median of {len(edits)}.
`python -m tests.benchmarks.bench_size` measures this.
"""


def main(procedures: int = ENOUGH) -> None:
    """Measures, prints, and writes the section of the page."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        print("\n".join(machine("none")[:3]), flush=True)
        manual = write_large_manual(folder, procedures)
        found = section(manual, folder, lambda said: print(said, flush=True))
    print(found)
    if procedures >= ENOUGH:
        page = ROOT / "docs" / "performance.md"
        page.write_text(with_size_section(page.read_text(encoding="utf-8"), found), encoding="utf-8")


if __name__ == "__main__":
    main(*(int(argument) for argument in sys.argv[1:]))
