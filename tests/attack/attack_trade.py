"""Data and pages of the demo, spoilt at random: whatever they say then, the checks end with places and no traceback."""

from __future__ import annotations

import random
import re
import shutil
import tempfile
import time
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Final

from build_hooks.library import load
from build_hooks.page.source import read_page, unit_of
from build_hooks.trade import trade_warnings, without_accepted
from tests.attack.table import Row, cases

__all__ = ["FILES", "failure_of", "run", "spoilt"]

DOCS: Final = Path(__file__).parents[2] / "docs"
FILES: Final = (
    "units/hazel-2/unit.yml",
    "units/rowan-6/unit.yml",
    "units/hazel-2/high-pack-clearance.md",
    "units/rowan-6/main-drum-clearance.md",
)
_CASES: Final = 4000
# Of the processor's time; the largest file of the demo takes less than half a second.
_LONGEST: Final = 20
_TODAY: Final = date(2026, 11, 28)
_WORDS: Final = (
    "0", "-1", "999999999", "1e9", "0.0000001 mm", "1.80 mm ± 1.79", "50", "null", "[]", "{}", '""', "true", "chamfer down", "5 friction plates",
    "0.90 to 1.40 mm", "at least 2 in", "\u00a0", "\u202e", "\U0001f9f0", "# accept odd-length: so", "<!-- accept odd-length: so -->",
    "the press", "friction", "²", "٣ friction plates", "1 2 3 and 4, ", "friction " * 40, "3 forward, " * 40,
)  # fmt: skip


def _without_a_line(text: str, chance: random.Random) -> str:
    lines = text.split("\n")
    del lines[chance.randrange(len(lines))]
    return "\n".join(lines)


def _with_a_line_twice(text: str, chance: random.Random) -> str:
    lines = text.split("\n")
    lines.insert(chance.randrange(len(lines)), chance.choice(lines))
    return "\n".join(lines)


def _other_number(text: str, chance: random.Random) -> str:
    found = chance.choice([*re.finditer(r"\d+(?:\.\d+)?", text)])
    other = chance.choice(
        ["0", "1", "50", f"{found[0]}0", f"0.0{found[0]}", str(float(found[0]) / 25.4), str(float(found[0]) * 10)]
    )
    return text[: found.start()] + other + text[found.end() :]


def _other_word(text: str, chance: random.Random) -> str:
    found = chance.choice([*re.finditer(r"[\w-]+", text)])
    return text[: found.start()] + chance.choice([*_WORDS, *re.findall(r"[\w-]+", text)]) + text[found.end() :]


def _put_in(text: str, chance: random.Random) -> str:
    at = chance.randrange(len(text))
    return text[:at] + chance.choice(_WORDS) + text[at:]


_WAYS: Final[tuple[Callable[[str, random.Random], str], ...]] = (
    _without_a_line,
    _with_a_line_twice,
    _other_number,
    _other_number,
    _other_word,
    _put_in,
)


def spoilt(text: str, chance: random.Random) -> str:
    """The text of a file with one to four changes."""
    for _ in range(chance.randint(1, 4)):
        text = chance.choice(_WAYS)(text, chance)
    return text


def failure_of(docs: Path, file: str, text: str) -> str | None:
    """What went wrong when a folder was checked whose file holds a text; None where all is well.

    Args:
        docs: a folder with the demo's data.
        file: which of its files.
        text: what it is to hold.
    """
    path = docs / file
    path.write_text(text, encoding="utf-8")
    began = time.process_time()
    try:
        library, _ = load(docs)
        assert library is not None
        # A page is checked beside each unit, for it may count what the unit does not have any more.
        page = path if path.suffix == ".md" else next(path.parent.glob("*.md"))
        source, _ = read_page(page.read_text(encoding="utf-8"), page.as_posix())
        found = trade_warnings(library, [(source, unit_of(source.facts, page.relative_to(docs).as_posix()))], _TODAY)
        left = without_accepted(found, [path])
    except Exception as error:  # noqa: BLE001 - any traceback is a failure
        return f"{file}: {type(error).__name__}: {error}"
    took = time.process_time() - began
    if took > _LONGEST:
        return f"{file}: {took:.0f} s"
    lines = text.count("\n") + 1
    lost = [str(warning) for warning in left if warning.path == path.as_posix() and not 1 <= warning.line <= lines]
    return f"{file}: a warning beside the file: {lost[0]}" if lost else None


def run(share: float) -> Iterator[Row]:
    """Spoils each file, and gives one row for each."""
    chance = random.Random(20261128)
    with tempfile.TemporaryDirectory() as folder:
        docs = Path(folder) / "docs"
        for file in ("shop.yml", *FILES):
            (docs / file).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(DOCS / file, docs / file)
        for file in FILES:
            row = Row(f"{file}, spoilt at random: places and no traceback")
            sound = (DOCS / file).read_text(encoding="utf-8")
            for _ in range(cases(_CASES // len(FILES), share)):
                text = spoilt(sound, chance)
                failure = failure_of(docs, file, text)
                row.tried(failure)
            (docs / file).write_text(sound, encoding="utf-8")
            yield row
