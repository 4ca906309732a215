"""Imports between the rooms of the browser's scripts run one way: downward."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Final

import pytest

BROWSER: Final = Path(__file__).parents[3] / "build_hooks" / "browser"
ROOT_FILES: Final = 8

# Lowest first. Rooms on one floor know nothing of each other. A script belongs to the longest name that it begins with.
FLOORS: Final = (
    ("page",),  # what any script may need of the page it runs in
    ("engine",),  # what page and worker both know: messages, files and their digests
    ("engine/worker", "engine/client"),
    ("engine/image", "records"),
    ("calc-panel/panel-texts.js",),
    ("calc-panel/form", "timer"),
    ("calc-panel/view", "calc-panel/trials"),
    (
        "calc-panel",
        "doors",
        "gears",
        "jobs",
        "learning",
        "search",
        "glossary",
        "offline",
        "photo",
        "placing",
        "wall",
        "watch",
        "drawings",
    ),
    ("main.js", "globals.d.ts"),
)
_FLOOR_OF: Final = {room: floor for floor, rooms in enumerate(FLOORS) for room in rooms}
# Both ways to name another script: an import, and a type in a comment.
_IMPORTED: Final = re.compile(r'(?:\bfrom |\bimport |\bimport\()"(\.[^"]+)"')


def room_of(script: str) -> str:
    """The room that a script belongs to."""
    return max((room for room in _FLOOR_OF if script == room or script.startswith(f"{room}/")), key=len)


def wrong_imports(scripts: Mapping[str, str]) -> Iterator[str]:
    """The imports that do not lead downward, or stay in their room."""
    for script, text in scripts.items():
        for imported in _IMPORTED.findall(text):
            target = posixpath.normpath(posixpath.join(posixpath.dirname(script), imported))
            here, there = room_of(script), room_of(target)
            if here != there and _FLOOR_OF[there] >= _FLOOR_OF[here]:
                yield f"{script} imports {target}"


def written() -> dict[str, str]:
    """The scripts by their path in the browser folder."""
    paths = (path for path in BROWSER.rglob("*") if path.suffix in {".js", ".mjs", ".ts"})
    return {path.relative_to(BROWSER).as_posix(): path.read_text(encoding="utf-8") for path in paths}


def test_every_import_leads_to_a_lower_floor() -> None:
    """No script knows the rooms that use it."""
    assert list(wrong_imports(written())) == []


def test_every_room_has_scripts() -> None:
    """A room that is gone is taken off the list."""
    assert {room_of(script) for script in written()} == set(_FLOOR_OF)


def test_the_root_has_few_files() -> None:
    """A new script goes into a room."""
    assert len([path for path in BROWSER.iterdir() if path.is_file()]) <= ROOT_FILES


@pytest.mark.parametrize(
    ("script", "text"),
    [
        ("page/store.js", 'import { start } from "../main.js";'),
        ("engine/protocol.js", '/** @typedef {import("./client/jobs.js").Answer} Answer */'),
        ("engine/client/jobs.js", 'import { prove } from "../worker/proof.js";'),
        ("calc-panel/form/entries.js", 'import {\n  show,\n} from "../view/result-view.js";'),
        ("search/main.js", 'import "../wall/main.js";'),
    ],
)
def test_an_import_upward_or_across_is_found(script: str, text: str) -> None:
    """In each way of writing it."""
    assert len(list(wrong_imports({script: text}))) == 1
