"""What a site takes from npm's packages, checked byte by byte before it goes into one.

`npm ci` checks each package as it is fetched; nothing checks what has become of its files since. `digests.json` beside
this module records the SHA-256 of every file that is copied or bundled into a site, and of the bundler where it is known.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Final

__all__ = ["FONTS", "RECORDED", "PackageChangedError", "check_packages", "digests_of", "recorded_digests"]

RECORDED: Final = Path(__file__).with_name("digests.json")

FONTS: Final = {
    f"atkinson-hyperlegible-{name}.woff2": f"@fontsource-variable/atkinson-hyperlegible-{name}/files/"
    f"atkinson-hyperlegible-{name}-latin-wght-normal.woff2"
    for name in ("mono", "next")
}
"""The fonts, by the name that they have in a site: where they are below npm's folder."""

_COPIED: Final = (
    "pyodide/pyodide.asm.js",
    "pyodide/pyodide.asm.wasm",
    "pyodide/pyodide-lock.json",
    "pyodide/pyodide.mjs",
    "pyodide/python_stdlib.zip",
    *FONTS.values(),
)
# Packages whose modules the bundler takes into our scripts: which of them, it decides by their package.json.
_BUNDLED: Final = ("idb", "minisearch", "pyodide", "qrcode-generator")
_BUNDLERS: Final = "@esbuild/*/bin/esbuild"


class PackageChangedError(Exception):
    """A file of npm's packages is not the one that was recorded; nothing is built with it."""


def check_packages(node_modules: Path) -> None:
    """Compares the files of npm's packages with what was recorded.

    Args:
        node_modules: where npm has put them.

    Raises:
        PackageChangedError: a file is missing, has changed, or was never recorded.
    """
    recorded = recorded_digests()
    found = digests_of(node_modules)
    bundlers = {path.relative_to(node_modules).as_posix() for path in node_modules.glob(_BUNDLERS)}
    for name in sorted(recorded.keys() | found.keys()):
        # The bundler is another file on every kind of machine: one that was not recorded is left to npm's own check.
        if name not in found and not name.startswith("@esbuild/"):
            raise PackageChangedError(f"{node_modules.name}/{name} is missing. Run “npm ci” and build again.")
        if name in found and found[name] != recorded.get(name) and not (name in bundlers and name not in recorded):
            raise PackageChangedError(
                f"{node_modules.name}/{name} is not the file that was recorded. Run “npm ci” and build again; "
                "after changing a version in package.json, run “python -m build_hooks.bundle.digests” first."
            )


def recorded_digests() -> dict[str, str]:
    """What was recorded of npm's packages: hexadecimal SHA-256 by the file's name below ``node_modules``."""
    recorded: dict[str, str] = json.loads(RECORDED.read_text(encoding="utf-8"))
    return recorded


def digests_of(node_modules: Path) -> dict[str, str]:
    """The SHA-256 of every file that may go into a site, and of the bundlers.

    Args:
        node_modules: where npm has put its packages.

    Returns:
        Hexadecimal digests by the file's name below ``node_modules``; what is missing is left out.
    """
    return {
        path.relative_to(node_modules).as_posix(): hashlib.sha256(path.read_bytes()).hexdigest() for path in _files(node_modules)
    }


def _files(node_modules: Path) -> Iterator[Path]:
    yield from (path for name in _COPIED if (path := node_modules / name).is_file())
    yield from sorted(node_modules.glob(_BUNDLERS))
    for package in _BUNDLED:
        yield from (path for path in [node_modules / package / "package.json"] if path.is_file())
    for scripts in ("idb/build/*.js", "minisearch/dist/es/*.js", "qrcode-generator/dist/qrcode.mjs"):
        yield from sorted(node_modules.glob(scripts))
