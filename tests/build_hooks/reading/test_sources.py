"""Reading data files: what comes out as which value, where it stands, and what is refused."""

import os
from datetime import date
from pathlib import Path

import pytest
import yaml

from build_hooks.reading.problems import Mark
from build_hooks.reading.sources import LARGEST_FILE, mapping_of, read_mapping, read_text
from build_hooks.reading.yaml_faults import fault_of


def said(path: Path, data: bytes) -> list[str]:
    """The problems of a file with these bytes, without the name of its folder."""
    path.write_bytes(data)
    return [str(problem).removeprefix(f"{path.parent.as_posix()}/") for problem in read_mapping(path)[1]]


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("no", "no"), ("yes", "yes"), ("on", "on"), ("True", "True"), ("TRUE", "TRUE"), ("true", True), ("false", False),
        ("1:30", "1:30"), ("0123", "0123"), ("0o17", "0o17"), ("0x1f", "0x1f"), ("1e3", "1e3"), ("1.57", "1.57"), (".5", ".5"),
        ("1_000", "1_000"), ("+5", "+5"), ("5", 5), ("-5", -5), ("0", 0), ("-0", "-0"), ("9" * 9, 999_999_999), ("9" * 10, "9" * 10),
        (".inf", ".inf"), (".nan", ".nan"), ("=", "="), ("null", None), ("~", None), ("", None), ("Null", "Null"),
        ("2026-09-01", date(2026, 9, 1)), ("2026-13-01", "2026-13-01"), ("2026-9-1", "2026-9-1"),
        ("2026-09-01 10:00:00", "2026-09-01 10:00:00"), ('"5"', "5"), ("'true'", "true"), ('"2026-09-01"', "2026-09-01"), ('""', ""),
        ("1.57 mm ± 0.02", "1.57 mm ± 0.02"), ("[a, 1]", ["a", 1]), ("{a: {b: no}}", {"a": {"b": "no"}}), ("!", None),
    ],
)  # fmt: skip
def test_a_value_is_what_it_looks_like(written: str, value: object) -> None:
    """Only true, false, null, plain whole numbers and ISO dates are more than text."""
    root, problems = mapping_of(f"key: {written}\n", "unit.yml")
    if written == "!":
        assert root is None
        assert [problem.code for problem in problems] == ["tag"]
        return
    assert problems == ()
    assert root is not None
    assert root.plain() == {"key": value}
    assert type(root.plain()["key"]) is type(value)


def test_every_value_and_key_knows_its_place() -> None:
    """Lines and columns count from 1, columns in characters; a block's mapping starts at its first key."""
    text = "name: Alder\nparts:\n  ü-ring: {kind: 𝛼𝛽, mark: [x, y]}\n"
    root, problems = mapping_of(text, "unit.yml")
    assert problems == ()
    assert root is not None
    assert root.keys == {"name": Mark(1, 1), "parts": Mark(2, 1)}
    parts = root.children["parts"]
    ring = parts.children["ü-ring"]
    assert (parts.mark, parts.keys["ü-ring"], ring.mark) == (Mark(3, 3), Mark(3, 3), Mark(3, 11))
    assert ring.keys == {"kind": Mark(3, 12), "mark": Mark(3, 22)}
    assert [item.mark for item in ring.children["mark"].items] == [Mark(3, 29), Mark(3, 32)]


def test_a_block_of_a_page_keeps_the_places_of_the_page() -> None:
    """A text that starts further down and further in is reported where it stands in its file."""
    root, problems = mapping_of("pack: forward\npack: direct\n", "docs/page.md", Mark(40, 5))
    assert root is not None
    assert root.keys == {"pack": Mark(40, 5)}
    assert [str(problem) for problem in problems] == [
        "docs/page.md:41:5: “pack” appears twice; the first is in line 40. Rename one of them or take it out."
    ]


def test_an_empty_block_is_reported_where_it_starts() -> None:
    """A block with nothing in it has a place too."""
    root, problems = mapping_of("\n", "docs/page.md", Mark(40, 5))
    assert root is None
    assert [(problem.line, problem.column, problem.code) for problem in problems] == [(40, 5, "empty")]


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("line_end", [b"\n", b"\r\n", b"\r"])
def test_byte_order_mark_and_line_ends_do_not_matter(mark: bytes, line_end: bytes, tmp_path: Path) -> None:
    """A file from another system reads the same, with the same places."""
    path = tmp_path / "unit.yml"
    path.write_bytes(mark + line_end.join([b"name: Oak", b"about: small", b""]))
    root, problems = read_mapping(path)
    assert problems == ()
    assert root is not None
    assert root.plain() == {"name": "Oak", "about": "small"}
    assert root.keys["about"] == Mark(2, 1)


@pytest.mark.parametrize(
    ("data", "problem"),
    [
        (b"name: Oak\nabout: caf\xe9\n", "unit.yml:2:11: The byte 0xE9 here is not UTF-8. Save the file as UTF-8."),
        (b"\xc3\xa9\xc3\xa9: \xff\n", "unit.yml:1:5: The byte 0xFF here is not UTF-8. Save the file as UTF-8."),
        (b"name: Oak\r\nabout: \xc3\n", "unit.yml:2:8: The byte 0xC3 here is not UTF-8. Save the file as UTF-8."),
        (b"\xef\xbb\xbfn: \xe9\n", "unit.yml:1:4: The byte 0xE9 here is not UTF-8. Save the file as UTF-8."),
        (b"\xff\xfen\0a\0", "unit.yml:1:1: The byte 0xFF here is not UTF-8. Save the file as UTF-8."),
        (b"name: Oak\nabout: \xed\xa0\x80\n", "unit.yml:2:8: The byte 0xED here is not UTF-8. Save the file as UTF-8."),
        (b"name: Oak\0\n", "unit.yml:1:10: The control character U+0000 is not allowed here. Take it out."),
        (b"name: Oak\nx: \xc2\x9b\n", "unit.yml:2:4: The control character U+009B is not allowed here. Take it out."),
        (b"", "unit.yml:1:1: There is nothing in here. Write key: value, for example name: Alder 4."),
        (b"#" * (LARGEST_FILE + 1), "unit.yml:1:1: The file is larger than 1000 kB. Split it up, or check that it is the right file."),
        (b"a: " + b"x" * 5_000_000, "unit.yml:1:1: The file is larger than 1000 kB. Split it up, or check that it is the right file."),
        (b"a: " + b"[" * 900, "unit.yml:1:23: This is nested more than 20 levels deep. Close the brackets before."),
        (b"a: " + b"[" * 10_000, "unit.yml:1:1003: Brackets are nested far too deep here. Close the brackets before."),
        (b"{a: " * 10_000, "unit.yml:1:81: This is nested more than 20 levels deep. Close the brackets before."),
        (b"a:\n" + b"- " * 900, "unit.yml:2:39: This is nested more than 20 levels deep. Close the brackets before."),
        (
            b"".join(b" " * level + b"a:\n" for level in range(400)),
            "unit.yml:21:21: This is nested more than 20 levels deep. Close the brackets before.",
        ),
        (b"a: [" + b"x," * 120_000 + b"]", "unit.yml:1:199999: The file holds more than 100000 values. Split it up."),
    ],
    ids=lambda value: value[:40] if isinstance(value, str) else "",
)  # fmt: skip
def test_what_cannot_be_read_is_one_clear_line(data: bytes, problem: str, tmp_path: Path) -> None:
    """Broken, hostile or huge content ends in a single problem at the place where reading stopped."""
    assert said(tmp_path / "unit.yml", data) == [problem]


def test_aliases_that_would_grow_a_billionfold_stop_at_the_first_anchor(tmp_path: Path) -> None:
    """Nothing is ever expanded, so a small file stays small."""
    lines = ['a: &a ["x", "x"]'] + [
        f"{now}: &{now} [{', '.join(f'*{last}' for _ in range(9))}]" for last, now in zip("abcdefgh", "bcdefghi", strict=True)
    ]
    remedy = "Write the value out again, or put a text that starts with & in quotes."
    assert said(tmp_path / "unit.yml", "\n".join(lines).encode()) == [
        f"unit.yml:1:4: “&a” is a YAML anchor, and there are none here. {remedy}"
    ]


def test_a_tag_never_makes_an_object(tmp_path: Path) -> None:
    """A tag that would run code when loaded carelessly is a problem, and nothing runs."""
    traced = tmp_path / "ran"
    data = f"name: !!python/object/apply:os.mkdir ['{traced.as_posix()}']\n".encode()
    remedy = "Take it out, or put a text that starts with ! in quotes."
    assert said(tmp_path / "unit.yml", data) == [
        f"unit.yml:1:7: “!!python/object/apply:os.mkdir” is a YAML tag, and there are none here. {remedy}"
    ]
    assert not traced.exists()


def test_a_folder_a_pipe_and_a_broken_link_are_no_files(tmp_path: Path) -> None:
    """Whatever stands in the place of a file is named, and nothing waits for it."""
    folder, pipe, loop, nowhere = (tmp_path / name for name in ("folder.yml", "pipe.yml", "loop.yml", "nowhere.yml"))
    folder.mkdir()
    os.mkfifo(pipe)
    loop.symlink_to(loop)
    nowhere.symlink_to(tmp_path / "missing")
    found = [read_text(path) for path in (folder, pipe, loop, nowhere, tmp_path / "a\0b")]
    assert [text for text, _ in found] == [None] * 5
    assert [problem.message for _, problems in found for problem in problems] == [
        "This is a folder, and a file is wanted.",
        "This is not a plain file.",
        "This link leads back to itself.",
        "This link leads to nothing.",
        "The file cannot be read: its name is not possible.",
    ]


def test_all_that_can_be_read_past_is_reported_at_once(tmp_path: Path) -> None:
    """Keys at fault do not stop the reading."""
    data = b'1: x\na: 1\na: 2\n<<: {b: c}\nb: "\\a"\n2026-09-01: x\n'
    assert said(tmp_path / "unit.yml", data) == [
        'unit.yml:1:1: The key “1” is not a text. Put it in quotes: "1".',
        "unit.yml:3:1: “a” appears twice; the first is in line 2. Rename one of them or take it out.",
        "unit.yml:4:1: “<<” would merge keys, and that is not done here. Write the keys out.",
        "unit.yml:5:4: This text holds the control character U+0007. Take it out.",
        'unit.yml:6:1: The key “2026-09-01” is not a text. Put it in quotes: "2026-09-01".',
    ]


@pytest.mark.parametrize(("text", "place"), [("name: Oak\nabout: x\n", Mark(2, 4)), ("name", Mark(1, 5)), ("", Mark(1, 1))])
def test_a_complaint_of_the_parser_that_is_new_to_us_still_has_its_place(text: str, place: Mark) -> None:
    """Another version of the parser may say other things; they end in a general remedy, at a place that is there."""
    mark = yaml.Mark("", 10, 1, 3, None, 0)
    found = [
        fault_of(error, text)
        for error in (yaml.MarkedYAMLError(problem="found a bee", problem_mark=mark), yaml.YAMLError("a bee"))
    ]
    assert found == [
        (place, "bad-yaml", "This cannot be read as YAML.", "Look for a missing quote, colon or bracket near here."),
        (Mark(1, 1), "bad-yaml", "This cannot be read as YAML.", "Look for a missing quote, colon or bracket."),
    ]
