"""The small manual with a calculation of its own, and a page that asks for it."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from tests.small_manual import small_manual

__all__ = ["SOURCE", "own_manual", "write_calculation"]

SOURCE: Final = Path(__file__).with_name("pan_depth.py").read_text(encoding="utf-8")
_PAGE: Final = "# The pan\n\n```calc\ncalculation: pan-depth\n```\n"
_CONFIG: Final = (
    "site_name: Quay Lane\nsite_url: http://quay.local/\ntheme: {name: material, font: false}\nplugins: [benchleaf]\n"
)


def own_manual(folder: Path) -> Path:
    """Writes it; returns its docs folder."""
    docs = folder / "docs"
    small_manual(docs)
    write_calculation(docs, "pan_depth", SOURCE)
    (docs / "pan.md").write_text(_PAGE, encoding="utf-8")
    (folder / "mkdocs.yml").write_text(_CONFIG, encoding="utf-8")
    return docs


def write_calculation(docs: Path, stem: str, source: str) -> Path:
    """Writes the file of a calculation."""
    path = docs / "calculations" / f"{stem}.py"
    path.parent.mkdir(exist_ok=True)
    path.write_text(source, encoding="utf-8")
    return path
