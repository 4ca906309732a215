"""Bundles the page's scripts. One classic script each, so that they also run from a folder opened by double-click."""

from __future__ import annotations

import json
import os
import re
import subprocess
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

from build_hooks.bundle.image import BROWSER

__all__ = ["bundled", "bundler", "filled", "scripts_from", "worker_script"]

# The runtime's loader names a public host for packages. Nothing may ever be fetched from there.
_PUBLIC_HOST: Final = re.compile(r"https://[\w./-]*\$\{[\w$]+\}/full/")

# The three calls of the runtime's loader that are led through ours: see browser/engine/worker/runtime.js.
_HOOKS: Final = {
    "fetch": "benchleafRuntime.fetch",
    "WebAssembly.instantiateStreaming": "benchleafRuntime.instantiate",
    "_createPyodideModule": "benchleafRuntime.create",
}


def bundler(node_modules: Path) -> Path:
    """The bundler's own program; it needs no Node.

    Raises:
        FileNotFoundError: npm has not installed it.
    """
    programs = sorted(node_modules.glob("@esbuild/*/bin/esbuild"))
    if not programs:
        raise FileNotFoundError(f"No esbuild in {node_modules}: run “npm ci” first.")
    return programs[0].resolve()


def worker_script(node_modules: Path) -> bytes:
    """The script of the engine's worker, with the runtime's loader in it; what it is to know of its parts is still to be filled in.

    Args:
        node_modules: where npm has put runtime and bundler.

    Returns:
        The script.

    Raises:
        ValueError: the loader no longer names a public host where it did: this module must be looked at again.
    """
    script = bundled(node_modules, "engine/worker/engine-worker.js", _HOOKS)
    cleaned, found = _PUBLIC_HOST.subn("", script.decode())
    if found != 1 or "https://" in cleaned:
        raise ValueError("The runtime's loader names hosts in another way than it used to.")
    return cleaned.encode()


def filled(script: bytes, name: str, value: Mapping[str, Any]) -> bytes:
    """A script with a name that it leaves open.

    Args:
        script: as it was bundled.
        name: the name.
        value: what it is to stand for. Not filled in by the bundler, for a manual's own calculations need another, and no bundler.
    """
    head = f'(()=>{{"use strict";const {name}={json.dumps(value, separators=(",", ":"))};\n'
    return head.encode() + script + b"})();\n"


def scripts_from(node_modules: Path) -> Callable[[str], bytes]:
    """What bundles an entry that needs no names defined.

    Args:
        node_modules: where npm has put its packages.
    """
    return lambda entry: bundled(node_modules, entry, {})


def bundled(node_modules: Path, entry: str, defined: Mapping[str, str]) -> bytes:
    """One entry with all that it imports, as a classic script.

    Args:
        node_modules: where npm has put its packages.
        entry: file in the browser folder.
        defined: names that the bundler replaces, with the text that takes their place.

    Returns:
        The script.
    """
    command = [
        str(bundler(node_modules)),
        str(BROWSER / entry),
        "--bundle",
        "--minify",
        "--format=iife",
        "--target=es2022",
        "--charset=utf8",
        "--legal-comments=none",
        "--log-level=warning",
        "--external:node:*",
        "--external:ws",
        *(f"--define:{name}={text}" for name, text in defined.items()),
    ]
    environment = {**os.environ, "NODE_PATH": str(node_modules.resolve())}
    return subprocess.run(command, check=True, stdout=subprocess.PIPE, env=environment).stdout  # noqa: S603 - our own files
