"""What DEVELOPERS.md lists is what the source holds."""

from __future__ import annotations

import fnmatch
import importlib
import importlib.util
import re
import subprocess
from collections.abc import Iterator

from calc_engine.quantities.answer_units import AnswerUnits
from tests.error_codes import ROOT, codes_in_source, table

DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
# What commands make, an author writes, or the text asks for.
NOT_IN_THE_CHECKOUT = {
    ".cache/tested-site", ".venv/bin/python", "build_hooks/bundle/ready", "calculations/my-name.md", "test_my_name.py", "docs/calculations/*.py",
}  # fmt: skip
A_PATH = re.compile(r"\.?[\w*-]+(/[\w.*-]*|\.(py|md|yml|json|toml|css|js|lock)$)[\w./*-]*")


def in_backticks(text: str) -> list[str]:
    """Each piece of code within a line, once."""
    return list(dict.fromkeys(re.findall(r"`([^`\n]+)`", text)))


def files_and_folders() -> set[str]:
    """All that git has or would take, and the folders that they lie in."""
    listed = ("git", "ls-files", "--cached", "--others", "--exclude-standard")
    files = subprocess.run(listed, cwd=ROOT, capture_output=True, text=True, check=True).stdout.splitlines()
    parts = [file.split("/") for file in files]
    return {"/".join(found[:end]) for found in parts for end in range(1, len(found) + 1)}


def helpers() -> Iterator[tuple[str, str]]:
    """Module and name of each helper of the table: a row's later names are found where its first is."""
    rows = re.search(r"^\| Helper \|.*\n\|.*\n((?:\|.*\n)+)", DEVELOPERS, re.MULTILINE)
    assert rows
    for row in rows[1].splitlines():
        module = ""
        for text in in_backticks(row.split(" | ")[0]):
            path, _, name = text.partition("(")[0].rpartition(".")
            module = path or module
            yield module, name


def test_every_error_code_is_in_the_table() -> None:
    """The table is what `python -m tests.error_codes` prints."""
    listed = re.search(r"^\| Code \| Given by \|\n(?:\|.*\n)+", DEVELOPERS, re.MULTILINE)
    assert listed
    assert listed[0].strip() == table(), "Write the table anew: python -m tests.error_codes"


def test_codes_are_found_in_each_way_that_the_source_gives_them() -> None:
    """No way of giving a code escapes the search."""
    found = codes_in_source()
    # In a Problem, with its message in a variable, through a helper, in a refusal of markup, and chosen first.
    assert {"unknown-calculation", "both-given", "crossed-limits", "too-many-files", "not-allowed-here", "too-few"} <= set(found)


def test_every_room_is_in_the_map() -> None:
    """A new room is described where the others are."""
    rooms = [path.parent for package in ("calc_engine", "build_hooks") for path in (ROOT / package).glob("*/__init__.py")]
    assert [room.name for room in rooms if f"`{room.name}/`" not in DEVELOPERS] == []


def test_every_path_is_there() -> None:
    """By the end of its path, as the text names files of the room that it writes about."""
    known = [f"/{path}" for path in sorted(files_and_folders())]
    named = [text for text in in_backticks(DEVELOPERS) if A_PATH.fullmatch(text) and text not in NOT_IN_THE_CHECKOUT]
    assert len(named) > 100
    lost = [text for text in named if not any(fnmatch.filter(known, f"*/{text.rstrip('/')}{end}") for end in ("", ".py"))]
    assert lost == [], "DEVELOPERS.md names these, and they are not there: mend the path or cut the passage."


def test_every_command_is_there() -> None:
    """Modules that are run and goals of make."""
    modules = set(re.findall(r"python -m ([\w.]+)", DEVELOPERS)) - {"pytest"}
    goals = set(re.findall(r"^([\w-]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))
    assert [name for name in sorted(modules) if importlib.util.find_spec(name) is None] == []
    assert set(re.findall(r"`make ([a-z]+)", DEVELOPERS)) <= goals


def test_every_helper_is_there() -> None:
    """By the name that is imported, or as a method of what a function is given."""
    lost = []
    for module, name in helpers():
        if module == "units":
            found: object = AnswerUnits
        else:
            package = next((top for top in ("calc_engine", "build_hooks") if _exists(f"{top}.{module}")), None)
            found = importlib.import_module(f"{package}.{module}") if package else None
        if not hasattr(found, name) and not _exists(f"calc_engine.{module}.{name}"):
            lost.append(f"{module}.{name}")
    assert lost == [], "The table of helpers in DEVELOPERS.md names these, and they are not there."


def _exists(module: str) -> bool:
    try:
        return importlib.util.find_spec(module) is not None
    except ModuleNotFoundError:
        return False
