"""How problems are worded and ordered."""

import pytest

from build_hooks.reading.problems import Fault, Mark, Problem, Problems, did_you_mean, listed, printable, quoted


def problem(path: str, line: int, column: int, message: str = "Wrong.") -> Problem:
    """A problem with nothing of note but its place."""
    return Problem.of(path, Fault(Mark(line, column), "code", message, "Mend it."))


def test_problems_stand_by_file_line_and_column_and_else_as_found() -> None:
    """Numbers sort as numbers, and two faults of one place keep their order."""
    collected = Problems()
    collected.extend(
        [problem("b.yml", 1, 1), problem("a.yml", 10, 1), problem("a.yml", 9, 12), problem("a.yml", 9, 2, "Second.")]
    )
    collected.add(problem("a.yml", 9, 2, "First."))
    assert [str(found) for found in collected] == [
        "a.yml:9:2: Second. Mend it.",
        "a.yml:9:2: First. Mend it.",
        "a.yml:9:12: Wrong. Mend it.",
        "a.yml:10:1: Wrong. Mend it.",
        "b.yml:1:1: Wrong. Mend it.",
    ]
    assert collected
    assert not Problems()


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain ± “text”", "plain ± “text”"),
        ("two\nlines\r\n", "two\\nlines\\r\\n"),
        ("\x1b[31mred", "\\x1b[31mred"),
        ("\u202eback", "\\u202eback"),
        ("a\u2028b\x85c", "a\\u2028b\\x85c"),
        ("\udcff", "\\udcff"),
        ("a\tb\0", "a\\tb\\x00"),
    ],
)
def test_a_problem_is_one_line_that_no_terminal_obeys(text: str, shown: str) -> None:
    """Whatever stands in a file or a name, the line stays one line and its signs stay signs."""
    assert printable(text) == shown
    assert str(Problem(text, 1, 2, "code", text, text)) == f"{shown}:1:2: {shown} {shown}"


def test_long_quotes_are_cut() -> None:
    """Sixty characters are enough to find the place again."""
    assert quoted("x" * 60) == f"“{'x' * 60}”"
    assert quoted("x" * 61) == f"“{'x' * 60}…”"


def test_lists_read_as_sentences_do() -> None:
    """One, two and three words."""
    assert (listed(["a"]), listed(["a", "b"]), listed(["a", "b", "c"], "and")) == ("a", "a or b", "a, b and c")


def test_a_near_word_is_offered_and_a_far_one_is_not() -> None:
    """A guess is made only where it is a likely one; very long words are not compared at all."""
    assert did_you_mean("thicknes", ["name", "thickness"]) == "Did you mean “thickness”?"
    assert did_you_mean("colour", ["name", "thickness"]) == ""
    assert did_you_mean("x" * 41, ["x" * 41]) == ""
