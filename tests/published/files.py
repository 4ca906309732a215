"""The files of printed answers: all that lie in this folder, found by looking."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import yaml

__all__ = ["HERE", "bench_topics", "problem_of", "read", "topics"]

HERE: Final = Path(__file__).parent
_PARTS: Final = frozenset({"cases", "does_not_follow"})
_NOT_DATA: Final = frozenset({".py", ".pyc"})


def topics(folder: Path) -> list[Path]:
    """Every file of the folder that is no code, whatever its name ends in."""
    return sorted(path for path in folder.iterdir() if path.is_file() and path.suffix not in _NOT_DATA)


def bench_topics(folder: Path) -> list[Path]:
    """The files without a test module of their own name: the general test asks the engine each of their cases."""
    return [path for path in topics(folder) if not _own_module(path).exists()]


def read(path: Path, part: str) -> list[dict[str, Any]]:
    """The cases of one part of a file that a test can check; none where the file is at fault, which a test of its own tells."""
    return [] if problem_of(path) else [case for case in _content(path).get(part, []) if "why_not" not in case]


def problem_of(path: Path) -> str | None:
    """Why a file checks nothing, or less than it seems to."""
    if path.suffix != ".yml":
        return f"{path.name} is not read: its name must end in .yml."
    try:
        content = _content(path)
    except (OSError, ValueError, yaml.YAMLError):
        return f"{path.name} cannot be read as YAML."
    if not isinstance(content, dict) or not _are_parts(content):
        return f"{path.name} must hold lists of cases under cases and does_not_follow, and nothing else."
    if not any("why_not" not in case for case in content.get("cases", [])):
        return f"{path.name} has no case that is checked."
    module = _own_module(path)
    if module.exists() and path.name not in module.read_text(encoding="utf-8"):
        return f"{path.name} is not read by {module.name}."
    return None


def _content(path: Path) -> Any:
    return yaml.safe_load(path.read_text(encoding="utf-8"))


def _are_parts(content: dict[Any, Any]) -> bool:
    return content.keys() <= _PARTS and all(
        isinstance(cases, list) and all(isinstance(case, dict) and "id" in case for case in cases) for cases in content.values()
    )


def _own_module(path: Path) -> Path:
    return path.with_name(f"test_{path.stem}.py")
