"""The one door: whatever comes in, one JSON object goes out, with a result or with every problem."""

from __future__ import annotations

import copy
import json
import math
import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc_engine import CATALOGUE, LONGEST_REQUEST, VERSION, answer, answer_text, decode_request, encode

NAMES = list(CATALOGUE)
PACK = "pack-clearance"
GOOD = {"method": "dial", "lifts": ["1 mm"], "limits": {"min": "0.9 mm", "max": "1.4 mm"}}
QUANTITY = re.compile(r"-?(0|[1-9]\d*)(\.\d*[1-9])? \S+")


def codes(reply: dict[str, Any]) -> list[tuple[str, str]]:
    """Field and code of the problems of a refused request."""
    assert not reply["ok"]
    return [(problem["field"], problem["code"]) for problem in reply["problems"]]


def leaves(value: Any) -> Iterator[Any]:
    """Every value in a JSON value that is neither list nor object."""
    inner = value.values() if isinstance(value, dict) else value if isinstance(value, list) else None
    if inner is None:
        yield value
        return
    for item in inner:
        yield from leaves(item)


def check(reply: dict[str, Any]) -> None:
    """What the contract promises of every reply."""
    text = encode(reply)
    assert "\n" not in text
    assert json.loads(text) == reply
    assert reply["engine"] == VERSION
    if reply["ok"]:
        assert list(reply) == ["ok", "calculation", "engine", "result", "working", "cautions"]
        assert all(isinstance(line, str) and line for line in [*reply["working"], *reply["cautions"]])
        for leaf in leaves(reply["result"]):
            assert leaf is not None
            assert not isinstance(leaf, float) or math.isfinite(leaf)
            assert not re.search(r"(?i)\bnan\b|\binf", str(leaf))
            assert not re.match(r"-?[0-9.]+(e[-+]?\d+)? \S+$", str(leaf)) or QUANTITY.fullmatch(leaf)
            assert not re.match(r"-0(\.0*)? ", str(leaf))
        return
    assert list(reply) == ["ok", "calculation", "engine", "problems"]
    assert reply["problems"]
    for problem in reply["problems"]:
        assert list(problem) == ["field", "code", "message", "remedy"]
        assert problem["code"] != "engine-fault"
        assert problem["message"]
        assert problem["remedy"]


def test_an_ok_reply_has_the_parts_of_the_contract() -> None:
    """In its order, with the engine's version."""
    reply = answer(PACK, GOOD)
    check(reply)
    assert (reply["ok"], reply["calculation"]) == (True, PACK)
    assert reply["result"]["clearance"] == "1 mm"


@pytest.mark.parametrize("name", NAMES)
def test_every_example_is_answered_and_says_the_same_from_its_text(name: str) -> None:
    """The declared example works; as text, as bytes and with a byte order mark it is the same request."""
    example = dict(CATALOGUE[name].example)
    reply = answer(name, example)
    assert reply["ok"], reply
    check(reply)
    text = json.dumps(example, ensure_ascii=False)
    assert (
        reply == answer_text(name, text) == answer_text(name, text.encode()) == answer_text(name, b"\xef\xbb\xbf" + text.encode())
    )


@pytest.mark.parametrize("name", NAMES)
def test_answering_twice_gives_the_same_bytes_and_leaves_the_request_alone(name: str) -> None:
    """No state is kept."""
    example = copy.deepcopy(dict(CATALOGUE[name].example))
    before = copy.deepcopy(example)
    assert encode(answer(name, example)) == encode(answer(name, example))
    assert example == before


@pytest.mark.parametrize(
    ("name", "remedy"),
    [
        ("pack-clearence", "Did you mean “pack-clearance”?"),
        ("", f"Known: {', '.join(NAMES)}."),
        ("PACK", f"Known: {', '.join(NAMES)}."),
    ],
)
def test_an_unknown_calculation_is_told(name: str, remedy: str) -> None:
    """With the name that was meant, or all names."""
    reply = answer(name, {})
    check(reply)
    assert reply["problems"] == [
        {"field": "", "code": "unknown-calculation", "message": f"There is no calculation “{name}”.", "remedy": remedy}
    ]


def test_an_unknown_calculation_and_a_broken_text_are_told_together() -> None:
    """Every problem at once, also at the door."""
    assert codes(answer_text("nothing", "{")) == [("", "unknown-calculation"), ("", "not-json")]
    assert codes(answer_text(PACK, "{")) == [("", "not-json")]


DEEP = "The request is nested more than 32 levels deep."
ONE_OBJECT = "Send one JSON object of the inputs."


@pytest.mark.parametrize(
    ("text", "code", "message", "remedy"),
    [
        ("", "not-json", "The request is not JSON at line 1, column 1.", ONE_OBJECT),
        ('{"a": 1,\n "b" 2}', "not-json", "The request is not JSON at line 2, column 6.", ONE_OBJECT),
        ("{} {}", "not-json", "The request is not JSON at line 1, column 4.", ONE_OBJECT),
        ("\ufeff{}", "not-json", "The request is not JSON at line 1, column 1.", ONE_OBJECT),
        ("{'a': 1}", "not-json", "The request is not JSON at line 1, column 2.", ONE_OBJECT),
        (b"\xff{}", "not-utf8", "Byte 1 is not UTF-8.", "Send the request as UTF-8 text."),
        (b'{"a": "\xe9"}', "not-utf8", "Byte 8 is not UTF-8.", "Send the request as UTF-8 text."),
        ('{"a": 1}'.encode("utf-16"), "not-utf8", "Byte 1 is not UTF-8.", "Send the request as UTF-8 text."),
        ("[" * 200_000, "too-deep", DEEP, ONE_OBJECT),
        ('{"a":' * 100_000 + "1" + "}" * 100_000, "too-deep", DEEP, ONE_OBJECT),
        ('{"a": "[[[[", "b": ' + "[" * 32, "too-deep", DEEP, ONE_OBJECT),
        ("1" * 5000, "wrong-type", "A number was given where an object with named fields is expected.", "Write {…}."),
        (" " * (LONGEST_REQUEST + 1), "too-long", "The request has more than 1000000 characters.", ONE_OBJECT),
        ("NaN", "not-finite", "NaN is not a number that can be measured.", "Send finite numbers."),
        ('{"a": -Infinity}', "not-finite", "-Infinity is not a number that can be measured.", "Send finite numbers."),
        ('{"a": Infinity}', "not-finite", "Infinity is not a number that can be measured.", "Send finite numbers."),
    ],
)
def test_a_text_that_is_no_request_is_told(text: str | bytes, code: str, message: str, remedy: str) -> None:
    """Where it breaks, as exactly as can be known."""
    reply = answer_text(PACK, text)
    check(reply)
    assert reply["problems"] == [{"field": "", "code": code, "message": message, "remedy": remedy}]


def test_the_longest_request_is_let_in() -> None:
    """A million characters, most of them spaces."""
    text = json.dumps(GOOD)
    assert answer_text(PACK, text + " " * (LONGEST_REQUEST - len(text)))["ok"]


@pytest.mark.parametrize("text", ['{"a": 1, "a": 1}', '{"b": {"a": 1, "c": 2, "a": 2}}', '[{"a": 1, "a": 1}]'])
def test_a_name_that_is_given_twice_is_told(text: str) -> None:
    """At any depth; which of the two was meant is not guessed."""
    assert answer_text(PACK, text)["problems"] == [
        {"field": "a", "code": "duplicate-field", "message": "“a” is given twice.", "remedy": "Give each field once."}
    ]


def test_a_long_name_that_is_given_twice_is_cut() -> None:
    """The reply is not as long as the request."""
    name = "n" * 300_000
    (problem,) = answer_text(PACK, f'{{"{name}": 1, "{name}": 2}}')["problems"]
    assert (problem["field"], len(problem["message"])) == ("n" * 200, 218)


def test_numbers_of_a_text_stay_exact() -> None:
    """A decimal is not made a float."""
    assert decode_request("[0.1, 1e2, 5, 1e-999]") == [Decimal("0.1"), Decimal("1e2"), 5, Decimal("1e-999")]


@pytest.mark.parametrize("number", ["1e1000", "-1e-1000", "1e500000000", "1E+99999999999999999999", "0e999999999999999999999"])
def test_a_number_beyond_any_reading_is_a_problem_of_its_field(number: str) -> None:
    """By its text alone: how large a power the decimal module takes depends on the machine."""
    text = '{"method": "dial", "lifts": ["1 mm", NUMBER], "limits": {"min": "1 mm", "max": "2 mm"}, "spread_limit": NUMBER}'
    assert answer_text(PACK, text.replace("NUMBER", number))["problems"] == [
        {
            "field": field, "code": "out-of-range", "message": "The power of ten is beyond any reading.",
            "remedy": "Write the number out.",
        }
        for field in ("lifts.1", "spread_limit")
    ]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("number", ["1e99999999999999999999", "1" * 200, "0." + "3" * 200])
def test_no_field_of_any_calculation_breaks_on_such_a_number(name: str, number: str) -> None:
    """Problems like any other, wherever it stands."""
    for field in CATALOGUE[name].example:
        text = json.dumps(dict(CATALOGUE[name].example) | {field: "NUMBER"}).replace('"NUMBER"', number)
        reply = answer_text(name, text)
        check(reply)
        assert not reply["ok"]


def test_of_very_many_problems_the_first_are_listed() -> None:
    """Two hundred, and how many more there are: a reply of megabytes helps nobody."""
    part = {"name": 1, "nominal": 1, "plus": 1, "minus": 1, "count": "x", "shape": "x"}
    request = {"cavity": part, "parts": [part] * 40, "limits": {"min": "1 mm", "max": "2 mm"}}
    problems = answer("stack-forecast", request)["problems"]
    assert len(problems) == 201
    assert problems[-1] == {
        "field": "", "code": "more-problems", "message": "46 more problems are not listed.", "remedy": "Mend the listed ones first.",
    }  # fmt: skip


def test_an_unknown_name_is_told_short_and_visible() -> None:
    """Whatever was asked for."""
    reply = answer("pack\u200b\x07" + "x" * 2_000_000, {})
    assert reply["calculation"] == f"pack<U+200B><U+0007>{'x' * 194}…"
    assert reply["problems"][0]["message"] == f"There is no calculation “pack<U+200B><U+0007>{'x' * 194}…”."


@pytest.mark.parametrize(
    ("hidden", "number"),
    [("\u200b", "U+200B"), ("\u00ad", "U+00AD"), ("\u00a0", "U+00A0"), ("\u2028", "U+2028"), ("\t", "U+0009"), ("\ud800", "U+D800")],
)  # fmt: skip
def test_a_name_with_a_character_that_cannot_be_seen_is_refused(hidden: str, number: str) -> None:
    """Two sizes that look alike must be one."""
    sizes = [{"id": "one dot", "thickness": "1 mm"}, {"id": f"one{hidden}dot", "thickness": "2 mm"}]
    assert answer(PACK, GOOD | {"fitted": "one dot", "choices": sizes})["problems"] == [
        {
            "field": "choices.1.id", "code": "invisible-character",
            "message": f"Which: the name holds the character {number}, which cannot be seen.", "remedy": "Type the name again without it.",
        }
    ]  # fmt: skip


def test_an_accent_makes_no_second_name_of_one() -> None:
    """One character or two, it is one letter."""
    sizes = [{"id": "pi\u00e8ce", "thickness": "1 mm"}, {"id": "pie\u0300ce", "thickness": "2 mm"}]
    reply = answer(PACK, GOOD | {"fitted": "pi\u00e8ce", "choices": sizes})
    assert codes(reply) == [("choices.1.id", "duplicate-id")]


@pytest.mark.parametrize("request_", [None, True, 0, 1.5, "x", [], [GOOD], b"", math.nan, object()])
def test_a_request_that_is_no_object_is_told(request_: object) -> None:
    """One problem, for the request as a whole."""
    reply = answer(PACK, request_)
    check(reply)
    assert codes(reply) == [("", "wrong-type")]


@pytest.mark.parametrize("units", ["imperial", "Metric", "", [], {}, True, 5, "5"])
def test_units_that_are_not_known_are_told_beside_the_rest(units: object) -> None:
    """Together with every other problem."""
    reply = answer(PACK, GOOD | {"units": units, "lifts": ["1"]})
    assert codes(reply) == [("units", "unknown-word"), ("lifts.0", "no-unit")]
    assert reply["problems"][0]["message"] == "The units asked for are not known."
    assert reply["problems"][0]["remedy"] == "Write metric or inch."


def test_units_may_be_null() -> None:
    """As if they were left out."""
    assert answer(PACK, GOOD | {"units": None}) == answer(PACK, GOOD)


def test_a_lone_surrogate_is_answered_and_can_be_written() -> None:
    """It is a JSON text, though no proper one: as problem or as name it comes back escaped."""
    reply = answer_text(PACK, '{"\\ud800": 1}')
    assert ("<U+D800>", "unknown-field") in codes(reply)
    assert json.loads(encode(reply).encode()) == reply
    assert encode("a\ud800é") == '"a\\ud800é"'


class Broken(dict[str, Any]):
    """A request whose reading fails in a way that no request from a text can."""

    def get(self, name: str, default: object = None) -> object:
        """Fails."""
        raise OSError(name)


def test_a_fault_of_the_engine_itself_is_said_without_a_traceback() -> None:
    """So that a page can show it; it is not the reading's fault."""
    assert answer(PACK, Broken(GOOD)) == {
        "ok": False, "calculation": PACK, "engine": VERSION,
        "problems": [
            {
                "field": "", "code": "engine-fault", "message": "The engine failed on this request; it is not the reading's fault.",
                "remedy": "Keep the request and report it.",
            }
        ],
    }  # fmt: skip


def test_a_reply_is_one_line_of_json_with_letters_as_they_are() -> None:
    """And never with a number that JSON does not know."""
    assert encode({"b": ["µ", 1.5, True], "a": None}) == '{"b": ["µ", 1.5, true], "a": null}'
    with pytest.raises(ValueError, match=r"^Out of range float values are not JSON compliant"):
        encode(math.inf)


def test_whole_numbers_of_a_result_are_written_whole() -> None:
    """A factor of exactly 1 is 1 and not 1.0; others are the float of their 15 digits."""
    example = dict(CATALOGUE["torque-capacity"].example)
    first = answer("torque-capacity", example)["result"]
    assert isinstance(first["factor"], float)
    second = answer("torque-capacity", example | {"demand": first["uniform_wear"]})["result"]
    assert encode({"factor": second["factor"]}) == '{"factor": 1}'


# --- broken requests, made from good ones ---

JUNK: tuple[Any, ...] = (
    None, True, False, 0, -1, 10**40, 1.5, "", " ", "0 mm", "-1 mm", "1 mm", "1", "1,345 mm", "40 m", "1e31 mm", "1/0 in", "NaN", "1 psi",
    "20 degC", "\x00", "\ud800", "x" * 500, [], {}, [[]], [None], ["1 mm"] * 30, {"min": 1}, [{"id": "a"}], {"a": {"b": {"c": []}}},
)  # fmt: skip
SCALARS = st.none() | st.booleans() | st.integers() | st.floats() | st.decimals() | st.text(max_size=12)
ANYTHING = st.sampled_from(JUNK) | st.recursive(
    SCALARS, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3), max_leaves=6
)


def places(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every place in a request, as a path of names and indexes."""
    inner = value.items() if isinstance(value, Mapping) else enumerate(value) if isinstance(value, list) else ()
    for name, item in inner:
        yield (*path, name)
        yield from places(item, (*path, name))


@st.composite
def mutated(draw: st.DrawFn, name: str) -> Any:
    """A good request with one to three places overwritten, taken out, doubled or renamed."""
    request: Any = copy.deepcopy(dict(CATALOGUE[name].example))
    for _ in range(draw(st.integers(1, 3))):
        known = list(places(request))
        if not known:
            return request
        *path, last = draw(st.sampled_from(known))
        holder = request
        for step in path:
            holder = holder[step]
        deed = draw(st.sampled_from(["overwrite", "take out", "double", "rename"]))
        if deed == "overwrite" or (deed != "take out" and isinstance(holder, list)):
            holder[last] = copy.deepcopy(draw(ANYTHING))
        elif deed == "take out":
            del holder[last]
        else:
            holder[draw(st.text(max_size=8)) if deed == "rename" else f"{last}s"] = copy.deepcopy(holder[last])
    return request


@pytest.mark.parametrize("name", NAMES)
@given(st.data())
def test_a_broken_request_gives_a_result_or_problems(name: str, data: st.DataObject) -> None:
    """Whatever was done to the example, as an object and as its text."""
    request = data.draw(mutated(name))
    check_any(answer(name, request))
    check_any(answer_text(name, json.dumps(request, default=str)))


def check_any(reply: dict[str, Any]) -> None:
    """As `check`, for replies that may quote what cannot be compared after a round trip."""
    if reply["ok"]:
        check(reply)
        return
    assert reply["problems"]
    assert json.loads(encode(reply))["problems"] == reply["problems"]
    assert all(problem["code"] != "engine-fault" and problem["message"] and problem["remedy"] for problem in reply["problems"]), (
        reply
    )


@given(
    st.text()
    | st.binary()
    | st.lists(st.sampled_from(['{"', '"', ":", ",", "}", "[", "]", "lifts", "1 mm", "1e9", "\\u", "-", "n"])).map("".join)
)
def test_any_text_gives_a_result_or_problems(text: str | bytes) -> None:
    """Noise, bytes, and pieces of JSON in any order."""
    check_any(answer_text(PACK, text))


@given(st.text(max_size=40), ANYTHING)
def test_any_name_and_any_value_give_a_result_or_problems(name: str, value: Any) -> None:
    """Also without a text between."""
    check_any(answer(name, value))
    check_any(answer(PACK, value))
    check_any(answer(PACK, {"method": value, "lifts": value, "limits": value}))
