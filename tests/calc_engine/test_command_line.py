"""The command line, from outside: one JSON object on standard output, 0 when ok and 2 when not, never a traceback."""

from __future__ import annotations

import io
import json
import os
import runpy
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from calc_engine import CATALOGUE, LONGEST_REQUEST, VERSION, answer, answer_text, describe, encode, listing
from calc_engine.__main__ import main

ROOT = Path(__file__).resolve().parents[2]
PACK = "pack-clearance"
EXAMPLE = json.dumps(dict(CATALOGUE[PACK].example), ensure_ascii=False).encode()


class Stdin:
    """Standard input that holds some bytes."""

    def __init__(self, given: bytes) -> None:
        self.buffer = io.BytesIO(given)


def run(*arguments: str, given: bytes = b"", redirect: str = "") -> tuple[int, bytes, bytes]:
    """A call in a process of its own: exit code, standard output and standard error."""
    command: Any = [sys.executable, "-m", "calc_engine", *arguments]
    if redirect:
        command = ["sh", "-c", f'"$0" -m calc_engine "$@" {redirect}', sys.executable, *arguments]
    done = subprocess.run(command, input=given, capture_output=True, cwd=ROOT, timeout=60, check=False)
    return done.returncode, done.stdout, done.stderr


def called(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], given: bytes | None, *arguments: str
) -> tuple[int, str]:
    """A call in this process: exit code and standard output; nothing may be on standard error."""
    monkeypatch.setattr(sys, "stdin", None if given is None else Stdin(given))
    try:
        code = main(list(arguments))
    except SystemExit as left:
        code = int(left.code or 0)
    output, errors = capsys.readouterr()
    assert errors == ""
    return code, output


def test_run_answers_as_the_engine_does() -> None:
    """To the byte, and exits 0."""
    reply = answer(PACK, dict(CATALOGUE[PACK].example))
    assert run("run", PACK, given=EXAMPLE) == (0, (encode(reply) + "\n").encode(), b"")


@pytest.mark.parametrize(
    ("given", "codes"),
    [
        (b"", ["not-json"]), (b"{}", ["missing", "missing"]), (b"\xff\xfe", ["not-utf8"]), (b"[" * 100_000, ["too-deep"]),
        (b"\x00", ["not-json"]),
        (b'{"method": NaN}', ["not-finite"]), (b'{"\\ud800": 1}', ["unknown-field", "missing", "missing"]),
        (b"1" * 5000, ["wrong-type"]),
        (b'{"method": "dial", "lifts": ["1"], "limits": {"min": 1, "max": true}}', ["no-unit", "no-unit", "wrong-type"]),
    ],
)  # fmt: skip
def test_a_refused_request_exits_2_with_its_problems(given: bytes, codes: list[str]) -> None:
    """One JSON object, nothing on standard error."""
    code, output, errors = run("run", PACK, given=given)
    assert (code, errors) == (2, b"")
    reply = json.loads(output)
    assert [problem["code"] for problem in reply["problems"]] == codes
    assert reply == answer_text(PACK, given)
    assert output.count(b"\n") == 1


def test_a_name_that_is_no_text_is_told() -> None:
    """Bytes that no character stands for come back escaped."""
    code, output, errors = run("run", "x\udcff", given=b"{}")
    assert (code, errors) == (2, b"")
    assert json.loads(output)["problems"][0]["message"] == "There is no calculation “x<U+DCFF>”."


def test_no_standard_input_is_an_empty_request() -> None:
    """A closed one too."""
    code, output, errors = run("run", PACK, redirect="<&-")
    assert (code, errors) == (2, b"")
    assert json.loads(output)["problems"][0]["code"] == "not-json"


def test_an_endless_request_ends() -> None:
    """No more is read than may be sent."""
    code, output, errors = run("run", PACK, redirect="</dev/zero")
    assert (code, errors) == (2, b"")
    assert json.loads(output)["problems"][0]["code"] == "too-long"


@pytest.mark.parametrize("name", ["x\udcff", PACK])
def test_started_as_a_program_it_writes_utf_8_whatever_is_in_the_name(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """And leaves with the code of the reply."""
    monkeypatch.delitem(sys.modules, "calc_engine.__main__", raising=False)
    monkeypatch.setattr(sys, "argv", ["calc_engine", "run", name])
    for output in (io.TextIOWrapper(io.BytesIO(), encoding="ascii"), io.StringIO()):
        monkeypatch.setattr(sys, "stdin", Stdin(b"{}"))
        monkeypatch.setattr(sys, "stdout", output)
        with pytest.raises(SystemExit) as left:
            runpy.run_module("calc_engine", run_name="__main__")
        output.seek(0)
        assert left.value.code == 2
        assert json.loads(output.read()) == answer(name, {})


def test_list_names_every_calculation(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """As JSON."""
    code, output = called(monkeypatch, capsys, None, "list")
    assert code == 0
    assert json.loads(output) == listing(list(CATALOGUE.values()))


@pytest.mark.parametrize("name", list(CATALOGUE))
def test_describe_gives_the_schemas(name: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """Of every calculation."""
    code, output = called(monkeypatch, capsys, None, "describe", name)
    assert code == 0
    assert json.loads(output) == json.loads(json.dumps(describe(CATALOGUE[name])))
    assert "\\u" not in output


def test_run_in_this_process(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """Exit codes 0 and 2; a request of one byte too many is too long, and no standard input is an empty request."""
    assert called(monkeypatch, capsys, EXAMPLE, "run", PACK) == (0, encode(answer_text(PACK, EXAMPLE)) + "\n")
    assert called(monkeypatch, capsys, b"{}", "run", PACK) == (2, encode(answer_text(PACK, b"{}")) + "\n")
    assert called(monkeypatch, capsys, None, "run", PACK) == (2, encode(answer_text(PACK, b"")) + "\n")
    padded = EXAMPLE + b" " * (LONGEST_REQUEST - len(EXAMPLE))
    assert called(monkeypatch, capsys, padded, "run", PACK)[0] == 0
    code, output = called(monkeypatch, capsys, padded + b" ", "run", PACK)
    assert (code, json.loads(output)["problems"][0]["code"]) == (2, "too-long")


def test_an_unknown_name_is_told_alike_by_run_and_describe(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """With the name that was meant."""
    for command in ("run", "describe"):
        code, output = called(monkeypatch, capsys, b"{}", command, "pack-clearence")
        assert code == 2
        assert json.loads(output)["problems"] == [
            {
                "field": "", "code": "unknown-calculation", "message": "There is no calculation “pack-clearence”.",
                "remedy": "Did you mean “pack-clearance”?",
            }
        ]  # fmt: skip


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ((), "The call is not understood: the following arguments are required: command."),
        (("run",), "The call is not understood: the following arguments are required: NAME."),
        (("run", PACK, "more"), "The call is not understood: unrecognized arguments: more."),
    ],
)
def test_a_wrong_call_is_a_problem_like_any_other(
    arguments: tuple[str, ...], message: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """One JSON object on standard output, exit 2."""
    code, output = called(monkeypatch, capsys, b"{}", *arguments)
    assert code == 2
    assert json.loads(output) == {
        "ok": False, "calculation": "", "engine": VERSION,
        "problems": [{"field": "", "code": "usage", "message": message, "remedy": "Write list, describe NAME or run NAME."}],
    }  # fmt: skip


def test_a_command_that_does_not_exist_is_a_wrong_call(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The words are the parser's own."""
    code, output = called(monkeypatch, capsys, b"", "calculate", PACK)
    assert code == 2
    assert json.loads(output)["problems"][0]["code"] == "usage"


def test_help_is_given(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """It names the three commands and exits 0."""
    code, output = called(monkeypatch, capsys, None, "--help")
    assert code == 0
    assert all(word in output for word in ("list", "describe", "run"))


def test_a_reader_that_stops_reading_is_no_fault() -> None:
    """Nothing on standard error when the first line is all that is wanted."""
    code = f'"{sys.executable}" -m calc_engine describe {PACK} | head -c 1'
    done = subprocess.run(["sh", "-c", code], capture_output=True, cwd=ROOT, timeout=60, check=False)
    assert (done.stdout, done.stderr) == (b"{", b"")


@pytest.mark.parametrize("command", [("list",), ("describe", PACK), ("run", PACK)])
@pytest.mark.parametrize(
    ("redirect", "said"),
    [
        (">&-", b"calc_engine: could not read or write: standard output is closed.\n"),
        (">/dev/full", b"calc_engine: could not read or write: No space left on device.\n"),
        (">/dev/full 2>&-", b""),
    ],
)
def test_an_answer_that_cannot_be_written_is_told_in_a_line(command: tuple[str, ...], redirect: str, said: bytes) -> None:
    """Exit 2, as for every call without an answer."""
    assert run(*command, given=EXAMPLE, redirect=redirect) == (2, b"", said)


def test_a_standard_input_that_cannot_be_read_is_told_in_a_line(tmp_path: Path) -> None:
    """Opened for writing only."""
    code, output, errors = run("run", PACK, redirect=f"0>{tmp_path / 'written'}")
    assert (code, output, errors) == (2, b"", b"calc_engine: could not read or write: Bad file descriptor.\n")


def test_ctrl_c_while_it_waits_is_no_fault() -> None:
    """A line, and the exit code that shells know."""
    code = (
        "import signal, sys, calc_engine.__main__ as command, calc_engine.process as process\n"
        "def read():\n"
        "    signal.raise_signal(signal.SIGINT)\n"
        "command._request = read\n"
        "sys.argv = ['calc_engine', 'run', 'convert']\n"
        "sys.exit(process.run_process('calc_engine', command.main))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, cwd=ROOT, timeout=60, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"calc_engine: stopped.\n")


def test_ctrl_c_while_it_loads_is_quiet(tmp_path: Path) -> None:
    """A module that the engine loads is replaced by one that is interrupted."""
    interrupted = "import os, signal, time\nos.kill(os.getpid(), signal.SIGINT)\ntime.sleep(60)\n"
    (tmp_path / "fractions.py").write_text(interrupted, encoding="utf-8")
    command = [sys.executable, "-m", "calc_engine", "list"]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(command, capture_output=True, cwd=tmp_path, env=environment, timeout=50, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"")
