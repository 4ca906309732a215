"""The author's commands, run as a shell runs them."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from build_hooks.cli import main
from build_hooks.library import load

SHOP = "name: Quay Lane\n"


@pytest.fixture
def docs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A docs folder with a shop, reached from where the commands run."""
    monkeypatch.chdir(tmp_path)
    folder = Path("docs")
    folder.mkdir()
    (folder / "shop.yml").write_text(SHOP, encoding="utf-8")
    return folder


def test_check_counts_what_is_sound(docs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With nothing wrong, one line says how much was looked at, and the status is 0."""
    assert main(["check"]) == 0
    assert main(["new", "unit", "Birch 5"]) == 0
    assert main(["new", "procedure", "birch-5", "Front drum: assemble"]) == 0
    assert capsys.readouterr() == (
        (
            "Checked: 0 units, 0 packs, 0 pages. No problems.\n"
            "docs/units/birch-5/unit.yml\n"
            "docs/units/birch-5/front-drum-assemble.md\n"
        ),
        "",
    )
    assert main(["check"]) == 0
    printed = capsys.readouterr()
    assert (printed.out.splitlines()[-1], printed.err) == ("Checked: 1 unit, 1 pack, 1 page. No problems, 12 warnings.", "")


def test_check_lists_problems_of_data_and_pages_and_fails(docs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Problems go to standard output by file and place, with status 1; a shop at fault does not hide the pages."""
    (docs / "shop.yml").write_text("nam: Quay Lane\n", encoding="utf-8")
    (docs / "a.md").write_bytes(b"# Caf\xe9\n")
    assert main(["check"]) == 1
    assert capsys.readouterr() == (
        (
            "docs/a.md:1:6: The byte 0xE9 here is not UTF-8. Save the file as UTF-8.\n"
            "docs/shop.yml:1:1: Unknown key “nam”. Did you mean “name”?\n"
        ),
        "",
    )


def test_check_lists_what_is_hard_to_follow_and_passes(docs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Warnings stand before the last line, which counts them; where there are problems they wait."""
    (docs / "a.md").write_text("# A\n\n1. The ring is fitted.\n", encoding="utf-8")
    assert main(["check"]) == 0
    (docs / "b.md").write_bytes(b"# Caf\xe9\n")
    assert main(["check"]) == 1
    assert capsys.readouterr() == (
        (
            "docs/a.md:3:13: “is fitted” does not say who does it, or whether it is done already. "
            "Give the order: begin the step with the verb. [passive-step]\n"
            "Checked: 0 units, 0 packs, 1 page. No problems, 1 warning.\n"
            "docs/b.md:1:6: The byte 0xE9 here is not UTF-8. Save the file as UTF-8.\n"
        ),
        "",
    )


@pytest.mark.parametrize("form", ["text", "json", "github"])
def test_a_strict_check_fails_on_a_warning_that_nobody_accepts(docs: Path, form: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Otherwise warnings are only told."""
    page = docs / "a.md"
    page.write_text("# A\n\n1. The ring is fitted.\n", encoding="utf-8")
    assert [main(["check", "--format", form, *strict]) for strict in ([], ["--strict"])] == [0, 1]
    page.write_text("# A\n\n1. The ring is fitted. <!-- accept passive-step: a quotation -->\n", encoding="utf-8")
    assert main(["check", "--format", form, "--strict"]) == 0
    assert "passive-step" in capsys.readouterr().out


def test_check_takes_another_folder(docs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The folder is named as it was given; one that is not there is a problem."""
    assert main(["check", "--docs", "./docs"]) == 0
    assert main(["check", "--docs", "two\nlines"]) == 1
    assert capsys.readouterr().out == (
        "Checked: 0 units, 0 packs, 0 pages. No problems.\n"
        "two\\nlines:1:1: There is no such folder. Name the folder that holds shop.yml, with --docs.\n"
    )


@pytest.mark.parametrize(
    ("name", "unit_id", "shown"),
    [
        ("Birch 5", "birch-5", "Birch 5"),
        ("birch-5", "birch-5", "Birch 5"),
        ("Birch: the 5th", "birch-the-5th", "Birch: the 5th"),
        ("Chêne 4", "chene-4", "Chêne 4"),
        ("No", "no", "No"),
        ("5", "5", "5"),
    ],
)
def test_a_new_unit_is_sound_whatever_it_is_called(name: str, unit_id: str, shown: str, docs: Path) -> None:
    """The starter passes the check, is a draft, and says that its figures are made up."""
    assert main(["new", "unit", name]) == 0
    library, problems = load(docs)
    assert problems == ()
    assert library is not None
    unit = library.units[unit_id]
    assert (unit.name, unit.invented, unit.status.state) == (shown, True, "draft")
    assert len(unit.packs["forward"].physical_stack) == 10


@pytest.mark.parametrize("name", ["", "…", "<b>", "-", "a\nb", "../oak", "x" * 81, "`x`", "日本"])
def test_a_name_that_makes_no_folder_is_refused(name: str, docs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Nothing is written, and the message says what a name may hold."""
    assert main(["new", "unit", "--", name]) == 1
    assert capsys.readouterr().err.endswith(" cannot be a name. Use letters, figures, spaces and hyphens, 80 at most.\n")
    assert sorted(path.name for path in docs.rglob("*")) == ["shop.yml"]


def test_nothing_is_written_over(docs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A unit or page that is there stays as it is."""
    main(["new", "unit", "Birch 5"])
    main(["new", "procedure", "birch-5", "Assemble"])
    capsys.readouterr()
    before = {path: path.read_bytes() for path in docs.rglob("*") if path.is_file()}
    assert main(["new", "unit", "birch 5"]) == 1
    assert main(["new", "procedure", "birch-5", "assemble"]) == 1
    assert capsys.readouterr() == (
        "",
        (
            "docs/units/birch-5/unit.yml is there already. Choose another name, or edit it.\n"
            "docs/units/birch-5/assemble.md is there already. Choose another name, or edit it.\n"
        ),
    )
    assert {path: path.read_bytes() for path in docs.rglob("*") if path.is_file()} == before


def test_a_procedure_needs_a_sound_unit(docs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each reason has its own words and its own remedy."""
    assert main(["new", "procedure", "birch-5", "Assemble"]) == 1
    main(["new", "unit", "Birch 5"])
    assert main(["new", "procedure", "birch-6", "Assemble"]) == 1
    assert main(["new", "procedure", "oak", "Assemble"]) == 1
    (docs / "units" / "birch-5" / "unit.yml").write_text("x: y\n", encoding="utf-8")
    assert main(["new", "procedure", "birch-5", "Assemble"]) == 1
    assert main(["new", "procedure", "birch-5", "Assemble", "--docs", "nowhere"]) == 1
    assert main(["new", "unit", "Birch 6", "--docs", "nowhere"]) == 1
    assert capsys.readouterr().err == (
        "There is no unit “birch-5”. Begin with: benchleaf new unit NAME\n"
        "There is no unit “birch-6”. Did you mean “birch-5”?\n"
        "There is no unit “oak”. Units here: birch-5.\n"
        "The data of “birch-5” has problems. See them with: benchleaf check\n"
        "There is no such folder. Name the folder that holds shop.yml, with --docs.\n"
        "There is no such folder. Name the folder that holds shop.yml, with --docs.\n"
    )


def test_a_procedure_of_a_unit_without_packs_has_no_blocks_for_one(docs: Path) -> None:
    """A unit that was only begun can have its page too."""
    (docs / "units" / "oak-2").mkdir(parents=True)
    (docs / "units" / "oak-2" / "unit.yml").write_text("name: Oak 2\n", encoding="utf-8")
    assert main(["new", "procedure", "oak-2", "Assemble"]) == 0
    assert "```" not in (docs / "units" / "oak-2" / "assemble.md").read_text(encoding="utf-8")
    assert main(["check"]) == 0


def test_a_starter_that_cannot_be_written_says_why(docs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file in the way of a folder is named by the system's own words."""
    (docs / "units").write_text("in the way", encoding="utf-8")
    assert main(["new", "unit", "Birch 5"]) == 1
    assert capsys.readouterr().err == "docs/units/birch-5/unit.yml cannot be written: Not a directory.\n"


@pytest.mark.parametrize("name", ["CON", "nul", "Aux", "PRN", "com1", "LPT9"])
def test_a_name_that_windows_cannot_hold_is_refused(docs: Path, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A manual is copied to sticks and shares."""
    assert main(["new", "unit", name]) == 1
    assert capsys.readouterr().err == (
        f"“{name}” cannot be a name: Windows keeps it for a device. Add a word, for example “{name} 2”.\n"
    )
    assert main(["new", "unit", f"{name} 2"]) == 0


@pytest.mark.parametrize("name", ["Birch 5.", "Birch 5 ", "Birch..."])
def test_a_name_with_a_loose_end_is_refused(docs: Path, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Windows drops it, and two names would be one."""
    assert main(["new", "unit", name]) == 1
    assert capsys.readouterr().err == f"“{name}” cannot be a name. Leave out the space or full stop at its end.\n"


@pytest.mark.parametrize("name", ["true", "False", "null"])
def test_a_name_that_yaml_reads_as_no_text_is_refused(docs: Path, name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """A page that says `unit: true` names no unit."""
    assert main(["new", "unit", name]) == 1
    assert capsys.readouterr().err == (
        f"“{name}” cannot be a name. YAML reads “{name.lower()}” as no text. Add a word, for example “{name} 2”.\n"
    )
    assert main(["new", "unit", f"{name} 2"]) == 0


def test_schema_prints_one_or_all(capsys: pytest.CaptureFixture[str]) -> None:
    """What is printed is JSON, alone or by name."""
    assert main(["schema"]) == 0
    every = json.loads(capsys.readouterr().out)
    assert {"shop", "unit", "progress"} <= set(every)
    for name, expected in every.items():
        assert main(["schema", name]) == 0
        assert json.loads(capsys.readouterr().out) == expected


@pytest.mark.parametrize("arguments", [[], ["chek"], ["new"], ["new", "page", "x"], ["check", "--dcs", "x"], ["schema", "page"]])
def test_a_wrong_command_says_how_it_is_used(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Usage goes to standard error with status 2, and nothing to standard output."""
    with pytest.raises(SystemExit) as stopped:
        main(arguments)
    assert stopped.value.code == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err.startswith("usage: benchleaf")


def test_as_a_process_it_never_shows_a_traceback(docs: Path) -> None:
    """Whatever stands in the files, and however little the terminal can show or the reader will read."""
    (docs / "units" / "oak-2").mkdir(parents=True)
    keys = "".join(f"“{number}”: x\n" for number in range(90))
    (docs / "units" / "oak-2" / "unit.yml").write_text(f"name: Oak\n{keys}", encoding="utf-8")
    command = [sys.executable, "-m", "build_hooks", "check"]
    environment = {"PYTHONPATH": str(Path(__file__).parents[2]), "PYTHONIOENCODING": "ascii"}
    shown = subprocess.run(command, capture_output=True, check=False, env=environment)
    assert (shown.returncode, shown.stderr) == (1, b"")
    assert shown.stdout.count(b"\n") == 90
    assert shown.stdout.startswith(b"docs/units/oak-2/unit.yml:2:1: Unknown key \\u201c\\u201c0\\u201d\\u201d. Keys here: name,")
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait() == 1
