"""Loading a whole folder: everything that is wrong in it, at once and in the right places."""

from pathlib import Path

import pytest

from build_hooks.library import load, pages_of
from build_hooks.reading.docs_tree import files_of

TEN_FAULTS: dict[str, str | bytes] = {
    "docs/shop.yml": (
        "name: Quay Lane\ngauges:\n  bench-dial: {name: Dial, kind: dial, resolution: 0.01, max_error: 0.02 mm}\n"  # 1: no unit
    ),
    "docs/units/elm-1/unit.yml": "name: Elm 1\nabout:\n\ttwo-speed\n",  # 2: a tab
    "docs/units/fir-3/unit.yml": (
        "name: Fir 3\n"
        "parts:\n"
        "  steel: {name: Steel plate, kind: steel, thicknes: 1.80 mm}\n"  # 3: an unknown key
        "  lining: {name: Friction plate, kind: friction, thickness: 1.70}\n"  # 4: no unit
        "  steel: {name: Another, kind: steel, thickness: 1.90 mm}\n"  # 5: an id twice
        "packs:\n"
        "  low:\n"
        "    name: Low pack\n"
        "    stack:\n"
        "      - {repeat: 0, of: [steel, lning]}\n"  # 6: a repeat of 0; 7: an unknown part
        "      - measure: with leaves\n"
        "    clearance: {min: 1.40 mm, max: 0.90 mm, gauge: bench-dial, source: FL-1, revision: A}\n"  # 8: crossed limits
    ),
    "docs/units/oak-2/unit.yml": b"name: Oak 2\nabout: caf\xe9\n",  # 9: not UTF-8
    "docs/units/yew-5/unit.yml": "name: &x Yew 5\nabout: *x\n",  # 10: an anchor
}


def write(files: dict[str, str | bytes]) -> None:
    """Puts files into the current folder."""
    for name, content in files.items():
        path = Path(name)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())


def test_ten_planted_faults_are_ten_lines(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No fault hides another, none is told twice, and nothing is blamed that only follows."""
    monkeypatch.chdir(tmp_path)
    write(TEN_FAULTS)
    library, problems = load(Path("docs"))
    remedy = "Write the value out again, or put a text that starts with & in quotes."
    assert [str(problem) for problem in problems] == [
        "docs/shop.yml:3:52: “0.01” has no unit. Write the unit too, for example 0.85 mm.",
        "docs/units/elm-1/unit.yml:3:1: This line is indented with a tab. Use spaces to indent.",
        "docs/units/fir-3/unit.yml:3:43: Unknown key “thicknes”. Did you mean “thickness”?",
        "docs/units/fir-3/unit.yml:4:61: “1.70” has no unit. Write the unit too, for example 0.85 mm.",
        "docs/units/fir-3/unit.yml:5:3: “steel” appears twice; the first is in line 3. Rename one of them or take it out.",
        "docs/units/fir-3/unit.yml:10:18: A repeat cannot be 0. Write a number from 1 to 60.",
        "docs/units/fir-3/unit.yml:10:33: There is no part “lning”. Did you mean “lining”?",
        "docs/units/fir-3/unit.yml:12:22: The smallest, 1.40 mm, is not below the largest, 0.90 mm. Swap them, or correct one of them.",
        "docs/units/oak-2/unit.yml:2:11: The byte 0xE9 here is not UTF-8. Save the file as UTF-8.",
        f"docs/units/yew-5/unit.yml:1:7: “&x” is a YAML anchor, and there are none here. {remedy}",
    ]
    assert library is not None
    assert not library.units
    assert library.units_at_fault == frozenset({"elm-1", "fir-3", "oak-2", "yew-5"})
    assert library.shop_at_fault


def test_a_sound_unit_beside_a_broken_one_is_still_there(tmp_path: Path) -> None:
    """Pages of the sound unit can be checked while the other one is being mended."""
    for name, text in {"oak-2": "name: Oak 2\n", "fir-3": "nam: Fir 3\n"}.items():
        (tmp_path / "units" / name).mkdir(parents=True)
        (tmp_path / "units" / name / "unit.yml").write_text(text, encoding="utf-8")
    (tmp_path / "shop.yml").write_text("name: Quay Lane\n", encoding="utf-8")
    library, problems = load(tmp_path)
    assert library is not None
    assert (list(library.units), list(library.units_at_fault), library.shop_at_fault) == (["oak-2"], ["fir-3"], False)
    assert [problem.message for problem in problems] == ["Unknown key “nam”."]


@pytest.mark.parametrize("docs", ["nowhere", "file.txt", "a\0b"])
def test_a_folder_that_is_none_has_no_library(docs: str, tmp_path: Path) -> None:
    """A wrong path is a problem like any other."""
    (tmp_path / "file.txt").write_text("x", encoding="utf-8")
    library, problems = load(tmp_path / docs)
    assert library is None
    assert [(problem.code, problem.message) for problem in problems] == [("no-docs", "There is no such folder.")]


def test_an_empty_folder_lacks_only_its_shop(tmp_path: Path) -> None:
    """A manual without units is a manual that was begun."""
    library, problems = load(tmp_path)
    assert library is not None
    assert library.shop_at_fault
    assert [(problem.path, problem.code) for problem in problems] == [((tmp_path / "shop.yml").as_posix(), "no-shop")]


def test_a_file_called_units_is_no_folder_of_units(tmp_path: Path) -> None:
    """Nothing is looked for in it."""
    (tmp_path / "shop.yml").write_text("name: Quay Lane\n", encoding="utf-8")
    (tmp_path / "units").write_text("x", encoding="utf-8")
    library, problems = load(tmp_path)
    assert library is not None
    assert problems == ()


def test_files_come_in_order_without_hidden_ones_and_links_do_not_go_round(tmp_path: Path) -> None:
    """The walk ends even where a link leads back up."""
    for name in ("b.md", "a/c.md", "a/d.txt", ".hidden/e.md", "a/.f.md"):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_text("x", encoding="utf-8")
    (tmp_path / "a" / "up").symlink_to(tmp_path, target_is_directory=True)
    found, problems = files_of(tmp_path)
    assert [path.relative_to(tmp_path).as_posix() for path in found] == ["a/c.md", "a/d.txt", "b.md"]
    assert [problem.path for problem in problems] == [(tmp_path / "a" / "up").as_posix()]
    assert [path.name for path in pages_of(tmp_path)] == ["c.md", "b.md"]


def test_the_demo_is_sound() -> None:
    """The demo's own data has no problem."""
    library, problems = load(Path(__file__).parents[2] / "docs")
    assert [str(problem) for problem in problems] == []
    assert library is not None
    assert {"alder-4", "hazel-2", "rowan-6"} <= library.units.keys()
