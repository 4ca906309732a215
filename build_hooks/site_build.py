"""Builds the site beside the old one and puts it in its place only when it is whole."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

__all__ = ["build_site"]


def build_site(config: Path, site: Path, builder: str = "mkdocs") -> int:
    """Builds a manual.

    Args:
        config: its mkdocs.yml.
        site: the folder that the site is to stand in.
        builder: the module that builds: ``mkdocs``, or a fork of it.

    Returns:
        The exit code: 0, or 1 when something is wrong; the last good site then stays as it was.
    """
    if not config.is_file():
        print(f"{config.as_posix()}: there is no such file. Name it with --config.", file=sys.stderr)  # noqa: T201
        return 1
    site = site.absolute()
    site.parent.mkdir(parents=True, exist_ok=True)
    # On the same disk, so that it can be moved into place in one step.
    new = Path(tempfile.mkdtemp(prefix=f".{site.name}-", dir=site.parent))
    try:
        command = [sys.executable, "-m", builder, "build", "--quiet", "--config-file", str(config), "--site-dir", str(new)]
        # The theme prints a notice about its own future at every build; DEVELOPERS.md says what we do about it.
        environment = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
        done = subprocess.run(command, check=False, env=environment)  # noqa: S603 - our own interpreter, no shell
        if done.returncode:
            return 1
        _put_in_place(new, site)
    finally:
        shutil.rmtree(new, ignore_errors=True)
    return 0


def _put_in_place(new: Path, site: Path) -> None:
    new.chmod(0o755)
    old = site.with_name(f".{site.name}-old")
    shutil.rmtree(old, ignore_errors=True)
    if site.exists():
        site.rename(old)
    new.rename(site)
    shutil.rmtree(old, ignore_errors=True)
