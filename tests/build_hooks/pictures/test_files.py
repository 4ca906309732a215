"""A build reads each picture once, and again only when it has changed; pictures take no time from the page that shows them."""

from __future__ import annotations

import os
import re
from collections import Counter
from datetime import date
from pathlib import Path

import pytest

from build_hooks.edition import prepare
from build_hooks.pictures import PictureFault, made_picture, picture_faults, picture_of
from build_hooks.process import time_limit
from build_hooks.reading.memory import Memory
from tests.build_hooks.pictures.test_made import drawn
from tests.small_manual import small_manual

TODAY = date(2026, 11, 29)
PAGE = "# Drum\n\n```photo\nfile: drum.png\nshows: The drum.\npack: main\npart: ring-a\n```\n\n```photo\nfile: drum.png\nshows: Again.\n```\n"


@pytest.fixture
def docs(tmp_path: Path) -> Path:
    """A manual with a picture that two blocks show, one of them on the wall, and one that a page merely links."""
    folder = tmp_path / "docs"
    small_manual(folder)
    (folder / "units/oak-1/drum.png").write_bytes(drawn("PNG"))
    (folder / "units/oak-1/linked.jpg").write_bytes(drawn())
    (folder / "units/oak-1/drum.md").write_text(PAGE, encoding="utf-8")
    return folder


def everything(docs: Path, site: Path) -> None:
    """All that a check and a build ask of pictures."""
    edition, problems = prepare(docs, TODAY)
    assert edition is not None, list(problems)
    edition.warnings()
    assert len(edition.step_photos()) == 1
    for path in docs.rglob("*.[pj][np]g"):
        (site / path.relative_to(docs)).parent.mkdir(parents=True, exist_ok=True)
        (site / path.relative_to(docs)).write_bytes(b"as the builder copied it")
    edition.write_pictures(site)


def test_each_picture_is_read_once(docs: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """And not at all by the next build, unless it has changed, even to the same size with the old time."""
    reads: Counter[str] = Counter()
    read_bytes = Path.read_bytes

    def counted(path: Path) -> bytes:
        reads[path.name] += path.suffix in {".png", ".jpg"}
        return read_bytes(path)

    monkeypatch.setattr(Path, "read_bytes", counted)
    drum = docs / "units/oak-1/drum.png"
    everything(docs, tmp_path / "site")
    assert +reads == {"drum.png": 1, "linked.jpg": 1}
    everything(docs, tmp_path / "site")
    assert +reads == {"drum.png": 1, "linked.jpg": 1}
    before, other = drum.stat(), bytearray(read_bytes(drum))
    other[-1] ^= 1  # The check sum of the end, which nobody needs.
    drum.write_bytes(other)
    os.utime(drum, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert (drum.stat().st_size, drum.stat().st_mtime_ns) == (before.st_size, before.st_mtime_ns)
    everything(docs, tmp_path / "site")
    assert +reads == {"drum.png": 2, "linked.jpg": 1}
    assert read_bytes(tmp_path / "site/units/oak-1/drum.png") == made_picture(drawn("PNG")).content


def test_a_picture_that_is_gone_is_forgotten(docs: Path) -> None:
    """One that takes its place is another one; a fault is found again each time, for it may be mended."""
    drum = docs / "units/oak-1/drum.png"
    assert picture_of(drum).width == 64
    drum.unlink()
    assert picture_faults([]) == {}
    with pytest.raises(OSError, match="No such file"):
        picture_of(drum)
    drum.write_bytes(b"words")
    assert [fault.code for fault in picture_faults([drum]).values()] == ["no-picture"]
    with pytest.raises(PictureFault):
        picture_of(drum)
    drum.write_bytes(drawn("PNG", (128, 32)))
    assert (picture_faults([drum]), picture_of(drum).width) == ({}, 128)


def test_a_watched_page_follows_its_picture(docs: Path) -> None:
    """Another size and a picture that is gone are seen, though the text of the page is the same."""
    drum, page, memory = docs / "units/oak-1/drum.png", docs / "units/oak-1/drum.md", Memory()

    def widths() -> list[str]:
        edition, problems = prepare(docs, TODAY, memory)
        blocks = edition.pages.by_path["units/oak-1/drum.md"].blocks if edition else ()
        return [*re.findall(r' width="(\d+)"', "".join(blocks)), *map(str, problems)]

    assert widths() == ["64", "64"]
    drum.write_bytes(drawn("PNG", (128, 64)))
    assert widths() == ["128", "128"]
    drum.unlink()
    missing = "There is no picture “drum.png”. Name it from the page's own folder, with its ending; hidden files are not read."
    assert widths() == [f"{page.as_posix()}:{line}:7: {missing}" for line in (4, 11)]
    drum.write_bytes(drawn("PNG"))
    assert widths() == ["64", "64"]


def test_pictures_take_no_time_from_their_page(docs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A page with many photographs is not broken off, and none of them is called damaged for it."""
    made_within: list[bool] = []
    within = False
    begin, end, made = time_limit.begin, time_limit.end, made_picture

    def begun(seconds: float, error: Exception) -> None:
        nonlocal within
        within = True
        begin(seconds, error)

    def ended() -> None:
        nonlocal within
        within = False
        end()

    def noted(content: bytes) -> object:
        made_within.append(within)
        return made(content)

    monkeypatch.setattr(time_limit, "begin", begun)
    monkeypatch.setattr(time_limit, "end", ended)
    monkeypatch.setattr("build_hooks.pictures.made.made_picture", noted)
    edition, _ = prepare(docs, TODAY)
    assert edition is not None
    assert made_within == [False, False]
