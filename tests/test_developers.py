"""What DEVELOPERS.md lists is what the source holds."""

from __future__ import annotations

import re

from tests.error_codes import ROOT, codes_in_source, table

DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


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
