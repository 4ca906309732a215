"""The engine's folder in a site: runtime, wheel, memory image, and the worker's script that knows them by their digests."""

from __future__ import annotations

import gzip
import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

import calc_engine
from build_hooks.bundle.assets import filled
from build_hooks.bundle.folder import SCRIPTS
from build_hooks.bundle.wheel import engine_wheel

__all__ = ["RUNTIME_FILES", "Engine", "digest_of", "runtime_in", "write_engine"]

RUNTIME_FILES: Final = ("pyodide.asm.wasm", "pyodide.asm.js", "pyodide.mjs", "python_stdlib.zip", "pyodide-lock.json")
"""What is taken of the runtime's package."""

_STORED: Final = {"wasm": "wasm.gz", "image": "image.gz", "stdlib": "stdlib.zip", "engine": "engine.whl"}
_RUNTIME_SCRIPT: Final = "runtime.js"


@dataclass(frozen=True, slots=True)
class Engine:
    """What an engine's folder is made of.

    Attributes:
        files: the source files, by their name inside the wheel.
        build: what the memory image is known by.
        image: the memory image; None where there is none.
        known: the questions by which an engine proves itself.
        runtime: the files of the runtime's package, by their names.
        worker: the worker's script, which leaves open what it is to know of the parts.
    """

    files: Mapping[str, bytes]
    build: str
    image: bytes | None
    known: Mapping[str, Any]
    runtime: Mapping[str, bytes]
    worker: bytes


def digest_of(files: Mapping[str, bytes]) -> str:
    """A name for what some files hold, and how they are called."""
    digest = hashlib.sha256()
    for name, content in sorted(files.items()):
        digest.update(f"{name}:{len(content)}:".encode())
        digest.update(content)
    return digest.hexdigest()[:16]


def write_engine(assets: Path, engine: Engine) -> dict[str, Any]:
    """Writes the engine's folder.

    Args:
        assets: the folder that it goes into.
        engine: what it is made of.

    Returns:
        What the page's script is to know of it.
    """
    with TemporaryDirectory() as name:
        wheel = engine_wheel(dict(engine.files), Path(name)).read_bytes()
    contents = {"wasm": engine.runtime["pyodide.asm.wasm"], "stdlib": engine.runtime["python_stdlib.zip"], "engine": wheel}
    parts = {
        name: _Part.of(name, content) for name, content in (contents | ({"image": engine.image} if engine.image else {})).items()
    }
    described = {name: part.described() for name, part in parts.items()}
    manifest = {
        "build": engine.build,
        "engine": calc_engine.VERSION,
        "runtime": json.loads(engine.runtime["pyodide-lock.json"])["info"],
        "parts": described,
        "known": engine.known,
    }
    files = {part.file: part.stored for part in parts.values()}
    files[_RUNTIME_SCRIPT] = engine.runtime["pyodide.asm.js"]
    files["benchleaf-worker.js"] = filled(engine.worker, "BENCHLEAF_MANIFEST", manifest)
    folder = f"engine-{digest_of(files)}"
    (assets / folder).mkdir(parents=True)
    for name, content in files.items():
        (assets / folder / name).write_bytes(content)
    scripts = [_Part(name, files[name], files[name]).described() for name in SCRIPTS]
    return {"folder": folder, "parts": described, "scripts": scripts}


def runtime_in(folder: Path) -> dict[str, bytes]:
    """The files of the runtime that an engine's folder holds, by the names that they have in its package."""
    return {
        "pyodide.asm.wasm": gzip.decompress((folder / _STORED["wasm"]).read_bytes()),
        "pyodide.asm.js": (folder / _RUNTIME_SCRIPT).read_bytes(),
        "python_stdlib.zip": (folder / _STORED["stdlib"]).read_bytes(),
    }


@dataclass(frozen=True, slots=True)
class _Part:
    """A file that the engine fetches for itself."""

    file: str
    stored: bytes
    content: bytes

    @classmethod
    def of(cls, name: str, content: bytes) -> _Part:
        """What is not compressed already is stored compressed: the browser inflates it, so that any server will do."""
        file = _STORED[name]
        return cls(file, gzip.compress(content, 9, mtime=0) if file.endswith(".gz") else content, content)

    def described(self) -> dict[str, Any]:
        return {
            "file": self.file,
            "bytes": len(self.stored),
            "stored": hashlib.sha256(self.stored).hexdigest(),
            "content": hashlib.sha256(self.content).hexdigest(),
        }
