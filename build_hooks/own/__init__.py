"""A manual's own calculations: found in its ``calculations`` folder, looked at, tried in a process of their own, and only then taken."""

from __future__ import annotations

import ast
import json
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any, Final

from build_hooks.own.places import Places, last_name
from build_hooks.own.text import file_name, name_of, places_in, text_faults
from build_hooks.own.trial import slow_fault
from build_hooks.reading.docs_tree import files_of
from build_hooks.reading.memory import Memory
from build_hooks.reading.problems import START, Fault, Mark, Problem
from build_hooks.reading.sources import read_text
from calc_engine import Calculation, calculations_in, load_own

__all__ = ["FOLDER", "Own", "Places", "file_name", "is_own", "last_name", "places_in", "read_own"]

FOLDER: Final = "calculations"
_ENDING: Final = ".py"
# Seconds of the processor's time. The engine's slowest example takes a tenth of one.
_LONGEST: Final = 10.0
# What no signal ends, a huge power for example, is ended from outside this much later, by the clock: that also runs while the machine
# does something else.
_PATIENCE: Final = 20.0

type _Read = tuple[Calculation[Any, Any] | None, tuple[Fault, ...], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Own:
    """The calculations of a manual's own.

    Attributes:
        sources: the text of each file that is sound, by its name without ending.
        at_fault: the file of each that is not, below the docs folder, by every name that a block may call it by.
        calculations: the sound ones, in order of their files.
    """

    sources: Mapping[str, str] = field(default_factory=dict)
    at_fault: Mapping[str, str] = field(default_factory=dict)
    calculations: tuple[Calculation[Any, Any], ...] = field(default=(), compare=False)


def is_own(source_path: str) -> bool:
    """Whether a path below the docs folder is that of such a file."""
    folder, _, name = source_path.rpartition("/")
    return folder == FOLDER and name.endswith(_ENDING)


def own_paths(docs: Path) -> Iterator[Path]:
    """Their files."""
    yield from (path for path in files_of(docs)[0] if is_own(path.relative_to(docs).as_posix()))


def read_own(docs: Path, memory: Memory | None = None) -> tuple[Own, tuple[Problem, ...]]:
    """Reads and tries every calculation of a docs folder. The files run, first in a process of their own and then in this one.

    Args:
        docs: the folder.
        memory: what was read before; a file that says the same is not tried again.

    Returns:
        Those that are sound, and every problem, by place.
    """
    memory = memory or Memory()
    problems: list[Problem] = []
    sources: dict[str, str] = {}
    at_fault: dict[str, str] = {}
    sound: list[Calculation[Any, Any]] = []
    for path in own_paths(docs):
        text, unreadable = read_text(path)
        problems.extend(unreadable)
        calculation, faults, names = (
            memory.made("own", path.stem, (text, path.as_posix()), partial(_read, path.stem, text, path.as_posix()))
            if text is not None
            else (None, (), (name_of(path.stem),))
        )
        problems.extend(Problem.of(path.as_posix(), fault) for fault in faults)
        if calculation is None or text is None:
            at_fault |= dict.fromkeys(names, path.relative_to(docs).as_posix())
        else:
            sources[path.stem] = text
            sound.append(calculation)
    return Own(sources, at_fault, tuple(sound)), tuple(sorted(problems, key=lambda problem: problem.place))


def _read(stem: str, source: str, path: str) -> _Read:
    """The calculation of a file if it is sound, its faults, and the names that a block may call it by."""
    places, faults = places_in(source)
    names = (name_of(stem), *(_declared_names(places) if places else ()))
    if places is not None:
        faults = text_faults(stem, places) or _trial_faults(stem, source, path, places)
    if faults:
        return None, faults, names
    (calculation,) = calculations_in(load_own(stem, source, path))
    return calculation, (), names


def _declared_names(places: Places) -> Iterator[str]:
    given = places.argument("name")
    if isinstance(given, ast.Constant) and isinstance(given.value, str):
        yield given.value


def _trial_faults(stem: str, source: str, path: str, places: Places) -> tuple[Fault, ...]:
    """What the process says that has tried the file."""
    job = json.dumps({"stem": stem, "source": source, "path": path, "limit": _LONGEST})
    try:
        done = subprocess.run(
            [sys.executable, "-m", "build_hooks.own.trial"],
            input=job.encode(),
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            check=False,
            timeout=_LONGEST + _PATIENCE,
        )
        told = json.loads(done.stdout)
    except subprocess.TimeoutExpired:
        return (slow_fault(places.declared("compute"), _LONGEST),)
    except ValueError:
        message = "This file ends the program that tries it."
        return (Fault(START, "calculation-fails", message, "Take out what ends Python, or takes all memory."),)
    return tuple(Fault(Mark(line, column), *words) for line, column, *words in told)
