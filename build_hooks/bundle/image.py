"""The memory image: a started and warmed engine, saved once so that no page has to start it again."""

from __future__ import annotations

import json
import shutil
import subprocess
import zipfile
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Final

import calc_engine
from build_hooks.bundle.slim import write_slim_library

__all__ = ["BROWSER", "ImageFault", "make_image"]

BROWSER: Final = Path(__file__).parent.parent / "browser"
_LONGEST: Final = 300  # Seconds; a start takes five on a slow machine.


@dataclass
class ImageFault(Exception):  # noqa: N818 - it is told to the author, who can do without an image
    """Why no image could be made, in a line."""

    why: str


def make_image(runtime: Path, wheel: Path, build: str) -> bytes:
    """Starts the runtime in Node, imports and warms the engine, and saves its memory.

    Args:
        runtime: folder of the runtime's npm package.
        wheel: the engine.
        build: what the image is to be known by; a page refuses one that is known by another.

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
        write_slim_library(runtime / "python_stdlib.zip", folder / "library.zip")
        with zipfile.ZipFile(wheel) as packed:
            packed.extractall(folder / "engine")
        job = _job(runtime.resolve(), folder, build)
        (folder / "job.json").write_text(json.dumps(job), encoding="utf-8")
        _run([node, str(BROWSER / "image" / "make-image.mjs"), str(folder / "job.json")])
        return (folder / "image").read_bytes()


def _job(runtime: Path, folder: Path, build: str) -> dict[str, object]:
    first = next(iter(calc_engine.CATALOGUE.values()))
    return {
        "runtime": str(runtime),
        "stdlib": str(folder / "library.zip"),
        "engine": str(folder / "engine"),
        "warm": str(Path(__file__).with_name("warm.py")),
        "target": str(folder / "image"),
        "build": build,
        "version": calc_engine.VERSION,
        "example": {"calculation": first.name, "request": json.dumps(dict(first.example))},
    }


def _run(command: list[str]) -> None:
    try:
        done = subprocess.run(command, check=False, capture_output=True, text=True, timeout=_LONGEST)  # noqa: S603 - our own script
    except (OSError, subprocess.TimeoutExpired) as fault:
        raise ImageFault(str(fault)) from fault
    if done.returncode:
        told = done.stderr.strip().splitlines()
        raise ImageFault(told[-1] if told else "Node.js stopped without a word")
