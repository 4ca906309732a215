"""What was saved is judged again: every difference is told, and a file that is none of saved jobs is refused in words."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from build_hooks.cli import main
from build_hooks.jobs.job_file import ENTRY_LISTS
from build_hooks.schemas import schema_of
from tests.build_hooks.jobs.samples import SAMPLE, entry_like, sample

ROOT = Path(__file__).parents[3]
END_PLAY = "2026-11-25 08:10 job 4711: Output shaft: end play (end-play)"
PACK = "2026-11-25 08:12 job 4711: Forward pack (pack-clearance)"
MOMENT = schema_of("jobs")["properties"]["written"]["pattern"]
DRUM = "2026-11-25 08:14 job 4711: Front drum: set the clearances (set-clearances)"

type Run = Callable[[Any], tuple[int, str, str]]


@pytest.fixture
def rechecked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs the command on a file with this content; its status and what it writes."""
    monkeypatch.chdir(tmp_path)

    def run(content: Any) -> tuple[int, str, str]:
        written = content if isinstance(content, bytes) else json.dumps(content).encode()
        Path("job.json").write_bytes(written)
        status = main(["recheck", "job.json"])
        shown = capsys.readouterr()
        return status, shown.out, shown.err

    return run


def test_the_published_schema_is_the_one_that_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    """One declaration, two places; that the page checks by the same is tested beside the record of learning."""
    assert main(["schema", "jobs"]) == 0
    assert (ROOT / "docs/schemas/jobs.schema.json").read_text(encoding="utf-8") == capsys.readouterr().out


def test_the_sample_has_an_entry_of_every_kind() -> None:
    """Otherwise the other tests would leave one out."""
    file = sample()
    assert [name for name in ENTRY_LISTS if not file[name]] == []


def test_what_agrees_is_told_line_by_line(capsys: pytest.CaptureFixture[str]) -> None:
    """The oldest first, with status 0."""
    assert main(["recheck", str(SAMPLE)]) == 0
    assert capsys.readouterr() == (f"{END_PLAY}: agrees\n{PACK}: agrees\n{DRUM}: agrees\n3 answers, 0 that differ.\n", "")


def test_every_difference_is_told_with_its_place(rechecked: Run) -> None:
    """A verdict, a figure of the result, a text that was shown: what it was and what it is."""
    file = sample()
    file["answers"] = file["answers"][1:2]
    (answer,) = file["answers"]
    verdict, clearance, shown = answer["verdict"], answer["result"]["clearance"], answer["shown"]["clearance"]
    answer["verdict"] = answer["result"]["verdict"] = "high"
    answer["result"]["clearance"] = "9.99 mm"
    answer["shown"]["clearance"] = "9.99 mm"
    assert verdict != "high"
    assert rechecked(file) == (
        1,
        (
            f"{PACK}: DIFFERS\n"
            f'    clearance: was "9.99 mm", is "{clearance}"\n'
            f'    verdict: was "high", is "{answer_of(1)["result"]["verdict"]}"\n'
            f'    marked: was "high", is "{verdict}"\n'
            f'    shown as clearance: was "9.99 mm", is "{shown}"\n'
            "1 answer, 1 that differ.\n"
        ),
        "",
    )


def answer_of(at: int) -> dict[str, Any]:
    """An answer of the sample as it is."""
    found: dict[str, Any] = sample()["answers"][at]
    return found


def test_what_is_missing_or_more_than_there_was_is_told(rechecked: Run) -> None:
    """Neither is passed over."""
    file = sample()
    file["answers"] = file["answers"][:1]
    del file["answers"][0]["shown"]["verdict"]
    file["answers"][0]["result"]["colour"] = ["green"]
    verdict = json.dumps(answer_of(0)["shown"]["verdict"], ensure_ascii=False)
    assert rechecked(file) == (
        1,
        (
            f"{END_PLAY}: DIFFERS\n"
            '    colour: was ["green"], is nothing\n'
            f"    shown as verdict: was nothing, is {verdict}\n"
            "1 answer, 1 that differ.\n"
        ),
        "",
    )


def test_a_request_that_is_refused_today_and_an_unknown_calculation_differ(rechecked: Run) -> None:
    """The reason is the engine's own; the rest is judged all the same."""
    file = sample()
    file["answers"][0]["request"] = {"limits": {}}
    file["answers"][1]["calculation"] = "guess"
    file["answers"][1]["title"] = "Guess\nagrees"
    status, out, err = rechecked(file)
    lines = out.splitlines()
    assert (status, err) == (1, "")
    assert lines[0] == f"{END_PLAY}: DIFFERS"
    assert all(line.startswith("    today it is refused: ") for line in lines[1:-4])
    assert lines[-4] == "2026-11-25 08:12 job 4711: Guess\\nagrees (guess): DIFFERS"
    assert lines[-3].startswith("    today it is refused: ")
    assert "guess" in lines[-3]
    assert lines[-2:] == [f"{DRUM}: agrees", "3 answers, 2 that differ."]


@pytest.mark.parametrize(
    "request_",
    [
        {"readings": float("1e300")},
        {"x": [[[[[[[[1]]]]]]]]},
        {"__proto__": {}},
        {"": None},
        {"limits": "x" * 1_000_001},
        {"x": "\ud800"},
    ],
)
def test_no_request_stops_the_others(request_: dict[str, Any], rechecked: Run) -> None:
    """Whatever a file says was asked, its answer differs and the next one is judged."""
    file = sample()
    file["answers"][0]["request"] = request_
    status, out, err = rechecked(file)
    assert (status, err) == (1, "")
    assert out.splitlines()[0] == f"{END_PLAY}: DIFFERS"
    assert out.endswith(f"{PACK}: agrees\n{DRUM}: agrees\n3 answers, 1 that differ.\n")


def test_what_was_taken_back_is_not_judged(rechecked: Run) -> None:
    """A correction takes an answer away; a correction of the correction brings it back."""
    file = sample()
    first = file["answers"][0]["id"]
    taken = entry_like(file["corrections"][0], 901, of=first, at="2026-11-25T08:50:00Z")
    file["corrections"] = [taken]
    assert rechecked(file) == (0, f"{PACK}: agrees\n{DRUM}: agrees\n2 answers, 0 that differ.\n", "")
    file["corrections"].append(entry_like(taken, 902, of=taken["id"], at="2026-11-25T08:51:00Z"))
    assert rechecked(file)[1].endswith("3 answers, 0 that differ.\n")


def test_a_job_is_called_by_its_last_number(rechecked: Run) -> None:
    """By the moments, with or without thousandths, not by the order in the file; without a number by its key."""
    file = sample()
    file["answers"] = file["answers"][:1]
    first = file["details"][0]
    file["details"] = [
        entry_like(first, 901, number="4713", at="2026-11-25T08:00:01.5Z"),
        entry_like(first, 902, number="4712", at="2026-11-25T08:00:01Z"),
    ]
    assert rechecked(file)[1].startswith("2026-11-25 08:10 job 4713: ")
    file["details"] = []
    assert rechecked(file)[1].startswith("2026-11-25 08:10 job 00d1f2a3: ")


def deep(levels: int) -> dict[str, Any]:
    """A sample whose first result is nested so deeply."""
    file = sample()
    inner: list[Any] = []
    for _ in range(levels):
        inner = [inner]
    file["answers"][0]["result"] = {"clearance": inner}
    return file


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "this file is damaged, or is no file of saved jobs."),
        (b'{"format": "benchleaf-jobs", "vers', "this file is damaged, or is no file of saved jobs."),
        (b"\xff\xfe\x00", "this file is damaged, or is no file of saved jobs."),
        (b"[" * 100_000, "this file is damaged, or is no file of saved jobs."),
        (b'{"format": "benchleaf-jobs", "version": NaN}', "this file is damaged, or is no file of saved jobs."),
        (b'{"format": "benchleaf-jobs", "version": ' + b"9" * 5000 + b"}", "this file is damaged, or is no file of saved jobs."),
        (b"[]", "this is no file of saved jobs. Save one on the page “Jobs” and name that."),
        (b'{"format": "benchleaf-progress"}', "this is no file of saved jobs. Save one on the page “Jobs” and name that."),
        (
            b'{"format": "benchleaf-jobs", "version": 2}',
            "a newer edition wrote this file (version 2; this one reads 1). Use that edition.",
        ),
        (json.dumps(deep(100)).encode(), "this file is damaged: it is nested more than 64 levels deep."),
    ],
)
def test_what_is_no_file_of_saved_jobs_is_refused(content: bytes, said: str, rechecked: Run) -> None:
    """Damaged, foreign, newer or nested without end: one line, and status 1."""
    assert rechecked(content) == (1, "", f"job.json: {said}\n")


def test_a_file_that_does_not_fit_says_where(rechecked: Run) -> None:
    """The first five faults, each with its place, and how many more there are."""
    file = sample()
    file["colour\n"] = "green"
    file["notes"][0]["text"] = 5
    file["ticks"] = [{**file["ticks"][0], "total": -1, "done": "3", "at": "today", "ticked": None, "id": ""}]
    damaged = "The file is damaged."
    assert rechecked(file) == (
        1,
        "",
        (
            f"job.json: ticks.0.id: String should match pattern '^[0-9a-f]{{16}}/[0-9a-f]{{16}}$'. {damaged}\n"
            f"job.json: ticks.0.at: String should match pattern '{MOMENT}'. {damaged}\n"
            f"job.json: ticks.0.ticked: “ticked” is empty. {damaged}\n"
            f"job.json: ticks.0.done: Input should be a valid integer. {damaged}\n"
            f"job.json: ticks.0.total: Input should be greater than or equal to 0. {damaged}\n"
            "job.json: 2 more like these.\n"
        ),
    )


def test_a_file_that_cannot_be_read_says_why(rechecked: Run, capsys: pytest.CaptureFixture[str]) -> None:
    """Not there, a folder, or far too large."""
    rechecked(sample())
    os.truncate("job.json", 200_000_001)
    assert [main(["recheck", name]) for name in ("none.json", ".", "job.json")] == [1, 1, 1]
    assert capsys.readouterr() == (
        "",
        (
            "none.json: the file cannot be read: No such file or directory.\n"
            ".: the file cannot be read: Is a directory.\n"
            "job.json: this file is too large to be one of saved jobs.\n"
        ),
    )
