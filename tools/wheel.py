"""Puts the browser's files into a wheel: what setuptools calls for it, named in pyproject.toml under `tool.setuptools.cmdclass`."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path
from typing import override

from setuptools.command.build_py import build_py

_ROOT = Path(__file__).parents[1]


class BuildWithBrowserFiles(build_py):
    """Copies the packages, and beside them what the browser runs, made from node_modules as for a site."""

    @override
    def run(self) -> None:
        if not self.editable_mode:
            # What an earlier wheel left there would go into this one.
            shutil.rmtree(self.build_lib, ignore_errors=True)
        super().run()
        if not self.editable_mode:
            # In a process of its own: this one may not have the packages on its path.
            target = Path(self.build_lib).resolve() / "build_hooks" / "bundle" / "ready"
            subprocess.run([sys.executable, "-m", "build_hooks.bundle.carrying", str(target)], check=True, cwd=_ROOT)  # noqa: S603
