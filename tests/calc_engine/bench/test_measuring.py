"""How a clearance is measured: one home for methods, gauges and positions."""

from __future__ import annotations

from calc_engine import CATALOGUE, GAUGES_OF_METHOD, MOST_POSITIONS, answer, fields_of


def test_every_method_of_pack_clearance_has_its_gauges() -> None:
    """What may be chosen as a method is what gauges are known for."""
    fields = {field.name: field.declared for field in fields_of(CATALOGUE["pack-clearance"].request)}
    assert [option.value for option in fields["method"].options] == list(GAUGES_OF_METHOD)


def test_one_position_more_than_there_may_be_is_refused() -> None:
    """As many as there may be are answered."""
    limits = {"min": "0.80 mm", "max": "1.20 mm"}
    replies = [
        answer("pack-clearance", {"method": "dial", "lifts": ["1.00 mm"] * number, "limits": limits})
        for number in (MOST_POSITIONS, MOST_POSITIONS + 1)
    ]
    assert [reply["ok"] for reply in replies] == [True, False]
    assert [(found["field"], found["code"]) for found in replies[1]["problems"]] == [("lifts", "too-many")]
