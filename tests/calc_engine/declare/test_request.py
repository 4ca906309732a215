"""The reader of requests: every problem at once, each with its field, code, message and remedy."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from calc_engine.declare.fields import Declared, amount, choice, count, fields_of, flag, group, length, mapping, number, text
from calc_engine.declare.request import Reader
from calc_engine.problems import Problem
from calc_engine.quantities.quantity import Quantity
from calc_engine.quantities.units import BY_NAME, Dimension


@dataclass(frozen=True, slots=True)
class Span:
    """Two ends in order."""

    low: Fraction = length("Low", "The low end. In mm.", least="0 mm", most="10 mm")
    high: Fraction = length("High", "The high end.", above="0 mm", most="10 mm")

    def problems(self, field: str) -> Iterable[Problem]:
        """Says when the ends are crossed."""
        if self.low >= self.high:
            yield Problem(field, "crossed", "Crossed.", "Swap them.")


@dataclass(frozen=True, slots=True)
class Sheet:
    """One field of every kind."""

    way: str = choice("Way", "Which way it was done.", {"dial": "With a dial", "depth": "With a depth gauge"})
    lifts: tuple[Fraction, ...] | None = length(
        "Lift", "Each lift.", least="0 mm", most="100 mm", many=((1, 3),), when=("way", ("dial",))
    )
    depths: tuple[Fraction, ...] | None = length("Depth", "Each depth.", many=((2, 3),), optional=True, when=("way", ("depth",)))
    leaves: tuple[tuple[Fraction, ...], ...] | None = length("Leaves", "Leaves.", many=((1, 2), (1, 2)), optional=True)
    span: Span = group(Span, "Span", "From where to where.")
    spans: tuple[Span, ...] | None = group(Span, "Spans", "More of them.", many=((1, 2),), optional=True)
    share: Fraction | None = number("Share", "Of the whole.", above="0", most="1", optional=True)
    bare: Fraction | None = number("Bare", "Any number.", optional=True)
    plates: int | None = count("Plates", "How many.", least=2, most=60, optional=True)
    name: str | None = text("Name", "What it is called. Any name.", optional=True)
    sure: bool | None = flag("Sure", "Whether.", optional=True)
    effect: dict[str, int] | None = mapping("Effect", "What it does.", allowed={-1: "tightens", 1: "loosens"}, optional=True)
    any_amount: Quantity | None = amount(None, "Anything", "Any amount.", optional=True)
    arc: Fraction | None = amount(Dimension.ANGLE, "Arc", "An angle.", bare_unit="arcmin", most="1 deg", optional=True)
    heat: Fraction | None = amount(Dimension.TEMPERATURE, "Heat", "How warm.", least="-50 degC", most="200 degC", optional=True)
    from_: Fraction | None = length("From", "Where it starts.", optional=True)

    def problems(self, _field: str) -> Iterable[Problem]:
        """Checks that need some fields, and one that needs none."""
        if self.name == "bad":
            yield Problem("name", "bad-name", "Bad.", "Choose another.")
        if self.spans is not None and self.spans[0].low > self.span.low:
            yield Problem("spans", "order", "The first span starts after the span.", "Move it.")
        if self.plates is not None and self.sure is None:
            yield Problem("sure", "missing", "Say whether.", "Write true or false.")


GOOD = {"way": "dial", "lifts": ["1 mm"], "span": {"low": "1 mm", "high": "2 mm"}}


def read(**changes: Any) -> tuple[Any, list[tuple[str, str, str, str]]]:
    """The good request with changes; a field set to ... is left out."""
    reader = Reader()
    given = {name: value for name, value in (GOOD | changes).items() if value is not ...}
    made = reader.read(Sheet, given, also=("units",))
    problems = [(item.field, item.code, item.message, item.remedy) for item in reader.problems]
    assert (made is None) == bool(problems)
    return made, problems


def test_a_good_request_becomes_its_dataclass() -> None:
    """Amounts in base units, absent and null fields None, a field named as a Python word by its own name."""
    made, problems = read(
        leaves=[["1 in", "0.5 mm"], ["1 um"]], spans=[GOOD["span"]], share="0.5", bare=Decimal("-2.5"), plates="5", name=" a ",
        sure=False, effect={"b": 1, " c ": -1}, any_amount="30 psi", arc=12, heat="68 degF", depths=None, units="metric", **{"from": "1 m"},
    )  # fmt: skip
    assert problems == []
    assert made == Sheet(
        way="dial", lifts=(Fraction(1),), depths=None, leaves=((Fraction("25.4"), Fraction("0.5")), (Fraction("0.001"),)),
        span=Span(low=Fraction(1), high=Fraction(2)), spans=(Span(low=Fraction(1), high=Fraction(2)),), share=Fraction(1, 2), bare=Fraction("-2.5"),
        plates=5, name="a", sure=False, effect={"b": 1, "c": -1}, any_amount=Quantity(Fraction(30), BY_NAME["psi"]), arc=Fraction(12, 60),
        heat=Fraction(20), from_=Fraction(1000),
    )  # fmt: skip
    assert [field.name for field in fields_of(Sheet)][-1] == "from"


def test_the_units_that_were_typed_are_kept_in_order() -> None:
    """The answer takes its units from them."""
    reader = Reader()
    reader.read(Sheet, GOOD | {"span": {"high": "1 in", "low": "2 um"}, "any_amount": "30 psi"})
    assert [(field, unit.name) for field, unit in reader.units] == [
        ("lifts.0", "mm"), ("span.low", "um"), ("span.high", "in"), ("any_amount", "psi"),
    ]  # fmt: skip


def test_all_problems_of_a_request_are_told_at_once() -> None:
    """Each in its own place, in the order of the declaration."""
    _, problems = read(lifts=["1", "1 psi", "-1 mm", "1 mm"], span={"low": "3 mm", "high": "2 mm"}, share=0, lift=1, plates=2.5)
    assert [(field, code) for field, code, _, _ in problems] == [
        ("lift", "unknown-field"), ("lifts", "too-many"), ("lifts.0", "no-unit"), ("lifts.1", "wrong-unit"),
        ("lifts.2", "out-of-range"),
        ("span", "crossed"), ("share", "out-of-range"), ("plates", "not-whole"), ("sure", "missing"),
    ]  # fmt: skip


KNOWN = f"Known here: {', '.join(field.name for field in fields_of(Sheet))}, units."
MISSING_WAY = ("way", "missing", "Way: nothing is filled in.", "Which way it was done.")


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"way": ..., "lifts": ...}, [MISSING_WAY]),
        ({"way": None}, [MISSING_WAY]),
        ({"way": "dail"}, [("way", "unknown-word", "Way: “dail” is not known here.", "Did you mean “dial”?")]),
        ({"way": "x" * 90}, [("way", "unknown-word", f"Way: “{'x' * 40}” is not known here.", "Write one of: dial, depth.")]),
        ({"way": ["dial"]}, [("way", "unknown-word", "Way: a list is not known here.", "Write one of: dial, depth.")]),
        ({"way": True}, [("way", "unknown-word", "Way: a true or false value is not known here.", "Write one of: dial, depth.")]),
        ({"way": 3}, [("way", "unknown-word", "Way: 3 is not known here.", "Write one of: dial, depth.")]),
        ({"way": 10**5000}, [("way", "unknown-word", "Way: this number is not known here.", "Write one of: dial, depth.")]),
        ({"lifts": ...}, [("lifts", "missing", "Lift: nothing is filled in.", "Each lift.")]),
        ({"lifts": []}, [("lifts", "too-few", "Lift: 0 entries given.", "Give 1 to 3.")]),
        ({"lifts": ["1 mm"] * 4}, [("lifts", "too-many", "Lift: 4 entries given.", "Give 1 to 3.")]),
        ({"lifts": "1 mm"}, [("lifts", "wrong-type", "Text was given where a list is expected.", "Write a list of 1 to 3 entries.")]),
        ({"lifts": [None]}, [("lifts.0", "wrong-type", "Nothing was given where a value is expected.", "Write a value, for example 0.85 mm.")]),
        ({"lifts": ["101 mm"]}, [("lifts.0", "out-of-range", "Lift: 101.00 mm is far too large.",
                                  "It can be 100 mm at most. Wrong unit or decimal point?")]),
        ({"lifts": ["4 in"]}, [("lifts.0", "out-of-range", "Lift: 4.000 in is far too large.",
                                "It can be 3.937 in at most. Wrong unit or decimal point?")]),
        ({"lifts": ["-1 mm"]}, [("lifts.0", "out-of-range", "Lift: -1.00 mm is too small.", "It must be at least 0 mm. Was the minus sign typed by mistake?")]),
        ({"depths": ["1 mm", "2 mm"]}, [("depths", "not-used", "Depth: no meaning with way “dial”.", "Leave it out, or set way to depth.")]),
        ({"way": "depth", "depths": ["1 mm"]}, [
            ("lifts", "not-used", "Lift: no meaning with way “depth”.", "Leave it out, or set way to dial."),
            ("depths", "too-few", "Depth: 1 entry given.", "Give 2 to 3."),
        ]),
        ({"leaves": [["1 mm"], "1 mm", ["1 mm"]]}, [
            ("leaves", "too-many", "Leaves: 3 entries given.", "Give 1 to 2."),
            ("leaves.1", "wrong-type", "Text was given where a list is expected.", "Write a list of 1 to 2 entries."),
        ]),
        ({"leaves": [[], ["1"]]}, [
            ("leaves.0", "too-few", "Leaves: 0 entries given.", "Give 1 to 2."),
            ("leaves.1.0", "no-unit", "“1” has no unit.", "Write the unit too, for example 0.85 mm."),
        ]),
        ({"span": {"low": "1 mm", "hihg": "2 mm"}}, [
            ("span.hihg", "unknown-field", "There is no field “hihg” here: did you mean “high”?", "Known here: low, high."),
            ("span.high", "missing", "High: nothing is filled in.", "The high end."),
        ]),
        ({"span": ["1 mm"]}, [("span", "wrong-type", "A list was given where an object with named fields is expected.", "Write {…}.")]),
        ({"span": {"low": "1 mm", "high": "0 mm"}}, [
            ("span.high", "out-of-range", "High: 0.00 mm is too small.", "It must be more than 0 mm.")]),
        ({"spans": [{"low": "1 mm", "high": "1 mm"}]}, [("spans.0", "crossed", "Crossed.", "Swap them.")]),
        ({"share": 0}, [("share", "out-of-range", "Share: 0 is too small.", "It must be more than 0.")]),
        ({"share": " 1.5 "}, [("share", "out-of-range", "Share: 1.5 is far too large.",
                               "It can be 1 at most. Wrong unit or decimal point?")]),
        ({"plates": 1}, [("plates", "out-of-range", "Plates: 1 is too small.", "It must be at least 2."),
                         ("sure", "missing", "Say whether.", "Write true or false.")]),
        ({"plates": "2.5", "sure": True}, [("plates", "not-whole", "Plates: 2.5 is not a whole number.", "Count whole pieces.")]),
        ({"plates": True, "sure": True}, [("plates", "wrong-type", "A true or false value was given where a value is expected.", "Write a number.")]),
        ({"name": ""}, [("name", "wrong-type", "Name: a text is wanted.", "What it is called.")]),
        ({"name": 5}, [("name", "wrong-type", "Name: a text is wanted.", "What it is called.")]),
        ({"name": "x" * 201}, [("name", "too-long", "Name: 201 characters are too many.", "Use at most 200.")]),
        ({"sure": "yes"}, [("sure", "wrong-type", "Sure: true or false is wanted.", "Write true or false.")]),
        ({"sure": 1}, [("sure", "wrong-type", "Sure: true or false is wanted.", "Write true or false.")]),
        ({"effect": {}}, [("effect", "wrong-type", "Effect: at least one name is wanted.", "Write {name: -1 or 1}.")]),
        ({"effect": [1]}, [("effect", "wrong-type", "Effect: at least one name is wanted.", "Write {name: -1 or 1}.")]),
        ({"effect": {"a": 1, "b": 2, "c": True, "d": "1"}}, [
            ("effect.b", "unknown-word", "Effect: 2 is not known here.", "Write -1 or 1."),
            ("effect.c", "unknown-word", "Effect: a true or false value is not known here.", "Write -1 or 1."),
            ("effect.d", "unknown-word", "Effect: “1” is not known here.", "Write -1 or 1."),
        ]),
        ({"effect": {"a": 1, " a": -1}}, [("effect", "duplicate-field", "Effect: one name is given twice.", "Give each name once.")]),
        ({"effect": dict.fromkeys(map(str, range(41)), 1)}, [("effect", "too-many", "Effect: 41 entries given.", "Give 40 at most.")]),
        ({"any_amount": "1"}, [("any_amount", "no-unit", "“1” has no unit.", "Write the unit too, for example 0.85 mm.")]),
        ({"arc": 61}, [("arc", "out-of-range", "Arc: 61 arcmin is far too large.",
                        "It can be 60 arcmin at most. Wrong unit or decimal point?")]),
        ({"heat": "400 degF"}, [("heat", "out-of-range", "Heat: 400 °F is far too large.",
                                 "It can be 392 °F at most. Wrong unit or decimal point?")]),
        ({"heat": "-100 degF"}, [("heat", "out-of-range", "Heat: -100 °F is too small.", "It must be at least -58 °F.")]),
        ({"from": "11 m"}, [("from", "out-of-range", "From: 11 m is far too large.",
                             "It can be 10 m at most. Wrong unit or decimal point?")]),
        ({"unit": "metric"}, [("unit", "unknown-field", "There is no field “unit” here: did you mean “units”?", KNOWN)]),
        ({"from_": "1 mm"}, [("from_", "unknown-field", "There is no field “from_” here: did you mean “from”?", KNOWN)]),
        ({"zzz": 1}, [("zzz", "unknown-field", "There is no field “zzz” here.",
                       KNOWN)]),
        ({"name": "bad"}, [("name", "bad-name", "Bad.", "Choose another.")]),
    ],
)  # fmt: skip
def test_each_fault_is_told_whole(changes: dict[str, Any], expected: list[tuple[str, str, str, str]]) -> None:
    """Field, code, message and remedy."""
    assert read(**changes)[1] == expected


@pytest.mark.parametrize("given", [None, True, 1, "x", [], ["lifts"]])
def test_a_request_that_is_no_object_is_told(given: object) -> None:
    """There is no field to hang it on."""
    reader = Reader()
    assert reader.read(Sheet, given) is None
    (problem,) = reader.problems
    assert (problem.field, problem.code) == ("", "wrong-type")
    assert problem.message.endswith(" was given where an object with named fields is expected.")


def test_a_check_between_fields_runs_beside_a_fault_elsewhere() -> None:
    """A wrong lift does not hide that the spans are in the wrong order."""
    late = [{"low": "1.5 mm", "high": "2 mm"}]
    assert [item[:2] for item in read(lifts=["x"], spans=late)[1]] == [("lifts.0", "not-a-number"), ("spans", "order")]


def test_a_check_that_needs_a_wrong_field_is_left_out() -> None:
    """Nothing can be said of a span that is not known, nor is a field called missing that is there and wrong."""
    late = [{"low": "1.5 mm", "high": "2 mm"}]
    assert [item[:2] for item in read(span={"low": "x", "high": "2 mm"}, spans=late)[1]] == [("span.low", "not-a-number")]
    assert [item[:2] for item in read(span=..., spans=late)[1]] == [("span", "missing")]
    assert [item[:2] for item in read(plates=5, sure="maybe")[1]] == [("sure", "wrong-type")]
    assert [item[:2] for item in read(spans=[{"low": "x", "high": "2 mm"}])[1]] == [("spans.0.low", "not-a-number")]


def test_a_list_with_a_wrong_entry_is_not_judged_as_a_whole() -> None:
    """What a check says of the list may only be due to the entry."""
    spans = [{"low": "1.5 mm", "high": "2 mm"}, {"low": "x", "high": "2 mm"}]
    assert [item[:2] for item in read(spans=spans)[1]] == [("spans.1.low", "not-a-number")]


@dataclass(frozen=True, slots=True)
class Plain:
    """A declaration without checks between its fields."""

    size: Fraction = length("Size", "Its size.")


def test_a_declaration_needs_no_checks_of_its_own() -> None:
    """Its fields are enough."""
    assert Reader().read(Plain, {"size": "1 mm"}) == Plain(size=Fraction(1))


@dataclass(frozen=True, slots=True)
class Faulty:
    """A declaration whose own check fails."""

    size: Fraction = length("Size", "Its size.")

    def problems(self, _field: str) -> Iterable[Problem]:
        """Compares what cannot be compared."""
        if self.size < "1":  # type: ignore[operator]
            yield Problem("size", "never", "", "")


def test_a_fault_of_the_engine_s_own_check_is_not_hidden() -> None:
    """Only with a wrong field may a check give up."""
    with pytest.raises(TypeError, match=r"^'<' not supported between instances of 'Fraction' and 'str'$"):
        Reader().read(Faulty, {"size": "1 mm"})
    reader = Reader()
    assert reader.read(Faulty, {"size": "1"}) is None
    assert [problem.code for problem in reader.problems] == ["no-unit"]


def test_many_unknown_fields_are_told_in_part_and_counted() -> None:
    """Forty by name, the rest by number: a hostile request cannot make the reply endless."""
    _, problems = read(**{f"q{number}": 1 for number in range(100)})
    assert len(problems) == 41
    assert problems[0][0] == "q0"
    assert problems[39][0] == "q39"
    assert problems[40][:3] == ("", "unknown-field", "60 more fields are not known here.")
    assert len(read(**{f"q{number}": 1 for number in range(40)})[1]) == 40


def test_a_long_name_is_cut_in_the_problem() -> None:
    """200 characters are told."""
    _, problems = read(**{"z" * 5000: 1})
    assert problems[0][0] == "z" * 200
    assert problems[0][2] == f"There is no field “{'z' * 200}” here."


@dataclass(frozen=True, slots=True)
class Shelf:
    """Groups by their names."""

    spans: dict[str, Span] = mapping(
        "Spans", "By their names.", of=Declared("group", "Span", "From and to.", shape=Span), names=(1, 2)
    )


def test_groups_by_name_are_read_like_any_group() -> None:
    """Each under its name, with every problem of each; a check within one runs too."""
    reader = Reader()
    made = reader.read(Shelf, {"spans": {" a ": {"low": "1 mm", "high": "0.1 in"}, "b": {"low": "0 mm", "high": "1 mm"}}})
    assert made == Shelf(spans={"a": Span(low=Fraction(1), high=Fraction("2.54")), "b": Span(low=Fraction(0), high=Fraction(1))})
    assert [(path, unit.name) for path, unit in reader.units][:2] == [("spans. a .low", "mm"), ("spans. a .high", "in")]
    wrong = Reader()
    assert wrong.read(Shelf, {"spans": {"a": {"low": "x", "hihg": "1 mm"}, "b": {"low": "2 mm", "high": "1 mm"}}}) is None
    assert [(problem.field, problem.code) for problem in wrong.problems] == [
        ("spans.a.hihg", "unknown-field"), ("spans.a.low", "not-a-number"), ("spans.a.high", "missing"), ("spans.b", "crossed"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("given", "problem"),
    [
        ({}, ("spans", "wrong-type", "Spans: at least one name is wanted.", "Write {name: {…}}.")),
        ([], ("spans", "wrong-type", "Spans: at least one name is wanted.", "Write {name: {…}}.")),
        ({"a": 1, "b": 1, "c": 1}, ("spans", "too-many", "Spans: 3 entries given.", "Give 2 at most.")),
        ({"a": 1}, ("spans.a", "wrong-type", "A number was given where an object with named fields is expected.", "Write {…}.")),
        (
            {"a": {"low": "0 mm", "high": "1 mm"}, "a ": {"low": "0 mm", "high": "1 mm"}},
            ("spans", "duplicate-field", "Spans: one name is given twice.", "Give each name once."),
        ),
        ({"a\u200b": {"low": "0 mm", "high": "1 mm"}}, (
            "spans", "invisible-character", "Spans: the name holds the character U+200B, which cannot be seen.", "Type the name again without it.",
        )),
    ],
)  # fmt: skip
def test_what_is_wrong_with_names_of_groups(given: object, problem: tuple[str, str, str, str]) -> None:
    """As with any mapping."""
    reader = Reader()
    assert reader.read(Shelf, {"spans": given}) is None
    assert [(told.field, told.code, told.message, told.remedy) for told in reader.problems] == [problem]


def test_a_wrong_value_does_not_hide_what_is_wrong_with_another_name() -> None:
    """Each name of a mapping is judged by itself."""

    @dataclass(frozen=True, slots=True)
    class Named:
        effect: dict[str, int] = mapping("Effect", "What it does.", allowed={-1: "tightens", 1: "loosens"})

        def problems(self, _field: str) -> Iterable[Problem]:
            for name in self.effect:
                if name != "a":
                    yield Problem(f"effect.{name}", "unknown", "Unknown.", "Write a.")

    reader = Reader()
    assert reader.read(Named, {"effect": {"a": 2, "b": 1}}) is None
    assert [(told.field, told.code) for told in reader.problems] == [("effect.a", "unknown-word"), ("effect.b", "unknown")]
