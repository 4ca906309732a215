"""Findings, decision trees and calculations as they are told: what scripts call by ids and keys stands here in the words of the trade."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from build_hooks.changes.facts import Facts
from calc_engine.practice import DRAWINGS

__all__ = ["Told", "told"]

_FILE: Final = re.compile(r"(?P<folder>findings|trees|calculations)/[^/]+\.(?:yml|py)")
_KINDS: Final = {"findings": "Findings", "trees": "Decision tree", "calculations": "Calculation"}
_FINDING_KEYS: Final = {"judgement": "verdict", "found": "what is known", "says": "words of the standard", "page": "standard"}
_READING_KEYS: Final = {"what": "what is measured", "min": "smallest", "max": "largest", "source": "limit from"}
_END_KEYS: Final = {"do": "what to do", "page": "page to go on with", "complaints": "what customers say"}
_CALCULATION_KEYS: Final = {"about": "what it works out", "formulas": "formula", "sources": "source"}
_ENTRY_KEYS: Final = {
    "help": "explanation",
    "least": "smallest",
    "above": "more than",
    "most": "largest",
    "below": "less than",
    "many": "how many",
    "of": "kind of figure or words",
}


@dataclass(frozen=True, slots=True)
class Told:
    """Two states of a file in the same words.

    Attributes:
        called: what the file is called.
        old: what it said.
        new: what it says.
    """

    called: str
    old: Any
    new: Any


def told(name: str, old: Facts, new: Facts) -> Told | None:
    """Both states of a file with findings, a tree or a calculation. What is called by an id has the same words in both.

    Args:
        name: its path below the docs folder.
        old: all that the manual said.
        new: all that it says.

    Returns:
        The states, None where there was none; None for a file of another kind.
    """
    file = _FILE.fullmatch(name)
    if file is None:
        return None
    before, after = old.data.get(name), new.data.get(name)
    titled = _mapping(after if after is not None else before)
    called = f"{_KINDS[file['folder']]} “{titled.get('title' if file['folder'] == 'calculations' else 'name', name)}”"
    retelling = {"findings": _findings, "trees": _trees, "calculations": _calculations}[file["folder"]]
    return Told(called, *retelling(before, after, _Words(old, new)))


class _Words:
    """What other files call a page or a gauge, in both states alike."""

    def __init__(self, old: Facts, new: Facts) -> None:
        titles = [{path: page.title for path, page in facts.pages.items()} for facts in (old, new)]
        self._titles = _labels(*titles)
        gauges = [_mapping(_mapping(facts.data.get("shop.yml")).get("gauges")) for facts in (old, new)]
        self._gauges = _labels(*({key: _label(gauge, "name", key) for key, gauge in shop.items()} for shop in gauges))

    def page(self, path: Any) -> Any:
        return self._titles.get(path, path) if isinstance(path, str) else path

    def gauge(self, key: Any) -> Any:
        return self._gauges.get(key, key) if isinstance(key, str) else key


def _findings(old: Any, new: Any, words: _Words) -> tuple[Any, Any]:
    return _findings_of(old, words), _findings_of(new, words)


def _findings_of(data: Any, words: _Words) -> Any:
    if not isinstance(data, dict) or not isinstance(data.get("findings"), dict):
        return data
    rest = {key: value for key, value in data.items() if key != "findings"}
    return rest | {f"finding “{_spaced(key)}”": _finding(finding, words) for key, finding in data["findings"].items()}


def _finding(data: Any, words: _Words) -> Any:
    if not isinstance(data, dict):
        return data
    said: dict[str, Any] = {}
    for key, value in data.items():
        if key == "reading" and isinstance(value, dict):
            said |= {
                _told_key(_READING_KEYS, inner): words.gauge(item) if inner == "gauge" else item for inner, item in value.items()
            }
        else:
            said[_told_key(_FINDING_KEYS, key)] = _of_finding(key, value, words)
    return said


def _of_finding(key: str, value: Any, words: _Words) -> Any:
    if key == "drawing" and isinstance(value, str):
        return DRAWINGS[value].shows if value in DRAWINGS else value
    if key == "judgement" and isinstance(value, str):
        return _spaced(value)
    return words.page(value) if key == "page" else value


def _trees(old: Any, new: Any, words: _Words) -> tuple[Any, Any]:
    questions = _labels(
        *({key: _label(one, "check", key) for key, one in _part(tree, "questions").items()} for tree in (old, new))
    )
    ends = _labels(*({key: _end_label(one, key) for key, one in _part(tree, "ends").items()} for tree in (old, new)))
    same = {
        key: _same_answers(_answers(question), _answers(_part(new, "questions").get(key)))
        for key, question in _part(old, "questions").items()
    }
    worded = {key: {text: text for text in answers.values()} for key, answers in same.items()}
    return _tree(old, questions, ends, same, words), _tree(new, questions, ends, worded, words)


def _tree(
    data: Any, questions: Mapping[str, str], ends: Mapping[str, str], same: Mapping[str, Mapping[str, str]], words: _Words
) -> Any:
    if not isinstance(data, dict):
        return data

    def target(key: Any) -> Any:
        if key in _part(data, "questions"):
            return f"question “{questions[key]}”"
        return f"end “{ends[key]}”" if key in _part(data, "ends") else key

    said = {key: value for key, value in data.items() if key not in {"questions", "ends", "start", "page"}}
    said |= {"shown on": words.page(data.get("page")), "begins with": target(data.get("start"))}
    for key, question in _part(data, "questions").items():
        said[target(key)] = _question(question, same.get(key, {}), target) if isinstance(question, dict) else question
    for key, end in _part(data, "ends").items():
        said[f"end “{ends[key]}”"] = _end(end, words) if isinstance(end, dict) else end
    return said


def _question(data: Mapping[str, Any], same: Mapping[str, str], target: Any) -> dict[str, Any]:
    said = {key: value for key, value in data.items() if key != "answers"}
    for text, answer in _answers(data).items():
        leads = {"leads to": target(answer.get("leads_to"))}
        said[f"answer “{same.get(text, text)}”"] = {"its words": text} | leads if text in same else leads
    return said


def _end(data: Mapping[str, Any], words: _Words) -> dict[str, Any]:
    return {_told_key(_END_KEYS, key): words.page(value) if key == "page" else value for key, value in data.items()}


def _same_answers(old: Mapping[str, Mapping[str, Any]], new: Mapping[str, Mapping[str, Any]]) -> dict[str, str]:
    """Of answers that are worded anew, the new words: one that led to the same was gone, and another has come."""
    gone = {text: answer.get("leads_to") for text, answer in old.items() if text not in new}
    come = {text: answer.get("leads_to") for text, answer in new.items() if text not in old}
    found: dict[str, str] = {}
    for text, leads_to in gone.items():
        worded = next((other for other, leads in come.items() if leads == leads_to and other not in found.values()), None)
        if worded is not None:
            found[text] = worded
    return found


def _answers(question: Any) -> dict[str, Mapping[str, Any]]:
    found = _mapping(question).get("answers")
    return {str(one.get("answer")): one for one in (found if isinstance(found, list) else ()) if isinstance(one, dict)}


def _end_label(end: Any, key: str) -> str:
    said = _mapping(end)
    return str(said.get("suspect") or said.get("do") or _spaced(key))


def _calculations(old: Any, new: Any, words: _Words) -> tuple[Any, Any]:
    del words
    labels = [
        _labels(*({key: _label(one, "label", key) for key, one in _part(data, kind).items()} for data in (old, new)))
        for kind in ("inputs", "answers")
    ]
    return _calculation(old, *labels), _calculation(new, *labels)


def _calculation(data: Any, inputs: Mapping[str, str], answers: Mapping[str, str]) -> Any:
    if not isinstance(data, dict):
        return data
    said = {
        _told_key(_CALCULATION_KEYS, key): value
        for key, value in data.items()
        if key not in {"name", "inputs", "answers", "named", "arithmetic"}
    }
    said |= {f"input “{inputs[key]}”": _entry(entry) for key, entry in _part(data, "inputs").items()}
    said |= {f"answer “{answers[key]}”": _entry(entry) for key, entry in _part(data, "answers").items()}
    said |= {f"words or figures “{key}”": value for key, value in _part(data, "named").items()}
    return said | {f"arithmetic of “{key}”": _without_indent(lines) for key, lines in _part(data, "arithmetic").items()}


def _without_indent(lines: Any) -> Any:
    return [line.strip() for line in lines] if isinstance(lines, list) and all(isinstance(line, str) for line in lines) else lines


def _entry(data: Any) -> Any:
    if not isinstance(data, dict):
        return data
    said = {_told_key(_ENTRY_KEYS, key): value for key, value in data.items() if key != "entries"}
    entries = _part(data, "entries")
    labels = _labels({}, {key: _label(one, "label", key) for key, one in entries.items()})
    return said | {f"entry “{labels[key]}”": _entry(entry) for key, entry in entries.items()}


def _labels(old: Mapping[str, str], new: Mapping[str, str]) -> dict[str, str]:
    """What each thing is called now, or was if it is gone; with its id where two are called the same."""
    called = {**old, **new}
    times = Counter(called.values())
    return {key: label if times[label] == 1 else f"{label} ({key})" for key, label in called.items()}


def _label(data: Any, key: str, otherwise: str) -> str:
    return str(_mapping(data).get(key) or _spaced(otherwise))


def _part(data: Any, key: str) -> Mapping[str, Any]:
    return _mapping(_mapping(data).get(key))


def _told_key(words: Mapping[str, str], key: str) -> str:
    return words.get(key) or _spaced(key)


def _mapping(data: Any) -> Mapping[str, Any]:
    return data if isinstance(data, dict) else {}


def _spaced(text: str) -> str:
    return text.replace("-", " ").replace("_", " ")
