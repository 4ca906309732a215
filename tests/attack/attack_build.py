"""Attacks on the commands that write: kills, full disks, dangerous targets, odd files, hostile names, closed outputs, signals.

A manual of a few pages is built, in a folder of its own for each case. A failure is a traceback, a lost byte of what is not ours,
half a site, a folder left behind, a run that does not end, or a wrong exit status.
"""

from __future__ import annotations

import os
import random
import resource
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from tests.attack.table import Row, cases

ROOT: Final = Path(__file__).parents[2]
MODULE: Final = (sys.executable, "-m", "build_hooks")
LONGEST: Final = 120  # seconds; a build takes a few
OURS: Final = ("index.html", "assets/benchleaf/benchleaf.js", "service-worker.js", "wall/index.html")
CONFIG: Final = "site_name: Quay Lane\ntheme: {name: material, font: false}\nplugins: [benchleaf]\n"

type Result = tuple[int, str]


def run(share: float) -> Iterator[Row]:
    """Every attack, the quick ones first."""
    yield targets(share)
    yield names(share)
    yield odd_files(share)
    yield outputs(share)
    with tempfile.TemporaryDirectory() as folder:
        built = manual(Path(folder))
        assert call(built, "build") == (0, ""), call(built, "build")
        yield from kills_between_steps(share)
        yield signals(share, built)
        yield full_disks(share, built)
        yield at_once(share, built)
        yield kills(share, built)


# What the attacks share.


def manual(folder: Path) -> Path:
    """A small manual in a folder."""
    put(folder / "docs" / "shop.yml", "name: Quay Lane\n")
    put(folder / "docs" / "index.md", "# Quay Lane\n\nWipe the bench.\n")
    put(folder / "mkdocs.yml", CONFIG)
    for name in ("node_modules", ".cache"):
        (folder / name).symlink_to(ROOT / name)
    return folder


def put(path: Path, text: str | bytes) -> None:
    """Writes a file."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text.encode() if isinstance(text, str) else text)


def start(folder: Path, *arguments: str, **options: Any) -> subprocess.Popen[str]:
    """A command, not waited for."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), **options.pop("env", {})}
    return subprocess.Popen(
        [*MODULE, *arguments], cwd=folder, env=environment, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, **options
    )


def call(folder: Path, *arguments: str, **options: Any) -> Result:
    """Status and output of a command; -1 where it had to be killed."""
    with start(folder, *arguments, **options) as process:
        try:
            text, _ = process.communicate(timeout=LONGEST)
        except subprocess.TimeoutExpired:
            process.terminate()
            return -1, "did not end"
    return process.returncode, text


def snapshot(folder: Path) -> Mapping[str, bytes]:
    """Every entry below a folder with its content or target."""
    return {
        str(path.relative_to(folder)): os.fsencode(path.readlink()) if path.is_symlink() else path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_symlink() or path.is_file()
    }


def is_whole(site: Path) -> bool:
    """Whether a site has its first and its last written files."""
    return all((site / name).is_file() for name in OURS)


def left_over(folder: Path) -> list[str]:
    """Work folders beside the site."""
    return sorted(path.name for path in folder.iterdir() if path.name.startswith((".site-", ".folder-")))


def said(result: Result, status: int, *, lines: int | None = None) -> str | None:
    """What is wrong with how a command ended; nothing where it ended as it should."""
    code, text = result
    if "Traceback" in text or "Exception ignored" in text or "fault of the program" in text:
        return f"traceback: {text[-500:]}"
    if code != status:
        return f"status {code} for {status}: {text[-300:]}"
    if lines is not None and len(text.splitlines()) != lines:
        return f"{len(text.splitlines())} lines for {lines}: {text[-300:]}"
    return None


@contextmanager
def fresh() -> Iterator[Path]:
    """A small manual in a folder that is removed afterwards."""
    with tempfile.TemporaryDirectory() as folder:
        yield manual(Path(folder).resolve() / "manual")


# The attacks.


def targets(share: float) -> Row:
    """Folders that a build must not replace."""
    row = Row("a build into a dangerous place: not a byte changes")
    names = (
        ".", "docs", "docs/../docs", "..", "../..", "/", "docs/site", "docs/units", "docs/a/b/c", "link", "nowhere", "notes.txt",
        "photos", "kept", "node_modules", ".cache", "docs/index.md", "link/../docs", "docs/.hidden", "linked-docs/site",
    )  # fmt: skip
    for name in names[: cases(len(names), share)]:
        for command, option in (("build", "--site"), ("folder", "--to")):
            with fresh() as folder:
                put(folder / "photos" / "a.jpg", "mine")
                put(folder / "notes.txt", "mine")
                put(folder / "docs" / "units" / "plan.txt", "mine")
                for made in ("site", "kept"):
                    put(folder / made / "index.html", "last")
                    put(folder / made / "assets/benchleaf/a.css", "last")
                put(folder / "kept" / ".git" / "HEAD", "mine")
                (folder / "link").symlink_to("site")
                (folder / "nowhere").symlink_to("not-there")
                (folder / "linked-docs").symlink_to("docs")
                before = snapshot(folder)
                if command == "folder" and name in {"docs/site", "docs/a/b/c", "docs/.hidden", "linked-docs/site"}:
                    continue  # a copy may lie there: nothing is lost by it
                failure = said(call(folder, command, option, name), 1, lines=1)
                row.tried(failure or (None if snapshot(folder) == before else f"{command} {name}: something changed"))
    return row


def names(share: float) -> Row:
    """Names that a new unit must not take, or must not take as they are."""
    row = Row("names of a new unit: refused in one line, or a file within units/")
    refused = (
        "CON", "nul", "Aux", "prn", "com1", "LPT9", "com0", "Birch.", "Birch ", " Birch", "...", "..", "/", "../../etc", "", "-",
        "a\nb", "a\tb", "\u202eabc", "日本", "a" * 81, "a\x1b[31m", "a\\b", "a*b", "a?b", 'a"b', "a|b", "a<b>", "\udcff", "~", "#", "true", "null",
    )  # fmt: skip
    taken = ("a/b", "Birch 5", "x: y", "a & b", "don't", "0", "1e9", "Über 5")
    for name in refused[: cases(len(refused), share)]:
        for what in (("unit", name), ("procedure", "none", name)):
            with fresh() as folder:
                before = snapshot(folder)
                argument = ["new", what[0], "--", *what[1:]]
                result = call(folder, *argument)
                row.tried(
                    said(result, 1, lines=1) or (None if snapshot(folder) == before else f"{name!r}: something was written")
                )
    for name in taken[: cases(len(taken), share)]:
        with fresh() as folder:
            status, text = call(folder, "new", "unit", "--", name)
            path = (folder / text.strip()).resolve()
            sound = status == 0 and path.is_relative_to(folder / "docs" / "units") and call(folder, "check")[0] == 0
            row.tried(None if sound else f"{name!r}: {status} {text}")
    return row


def _pipe(docs: Path) -> None:
    os.mkfifo(docs / "pipe.md")


def _pipe_of_unit(docs: Path) -> None:
    (docs / "units" / "oak").mkdir(parents=True)
    os.mkfifo(docs / "units" / "oak" / "unit.yml")


def _socket(docs: Path) -> None:
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind(str(docs / "s.md"))


def _many_links(docs: Path) -> None:
    for number in range(40):
        put(docs / str(number) / "a.md", "# a\n")
        for name in ("x", "y"):
            (docs / str(number) / name).symlink_to(f"../{number + 1}")
    (docs / "40").mkdir()


def _linked(link: str, target: str) -> Callable[[Path], None]:
    def write(docs: Path) -> None:
        (docs / link).parent.mkdir(parents=True, exist_ok=True)
        (docs / link).symlink_to(target)

    return write


def _written(name: str, text: str | bytes) -> Callable[[Path], None]:
    return lambda docs: put(docs / name, text)


def _named(name: bytes) -> Callable[[Path], None]:
    return lambda docs: put(docs / os.fsdecode(name), "# a\n")


_BOMB: Final = "a: &a [x,x,x,x,x,x,x,x,x]\n" + "".join(
    f"{chr(98 + n)}: &{chr(98 + n)} [{','.join([f'*{chr(97 + n)}'] * 9)}]\n" for n in range(9)
)
_PARTS: Final = "name: Oak\nparts:\n  p: {name: P, kind: steel, thickness: 1 mm}\npacks:\n  k:\n    name: K\n    stack:\n" + (
    "      - part: p\n" * 10_000
)
ODD: Final[Mapping[str, tuple[int, Callable[[Path], None]]]] = {
    "pipe": (1, _pipe),
    "pipe for a unit": (1, _pipe_of_unit),
    "socket": (1, _socket),
    "links that multiply": (1, _many_links),
    "loop": (1, _linked("a.md", "a.md")),
    "loop of folders": (1, _linked("a", ".")),
    "loop by two": (1, lambda docs: (_linked("a", "b")(docs), _linked("b", "a")(docs), None)[-1]),
    "dangling page": (1, _linked("a.md", "b.md")),
    "dangling picture": (1, _linked("a.png", "b.png")),
    "device page": (1, _linked("a.md", "/dev/zero")),
    "device picture": (1, _linked("a.png", "/dev/urandom")),
    "page from outside": (1, _linked("a.md", "/etc/passwd")),
    "folder from outside": (1, _linked("a", "/etc")),
    "unit from outside": (1, _linked("units/oak", "/etc")),
    "learning from outside": (1, _linked("learning/a.yml", "/etc/passwd")),
    "shop's name not UTF-8": (1, _named(b"caf\xe9.md")),
    "picture's name not UTF-8": (1, _named(b"\xff.png")),
    "name with a line break, no picture": (1, _named(b"a\nb.png")),
    "large page": (1, _written("a.md", b"a " * 25_000_000)),
    "bomb": (1, _written("units/oak/unit.yml", _BOMB)),
    "bomb in a page": (1, _written("a.md", f"---\n{_BOMB}---\n# a\n")),
    "nested YAML": (1, _written("units/oak/unit.yml", "a: " + "[" * 100_000)),
    "tags": (1, _written("units/oak/unit.yml", "name: !!python/object/apply:os.system [id]\n")),
    "long stack": (1, _written("units/oak/unit.yml", _PARTS)),
    "brackets": (1, _written("a.md", "[" * 50_000)),
    "pictures": (1, _written("a.md", "![" * 50_000)),
    "links without an end": (0, _written("a.md", "# a\n\n" + "[a](" * 50_000)),
    "stars": (1, _written("a.md", "a" + "*" * 50_000 + "a")),
    "nested lists": (1, _written("a.md", "\n".join(" " * 4 * n + "- a" for n in range(400)))),
    "hides the wall": (1, _written("wall/index.md", "# mine\n")),
    "hides a calculation": (1, _written("calculations/convert.md", "# mine\n")),
    "hides a script": (1, _written("assets/benchleaf/benchleaf.js", "mine")),
    "folder for the shop": (1, lambda docs: ((docs / "shop.yml").unlink(), (docs / "shop.yml").mkdir(), None)[-1]),
    "NUL bytes": (0, _written("a.md", b"# a\n\x00\x00")),
}  # fmt: skip


def odd_files(share: float) -> Row:
    """What nobody meant to have in a docs folder; a check and a build each."""
    row = Row("odd files in the docs folder: a problem each, soon, and nothing is built")
    for name in list(ODD)[: cases(len(ODD), share)]:
        status, write = ODD[name]
        with fresh() as folder:
            write(folder / "docs")
            started = time.monotonic()
            failure = said(call(folder, "check"), status)
            if failure is None and time.monotonic() - started > LONGEST / 2:
                failure = "too slow"
            row.tried(failure and f"check {name}: {failure}")
            if status:
                failure = said(call(folder, "build"), 1) or (f"{left_over(folder)} is left" if left_over(folder) else None)
                failure = failure or ("a site was made" if (folder / "site").exists() else None)
                row.tried(failure and f"build {name}: {failure}")
    return row


def outputs(share: float) -> Row:
    """Every command with each of its outputs closed or full."""
    row = Row("closed and full outputs of every command: one line at most")
    commands = ("check", "new unit Oak", "new procedure oak Fit", "headers nginx", "schema", "folder", "build --config x", "--help",
                "serve --port 1000000", "nonsense")  # fmt: skip
    ways = (">&-", ">/dev/full", "2>&-", "2>/dev/full", "<&-", ">&- 2>&- <&-", "| true")
    pairs = [(command, way) for way in ways for command in commands]
    for command, way in pairs[: cases(len(pairs), share)]:
        with fresh() as folder:
            line = f"exec {' '.join(MODULE)} {command} {way}" if way != "| true" else f"{' '.join(MODULE)} {command} | true"
            done = subprocess.run(
                ["sh", "-c", line],
                cwd=folder,
                env={**os.environ, "PYTHONPATH": str(ROOT)},
                capture_output=True,
                text=True,
                check=False,
                timeout=LONGEST,
            )
            failure = said((done.returncode, done.stderr), done.returncode)
            if done.returncode not in (0, 1, 2):
                failure = f"status {done.returncode}"
            row.tried(failure and f"{command} {way}: {failure}")
    return row


_REPLACE: Final = """
import sys
from pathlib import Path
from build_hooks.site.replacing import put_in_place, work_folder
target = Path(sys.argv[1])
with work_folder(target) as work:
    for name in ("index.html", "assets/benchleaf/a.css", "b.css"):
        (work.new / name).parent.mkdir(parents=True, exist_ok=True)
        (work.new / name).write_text("new")
    put_in_place(work.new, target)
"""


def kills_between_steps(share: float) -> Iterator[Row]:
    """A kill at each system call of the swap, with and without the exchange; needs strace."""
    if shutil.which("strace") is None:
        raise RuntimeError("strace is needed for the kills between steps. Call tools/need-strace.")
    for mode, extra in (("exchange", ()), ("two renames", ("-e", "inject=renameat2:error=EINVAL"))):
        row = Row(f"kill -9 at a system call of the swap, by {mode}: the old or the new site is whole")
        for name in ("renameat2", "rename", "fsync", "unlink", "unlinkat", "rmdir", "flock", "chmod"):
            if name == "renameat2" and extra:
                continue
            for when in range(1, 1 + cases(12, share)):
                failure = _killed_at(name, when, extra)
                if failure == "not reached":
                    break
                row.tried(failure and f"{name} {when}: {failure}")
        yield row


def _killed_at(name: str, when: int, extra: Sequence[str]) -> str | None:
    with tempfile.TemporaryDirectory() as folder:
        target = Path(folder).resolve() / "site"
        for file in ("index.html", "assets/benchleaf/a.css", "b.css"):
            put(target / file, "old")
        command = ["strace", "-f", "-qq", "-o", os.devnull, *extra, "-e", f"inject={name}:signal=SIGKILL:when={when}"]
        environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"}
        done = subprocess.run(
            [*command, sys.executable, "-c", _REPLACE, str(target)], check=False, env=environment, timeout=LONGEST
        )
        if done.returncode == 0:
            return "not reached"
        finish = "import sys; from pathlib import Path; from build_hooks.site.replacing import work_folder\n"
        finish += "with work_folder(Path(sys.argv[1])): pass"
        if not extra and not target.is_dir():
            return "there was no site"
        subprocess.run([sys.executable, "-c", finish, str(target)], check=True, env=environment)
        contents = {(target / file).read_text() for file in ("index.html", "assets/benchleaf/a.css", "b.css")}
        left = sorted(path.name for path in Path(folder).iterdir())
        return None if len(contents) == 1 and left == ["site"] else f"{contents} {left}"


def signals(share: float, folder: Path) -> Row:
    """Ctrl+C, the end of the terminal and of the machine, at random moments."""
    row = Row("SIGINT, SIGTERM, SIGHUP at random moments: a line at most, nothing left, the site whole")
    chance = random.Random(5)
    commands = (("check",), ("build",), ("folder",), ("serve", "--port", "0"))
    kinds = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
    plan = [(command, number) for _ in range(3) for number in kinds for command in commands]
    for command, number in plan[: cases(len(plan), share)]:
        with start(folder, *command) as process:
            # Before the interpreter has read a line of ours, nobody can say how it ends.
            time.sleep(1 + chance.random() * 5)
            process.send_signal(number)
            text, _ = process.communicate(timeout=LONGEST)
        status = process.returncode
        failure = said((status, text), status)
        if status not in (0, 130, 143, 129) or left_over(folder) or not is_whole(folder / "site"):
            failure = failure or f"status {status}, left {left_over(folder)}: {text[-200:]}"
        row.tried(failure and f"{command[0]} {number.name}: {failure}")
    return row


def full_disks(share: float, folder: Path) -> Row:
    """A build that finds no room, at six sizes; on a small disk where one may be mounted, else by a limit on files."""
    row = Row("full disk: one line, the last site stays, nothing is left")
    for kilobytes in (4, 64, 512, 2_000, 6_000, 9_000)[: cases(6, share)]:
        with tempfile.TemporaryDirectory() as name:
            disk = Path(name)
            mounted = _mount(disk, kilobytes)
            for file in ("index.html", "assets/benchleaf/a.css"):
                put(disk / "site" / file, "last")
            before = snapshot(disk / "site")
            limit = (
                None if mounted else (lambda size=kilobytes: resource.setrlimit(resource.RLIMIT_FSIZE, (size * 50, size * 50)))
            )
            failure = said(call(folder, "build", "--site", str(disk / "site"), preexec_fn=limit), 1)
            if snapshot(disk / "site") != before or left_over(disk):
                failure = failure or f"changed, or left {left_over(disk)}"
            row.tried(failure and f"{kilobytes} kB: {failure}")
            if mounted:
                subprocess.run(["umount", name], check=True)
    return row


def _mount(place: Path, kilobytes: int) -> bool:
    """A disk of that size; False where nothing may be mounted."""
    command = ["mount", "-t", "tmpfs", "-o", f"size={kilobytes + 16}k", "tmpfs", str(place)]
    return subprocess.run(command, check=False, capture_output=True).returncode == 0


def at_once(share: float, folder: Path) -> Row:
    """Three builds of one site at the same time."""
    row = Row("three builds at once: each ends well, the site is whole")
    for _ in range(cases(8, share)):
        running = [start(folder, "build") for _ in range(3)]
        results = [(process.communicate(timeout=LONGEST)[0], process.returncode) for process in running]
        for text, status in results:
            row.tried(said((status, text), 0) or (None if is_whole(folder / "site") else "the site is not whole"))
    row.tried(f"left {left_over(folder)}" if left_over(folder) else None)
    return row


def kills(share: float, folder: Path) -> Row:
    """Builds killed at random moments, while a reader looks at the site all the time."""
    row = Row("kill -9 at random moments of a build: the reader always finds a whole site")
    chance = random.Random(7)
    done = threading.Event()
    missed: list[str] = []

    def read() -> None:
        while not done.is_set():
            if not is_whole(folder / "site") and not is_whole(folder / "site"):
                missed.append("a site that was not whole")
            time.sleep(0.001)

    started = time.monotonic()
    call(folder, "build")
    longest = time.monotonic() - started
    reader = threading.Thread(target=read)
    reader.start()
    for number in range(cases(40, share)):
        with start(folder, "build", start_new_session=True) as process:
            time.sleep(chance.random() * longest)
            builders = _children(process.pid) if number % 2 else []
            process.kill()
            for builder in builders:
                os.kill(builder, signal.SIGKILL)
            # The other half of the builders goes on alone until it is done.
            process.communicate(timeout=LONGEST)
        row.tried(missed[0] if missed else None)
        missed.clear()
    done.set()
    reader.join()
    row.tried(said(call(folder, "build"), 0) or (f"left {left_over(folder)}" if left_over(folder) else None))
    return row


def _children(process: int) -> list[int]:
    try:
        return [int(number) for number in Path(f"/proc/{process}/task/{process}/children").read_text(encoding="ascii").split()]
    except FileNotFoundError:
        return []
