"""A manual as large as a group of shops would write: the demo's units again and again, each with its own name, sizes and photographs."""

from __future__ import annotations

import itertools
import re
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import yaml
from PIL import Image

__all__ = ["LargeManual", "write_large_manual"]

ROOT: Final = Path(__file__).parents[2]
_DOCS: Final = ROOT / "docs"
_UNITS: Final = {"alder-4": "Alder 4", "rowan-6": "Rowan 6", "hazel-2": "Hazel 2"}
_PATH_OF: Final = {"alder-4": "front-drum.yml"}
# Diameters, which can all grow by the same amount without a pack, a limit or a sentence that speaks of them becoming wrong.
_DIAMETER: Final = re.compile(r"(?<![\d.])([5-9]\d|1\d\d)(?= mm\b)")
_MOST_GROWN: Final = 40


@dataclass(frozen=True, slots=True)
class LargeManual:
    """What was written.

    Attributes:
        config: the manual's mkdocs.yml.
        plain: another for the same Markdown, with plain Material: the blocks are shown as code.
        procedures: pages of the units.
        units: how many.
        packs: how many they have.
        paths: of learning.
        photographs: how many.
        page: one of the procedures, from the docs folder.
        title: its heading.
    """

    config: Path
    plain: Path
    procedures: int
    units: int
    packs: int
    paths: int
    photographs: int
    page: str
    title: str


def write_large_manual(folder: Path, procedures: int) -> LargeManual:
    """Writes a manual of at least so many procedures; the same every time.

    Args:
        folder: an empty folder.
        procedures: pages of units that it has at least.
    """
    docs = folder / "docs"
    shutil.copytree(_DOCS, docs)
    for number, unit in enumerate(itertools.cycle(_UNITS), 1):
        if len(_procedures(docs)) >= procedures:
            break
        _write_unit(docs, unit, number)
    config = _without_nav()
    (folder / "mkdocs.yml").write_text(yaml.safe_dump(config), encoding="utf-8")
    plain = {name: value for name, value in config.items() if name != "plugins"} | {"site_dir": "plain"}
    (folder / "plain.yml").write_text(yaml.safe_dump(plain), encoding="utf-8")
    (folder / "node_modules").symlink_to(ROOT / "node_modules")
    units = [yaml.safe_load(path.read_text(encoding="utf-8")) for path in docs.glob("units/*/unit.yml")]
    return LargeManual(
        folder / "mkdocs.yml",
        folder / "plain.yml",
        len(_procedures(docs)),
        len(units),
        sum(len(unit["packs"]) for unit in units),
        len(list(docs.glob("learning/*.yml"))),
        len(list(docs.glob("units/*/photos/*"))),
        "units/alder-4/front-drum-clearance.md",
        "Alder 4 front drum: set the clearance",
    )


def _procedures(docs: Path) -> list[Path]:
    return list(docs.glob("units/*/*.md"))


def _without_nav() -> dict[str, object]:
    """The demo's settings; its menu names pages one by one, and a manual without one is ordered by its folders."""
    text = (ROOT / "mkdocs.yml").read_text(encoding="utf-8").partition("\nnav:")[0]
    config: dict[str, object] = yaml.safe_load(re.sub(r"!ENV .*", "http://bench.invalid/", text))
    return config


def _write_unit(docs: Path, unit: str, number: int) -> None:
    new, name = f"{unit}-{number:03}", f"{_UNITS[unit]}.{number:03}"
    grown = number % _MOST_GROWN
    folder = docs / "units" / new
    shutil.copytree(_DOCS / "units" / unit, folder)

    def written(text: str) -> str:
        larger = _DIAMETER.sub(lambda size: str(int(size[0]) + grown), text)
        return (
            larger.replace(_UNITS[unit], name).replace(f"units/{unit}/", f"units/{new}/").replace(f"unit: {unit}", f"unit: {new}")
        )

    for path in [*folder.glob("*.md"), *folder.glob("*.yml")]:
        path.write_text(written(path.read_text(encoding="utf-8")).replace(f"/{unit}/", f"/{new}/"), encoding="utf-8")
    for photograph in folder.glob("photos/*"):
        _mark(photograph, number)
    if unit in _PATH_OF:
        path = _DOCS / "learning" / _PATH_OF[unit]
        (docs / "learning" / f"{path.stem}-{number:03}.yml").write_text(
            written(path.read_text(encoding="utf-8")), encoding="utf-8"
        )


def _mark(photograph: Path, number: int) -> None:
    """No two photographs are alike, so that none is made smaller only once."""
    with Image.open(photograph) as picture:
        marked = picture.copy()
    marked.paste(0, (number % 90, number // 90, number % 90 + 1, number // 90 + 1))
    marked.save(photograph)
