"""A copy of the manual that opens by double-click: from a stick or a plain share, with no server."""

from __future__ import annotations

import os
import shutil
import zipfile
from collections.abc import Collection
from pathlib import Path, PurePosixPath
from typing import Final

from build_hooks.bundle import write_inlined_parts
from build_hooks.changes import FACTS_FILE
from build_hooks.reading.addresses import OWN_FOLDER, SERVICE_WORKER
from build_hooks.site.offline.integrity import without_integrity
from build_hooks.site.offline.keeping import PAGE_SCRIPT, STYLES, without_script
from build_hooks.site.offline.links import for_folder
from build_hooks.site.replacing import NotMadeError, put_in_place, recover, refuse_what_is_not_ours, settled, work_folder
from build_hooks.site.serve import HEADERS_FILE, NOT_FOUND_PAGE

__all__ = ["write_folder"]

# What only a server, or only a served page, has a use for.
_LEFT_OUT: Final = (NOT_FOUND_PAGE, "sitemap.xml", SERVICE_WORKER, PAGE_SCRIPT, STYLES, HEADERS_FILE, FACTS_FILE)
_OPTION: Final = "--to"
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
        NotMadeError: there is something in the folder, or in the place of the packed copy, that is no copy of a manual; or it
            is the site itself, lies in it or holds it.
    """
    site, folder = settled(site), settled(folder)
    packed = folder.parent / f"{folder.name}.zip"
    recover(site)
    _refuse(site, folder, packed)
    with work_folder(folder) as work:
        shutil.copytree(site, work.new, ignore=_of_no_use)
        _make_it_open_by_itself(work.new)
        new_packed = work.path / packed.name
        _pack(work.new, new_packed)
        _refuse(site, folder, packed)
        put_in_place(work.new, folder)
        return new_packed.replace(packed)


def _refuse(site: Path, folder: Path, packed: Path) -> None:
    if not (site / "index.html").is_file():
        raise NotMadeError(f"{site.as_posix()}: there is no built site here. Build it first: benchleaf build.")
    refuse_what_is_not_ours(folder, _OPTION, {"the site": site})
    if os.path.lexists(packed) and not _is_packed_copy(packed, folder.name):
        raise NotMadeError(f"{packed.as_posix()}: something else is here. Name another folder with {_OPTION}.")


def _is_packed_copy(path: Path, name: str) -> bool:
    if path.is_symlink() or not path.is_file() or not zipfile.is_zipfile(path):
        return False
    with zipfile.ZipFile(path) as packed:
        return all(entry.startswith(f"{name}/") for entry in packed.namelist()) and f"{name}/index.html" in packed.namelist()


def _make_it_open_by_itself(copy: Path) -> None:
    for name in _LEFT_OUT:
        (copy / name).unlink(missing_ok=True)
    for engine in copy.glob(f"{OWN_FOLDER}/engine-*"):
        write_inlined_parts(engine)
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
