"""Builds the site beside the old one and puts it in its place only when it is whole."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

import yaml

from build_hooks.site.replacing import PROJECT, WorkFolder, is_ours, put_in_place, refuse_what_is_not_ours, settled, work_folder

__all__ = ["build_site", "docs_of"]

type Run = Callable[[Sequence[str], WorkFolder], int]

_OPTION: Final = "--site"
_PLAIN_TEXT: Final = "tag:yaml.org,2002:str"


def build_site(config: Path, site: Path, builder: str = "mkdocs", run: Run | None = None) -> int:
    """Builds a manual.

    Args:
        config: its mkdocs.yml.
        site: the folder that the site is to stand in.
        builder: the module that builds: ``mkdocs``, or a fork of it.
        run: runs its command; by default in a process of its own.

    Returns:
        The exit code: 0, or 1 when something is wrong; the last good site then stays as it was.

    Raises:
        NotMadeError: something else is in the folder, or the folder is or holds the sources.
    """
    if not config.is_file():
        print(f"{config.as_posix()}: there is no such file. Name it with --config.", file=sys.stderr)  # noqa: T201
        return 1
    site = settled(site)
    sources = {PROJECT: config.absolute().parent, "the docs folder": docs_of(config)}
    refuse_what_is_not_ours(site, _OPTION, sources)
    with work_folder(site) as work:
        command = [sys.executable, "-m", "build_hooks.site.builder", builder]
        command += ["build", "--quiet", "--config-file", str(config), "--site-dir", str(work.new)]
        if (run or _status_of)(command, work):
            if is_ours(site):
                print("The last site stays as it was.", file=sys.stderr)  # noqa: T201
            return 1
        # Building takes a while, in which somebody may have put something there.
        refuse_what_is_not_ours(site, _OPTION, sources)
        put_in_place(work.new, site)
    return 0


def docs_of(config: Path) -> Path:
    """The docs folder of a manual, as far as it is written in plain words; the builder itself sees to the rest."""
    try:
        root = yaml.compose(config.read_text(encoding="utf-8"), Loader=yaml.SafeLoader)
    except (UnicodeDecodeError, yaml.YAMLError):
        root = None
    entries = root.value if isinstance(root, yaml.MappingNode) else []
    written = [value.value for key, value in entries if key.value == "docs_dir" and value.tag == _PLAIN_TEXT]
    return config.absolute().parent / Path(written[0] if written else "docs")


def _status_of(command: Sequence[str], work: WorkFolder) -> int:
    """Runs the builder. It ends when we do, and not by itself at Ctrl+C: then only one of the two has something to say."""
    # The theme prints a notice about its own future at every build; DEVELOPERS.md says what we do about it.
    environment = {**os.environ, "NO_MKDOCS_2_WARNING": "1"}
    with subprocess.Popen(  # noqa: S603 - our own interpreter, no shell
        command, stdin=subprocess.DEVNULL, env=environment, pass_fds=[work.lock], process_group=0
    ) as process:
        try:
            return process.wait()
        except BaseException:
            os.killpg(process.pid, signal.SIGKILL)
            raise
