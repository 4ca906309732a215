"""Bad data and the whole of what is said about it; the cases stand in messages/*.yml, where a reader can judge the words."""

from pathlib import Path
from typing import Any

import pytest
import yaml

from build_hooks.library import load

MESSAGES = Path(__file__).parent / "messages"
SOUND_SHOP = """\
name: Quay Lane
gauges:
  bench-dial: {name: Dial, kind: dial, resolution: 0.01 mm, max_error: 0.02 mm}
  metric-depth: {name: Depth micrometer, kind: depth, resolution: 0.01 mm, max_error: 0.02 mm}
"""
UNIT = "docs/units/oak-2/unit.yml"


def cases_of(name: str) -> list[Any]:
    """Cases with all their files."""
    found = yaml.safe_load((MESSAGES / name).read_text(encoding="utf-8"))
    return [pytest.param(case["files"], case["problems"], id=f"{name}: {case['case']}") for case in found]


def changed_cases(name: str) -> list[Any]:
    """Cases that change sound data in a place or two."""
    found = yaml.safe_load((MESSAGES / name).read_text(encoding="utf-8"))
    made = []
    for case in found["cases"]:
        text = found["sound"]
        for old, new in case["change"].items():
            assert text.count(old) == 1, f"{case['case']}: {old!r} is not once in the sound data"
            text = text.replace(old, new)
        problems = [f"{UNIT}:{problem}" for problem in case["problems"]]
        made.append(pytest.param({UNIT: text}, problems, id=f"{name}: {case['case']}"))
    return made


CHANGED = ("sense.yml", "gear-set.yml")
ALL_CASES = [
    *(case for path in sorted(MESSAGES.glob("*.yml")) if path.name not in CHANGED for case in cases_of(path.name)),
    *(case for name in CHANGED for case in changed_cases(name)),
]


@pytest.mark.parametrize(("files", "problems"), ALL_CASES)
def test_each_fault_is_said_in_these_words_at_this_place(
    files: dict[str, str], problems: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every problem of a folder is reported: path, line, column and the whole text, in order, and nothing else."""
    monkeypatch.chdir(tmp_path)
    if not {"docs/shop.yml", "docs/shop.yaml"} & files.keys():
        files = {"docs/shop.yml": SOUND_SHOP, **files}
    for name, text in files.items():
        path = Path(name)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
    library, found = load(Path("docs"))
    assert [str(problem) for problem in found] == problems
    assert library is not None
    units_here = {Path(name).parent.name for name in files if name.startswith("docs/units/") and name.count("/") == 3}
    if not problems:
        assert library.units.keys() == {unit for unit in units_here if not unit.startswith(".")}
    if any(problem.startswith(UNIT) for problem in problems):
        assert "oak-2" not in library.units
        assert "oak-2" in library.units_at_fault
