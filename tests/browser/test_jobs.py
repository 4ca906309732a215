"""The requests on their way: whatever the engine sends back, whoever asked is told."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
ASK = """
const { Jobs } = await import(process.argv[1]);
const jobs = new Jobs();
const { job, answer } = jobs.add("slot", "convert", "{}");
jobs.send(() => {}, 60000, () => {});
console.error = () => {};
jobs.settle({ v: 1, kind: "result", id: job.id, ...JSON.parse(process.argv[2]) });
const told = await Promise.race([answer.catch((trouble) => trouble), new Promise((done) => setTimeout(done, 2000, "waits"))]);
console.log(JSON.stringify(told));
process.exit(0);
"""


def settled(message: dict[str, str]) -> object:
    """What the asker hears when this comes as the result."""
    jobs = (ROOT / "build_hooks" / "browser" / "engine" / "client" / "jobs.js").as_uri()
    command = ["node", "--input-type=module", "-e", ASK, jobs, json.dumps(message)]
    return json.loads(subprocess.run(command, capture_output=True, text=True, check=True, timeout=60).stdout)


def test_an_answer_reaches_whoever_asked() -> None:
    """As it was sent."""
    assert settled({"text": '{"reply": {"ok": true}, "panel": null}'}) == {"reply": {"ok": True}, "panel": None}


@pytest.mark.parametrize("message", [{}, {"text": ""}, {"text": '{"reply": '}, {"text": "null"}, {"text": "5"}])
def test_what_is_no_answer_is_a_fault_of_the_engine(message: dict[str, str]) -> None:
    """Nobody is left waiting, and nobody is given nothing."""
    assert settled(message) == {
        "where": "engine",
        "code": "engine-fault",
        "why": "the calculator failed; the readings are not the cause",
        "mend": "Note the readings and report the fault; meanwhile, work it out by the formulas",
    }
