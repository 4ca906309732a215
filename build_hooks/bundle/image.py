"""The memory image: a started and warmed engine, saved once so that no page has to start it again."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

import calc_engine
from build_hooks.bundle.slim import write_slim_library
from build_hooks.bundle.wheel import EARLIEST, RUNTIME_PYTHON

__all__ = ["BROWSER", "ImageFault", "make_image"]

BROWSER: Final = Path(__file__).parent.parent / "browser"
_LONGEST: Final = 300  # Seconds; a start takes five on a slow machine.


@dataclass
class ImageFault(Exception):  # noqa: N818 - it is told to the author, who can do without an image
    """Why no image could be made, in a line."""

    why: str


def make_image(runtime: Path, engine: Mapping[str, bytes], build: str, own: Collection[str] = ()) -> bytes:
    """Starts the runtime in Node, imports and warms the engine, and saves its memory.

    Args:
        runtime: folder of the runtime's npm package.
        engine: the engine's source files.
        build: what the image is to be known by; a page refuses one that is known by another.
        own: the names of the manual's own calculations in it. They may lean on what an image does without, so each is asked.

    Returns:
        The image. The same arguments give the same bytes.

    Raises:
        ImageFault: Node is missing, or the runtime could not be started, saved or restored.
    """
    node = shutil.which("node")
    if node is None:
        raise ImageFault("Node.js is not installed")
    with TemporaryDirectory() as name:
        folder = Path(name)
        write_slim_library(runtime / "python_stdlib.zip", folder / "library")
        for path, content in engine.items():
            (folder / "engine" / path).parent.mkdir(parents=True, exist_ok=True)
            (folder / "engine" / path).write_bytes(content)
        for part in ("library", "engine"):
            _byte_compile(folder / part)
        _pack(folder / "library", folder / "library.zip")
        (folder / "job.json").write_text(json.dumps(_job(runtime.resolve(), folder, build, own)), encoding="utf-8")
        _run([node, str(BROWSER / "engine" / "image" / "make-image.mjs"), str(folder / "job.json")])
        return (folder / "image").read_bytes()


def _byte_compile(folder: Path) -> None:
    """Compiles here, if this Python is of the runtime's minor version: the runtime's own compiling leaves holes in its memory.

    Docstrings, columns and assertions are left out; an assertion tells the type checker what is known, no more.
    """
    if sys.version_info[:2] != RUNTIME_PYTHON:
        return
    options = ["-q", "-b", "-o", "2", "--invalidation-mode", "unchecked-hash", "-s", str(folder)]
    # A few files of the library are not meant for this Python; they stay as they are.
    subprocess.run(  # noqa: S603 - our own interpreter and files
        [sys.executable, "-X", "no_debug_ranges", "-m", "compileall", *options, str(folder)], check=False, capture_output=True
    )
    for source in folder.rglob("*.py"):
        if source.with_suffix(".pyc").is_file():
            source.unlink()


def _pack(folder: Path, target: Path) -> None:
    with zipfile.ZipFile(target, "w") as library:
        for path in sorted(folder.rglob("*")):
            if path.is_file():
                library.writestr(zipfile.ZipInfo(path.relative_to(folder).as_posix(), EARLIEST), path.read_bytes())


def _job(runtime: Path, folder: Path, build: str, own: Collection[str]) -> dict[str, object]:
    first = next(iter(calc_engine.CATALOGUE))
    return {
        "runtime": str(runtime),
        "stdlib": str(folder / "library.zip"),
        "engine": str(folder / "engine"),
        "warm": str(Path(__file__).with_name("warm.py")),
        "target": str(folder / "image"),
        "build": build,
        "version": calc_engine.VERSION,
        "examples": [_example(name) for name in (first, *own)],
    }


def _example(name: str) -> dict[str, str]:
    request = json.dumps(dict(calc_engine.CATALOGUE[name].example))
    return {"calculation": name, "request": request, "right": calc_engine.answer_for_page(name, request)}


def _run(command: list[str]) -> None:
    try:
        done = subprocess.run(command, check=False, capture_output=True, text=True, timeout=_LONGEST)  # noqa: S603 - our own script
    except (OSError, subprocess.TimeoutExpired) as fault:
        raise ImageFault(str(fault)) from fault
    if done.returncode:
        told = done.stderr.strip().splitlines()
        raise ImageFault(told[-1] if told else "Node.js stopped without a word")
