"""Which file can be shown by a page, and everything that is in the way of one that cannot."""

from __future__ import annotations

from pathlib import Path

import pytest

from build_hooks.cli import main
from build_hooks.placing import subject_of
from tests.build_hooks.pictures.test_made import drawn
from tests.small_manual import small_manual

HEIC = b"\0\0\0\x18ftypheic" + bytes(40)
OUTSIDE = "This is outside docs, where no page can show it. Put it beside its page, for example as docs/units/oak-4/photos/"
AS_JPEG = "Save it as a JPEG, or set the telephone to take its photographs in the most compatible format."


@pytest.fixture
def docs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small manual with a picture, reached from where the commands run."""
    monkeypatch.chdir(tmp_path)
    small_manual(Path("docs"))
    photos = Path("docs/units/oak-1/photos")
    photos.mkdir()
    (photos / "drum.jpg").write_bytes(drawn())
    return Path("docs")


def test_the_page_is_the_nearest_one(docs: Path) -> None:
    """The folders of all pages are offered; the picture is named from each."""
    subject = subject_of(docs / "units/oak-1/photos/drum.jpg", docs)
    assert (subject.path, subject.nearest) == ("units/oak-1/photos/drum.jpg", "units/oak-1")
    assert subject.folders == ("", "units/elm-2", "units/oak-1")
    assert [subject.file_from(folder) for folder in subject.folders] == [
        "units/oak-1/photos/drum.jpg",
        "../oak-1/photos/drum.jpg",
        "photos/drum.jpg",
    ]
    assert [subject.folder_for(name) for name in ("photos/drum.jpg", "../oak-1/photos/drum.jpg", "photos/ring.jpg")] == [
        "units/oak-1",
        "units/elm-2",
        None,
    ]
    assert subject.folder_for("../../units/oak-1/photos/drum.jpg") == "units/oak-1"


def test_a_manual_without_pages_has_its_top(docs: Path) -> None:
    """The author writes the page later."""
    for page in docs.rglob("*.md"):
        page.unlink()
    subject = subject_of(docs / "units/oak-1/photos/drum.jpg", docs)
    assert (subject.folders, subject.nearest) == (("",), "")


@pytest.mark.parametrize(
    ("name", "content", "lines"),
    [
        ("docs/no.jpg", None, ["docs/no.jpg: there is no such file. Name the photograph from here, for example docs/units/oak-4/photos/drum.jpg."]),
        ("docs/units", None, ["docs/units is a folder. Name a photograph in it."]),
        ("docs/a.jpg", b"words", ["docs/a.jpg: This is no JPEG, PNG or WebP. Save the picture as a JPEG."]),
        ("docs/a.jpg", HEIC, [f"docs/a.jpg: This is a HEIC picture, which few browsers show. {AS_JPEG}"]),
        (
            "docs/a.heic",
            HEIC,
            ["docs/a.heic: A HEIC picture is not taken: few browsers show it, and what the camera wrote into it would stay. Save it as a JPEG or PNG."],
        ),
        ("docs/a.txt", drawn(), ["docs/a.txt: A picture is not called so. Let its name end in .jpg, .png or .webp."]),
        ("docs/a.txt", b"words", ["docs/a.txt: This is no JPEG, PNG or WebP. Save the picture as a JPEG."]),
        ("a.jpg", drawn(), [f"a.jpg: {OUTSIDE}a.jpg."]),
        ("a.jpg", b"", [f"a.jpg: {OUTSIDE}a.jpg.", "a.jpg: This file is empty. Save or copy it again from where it came from."]),
        (
            "docs/.a/b.jpg",
            drawn(),
            ["docs/.a/b.jpg: Hidden files are not read. Take the full stop from the beginning of its name, or of its folder's."],
        ),
    ],
)  # fmt: skip
def test_what_no_page_can_show_is_refused(
    docs: Path, capsys: pytest.CaptureFixture[str], name: str, content: bytes | None, lines: list[str]
) -> None:
    """Everything at once, and nothing is served."""
    assert docs.is_dir()
    if content is not None:
        Path(name).parent.mkdir(exist_ok=True)
        Path(name).write_bytes(content)
    assert main(["photo", name, "--port", "0"]) == 1
    assert capsys.readouterr() == ("", "".join(f"{line}\n" for line in lines))


def test_without_a_manual_the_command_says_where_to_call_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Rather than that the picture is outside."""
    monkeypatch.chdir(tmp_path)
    Path("a.jpg").write_bytes(drawn())
    assert main(["photo", "a.jpg"]) == 1
    assert capsys.readouterr().err == (
        "docs: there is no such folder. Call it in the folder of a manual, or name its docs folder with --docs.\n"
    )


def test_links_count_as_what_they_lead_to(docs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A link out of the folder is outside; a docs folder that is a link is not."""
    (tmp_path / "far.jpg").write_bytes(drawn())
    (docs / "near.jpg").symlink_to(tmp_path / "far.jpg")
    assert main(["photo", "docs/near.jpg"]) == 1
    assert capsys.readouterr().err == f"docs/near.jpg: {OUTSIDE}near.jpg.\n"
    (tmp_path / "pages").symlink_to(docs.absolute())
    assert subject_of(docs / "units/oak-1/photos/drum.jpg", Path("pages")).path == "units/oak-1/photos/drum.jpg"
