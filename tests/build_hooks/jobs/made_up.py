"""Jobs made up by hypothesis: entries of every kind, close together in time, that speak of each other."""

from __future__ import annotations

from typing import Any, Final

from hypothesis import strategies as st

from build_hooks.jobs.job_file import ENTRY_LISTS
from build_hooks.schemas import schema_of

__all__ = ["JOB", "as_file", "job_entries"]

JOB: Final = "00d1f2a3b4c5d6e7"
_SCHEMA: Final = schema_of("jobs")
_KEYS: Final = {"id", "of", "answer"}
# Few words, so that entries meet: the same form, the same hold point, the same part, the same moment. The last two moments are one.
_WORDS: Final[dict[str, list[Any]]] = {
    "at": ["2026-11-25T08:00:00.000Z", "2026-11-25T08:00:00.5Z", "2026-11-25T08:00:01Z", "2026-11-25T08:00:01.000Z"],
    "person": ["", "Wren Ashby", "M. Fennick"],
    "edition": ["2026-11-24", "2026-11-25"],
    "number": ["4711", "4712", "__proto__"],
    "form": ["end-play alder-4", "constructor"],
    "hold": ["Ring home all round?", "toString"],
    "next": ["", "Ring home all round?"],
    "page": ["bench/", "units/"],
    "part": ["Seal", "Plate"],
    "changes": [{"entry a": {"value": "1"}}, {"entry a": None, "entry b": {"value": "2"}}, {"__proto__": {"value": "3"}}, {}],
    "result": [{}, {"clearance": "1.2 mm"}],
    "data": ["data:image/png;base64,AAAA"],
}  # fmt: skip


def _any(name: str, place: dict[str, Any]) -> st.SearchStrategy[Any]:
    """What may be at a place of an entry."""
    if place["type"] == "boolean":
        return st.booleans()
    if place["type"] == "integer":
        return st.integers(place["minimum"], place["minimum"] + 3)
    if name in _WORDS:
        return st.sampled_from(_WORDS[name])
    if "enum" in place:
        return st.sampled_from(place["enum"])
    if place["type"] == "object":
        return st.just({})
    return st.sampled_from(place["examples"])


def _shape(name: str) -> dict[str, Any]:
    """The schema of an entry of a list."""
    shape: dict[str, Any] = _SCHEMA["$defs"][_SCHEMA["properties"][name]["items"]["$ref"].removeprefix("#/$defs/")]
    return shape


def _entry(draw: st.DrawFn, name: str) -> dict[str, Any]:
    shape = _shape(name)
    wanted = [key for key in shape["properties"] if key in shape["required"] or draw(st.booleans())]
    return {key: draw(_any(key, shape["properties"][key])) for key in wanted if key not in _KEYS}


@st.composite
def job_entries(draw: st.DrawFn) -> list[dict[str, Any]]:
    """Entries of one job, each with the list that it belongs to: `{"list": ..., "value": ...}`. No two have one key."""
    lists = draw(st.lists(st.sampled_from((*ENTRY_LISTS, "corrections")), min_size=1, max_size=14))
    ids = [f"{JOB}/{number:016x}" for number in draw(st.permutations(range(len(lists))))]
    entries = []
    for name, id_ in zip(lists, ids, strict=True):
        value = {"id": id_, **_entry(draw, name)}
        value |= {key: draw(st.sampled_from(ids)) for key in _shape(name)["properties"] if key in _KEYS - {"id"}}
        entries.append({"list": name, "value": value})
    return entries


def as_file(entries: list[dict[str, Any]]) -> dict[str, Any]:
    """The file that they would be saved in."""
    lists = {name: [entry["value"] for entry in entries if entry["list"] == name] for name in ENTRY_LISTS}
    head = {"format": "benchleaf-jobs", "version": 1, "manual": "Fennick Lane Rebuilders", "written": "2026-11-25T09:00:00Z"}
    return {**head, **lists}
