"""Calculations of a manual's own: found, tried before they are taken, and told of with their place where something is wrong."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

import build_hooks.own
from build_hooks.cli import main
from build_hooks.edition import Edition, prepare
from build_hooks.live import LivePages
from build_hooks.own import read_own
from build_hooks.reading.memory import Memory
from build_hooks.site.watching import states_of
from calc_engine import BUILT_IN, CATALOGUE, answer, set_own
from calc_engine.__main__ import main as engine
from tests.build_hooks.own.manual import SOURCE, own_manual, write_calculation

TODAY = date(2026, 11, 29)
LINES = SOURCE.splitlines()


def line_of(text: str) -> int:
    """The line of the made-up calculation that holds a text."""
    return next(number for number, line in enumerate(LINES, start=1) if text in line)


@pytest.fixture(autouse=True)
def _own_of_nobody() -> Iterator[None]:
    yield
    set_own(())


@pytest.fixture
def docs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The docs folder of a manual with a calculation of its own; commands run beside it."""
    monkeypatch.chdir(tmp_path)
    own_manual(tmp_path)
    return Path("docs")


def problems_of(docs: Path) -> list[str]:
    """What is wrong with the calculations, each in its line."""
    return [str(problem).removeprefix("docs/calculations/") for problem in read_own(docs)[1]]


def changed(docs: Path, *pairs: tuple[str, str]) -> list[str]:
    """What is wrong when the made-up calculation has some texts in place of others."""
    source = SOURCE
    for old, new in pairs:
        assert old in source
        source = source.replace(old, new, 1)
    write_calculation(docs, "pan_depth", source)
    return problems_of(docs)


def edition_of(docs: Path, memory: Memory | None = None) -> Edition:
    """The manual, which is sound."""
    edition, problems = prepare(docs, TODAY, memory)
    assert list(problems) == []
    assert edition is not None
    return edition


# --- sound ----------------------------------------------------------------------------------------------------------------


def test_it_is_one_of_the_catalogue(docs: Path) -> None:
    """With block, form, reference page and a place at the end of the list; the next manual does not have it."""
    edition = edition_of(docs)
    assert list(CATALOGUE) == [*BUILT_IN, "pan-depth"]
    (block,) = edition.pages.by_path["pan.md"].blocks
    assert 'data-calculator="pan-depth"' in block
    assert "gap = 52.00 - 46.50 = 5.50 mm" in block
    made = edition.made["calculations/pan-depth.md"]
    assert "# Filter: &#60;gap&#62; below it" in made
    assert "| `limits.min` | Smallest allowed" in made
    assert (
        edition.made["calculations/index.md"]
        .rstrip()
        .endswith("(pan-depth.md): How far the filter stands off the floor of the pan &#124; made up.")
    )
    (docs / "calculations/pan_depth.py").unlink()
    (docs / "pan.md").unlink()
    assert edition_of(docs).library.own == build_hooks.own.Own()
    assert list(CATALOGUE) == list(BUILT_IN)


def test_an_example_may_hold_words_that_begin_with_a_figure(docs: Path) -> None:
    """They are no amounts, and limits may be plain numbers: no known question is made of them."""
    field = '    note: str = text("Note", "Any.")\n    limits: Limits'
    assert changed(docs, ("    limits: Limits", field), ('"filter": "46.5 mm"', '"filter": "46.5 mm", "note": "4 rings"')) == []
    found = changed(docs, ('"min": "4 mm", "max": "8 mm"', '"min": 4, "max": 8'))
    assert [": The example has no answer: " in line for line in found] == [True, True]


def test_an_edit_is_seen_and_nothing_else_is_tried_again(docs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A process that watches tries a file again when its text is another, and makes the pages that show it anew."""
    memory = Memory()
    first = edition_of(docs, memory)
    with monkeypatch.context() as patched:
        patched.setattr("build_hooks.own._trial_faults", None)
        assert edition_of(docs, memory).pages.by_path["pan.md"].blocks == first.pages.by_path["pan.md"].blocks
    write_calculation(docs, "pan_depth", SOURCE.replace("gap is right", "gap is good").replace("46.5 mm", "46 mm"))
    (block,) = edition_of(docs, memory).pages.by_path["pan.md"].blocks
    assert "Gap is good" in block
    assert "gap = 52.00 - 46.00 = 6.00 mm" in block
    assert answer("pan-depth", {"depth": "1 mm", "filter": "1 mm", "limits": {"min": "1 mm", "max": "2 mm"}})["ok"]


def test_single_pages_follow_an_edit_and_keep_the_last_good_state(docs: Path) -> None:
    """As `serve` shows them: the page that shows it is another, a broken file is told, and the last good pages stay."""
    seen = states_of(docs)
    live = LivePages(Path("mkdocs.yml"), Path("site"))
    assert live.take() == {"problem": "", "pages": True}
    assert "Gap is right" in live.page("pan/index.html")["html"]
    assert live.page("calculations/pan_depth.py") == {}
    path = write_calculation(docs, "pan_depth", SOURCE.replace("gap is right", "gap is just right"))
    assert {place for place, state in states_of(docs).items() if seen[place] != state} == {path.as_posix()}
    assert live.take() == {"problem": "", "pages": True}
    assert "Gap is just right" in live.page("pan/index.html")["html"]
    assert "Gap is just right" in live.page("calculations/pan-depth/index.html")["html"]
    write_calculation(docs, "pan_depth", "def work_out(:\n")
    problem = live.take()["problem"]
    assert "calculations/pan_depth.py:1:14: Python cannot read this: invalid syntax." in problem
    assert "pan.md:4:14: The calculation “pan-depth” has problems of its own. Mend calculations/pan_depth.py first." in problem
    assert "Gap is just right" in live.page("pan/index.html")["html"]


def test_the_engines_command_line_takes_a_folder(docs: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It lists and describes what is there, and says what it cannot use."""
    folder = ["--own", "docs/calculations"]
    assert engine([*folder, "list"]) == 0
    assert json.loads(capsys.readouterr().out)[-1]["name"] == "pan-depth"
    assert engine([*folder, "describe", "pan-depth"]) == 0
    assert json.loads(capsys.readouterr().out)["inputs"]["required"] == ["depth", "filter", "limits"]
    write_calculation(docs, "pan_depth", "1 / 0\n")
    assert engine([*folder, "list"]) == 2
    assert json.loads(capsys.readouterr().out)["problems"] == [
        {
            "field": "", "code": "own-at-fault", "message": "docs/calculations/pan_depth.py cannot be used: ZeroDivisionError: division by zero.",
            "remedy": "Name the calculations folder of a manual, and see what is wrong in it with: benchleaf check",
        }
    ]  # fmt: skip
    write_calculation(docs, "pan_depth", SOURCE.replace('"pan-depth"', '"end-play"'))
    assert engine([*folder, "list"]) == 2
    assert json.loads(capsys.readouterr().out)["problems"][0]["message"] == "There is a calculation “end-play” already."
    assert engine(["--own", "nowhere", "list"]) == 2
    assert json.loads(capsys.readouterr().out)["problems"][0]["message"] == "There is no folder “nowhere”."


def test_a_block_is_told_what_the_calculation_makes_of_its_example(docs: Path) -> None:
    """Its refusal in its own words; what it raises as a fault of the calculation."""
    write_calculation(docs, "pan_depth", SOURCE.replace("    gap = ", "    1 / (request.depth - 1)\n    gap = "))
    limits = "limits: {min: 1 mm, max: 2 mm}"
    page = f"# The pan\n\n```calc\ncalculation: pan-depth\nexample: {{depth: DEPTH, filter: 1 mm, {limits}}}\n```\n"
    (docs / "pan.md").write_text(page.replace("DEPTH", "1 mm"), encoding="utf-8")
    assert list(map(str, prepare(docs, TODAY)[1])) == [
        (
            "docs/pan.md:5:10: The calculation fails on what this block gives it: “ZeroDivisionError: Fraction(1, 0)”. "
            "Mend calculations/pan_depth.py, or refuse such a request in it."
        )
    ]
    (docs / "pan.md").write_text(page.replace("DEPTH", "300 mm"), encoding="utf-8")
    (told,) = prepare(docs, TODAY)[1]
    assert str(told).startswith("docs/pan.md:5:18: The example has no answer: Depth of the pan")


def test_saved_answers_are_judged_again(docs: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The command takes the calculations of the docs folder that it is told."""
    (tmp_path / "jobs.json").write_text("{}", encoding="utf-8")
    assert main(["recheck", "jobs.json"]) == 1
    assert "no file of saved jobs" in capsys.readouterr().err
    assert "pan-depth" in CATALOGUE


# --- at fault -------------------------------------------------------------------------------------------------------------


def test_all_that_is_broken_is_told_at_once_and_takes_nothing_down(docs: Path) -> None:
    """Each file has its line, and so has a block that uses one; the sound one is taken."""
    write_calculation(docs, "no_python", "def work_out(:\n")
    write_calculation(
        docs, "pins", SOURCE.replace('"pan-depth"', '"pins"').replace("from fractions", "import os\nfrom fractions")
    )
    write_calculation(docs, "end_play", SOURCE.replace('"pan-depth"', '"end-play"'))
    write_calculation(docs, "empty", "")
    write_calculation(docs, "Pan depth", SOURCE)
    write_calculation(
        docs, "quits", SOURCE.replace('"pan-depth"', '"quits"').replace("    gap =", "    raise SystemExit\n    gap =")
    )
    (docs / "uses.md").write_text("# Uses\n\n```calc\ncalculation: pins\n```\n", encoding="utf-8")
    library = "bisect, collections, collections.abc, dataclasses, decimal, enum, fractions, functools, heapq, itertools, math, operator, re, string or typing"
    edition, problems = prepare(docs, TODAY)
    assert edition is None
    assert list(map(str, problems)) == [
        (
            "docs/calculations/Pan depth.py:1:1: “Pan depth.py” cannot be the file of a calculation. "
            "Use small letters, figures and underlines, and begin with a letter, for example pan_depth.py."
        ),
        (
            "docs/calculations/empty.py:1:1: This file declares no calculation. "
            "Declare one: benchleaf new calculation NAME writes a file to begin with."
        ),
        (
            f"docs/calculations/end_play.py:{line_of('name=')}:10: There is a calculation “end-play” already. "
            "Give this one another name, and its file too."
        ),
        "docs/calculations/no_python.py:1:14: Python cannot read this: invalid syntax. Mend the line, or the one before it.",
        (
            "docs/calculations/pins.py:6:1: A calculation may not import “os”. "
            f"Import from calc_engine.declaring, or from {library}."
        ),
        (
            f"docs/calculations/quits.py:{line_of('    gap =')}:5: This file fails on its example: “SystemExit”. "
            "Mend this line, or what comes to it. benchleaf new calculation NAME writes a file that works."
        ),
        "docs/uses.md:4:14: The calculation “pins” has problems of its own. Mend calculations/pins.py first.",
    ]
    assert list(CATALOGUE) == [*BUILT_IN, "pan-depth"]


def test_an_endless_loop_is_told_with_its_line(docs: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In the example, in the file itself, and in what no signal ends."""
    monkeypatch.setattr("build_hooks.own._LONGEST", 0.5)
    told = "The example of this calculation has no answer after 0.5 seconds. Look for a loop that does not end."
    # Broken off at the condition or at what is done in the loop.
    (found,) = changed(docs, ("    gap =", "    while request: pass\n    gap ="))
    assert re.fullmatch(rf"pan_depth\.py:{line_of('    gap =')}:(?:11|20): {re.escape(told)}", found)
    (found,) = changed(docs, ("ADVICE =", "while True: pass\nADVICE ="))
    assert re.fullmatch(rf"pan_depth\.py:{line_of('ADVICE =')}:(?:7|13): {re.escape(told)}", found)
    monkeypatch.setattr("build_hooks.own._PATIENCE", 3)
    found = changed(docs, ("    gap =", "    10 ** 10 ** request.depth.numerator ** 9\n    gap ="))
    assert [line.split(": ", 1)[1] for line in found] == [told]


def test_what_takes_all_memory_ends_alone(docs: Path) -> None:
    """The system refuses it more than the engine could ever need."""
    (found,) = changed(docs, ("    gap =", "    [0] * 10**10\n    gap ="))
    assert found.startswith(f"pan_depth.py:{line_of('    gap =')}:5: This file fails on its example: “MemoryError”.")


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("from fractions import Fraction", "from math import sqrt", "1: The last digits of math.sqrt differ between machines. Use square_root of calc_engine.declaring."),
        ("from calc_engine.declaring import Answer", "from calc_engine import Answer", "1: A calculation may not import “calc_engine”. Write from calc_engine.declaring import Answer, AnswerUnits, Calculation, Limits, Option, Source, choice, group, judge, length, text."),
        ("declaring import Answer", "declaring import Anser, Answer", "1: calc_engine.declaring has no “Anser”. Did you mean “Answer”?"),
        ("    gap = ", "    import re; gap = ", "5: This import would not be found in the page. Put it at the top of the file."),
        ("    gap = ", "    print(request); gap = ", "5: “print” reaches outside the calculation, which the page does not allow. Work only with the request, and give everything in the answer."),
        ('name="pan-depth"', 'name="pan"', "10: The file pan_depth.py declares the calculation “pan-depth”. Write name='pan-depth', or rename the file."),
        ('title="Filter: <gap> below it"', 'title=""', "11: The title must be a text of one line. Write for example title='Height of letters on a screen'."),
        ("    request=Request", "    request=Fraction", "13: The request must be a dataclass. Write @dataclass(frozen=True, slots=True) above its class."),
        ('(r"g = d - f",)', '"g = d - f"', '14: The formulas must be a row of texts. Write for example formulas=(r"v = \\frac{s}{t}",), with the comma.'),
        ("    formulas=", '    asked_as="gap",\n    formulas=', '14: What it is asked for must be a row of texts of one line. Write for example asked_as=("how far off is the filter",), with the comma.'),
        ("    formulas=", '    asked_as=("gap", "Gap"),\n    formulas=', "14: “Gap” is listed twice in asked_as. Take one of them out."),
        ('(Source("made up for the tests"),)', "()", '13: The sources must be a row of Source, at least one. Write for example sources=(Source("shop rule", "", "common practice, no source"),).'),
        ('role="measured"', 'role="mesured"', "5: There is no role “mesured”. Did you mean “measured”?"),
        ("    depth: Fraction =", "    bare: Fraction = Fraction(1)\n    depth: Fraction =", '5: “bare” is not declared: the form would not show it. Write for example bare: Fraction = length("Label", "What it is.").'),
        ('above="0 mm", most="200 mm")', 'above="0 kg", most="200 mm")', "23: This file fails when it is read: “ValueError: The limit '0 kg' of the field 'Depth of the pan' is wrong. “kg” is not a unit that is known here. Write it in mm, um, m, in or thou.”. Mend this line, or what comes to it. benchleaf new calculation NAME writes a file that works."),
        ('"filter": "46.5 mm"', '"filter": "46.5 kg"', "42: The example has no answer: “kg” is not a unit that is known here. Write it in mm, um, m, in or thou."),
        ('"max": "8 mm"', '"max": "2 mm"', "63: The example has no answer: The smallest of the limits is not below the largest. Check which is which: min must be below max."),
        ("    gap = ", "    1 / 0; gap = ", "5: This file fails on its example: “ZeroDivisionError: division by zero”. Mend this line, or what comes to it. benchleaf new calculation NAME writes a file that works."),
    ],
)  # fmt: skip
def test_one_thing_is_wrong(docs: Path, old: str, new: str, message: str) -> None:
    """It is told at its place."""
    assert changed(docs, (old, new)) == [f"pan_depth.py:{line_of(old)}:{message}"]


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("return Answer(Result(", "return (Result(", "The function gives a tuple where an Answer is wanted. End it with return Answer(result, working), the working as a row of texts."),
        ("gap=gap)", "gap=float(gap))", "“gap” of the result is 5.5, a float. Give a Fraction, in the base unit of its dimension."),
        ("verdict=verdict,", 'verdict="good",', "“verdict” of the result is 'good', a str. Give 'in', 'low' or 'high'."),
        ('text("Advice", "What to do."', 'text("Advice", "What to do.", optional=True', None),
    ],
)  # fmt: skip
def test_what_the_function_gives_is_wrong(docs: Path, old: str, new: str, message: str | None) -> None:
    """It is told at the function; what may be left out may be."""
    assert changed(docs, (old, new)) == ([f"pan_depth.py:{line_of('def work_out')}:1: {message}"] if message else [])
