"""The engine as a wheel for the browser: the same bytes every time."""

from __future__ import annotations

import base64
import hashlib
import os
import subprocess
import sys
import zipfile
from collections.abc import Mapping
from pathlib import Path
from typing import Final

import calc_engine
from calc_engine import OWN_PACKAGE

__all__ = ["EARLIEST", "RUNTIME_PYTHON", "engine_files", "engine_wheel", "own_files"]

RUNTIME_PYTHON: Final = (3, 13)
"""The Python of the pinned browser runtime. Bytecode made by another minor version would not load there."""

EARLIEST: Final = (1980, 1, 1, 0, 0, 0)
"""The time of every entry of an archive, so that no time of day gets into it."""

_WHEEL: Final = "Wheel-Version: 1.0\nGenerator: benchleaf\nRoot-Is-Purelib: true\nTag: py3-none-any\n"


def engine_files() -> dict[str, bytes]:
    """The source files of the engine, by their name inside a wheel, with no calculations of a manual's own."""
    package = Path(calc_engine.__file__).parent
    return {path.relative_to(package.parent).as_posix(): path.read_bytes() for path in sorted(package.rglob("*.py"))} | own_files(
        {}
    )


def own_files(sources: Mapping[str, str]) -> dict[str, bytes]:
    """A manual's own calculations as a package beside the engine's; whoever imports it takes them into the catalogue.

    Args:
        sources: the text of each file by its name without ending.

    Returns:
        The files, by their name inside a wheel; where there are no sources, a package that does nothing.
    """
    stems = sorted(sources)
    lines = [
        "from calc_engine.catalogue import set_own",
        "from calc_engine.own import calculations_in",
        *(f"from {OWN_PACKAGE} import {stem}" for stem in stems),
        f"set_own(one for module in ({', '.join(stems)},) for one in calculations_in(module))",
    ]
    start = "".join(f"{line}\n" for line in lines) if stems else ""
    return {
        f"{OWN_PACKAGE}/__init__.py": start.encode(),
        **{f"{OWN_PACKAGE}/{stem}.py": sources[stem].encode() for stem in stems},
    }


def engine_wheel(files: dict[str, bytes], folder: Path) -> Path:
    """Writes the wheel, byte-compiled when this Python is of the runtime's minor version, as source otherwise.

    Args:
        files: what `engine_files` gives.
        folder: where to write it; it exists.

    Returns:
        The wheel.
    """
    stem = f"calc_engine-{calc_engine.VERSION}"
    source = folder / f"{stem}-py3-none-any.whl"
    info = f"{stem}.dist-info"
    metadata = f"Metadata-Version: 2.1\nName: calc_engine\nVersion: {calc_engine.VERSION}\n"
    _write(source, {**files, f"{info}/METADATA": metadata.encode(), f"{info}/WHEEL": _WHEEL.encode()}, f"{info}/RECORD")
    if sys.version_info[:2] != RUNTIME_PYTHON:
        return source
    return _byte_compiled(source, f"{info}/RECORD")


def _byte_compiled(source: Path, record: str) -> Path:
    before = set(source.parent.iterdir())
    # With a fixed epoch the bytecode carries a hash of its source instead of the time of day.
    subprocess.run(  # noqa: S603 - our own interpreter and file
        [sys.executable, "-m", "pyodide_cli", "py-compile", "--silent", "--keep", str(source)],
        check=True,
        capture_output=True,
        env={**os.environ, "SOURCE_DATE_EPOCH": "315532800"},
    )
    (compiled,) = set(source.parent.iterdir()) - before
    with zipfile.ZipFile(compiled) as wheel:
        files = {name: wheel.read(name) for name in sorted(wheel.namelist()) if name != record}
    _write(compiled, files, record)
    source.unlink()
    return compiled


def _write(target: Path, files: dict[str, bytes], record: str) -> None:
    lines = [f"{name},sha256={_digest(content)},{len(content)}" for name, content in files.items()]
    with zipfile.ZipFile(target, "w") as wheel:
        for name, content in {**files, record: "\n".join([*lines, f"{record},,", ""]).encode()}.items():
            entry = zipfile.ZipInfo(name, EARLIEST)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            wheel.writestr(entry, content, compresslevel=9)


def _digest(content: bytes) -> str:
    return base64.urlsafe_b64encode(hashlib.sha256(content).digest()).rstrip(b"=").decode()
