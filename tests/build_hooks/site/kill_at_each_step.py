"""Kills a process at each step of putting a folder in its place: `python kill_at_each_step.py FOLDER one|two`.

A step is an event of Python's audit hooks (PEP 578): every call that changes the file system raises one just before it is made.
Prints the number of steps at which it killed, then a line for each that left neither the old nor the new folder whole.
"""

from __future__ import annotations

import os
import shutil
import signal
import sys
from collections.abc import Iterator
from pathlib import Path

from build_hooks.site.replacing import put_in_place, recover, work_folder

FILES = ("index.html", "assets/benchleaf/a.css", "assets/benchleaf/b.css")


def write(folder: Path, content: str) -> None:
    """A folder that is known as ours."""
    for name in FILES:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(content, encoding="utf-8")


def content_of(folder: Path) -> set[str]:
    """What stands in the files; one word when the folder is whole."""
    return {(folder / name).read_text(encoding="utf-8") if (folder / name).is_file() else "missing" for name in FILES}


def replace(target: Path, kill_at: int, mode: str) -> None:
    """Replaces a folder, and is killed at a step."""
    step = 0
    with work_folder(target) as work:
        write(work.new, "new")

        def at_event(event: str, _arguments: object) -> None:
            nonlocal step
            if mode == "two" and event == "ctypes.dlsym":
                raise OSError("There is no exchange here.")
            if event == "open" or event.startswith(("os.", "shutil.", "ctypes.", "fcntl.")):
                step += 1
                if step == kill_at:
                    os.kill(os.getpid(), signal.SIGKILL)

        sys.addaudithook(at_event)
        put_in_place(work.new, target)


def killed(target: Path, kill_at: int, mode: str) -> bool:
    """Whether the process was killed, and not done before the step came."""
    child = os.fork()
    if child == 0:
        replace(target, kill_at, mode)
        os._exit(0)
    status = os.waitpid(child, 0)[1]
    assert status in (0, signal.SIGKILL), status
    return status != 0


def left_after(folder: Path, kill_at: int, mode: str) -> Iterator[str]:
    """What is wrong after a kill and the next start."""
    target = folder / "site"
    missing = not target.exists()
    if missing and mode == "one":
        yield f"{kill_at}: there was no site for a moment"
    recover(target)
    if content_of(target) not in ({"old"}, {"new"}):
        yield f"{kill_at}: {content_of(target)}"
    with work_folder(target):
        pass
    if [path.name for path in folder.iterdir()] != ["site"]:
        yield f"{kill_at}: {sorted(path.name for path in folder.iterdir())} is left"
    if missing:
        seen_missing.append(kill_at)


seen_missing: list[int] = []


def main(folder: Path, mode: str) -> None:
    """Kills at the first step, the second, and so on, until the process is done before."""
    failures: list[str] = []
    kill_at = 0
    while True:
        kill_at += 1
        folder.mkdir()
        write(folder / "site", "old")
        if not killed(folder / "site", kill_at, mode):
            break
        failures += left_after(folder, kill_at, mode)
        shutil.rmtree(folder)
    failures += [] if content_of(folder / "site") == {"new"} else ["not replaced at the end"]
    print(kill_at - 1, len(seen_missing), *failures, sep="\n")  # noqa: T201


main(Path(sys.argv[1]), sys.argv[2])
