"""A manual, and what goes into it, as an author begins them: sound, commented, and marked where something is still to be written."""

from __future__ import annotations

import io
import json
import re
import sys
from datetime import date
from pathlib import Path

import pytest

from build_hooks.cli import main
from build_hooks.edition import Edition, prepare
from build_hooks.scaffold.starters import PLACEHOLDERS
from build_hooks.schemas import schema_of

TODAY = date(2026, 9, 1)
LEFT = " is the starter's text. Write what holds in your shop in its place, or take it out."


@pytest.fixture
def manual(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Path:
    """A new manual in a folder with a space and an accent; commands run in it."""
    monkeypatch.chdir(tmp_path)
    assert main(["new", "manual", "my café", "--name", "Quay Lane"]) == 0
    monkeypatch.chdir(tmp_path / "my café")
    capsys.readouterr()
    return tmp_path / "my café"


def sound(docs: Path = Path("docs")) -> Edition:
    """The edition of a manual without problems."""
    edition, problems = prepare(docs, TODAY)
    assert list(problems) == []
    assert edition is not None
    return edition


def begin_everything() -> None:
    """A unit with a drum and a pack more, a page, a path and a calculation."""
    assert main(["new", "unit", "Birch 5"]) == 0
    assert main(["new", "drum", "birch-5", "Rear drum"]) == 0
    assert main(["new", "pack", "birch-5", "Reverse pack", "--drum", "rear-drum"]) == 0
    assert main(["new", "procedure", "birch-5", "Rear drum: assemble", "--pack", "reverse-pack"]) == 0
    assert main(["new", "path", "First week"]) == 0
    assert main(["new", "calculation", "Pan depth"]) == 0


def test_a_new_manual_says_what_was_written_and_what_comes_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each file by its path; the shop is called like the folder where no name is given."""
    monkeypatch.chdir(tmp_path)
    assert main(["new", "manual", "my-shop"]) == 0
    assert capsys.readouterr().out == (
        "my-shop/schemas/shop.schema.json\n"
        "my-shop/schemas/unit.schema.json\n"
        "my-shop/schemas/path.schema.json\n"
        "my-shop/schemas/findings.schema.json\n"
        "my-shop/schemas/tree.schema.json\n"
        "my-shop/mkdocs.yml\n"
        "my-shop/.gitignore\n"
        "my-shop/docs/shop.yml\n"
        "my-shop/docs/index.md\n"
        "my-shop/docs/standards/index.md\n"
        "Next: cd my-shop, then: benchleaf serve\n"
    )
    shop = sound(Path("my-shop/docs")).library.shop
    assert (shop.name, shop.units, list(shop.gauges)) == ("My shop", "metric", ["bench-dial"])


@pytest.mark.usefixtures("manual")
def test_everything_that_is_begun_is_sound(capsys: pytest.CaptureFixture[str]) -> None:
    """All starters together pass the check, with nothing but warnings about what is left to write."""
    begin_everything()
    edition = sound()
    unit = edition.library.units["birch-5"]
    assert list(unit.drums) == ["front-drum", "rear-drum"]
    assert {pack.id: (pack.drum.id if pack.drum else None, len(pack.physical_stack)) for pack in unit.packs.values()} == {
        "forward": ("front-drum", 10),
        "reverse-pack": ("rear-drum", 10),
    }
    assert "learning/first-week.md" in edition.made
    # Two packs that were begun have the same plates until somebody writes in their own: whoever builds must tell them apart.
    assert {warning.code for warning in edition.warnings()} == {"look-alikes-untold", "starter-text"}
    capsys.readouterr()


@pytest.mark.usefixtures("manual")
def test_what_is_left_of_a_starter_is_named_with_its_place() -> None:
    """Each sentence once, however it is quoted; what was written anew, and a sample of code, are passed over."""
    begin_everything()
    page = Path("docs/units/birch-5/rear-drum-assemble.md")
    page.write_text(
        page.read_text(encoding="utf-8").replace(
            "Say in a sentence what this job is, and when it is done.", "This builds the drum."
        )
        + "\n```text\nSay in a sentence what this job is, and when it is done.\n```\n",
        encoding="utf-8",
    )
    warnings = [str(warning) for warning in sound().warnings()]
    assert f"docs/shop.yml:12:12: “say where it is kept, and what to check before it is used”{LEFT}" in warnings
    assert f"docs/units/birch-5/unit.yml:5:9: “say in a few words what it is”{LEFT}" in warnings
    assert [warning for warning in warnings if warning.startswith(f"{page.as_posix()}:")] == [
        f"{page.as_posix()}:12:5: “Say what can hurt somebody in this job, and how not to get h…”{LEFT}",
        f"{page.as_posix()}:16:1: “List what has to be at hand.”{LEFT}",
        f"{page.as_posix()}:37:7: “Say what this part of the job does”{LEFT}",
        f"{page.as_posix()}:39:4: “Write the first action of this job here, and only one.”{LEFT}",
        f"{page.as_posix()}:40:4: “Begin each step like these two, with its verb.”{LEFT}",
        f"{page.as_posix()}:43:9: “Ask for the check that has to be made before going on?”{LEFT}",
        f"{page.as_posix()}:46:5: “Say what goes wrong otherwise, and what it costs.”{LEFT}",
    ]


@pytest.mark.usefixtures("manual")
def test_what_is_left_of_a_calculation_can_be_meant_so() -> None:
    """A comment at the end of its line or above it accepts the warning, as in data; without a reason, or in vain, it is told."""
    begin_everything()
    (file,) = Path("docs/calculations").glob("*.py")
    text = file.read_text(encoding="utf-8")
    before = warnings_of(file)
    assert f"1:4: “Say what this calculation works out.”{LEFT}" in before
    assert f"56:12: “Say in a sentence when it is used.”{LEFT}" in before
    said = "# accept starter-text: to be shown to the beginners\n"
    file.write_text(said + text.replace('used.",\n', f'used.",  {said}'), encoding="utf-8")
    after = warnings_of(file)
    assert [line for line in after if line.startswith(("2:", "57:"))] == []
    assert len(after) == len(before) - 2
    file.write_text(
        said + text.replace("Say what this", "This").replace('used.",\n', 'used.",  # accept starter-text\n'), encoding="utf-8"
    )
    assert [line for line in warnings_of(file) if "accept" in line or line.startswith("57:")] == [
        "1:1: “starter-text” is accepted here, and line 2 has no such warning. Take the comment out, or correct the code of the warning in it.",
        f"57:12: “Say in a sentence when it is used.”{LEFT}",
        "57:50: “starter-text” is accepted here without a reason, so the warning stays. Write the reason behind a colon: accept starter-text: why.",
    ]


@pytest.mark.usefixtures("manual")
def test_what_is_left_of_a_path_can_be_meant_so() -> None:
    """In any data file, not in those of units only."""
    begin_everything()
    file = Path("docs/learning/first-week.yml")
    before = warnings_of(file)
    line = int(before[0].partition(":")[0])
    lines = file.read_text(encoding="utf-8").split("\n")
    lines[line - 1] += " # accept starter-text: it says so in our shop"
    file.write_text("\n".join(lines), encoding="utf-8")
    assert warnings_of(file) == [warning for warning in before if not warning.startswith(f"{line}:")]


def warnings_of(file: Path) -> list[str]:
    """Those of one file, without its name."""
    return [line for line in (str(one).removeprefix(f"{file.as_posix()}:") for one in sound().warnings()) if line[0].isdigit()]


@pytest.mark.usefixtures("manual")
def test_no_mark_of_a_starter_gets_into_a_file() -> None:
    """The marks are ours; every sentence between them is in some file as text."""
    begin_everything()
    written = "".join(path.read_text(encoding="utf-8") for path in Path("docs").rglob("*") if path.is_file())
    assert not re.search("[‹›]", written)
    assert [sentence for sentence in PLACEHOLDERS if sentence not in written] == []


@pytest.mark.usefixtures("manual")
def test_an_editor_finds_the_schema_of_each_data_file() -> None:
    """The first line leads to a file that holds the schema of just this kind."""
    begin_everything()
    for file, name in (("shop.yml", "shop"), ("units/birch-5/unit.yml", "unit"), ("learning/first-week.yml", "path")):
        path = Path("docs") / file
        first = path.read_text(encoding="utf-8").splitlines()[0]
        found = re.fullmatch(r"# yaml-language-server: \$schema=(\S+)", first)
        assert found, first
        assert json.loads((path.parent / found[1]).read_text(encoding="utf-8")) == schema_of(name)


def test_without_schemas_the_first_line_says_how_to_get_them(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """What it says works: after it, the next file leads there."""
    monkeypatch.chdir(tmp_path)
    Path("docs").mkdir()
    Path("docs/shop.yml").write_text("name: Quay Lane\n", encoding="utf-8")
    main(["new", "unit", "Oak"])
    first = Path("docs/units/oak/unit.yml").read_text(encoding="utf-8").splitlines()[0]
    assert first == "# An editor can complete the keys: benchleaf schema --to schemas"
    capsys.readouterr()
    assert main(["schema", "--to", "schemas"]) == 0
    assert capsys.readouterr().out == (
        "schemas/shop.schema.json\nschemas/unit.schema.json\nschemas/path.schema.json\n"
        "schemas/findings.schema.json\nschemas/tree.schema.json\n"
    )
    main(["new", "unit", "Elm"])
    assert (
        Path("docs/units/elm/unit.yml")
        .read_text(encoding="utf-8")
        .startswith("# yaml-language-server: $schema=../../../schemas/unit.schema.json\n")
    )


def test_a_shop_that_reads_in_inches_gets_inches(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No starter of it names a metric length."""
    monkeypatch.chdir(tmp_path)
    assert main(["new", "manual", "shop", "--units", "inch"]) == 0
    monkeypatch.chdir(tmp_path / "shop")
    begin_everything()
    assert not any(re.search(r"\d mm\b", path.read_text(encoding="utf-8")) for path in Path("docs").rglob("*.yml"))
    assert sound().library.shop.units == "inch"


@pytest.mark.usefixtures("manual")
def test_windows_line_ends_change_nothing() -> None:
    """With CRLF in every file, places, pages and warnings are the same; an entry that is added keeps to them."""
    begin_everything()
    before = sound()
    expected = {path: page.source.text for path, page in before.pages.by_path.items()}
    warnings = [str(warning) for warning in before.warnings()]
    for path in Path("docs").rglob("*"):
        if path.is_file():
            path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    after = sound()
    assert {path: page.source.text.replace("\r\n", "\n") for path, page in after.pages.by_path.items()} == expected
    assert [str(warning) for warning in after.warnings()] == warnings
    assert main(["new", "drum", "birch-5", "Third drum"]) == 0
    data = Path("docs/units/birch-5/unit.yml").read_bytes()
    assert data.count(b"\n") == data.count(b"\r\n")
    assert "third-drum" in sound().library.units["birch-5"].drums


@pytest.mark.usefixtures("manual")
def test_an_entry_is_added_and_every_line_stays(capsys: pytest.CaptureFixture[str]) -> None:
    """In the place and depth of its neighbours; a key that is not there yet comes at the end."""
    path = Path("docs/units/oak/unit.yml")
    path.parent.mkdir(parents=True)
    path.write_text("name: Oak\ndrums:\n    small: {name: Small}\n    # the last\n\n# what follows\nabout: x\n", encoding="utf-8")
    assert main(["new", "drum", "oak", "Rear drum"]) == 0
    assert main(["new", "pack", "oak", "Low", "--drum", "small"]) == 0
    lines = path.read_text(encoding="utf-8").splitlines()
    assert lines[:11] == [
        "name: Oak",
        "drums:",
        "    small: {name: Small}",
        "    # the last",
        "    rear-drum:",
        '      name: "Rear drum"',
        "      grooves: [lower, upper] # ring grooves, from the piston end to the open end; take the line out if there are none",
        "",
        "# what follows",
        "about: x",
        "",
    ]
    assert (lines[11], lines[12].split(":")[0]) == ("parts:", "  low-steel")
    drum = sound().library.units["oak"].packs["low"].drum
    assert drum is not None
    assert drum.id == "small"
    capsys.readouterr()


@pytest.mark.usefixtures("manual")
def test_what_cannot_be_begun_is_refused_with_the_remedy(capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing is written then."""
    begin_everything()
    path = Path("docs/units/oak/unit.yml")
    path.parent.mkdir(parents=True)
    path.write_text("name: Oak\ndrums: {small: {name: Small}}\n", encoding="utf-8")
    files = {path: path.read_bytes() for path in Path().rglob("*") if path.is_file()}
    capsys.readouterr()
    refused = (
        ["manual", "."],
        ["manual", "other", "--name", "a<b"],
        ["manual"],
        ["unit"],
        ["drum", "oak", "Rear drum"],
        ["drum", "elm", "Rear drum"],
        ["drum", "birch-5", "Rear drum"],
        ["pack", "birch-5", "Forward"],
        ["pack", "birch-5", "Low"],
        ["pack", "birch-5", "Low", "--drum", "reer-drum"],
        ["procedure", "birch-5", "x", "--pack", "froward"],
        ["path", "First week"],
    )
    for arguments in refused:
        assert main(["new", *arguments]) == 1
    assert capsys.readouterr().err.splitlines() == [
        ".: something is here already. Name a new folder, or an empty one.",
        "“a<b” cannot be a name. Use letters, figures, spaces and hyphens, 80 at most.",
        "Folder of the manual: give it behind the command, or call it on a terminal, where it is asked for.",
        "Name of the unit: give it behind the command, or call it on a terminal, where it is asked for.",
        "docs/units/oak/unit.yml:2: “drums” has its entries in braces. Write each on a line of its own, then call it again.",
        "There is no unit “elm”. Units here: birch-5, oak.",
        "There is a drum “rear-drum” already. Choose another name, or edit it.",
        "There is a pack “forward” already. Choose another name, or edit it.",
        "Which drum does it go into? Say so with --drum: front-drum or rear-drum.",
        "There is no drum “reer-drum” in birch-5. Did you mean “rear-drum”?",
        "There is no pack “froward” in birch-5. Did you mean “forward”?",
        "docs/learning/first-week.yml is there already. Choose another name, or edit it.",
    ]
    assert {path: path.read_bytes() for path in Path().rglob("*") if path.is_file()} == files


class _Terminal(io.StringIO):
    def isatty(self) -> bool:
        """It is one."""
        return True


def test_on_a_terminal_it_is_asked_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """One question for each thing that was left out; an empty answer takes what stands in brackets."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "stdin", _Terminal("quay\n\ninch\n"))
    assert main(["new", "manual"]) == 0
    asked = capsys.readouterr().out.split("quay/")[0]
    assert asked == "Folder of the manual: Name of the shop [Quay]: Units that the shop reads in, metric or inch [metric]: "
    monkeypatch.chdir(tmp_path / "quay")
    main(["new", "unit", "Oak"])
    main(["new", "drum", "oak", "Rear"])
    monkeypatch.setattr(sys, "stdin", _Terminal("oak\nLow\nrear\n"))
    capsys.readouterr()
    assert main(["new", "pack"]) == 0
    assert capsys.readouterr().out == (
        "Folder of the unit: Name of the pack: Drum that it goes into, front-drum or rear: docs/units/oak/unit.yml\n"
    )
    monkeypatch.setattr(sys, "stdin", _Terminal("furlong\n"))
    assert main(["new", "manual", "other", "--name", "x"]) == 1
    assert capsys.readouterr().err == "The units are metric or inch. Call it again.\n"


@pytest.mark.usefixtures("manual")
def test_a_path_as_windows_shows_it_is_named_with_the_remedy(capsys: pytest.CaptureFixture[str]) -> None:
    """For a page, a folder and a picture; where no file is near, the usual remedy is given."""
    Path("docs/standards/view 1.png").write_bytes(b"\x89PNG\r\n\x1a\n")
    Path("docs/standards/air.md").write_text(
        "# Air\n\n[Start](..\\index.md), [here](.\\), ![seen](view%201.png), ![seen](..\\standards\\view%201.png), [x](no\\where.md)\n",
        encoding="utf-8",
    )
    assert main(["check"]) == 1
    assert [line for line in capsys.readouterr().out.splitlines() if "broken" in line or "air.md" in line] == [
        "docs/standards/air.md:3:9: “..\\index.md” is no file of the manual. Write it with forward slashes: “../index.md”.",
        "docs/standards/air.md:3:30: “.\\” is no file of the manual. Write it with forward slashes: “./”.",
        (
            "docs/standards/air.md:3:66: “..\\standards\\view%201.png” is no file of the manual. "
            "Write it with forward slashes: “../standards/view%201.png”."
        ),
        "docs/standards/air.md:3:98: “no\\where.md” is no file of the manual. Correct the path: it begins at this page's own folder.",
    ]
