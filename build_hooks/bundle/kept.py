"""What is kept between builds, with a record of its bytes: nothing is believed that was changed since it was made."""

from __future__ import annotations

import hashlib
import json
import shutil
from pathlib import Path

__all__ = ["copy_entry", "forget_all_but", "is_sound", "put_away", "throw_away"]


def put_away(made: Path, kept: Path) -> None:
    """Moves a file or a folder into the cache and records what is in it.

    Args:
        made: the file or folder, on the same disk as the cache.
        kept: its place there; the name says what it was made from.
    """
    record = json.dumps(_record(made, kept.name), indent=1)
    try:
        made.rename(kept)
    except OSError:
        if not kept.is_dir():
            raise
        return  # Another build has made the same meanwhile.
    half = kept.with_name(f"{kept.name}.half")
    half.write_text(record, encoding="utf-8")
    half.rename(_record_of(kept))


def is_sound(kept: Path) -> bool:
    """Whether the cache still holds this entry, byte for byte as it was put away.

    Args:
        kept: the place of the entry.

    Returns:
        Whether it may be used. An entry whose record is missing may not.
    """
    try:
        return bool(json.loads(_record_of(kept).read_text(encoding="utf-8")) == _record(kept, kept.name))
    except (OSError, ValueError):
        return False


def throw_away(kept: Path) -> None:
    """Takes an entry and its record out of the cache."""
    _record_of(kept).unlink(missing_ok=True)
    if kept.is_dir() and not kept.is_symlink():
        shutil.rmtree(kept)
    else:
        kept.unlink(missing_ok=True)


def copy_entry(kept: Path, copy: Path) -> None:
    """Copies an entry with its record.

    Args:
        kept: the place of the entry.
        copy: the place of the copy; its name is the same.
    """
    shutil.copytree(kept, copy)
    shutil.copyfile(_record_of(kept), _record_of(copy))


def forget_all_but(number: int, cache: Path, pattern: str) -> None:
    """Throws away all but the newest entries.

    Args:
        number: how many are left.
        cache: the folder.
        pattern: of the entries' names.
    """
    entries = [path for path in cache.glob(pattern) if path.suffix == ""]
    for old in sorted(entries, key=lambda path: path.stat().st_mtime)[:-number]:
        throw_away(old)


def _record_of(kept: Path) -> Path:
    return kept.with_name(f"{kept.name}.json")


def _record(entry: Path, name: str) -> dict[str, object]:
    """The name is part of it: the record of an entry made from something else is no record of this one."""
    files = (
        {path.relative_to(entry).as_posix(): path for path in entry.rglob("*") if path.is_file()}
        if entry.is_dir()
        else {"": entry}
    )
    digests = {path: hashlib.sha256(file.read_bytes()).hexdigest() for path, file in sorted(files.items())}
    return {"made from": name, "files": digests}
