"""A copy of the manual that opens by double-click: from a stick or a plain share, with no server."""

from __future__ import annotations

import shutil
import tempfile
import zipfile
from collections.abc import Collection
from pathlib import Path, PurePosixPath
from typing import Final

from build_hooks.bundle import write_carried_parts
from build_hooks.offline.faults import NotMadeError
from build_hooks.offline.integrity import without_integrity
from build_hooks.offline.keeping import PAGE_SCRIPT, SERVICE_WORKER, STYLES, without_script
from build_hooks.offline.links import for_folder
from build_hooks.site_server import HEADERS_FILE, NOT_FOUND_PAGE

__all__ = ["write_folder"]

# What only a server, or only a served page, has a use for.
_LEFT_OUT: Final = (NOT_FOUND_PAGE, "sitemap.xml", SERVICE_WORKER, PAGE_SCRIPT, STYLES, HEADERS_FILE)
_ASSETS: Final = Path("assets/benchleaf")
# The oldest date that the format knows: the same manual gives the same file, whenever it was packed.
_NO_DATE: Final = (1980, 1, 1, 0, 0, 0)


def write_folder(site: Path, folder: Path) -> Path:
    """Writes the copy and packs it.

    Args:
        site: the folder of the built site.
        folder: where the copy is to stand; an earlier copy there is replaced.

    Returns:
        The packed copy, a zip file beside the folder that holds one folder of the same name.

    Raises:
        NotMadeError: there is something in the folder that is no copy of a manual, or it is the site itself.
    """
    folder = folder.absolute()
    _refuse_what_is_not_ours(site.absolute(), folder)
    folder.parent.mkdir(parents=True, exist_ok=True)
    # On the same disk, so that it can be moved into place in one step.
    with tempfile.TemporaryDirectory(prefix=f".{folder.name}-", dir=folder.parent) as name:
        new = Path(name) / folder.name
        shutil.copytree(site, new, ignore=_of_no_use)
        _make_it_open_by_itself(new)
        packed = Path(name) / "packed.zip"
        _pack(new, packed)
        if folder.exists():
            folder.rename(Path(name) / "old")
        new.rename(folder)
        return packed.rename(folder.parent / f"{folder.name}.zip")


def _refuse_what_is_not_ours(site: Path, folder: Path) -> None:
    if not (site / "index.html").is_file():
        raise NotMadeError(f"{site.as_posix()}: there is no built site here. Call make build first.")
    if folder in (site, *site.parents) or site in folder.parents:
        raise NotMadeError(f"{folder.as_posix()}: the copy cannot stand in the site, or the site in it. Name another with --to.")
    if folder.exists() and not (folder.is_dir() and ((folder / _ASSETS).is_dir() or not any(folder.iterdir()))):
        raise NotMadeError(f"{folder.as_posix()}: something else is here. Name another folder with --to.")


def _make_it_open_by_itself(copy: Path) -> None:
    for name in _LEFT_OUT:
        (copy / name).unlink(missing_ok=True)
    for engine in copy.glob(f"{_ASSETS.as_posix()}/engine-*"):
        write_carried_parts(engine)
    for page in sorted(copy.rglob("*.html")):
        text = page.read_text(encoding="utf-8")
        page.write_text(for_folder(without_integrity(without_script(text)), page), encoding="utf-8")


def _of_no_use(_folder: str, names: Collection[str]) -> set[str]:
    """Names that are for developers' tools, or siblings that a server sends in place of the file itself."""
    compressed = {name for name in names if name.endswith((".gz", ".br")) and name.rpartition(".")[0] in names}
    return compressed | {name for name in names if name.endswith(".map")}


def _pack(copy: Path, target: Path) -> None:
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for path in sorted(path for path in copy.rglob("*") if path.is_file()):
            entry = zipfile.ZipInfo(PurePosixPath(copy.name, path.relative_to(copy).as_posix()).as_posix(), _NO_DATE)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, path.read_bytes(), compresslevel=9)
