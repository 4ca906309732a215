"""Writes what the browser needs beside the pages: styles, fonts, script and engine."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Final

from build_hooks.bundle import build_browser_files
from build_hooks.security import content_security_policy
from build_hooks.site_server import HEADERS_FILE

__all__ = ["FOLDER", "SCRIPT", "STYLES", "write_site_files"]

FOLDER: Final = "assets/benchleaf"
STYLES: Final = f"{FOLDER}/benchleaf.css"
SCRIPT: Final = f"{FOLDER}/benchleaf.js"

# In this order: the later may lean on the earlier.
_SHEETS: Final = ("fonts.css", "paper.css", "panel.css", "stack.css", "drawing.css")
_FONTS: Final = ("next", "mono")


def write_site_files(site: Path, node_modules: Path, cache: Path, warn: Callable[[str], None]) -> None:
    """Writes styles, fonts, script and engine into a built site.

    Args:
        site: the folder of the site.
        node_modules: where npm has put the runtime, the bundler and the fonts.
        cache: a folder that may be kept between builds.
        warn: is told in one line what could not be made and what serves instead.
    """
    target = site / FOLDER
    (target / "fonts").mkdir(parents=True, exist_ok=True)
    styles = Path(__file__).parent / "styles"
    (target / "benchleaf.css").write_text(
        "\n".join((styles / name).read_text(encoding="utf-8") for name in _SHEETS), encoding="utf-8"
    )
    for name in _FONTS:
        package = node_modules / "@fontsource-variable" / f"atkinson-hyperlegible-{name}" / "files"
        shutil.copyfile(
            package / f"atkinson-hyperlegible-{name}-latin-wght-normal.woff2",
            target / "fonts" / f"atkinson-hyperlegible-{name}.woff2",
        )
    build_browser_files(target, node_modules, cache, warn)
    headers = {
        "Content-Security-Policy": content_security_policy(sorted(site.rglob("*.html"))),
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": "no-referrer",
    }
    (site / HEADERS_FILE).write_text(json.dumps(headers, indent=2) + "\n", encoding="utf-8")
