"""Names and files of what is begun: a name that can be used everywhere, and a file that is written only where there is none."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Final

from build_hooks.reading.ids import WORDS_OF_YAML, id_from
from build_hooks.reading.problems import printable, quoted

__all__ = ["NotWrittenError", "id_of", "quoted_value", "refuse_odd", "schema_line", "shown_name", "write"]

_NAME: Final = re.compile(r"\w[\w ,.'()&/+:-]{0,79}")

# File names that Windows keeps for devices, whatever their ending. Source: "Naming Files, Paths, and Namespaces" in the
# documentation of the Windows API; from memory.
_NOT_ON_WINDOWS: Final = frozenset(
    {"con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(10))}
)


class NotWrittenError(Exception):
    """A starter was not written. The text says why and what to do."""


def refuse_odd(name: str) -> None:
    """Refuses a name that a page could not show as it is.

    Raises:
        NotWrittenError: the name has signs that mean something in a page, or is too long.
    """
    if _NAME.fullmatch(name) is None:
        raise NotWrittenError(_no_name(name, "Use letters, figures, spaces and hyphens, 80 at most."))
    if name != name.strip() or name.endswith("."):
        raise NotWrittenError(_no_name(name, "Leave out the space or full stop at its end."))


def id_of(name: str) -> str:
    """The id that a file, folder or entry gets by its name.

    Raises:
        NotWrittenError: the name makes none, or one that some system keeps for itself.
    """
    made = id_from(name)
    if not made:
        raise NotWrittenError(_no_name(name, "Use letters, figures, spaces and hyphens, 80 at most."))
    refuse_odd(name)
    if made in _NOT_ON_WINDOWS:
        raise NotWrittenError(
            f"{quoted(printable(name))} cannot be a name: Windows keeps it for a device. Add a word, for example “{name} 2”."
        )
    if made in WORDS_OF_YAML:
        raise NotWrittenError(_no_name(name, f"YAML reads {quoted(made)} as no text. Add a word, for example “{name} 2”."))
    return made


def _no_name(name: str, remedy: str) -> str:
    return f"{quoted(printable(name))} cannot be a name. {remedy}"


def shown_name(name: str) -> str:
    """What a page calls it: a name that is an id gets spaces and a capital letter."""
    return name.replace("-", " ").capitalize() if name == id_from(name) else name


def quoted_value(text: str) -> str:
    """A text in double quotes; YAML reads it as JSON does."""
    return json.dumps(text, ensure_ascii=False)


def schema_line(path: Path, docs: Path, name: str) -> str:
    """The first line of a data file, by which an editor finds its schema; empty where `benchleaf schema --to` has written none.

    Args:
        path: the data file.
        docs: the docs folder; the schemas lie beside it.
        name: of the schema.
    """
    schema = docs.parent / "schemas" / f"{name}.schema.json"
    if not schema.is_file():
        return f"# An editor can complete the keys: benchleaf schema --to {schema.parent.as_posix()}\n"
    up = "../" * len(path.relative_to(docs).parts)
    return f"# yaml-language-server: $schema={up}schemas/{schema.name}\n"


def write(path: Path, text: str) -> Path:
    """Writes a file that is not there yet.

    Returns:
        The file.

    Raises:
        NotWrittenError: it is there already, or cannot be written.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError as error:
        raise NotWrittenError(f"{path.as_posix()} is there already. Choose another name, or edit it.") from error
    except OSError as error:
        raise NotWrittenError(f"{path.as_posix()} cannot be written: {error.strerror}.") from error
    return path
