"""Says in plain words what the YAML parser found fault with, and where the cause most likely stands."""

from __future__ import annotations

import re
from typing import Final

import yaml

from build_hooks.reading.problems import START, Fault, Mark, lines_of, quoted

__all__ = ["fault_of"]

_OPENING: Final = {"mapping": "{", "sequence": "["}

# What the parser says, what we say, what to do. The first that is found in the parser's words counts.
_WORDS: Final[tuple[tuple[str, str, str], ...]] = (
    (
        "found unexpected ':'",
        "This colon has no space after it.",
        "Put a space behind it, or the whole text in quotes.",
    ),
    (
        "mapping values are not allowed",
        "A second colon is not allowed here.",
        "Put the whole text in quotes.",
    ),
    (
        "sequence entries are not allowed",
        "A list cannot start here.",
        "Start it on the next line, or write it in square brackets: [a, b].",
    ),
    (
        "mapping keys are not allowed",
        "A text cannot start with “?” here.",
        "Put the whole text in quotes.",
    ),
    (
        "found unknown escape character",
        "In double quotes, a backslash starts a special character.",
        "Use single quotes, or write the backslash twice.",
    ),
    (
        "escape code",
        "This special character does not exist.",
        "Use single quotes, or write the backslash twice.",
    ),
    (
        "hexdecimal number",
        "This special character is not complete.",
        "Use single quotes, or write the backslash twice.",
    ),
    (
        "expected alphabetic or numeric character",
        "A text cannot start with “*” or “&”.",
        "Put the whole text in quotes.",
    ),
    (
        "nesting",
        "Brackets are nested far too deep here.",
        "Close the brackets before.",
    ),
    (
        "did not find expected <document start>",
        "This does not belong to what stands before it.",
        "Start every main key at the left edge.",
    ),
    (
        "block scalar",
        "A text cannot start with “|” or “>”, except alone on the line before the text.",
        "Put the whole text in quotes.",
    ),
    (
        "incompatible",
        "This version of YAML is not known.",
        "Take the line out.",
    ),
    (
        "directive",
        "A line cannot start with “%” here.",
        "Put the whole text in quotes.",
    ),
    (
        "tag",
        "A text cannot start with “!”.",
        "Put the whole text in quotes.",
    ),
)


def fault_of(error: yaml.YAMLError, text: str) -> Fault:
    """The fault that stopped the parser, in words for whoever wrote the file.

    Args:
        error: what the parser raised.
        text: the text it was reading.
    """
    if not isinstance(error, yaml.MarkedYAMLError) or error.problem_mark is None:
        return Fault(START, "bad-yaml", "This cannot be read as YAML.", "Look for a missing quote, colon or bracket.")
    said = f"{error.problem or ''} {error.context or ''}"
    lines = lines_of(text)
    found = _within(lines, _mark(error.problem_mark))
    opened = _within(lines, _mark(error.context_mark)) if error.context_mark is not None else found
    line = lines[found.line - 1]
    return (
        _tab(found, line)
        or _unclosed(said, found, opened)
        or _lone_text(said, opened)
        or _misplaced(said, found, line)
        or _key_out_of_line(said, found, line)
        or _by_table(said, found, opened)
        or Fault(found, "bad-yaml", "This cannot be read as YAML.", "Look for a missing quote, colon or bracket near here.")
    )


def _mark(mark: yaml.Mark) -> Mark:
    return Mark(mark.line + 1, mark.column + 1)


def _within(lines: list[str], mark: Mark) -> Mark:
    """A mark, or the end of the text: where that has no line break, the parser counts one more."""
    return mark if mark.line <= len(lines) else Mark(len(lines), len(lines[-1]) + 1)


def _tab(found: Mark, line: str) -> Fault | None:
    indent = line[: len(line) - len(line.lstrip(" \t"))]
    column = indent.find("\t") + 1
    if not column and line[found.column - 1 : found.column] == "\t":
        column = found.column
    if not column:
        return None
    return Fault(Mark(found.line, column), "tab", "This line is indented with a tab.", "Use spaces to indent.")


def _unclosed(said: str, found: Mark, opened: Mark) -> Fault | None:
    if "found unexpected end of stream" in said or "found unexpected document indicator" in said:
        return Fault(opened, "bad-yaml", "The quote that opens here is not closed.", "Put the same quote behind the text.")
    kind = re.search(r"expected ',' or '[]}]'.*flow (mapping|sequence)", said)
    if kind is None:
        return None
    sign = quoted(_OPENING[kind[1]])
    if found.line > opened.line:
        message = f"The {sign} that opens here is not closed, or a comma is missing after it."
        return Fault(opened, "bad-yaml", message, "Put commas between the entries and close the bracket.")
    message = f"A comma or a closing bracket is missing before this; the {sign} is in column {opened.column}."
    return Fault(found, "bad-yaml", message, "Put commas between the entries and close the bracket.")


def _lone_text(said: str, opened: Mark) -> Fault | None:
    if "could not find expected ':'" not in said:
        return None
    return Fault(opened, "bad-yaml", "This line has no key.", "Write key: value, with a space behind the colon.")


def _misplaced(said: str, found: Mark, line: str) -> Fault | None:
    sign = quoted(line[found.column - 1 : found.column])
    if "cannot start any token" in said:
        return Fault(found, "bad-yaml", f"A text cannot start with {sign}.", "Put the whole text in quotes.")
    if sign in {"“]”", "“}”"}:
        return Fault(found, "bad-yaml", f"This {sign} closes nothing.", "Take it out, or put the whole text in quotes.")
    if "node content" in said and sign == "“”":
        return Fault(found, "bad-yaml", "A bracket or a brace above is not closed.", "Close it.")
    if sign == "“:”" and ("node content" in said or "block mapping" in said):
        return Fault(found, "bad-yaml", "The key before the colon is missing.", "Write one, or take the colon out.")
    if "node content" in said:
        return Fault(found, "bad-yaml", f"A value is missing before this {sign}.", "Write the value, or take the sign out.")
    if "block mapping" not in said and "block collection" not in said:
        return None
    if line[: found.column - 1].strip():
        return Fault(found, "bad-yaml", "This comes after a value that was already complete.", "Put the whole text in quotes.")
    message = "This line does not line up with the lines it belongs to."
    return Fault(found, "bad-yaml", message, "Indent it as far as the others, with spaces.")


def _key_out_of_line(said: str, found: Mark, line: str) -> Fault | None:
    """The first colon of a line cannot be one too many: then the line stands too far in, or the one above has no colon."""
    before = line[: found.column - 1]
    if "mapping values are not allowed" not in said or not before.strip() or set(before) & set(":{["):
        return None
    start = Mark(found.line, len(before) - len(before.lstrip()) + 1)
    remedy = "Indent it as far as the keys it goes with, and check that the line above has its colon."
    return Fault(start, "bad-yaml", "This key does not fit under the line above it.", remedy)


def _by_table(said: str, found: Mark, opened: Mark) -> Fault | None:
    for pattern, message, remedy in _WORDS:
        if pattern in said:
            whole = any(sign in said for sign in ("directive", "an alias", "an anchor", "a tag", "block scalar"))
            return Fault(opened if whole else found, "bad-yaml", message, remedy)
    return None
