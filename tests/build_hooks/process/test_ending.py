"""However a command ends, it says why in one line, with a status that a script can read."""

from __future__ import annotations

import errno
import os
import resource
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from build_hooks.process.ending import ended

ROOT = Path(__file__).parents[3]
MODULE = [sys.executable, "-m", "build_hooks"]
NO_ROOM = "Make room on the disk, then call it again."


def run(command: str, folder: Path) -> tuple[int, str, str]:
    """Status and both outputs of a shell's line; $RUN is the module."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "RUN": " ".join(MODULE)}
    done = subprocess.run(["sh", "-c", command], capture_output=True, text=True, check=False, cwd=folder, env=environment)
    return done.returncode, done.stdout, done.stderr


@pytest.fixture
def manual(tmp_path: Path) -> Path:
    """A manual of one page."""
    (tmp_path / "docs").mkdir()
    (tmp_path / "docs" / "shop.yml").write_text("name: Quay Lane\n", encoding="utf-8")
    (tmp_path / "docs" / "index.md").write_text("# Quay Lane\n", encoding="utf-8")
    (tmp_path / "mkdocs.yml").write_text(
        "site_name: Q\ntheme: {name: material, font: false}\nplugins: [benchleaf]\n", encoding="utf-8"
    )
    for name in ("node_modules", ".cache"):
        (tmp_path / name).symlink_to(ROOT / name)
    return tmp_path


def raising(error: BaseException) -> Callable[[], int]:
    """A command that ends in an error."""

    def command() -> int:
        raise error

    return command


@pytest.mark.parametrize(
    ("error", "status", "line"),
    [
        (KeyboardInterrupt(), 130, "Interrupted."),
        (OSError(errno.ENOSPC, "No space left on device"), 1, f"No space left on device. {NO_ROOM}"),
        (
            PermissionError(errno.EACCES, "Permission denied", "/a\nb"),
            1,
            "/a\\nb: Permission denied. Name a place where you may read and write, or see who may.",
        ),
        (OSError(errno.EIO, "Input/output error", "/a"), 1, "/a: Input/output error. Mend that, then call it again."),
        (FileNotFoundError("No esbuild: run “npm ci” first."), 1, "No esbuild: run “npm ci” first."),
        (shutil.Error([("/a", "/b", "[Errno 28] No space")]), 1, "/b: [Errno 28] No space"),
        (MemoryError(), 1, "There is not enough memory. End other programs, then call it again."),
        (
            RecursionError("maximum recursion depth exceeded"),
            1,
            "Something is nested too deeply. Look for a list in a list in a list, or a long row of brackets.",
        ),
        (
            subprocess.CalledProcessError(2, ["/bin/esbuild", "x"]),
            1,
            "esbuild failed with status 2. Its output is above.",
        ),
    ],
)
def test_an_error_is_one_line(error: BaseException, status: int, line: str, capsys: pytest.CaptureFixture[str]) -> None:
    """With what the system calls it and what to do."""
    assert ended(raising(error)) == status
    assert capsys.readouterr() == ("", f"{line}\n")


def test_a_fault_of_the_program_is_one_line_too(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """It says where, for whoever mends it, who can have the traceback as well."""
    number = raising.__code__.co_firstlineno + 4
    assert ended(raising(KeyError("x"))) == 1
    assert capsys.readouterr().err == (
        f"This is a fault of the program itself: KeyError: 'x' (test_ending.py, line {number}). "
        "Report it; BENCHLEAF_TRACEBACK=1 shows more.\n"
    )
    monkeypatch.setenv("BENCHLEAF_TRACEBACK", "1")
    assert ended(raising(KeyError("x"))) == 1
    assert capsys.readouterr().err.startswith("Traceback (most recent call last):\n")


def test_what_cannot_be_printed_is_told(manual: Path) -> None:
    """Closed or full; what stays silent does not mind."""
    closed = "The output cannot be written: Bad file descriptor.\n"
    full = "The output cannot be written: No space left on device.\n"
    assert run("$RUN schema >&-", manual) == (1, "", closed)
    assert run("$RUN check >/dev/full", manual) == (1, "", full)
    assert run("$RUN check 2>&- <&-", manual) == (0, "Checked: 0 units, 0 packs, 1 page. No problems.\n", "")


def test_a_full_disk_is_one_line_and_leaves_nothing(manual: Path) -> None:
    """In the builder too, which is a process of its own; the last site stays."""
    for name in ("index.html", "assets/benchleaf/a.css"):
        (manual / "site" / name).parent.mkdir(parents=True, exist_ok=True)
        (manual / "site" / name).write_text("last", encoding="utf-8")

    def small_files() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (500, 500))

    before = sorted(manual.iterdir())
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run(
        [*MODULE, "build"], capture_output=True, text=True, check=False, cwd=manual, env=environment, preexec_fn=small_files
    )
    assert (done.returncode, done.stdout) == (1, "")
    full, last = done.stderr.splitlines()
    assert full.startswith(f"{manual}/.site-new-")
    assert full.endswith(f": File too large. {NO_ROOM}")
    assert last == "The last site stays as it was."
    assert sorted(manual.iterdir()) == before


def test_an_interrupted_build_removes_its_work(manual: Path) -> None:
    """The builder ends with it, and only one of the two has something to say."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    before = sorted(manual.iterdir())
    with subprocess.Popen([*MODULE, "build"], stderr=subprocess.PIPE, text=True, cwd=manual, env=environment) as process:
        while not list(manual.glob(".site-new-*/site/*")):
            assert process.poll() is None
            time.sleep(0.05)
        process.send_signal(signal.SIGINT)
        _, told = process.communicate()
    assert (process.returncode, told) == (130, "Interrupted.\n")
    assert sorted(manual.iterdir()) == before


def test_only_a_site_that_is_there_stays_as_it_was(manual: Path) -> None:
    """Before the first one there is none."""
    (manual / "docs" / "index.md").write_text("# Q\n\n[a](b.png)\n", encoding="utf-8")
    status, _, told = run("$RUN build", manual)
    assert status == 1
    assert "docs/index.md:3:5: “b.png” is no file of the manual." in told
    assert "1 problem. Nothing was built." in told
    assert "last site" not in told


def test_ctrl_c_while_it_loads_is_quiet(tmp_path: Path) -> None:
    """A module that the command loads is replaced by one that is interrupted."""
    interrupted = "import os, signal, time\nos.kill(os.getpid(), signal.SIGINT)\ntime.sleep(60)\n"
    (tmp_path / "fractions.py").write_text(interrupted, encoding="utf-8")
    assert run("$RUN check", tmp_path) == (130, "", "")


def test_a_package_that_is_not_installed_is_named(tmp_path: Path) -> None:
    """As with the system's own Python, which has none of those that the build needs."""
    bare = "import sys; sys.modules['yaml'] = None; import runpy; runpy.run_module('build_hooks', run_name='__main__')"
    status, _, told = run(f'{sys.executable} -c "{bare}"', tmp_path)
    assert status == 1
    assert told == (
        f"The Python package yaml is not installed for {sys.executable}. "
        "Call .venv/bin/python in its place; make serve sets that up if it is not there.\n"
    )


def test_a_system_without_what_a_build_needs_is_told(tmp_path: Path) -> None:
    """As Windows, which has no such locks on folders."""
    code = "import sys; sys.modules['fcntl'] = None; import runpy; runpy.run_module('build_hooks', run_name='__main__')"
    status, _, told = run(f'{sys.executable} -c "{code}"', tmp_path)
    assert status == 1
    assert told == (
        "This system's Python lacks its module fcntl. Build the manual on Linux; its site can be read on any system.\n"
    )


def test_a_module_of_ours_that_is_not_there_is_a_fault_of_ours(capsys: pytest.CaptureFixture[str]) -> None:
    """No other Python has it either."""
    assert ended(raising(ModuleNotFoundError("No module named 'build_hooks.x'", name="build_hooks.x"))) == 1
    line = capsys.readouterr().err
    assert line.startswith("This is a fault of the program itself: ModuleNotFoundError: No module named 'build_hooks.x'")
