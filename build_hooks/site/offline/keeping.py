"""Lets a browser keep the served manual: a service worker with the list of its files, and a script that every page runs."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Final

from build_hooks.reading.addresses import SERVICE_WORKER
from build_hooks.site.offline.listing import edition_name, kept_files
from build_hooks.site.serve import NOT_FOUND_PAGE

__all__ = ["PAGE_SCRIPT", "STYLES", "with_script", "without_script", "write_offline"]

# At the root: a service worker answers for the folder it lies in.
PAGE_SCRIPT: Final = "assets/benchleaf/offline.js"
STYLES: Final = "assets/benchleaf/offline.css"

_SHEET: Final = Path(__file__).parents[2] / "browser" / "offline" / "offline.css"
_TAG: Final = '<script src="{root}assets/benchleaf/offline.js" defer></script>'
_ANY_TAG: Final = re.compile(re.escape(_TAG).replace(r"\{root\}", r"(?:\.\./)*"))
_END: Final = re.compile(r"</body\s*>", re.IGNORECASE)


def write_offline(site: Path, script: Callable[[str], bytes]) -> None:
    """Makes a built site one that browsers keep. Nothing in the site may change afterwards: the list says what it holds.

    Args:
        site: the folder of the finished site, headers and all.
        script: gives a script by the file of the browser folder that it is bundled from.
    """
    (site / PAGE_SCRIPT).parent.mkdir(parents=True, exist_ok=True)
    (site / PAGE_SCRIPT).write_bytes(script("offline/register.js"))
    shutil.copyfile(_SHEET, site / STYLES)
    for page in sorted(site.rglob("*.html")):
        # The page for what is not there is served for any address: nothing relative in it would lead anywhere.
        if page.relative_to(site).as_posix() != NOT_FOUND_PAGE:
            text = page.read_text(encoding="utf-8")
            page.write_text(with_script(text, "../" * (len(page.relative_to(site).parts) - 1)), encoding="utf-8")
    worker = script("offline/service-worker.js").decode()
    files = kept_files(site, without=SERVICE_WORKER)
    edition = {
        "name": edition_name(files, worker),
        "bytes": sum(file.bytes for file in files.values()),
        "files": {path: file.integrity for path, file in files.items()},
    }
    text = json.dumps(edition, ensure_ascii=True, separators=(",", ":"))
    (site / SERVICE_WORKER).write_text(f"self.benchleafEdition={text};\n{worker}", encoding="utf-8")


def with_script(page: str, root: str) -> str:
    """A page that also runs the script.

    Args:
        page: its HTML.
        root: the way from it to the root of the site, empty or with a slash at the end.

    Returns:
        The page; unchanged where it runs the script already, or has no end of its body.
    """
    tag = _TAG.format(root=root)
    ends = list(_END.finditer(page))
    if tag in page or not ends:
        return page
    return f"{page[: ends[-1].start()]}{tag}{page[ends[-1].start() :]}"


def without_script(page: str) -> str:
    """The page as it was before `with_script`."""
    return _ANY_TAG.sub("", page)
