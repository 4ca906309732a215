"""The cache of a build: used while it is whole, thrown away when a byte of it has changed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Final

import pytest

from build_hooks.bundle.kept import forget_all_but, is_sound, put_away, throw_away

CONTENT: Final = {"a.txt": b"one", "folder/b.txt": b"two"}


@pytest.fixture
def kept(tmp_path: Path) -> Path:
    """A folder that was put away."""
    made = tmp_path / "made"
    for name, content in CONTENT.items():
        (made / name).parent.mkdir(parents=True, exist_ok=True)
        (made / name).write_bytes(content)
    put_away(made, tmp_path / "site-1234")
    return tmp_path / "site-1234"


def test_what_was_put_away_is_sound(kept: Path) -> None:
    """Unchanged, it may be used, and nothing is left of how it was made."""
    assert is_sound(kept)
    assert sorted(path.name for path in kept.parent.iterdir()) == ["site-1234", "site-1234.json"]


@pytest.mark.parametrize(
    "damage",
    [
        lambda kept: (kept / "a.txt").write_bytes(b"onf"),
        lambda kept: (kept / "a.txt").unlink(),
        lambda kept: (kept / "c.txt").write_bytes(b""),
        lambda kept: (kept.parent / "site-1234.json").unlink(),
        lambda kept: (kept.parent / "site-1234.json").write_text("{", encoding="utf-8"),
        lambda kept: (kept.parent / "site-1234.json").write_text('{"made from": "site-1234", "files": {}}', encoding="utf-8"),
    ],
    ids=["changed", "missing", "added", "no record", "half a record", "another record"],
)
def test_what_has_changed_is_not_sound(kept: Path, damage: Callable[[Path], object]) -> None:
    """One byte, one file or the record: each is noticed."""
    damage(kept)
    assert not is_sound(kept)


def test_a_record_belongs_to_one_entry(kept: Path) -> None:
    """What was made from something else does not pass under another name, its record with it."""
    other = kept.with_name("site-5678")
    kept.rename(other)
    kept.with_name("site-1234.json").rename(kept.with_name("site-5678.json"))
    assert not is_sound(other)


def test_a_file_is_kept_as_well(tmp_path: Path) -> None:
    """The memory image is one."""
    (tmp_path / "made").write_bytes(b"memory")
    put_away(tmp_path / "made", tmp_path / "image-1")
    assert is_sound(tmp_path / "image-1")
    (tmp_path / "image-1").write_bytes(b"memorz")
    assert not is_sound(tmp_path / "image-1")
    throw_away(tmp_path / "image-1")
    assert list(tmp_path.iterdir()) == []


def test_the_newest_entries_stay(tmp_path: Path) -> None:
    """Old ones go, and their records with them."""
    for number in range(3):
        (tmp_path / "made").write_bytes(b"%d" % number)
        put_away(tmp_path / "made", tmp_path / f"image-{number}")
    forget_all_but(1, tmp_path, "image-*")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["image-2", "image-2.json"]
