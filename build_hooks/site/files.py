"""Writes what the browser needs beside the pages: styles, fonts, script and engine."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from build_hooks.blocks import measured_packs
from build_hooks.bundle import browser_bundle
from build_hooks.changes import FACTS_FILE, facts_of_pages, written_facts
from build_hooks.edition import Edition
from build_hooks.learning.exercises import subject_ids, unit_script
from build_hooks.library import Library
from build_hooks.page.qr_code import code_image
from build_hooks.reading.addresses import OWN_FOLDER
from build_hooks.search import IndexedPage, write_search
from build_hooks.site.offline import write_offline
from build_hooks.site.offline.integrity import write_integrity
from build_hooks.site.security import headers_of_site
from build_hooks.site.serve import HEADERS_FILE
from build_hooks.wall import FormPlace, Place, drawer, wall_pages

__all__ = ["FOLDER", "SCRIPT", "STYLES", "WORDS_SCRIPT", "Tools", "form_places", "write_site_files"]

FOLDER: Final = OWN_FOLDER
STYLES: Final = f"{FOLDER}/benchleaf.css"
SCRIPT: Final = f"{FOLDER}/benchleaf.js"
WORDS_SCRIPT: Final = f"{FOLDER}/benchleaf-words.js"

_BUILD_HOOKS: Final = Path(__file__).parents[1]
# A room's sheet lies with its scripts. In this order: the later may lean on the earlier.
_SHEETS: Final[Mapping[str, tuple[str, ...]]] = {
    "benchleaf.css": (
        "styles/fonts.css",
        "styles/paper.css",
        "browser/calc-panel/panel.css",
        "styles/stack.css",
        "styles/drawing.css",
        "styles/photo.css",
        "styles/tree.css",
        "browser/learning/learning.css",
        "browser/search/search.css",
        "browser/glossary/glossary.css",
        "browser/timer/timer.css",
        "browser/gears/gears.css",
        "browser/doors/doors.css",
        "browser/jobs/jobs.css",
        "styles/print.css",
    ),
    "wall.css": (
        "styles/fonts.css",
        "browser/timer/timer.css",
        "browser/wall/wall.css",
        "styles/drawing.css",
        "styles/photo.css",
    ),
}
_CLEARANCE_FORM: Final = re.compile(r'data-calculator="(?:pack-clearance|set-clearances)"[^>]*\sid="([^"]+)"')


@dataclass(frozen=True, slots=True)
class Tools:
    """What making the browser's files needs.

    Attributes:
        node_modules: where npm has put the runtime, the bundler and the fonts; not looked at where a wheel carries what comes of them.
        cache: a folder that may be kept between builds.
        warn: is told in one line what could not be made and what serves instead.
    """

    node_modules: Path
    cache: Path
    warn: Callable[[str], None]


def write_site_files(
    edition: Edition,
    finished: Mapping[str, IndexedPage],
    site: Path,
    address: str | None,
    tools: Tools,
    scripts: Collection[str],
) -> None:
    """Writes the wall view, styles, fonts, script and engine into a built site.

    Args:
        edition: the manual.
        finished: its pages, by their address below the site.
        site: the folder of the site.
        address: where the site will be served, with a slash at its end; None when that is not known.
        tools: what is needed to make them.
        scripts: the inline scripts of the pages that may run.
    """
    target = site / FOLDER
    target.mkdir(parents=True, exist_ok=True)
    for name, sheets in _SHEETS.items():
        (target / name).write_text(
            "\n".join((_BUILD_HOOKS / sheet).read_text(encoding="utf-8") for sheet in sheets), encoding="utf-8"
        )
    with browser_bundle(tools.node_modules, tools.cache, tools.warn, edition.library.own.sources) as bundle:
        bundle.copy_to(target)
        _write_units(edition, target / "units")
        write_search(site, finished, edition.library, bundle.script, tools.warn)
        _write_wall(edition, finished, site, address)
        edition.write_pictures(site)
        write_integrity(sorted(site.rglob("*.html")))
        headers = headers_of_site(scripts, _shared(edition))
        (site / HEADERS_FILE).write_text(json.dumps(headers, indent=2) + "\n", encoding="utf-8")
        # For whoever asks later what has changed since this edition; readers do not fetch it.
        written = {path: page.source for path, page in edition.pages.by_path.items() if path not in edition.made}
        (site / FACTS_FILE).write_text(written_facts(facts_of_pages(edition.library.docs, written)), encoding="utf-8")
        # Last of all: its list says what every file of the site holds.
        write_offline(site, bundle.script)


def _shared(edition: Edition) -> str | None:
    jobs = edition.library.shop.jobs
    return jobs.folder.origin if jobs else None


def _write_units(edition: Edition, folder: Path) -> None:
    """The data that exercises are made from, a script for each unit and one for the standards; a page loads the one it asks about."""
    folder.mkdir(exist_ok=True)
    for unit_id in subject_ids(edition.library):
        (folder / f"{unit_id}.js").write_text(unit_script(edition.library, unit_id), encoding="ascii")


def form_places(library: Library, finished: Mapping[str, IndexedPage]) -> dict[tuple[str, str], FormPlace]:
    """Where the clearance form of each pack is, its own or that of its drum: on a page of its unit, else on any.

    Args:
        library: the units.
        finished: the pages, by their address below the site.
    """
    ids: dict[str, list[tuple[str, str]]] = {}
    for unit in library.units.values():
        for pack in unit.packs.values():
            ids[f"calc-{unit.id}-{pack.id}"] = [(unit.id, pack.id)]
        for drum_id, drum in unit.drums.items():
            ids[f"calc-{unit.id}-{drum_id}"] = [
                (unit.id, found.id) for found in measured_packs(unit, drum) if found.id in unit.packs
            ]
    places: dict[tuple[str, str], FormPlace] = {}
    # A page of the unit itself comes last, so that it wins; after those that no author wrote.
    for url, page in sorted(finished.items(), key=lambda item: (item[1].unit_id is not None, not item[1].made)):
        for found in _CLEARANCE_FORM.findall(page.html):
            places |= dict.fromkeys(ids.get(found, ()), FormPlace(page.title, f"{url}#{found}"))
    return places


def _write_wall(edition: Edition, finished: Mapping[str, IndexedPage], site: Path, address: str | None) -> None:
    def code_for(path: str) -> str | None:
        return None if address is None else code_image(address + path)

    place = Place(
        f"{edition.today.day} {edition.today:%b}",
        drawer(edition.library.shop.screens.values()),
        code_for,
        form_places(edition.library, finished),
        edition.step_photos(),
    )
    for path, page in wall_pages(edition.library, place).items():
        (site / path).parent.mkdir(parents=True, exist_ok=True)
        (site / path).write_text(page, encoding="utf-8")
