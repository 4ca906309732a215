"""Labels: true of one part alone, and no longer than that needs."""

from __future__ import annotations

from fractions import Fraction

from calc_engine import Dimension, parse_quantity
from calc_engine.practice.seen import labels, same_look
from calc_engine.practice.unit import Part


def _part(
    name: str, kind: str = "steel", thickness: str | None = None, mark: str | None = None, number: str | None = None
) -> Part:
    size = None if thickness is None else parse_quantity(thickness, Dimension.LENGTH, "")
    return Part(name.lower(), name, kind, thickness=size, mark=mark, number=number)


def test_what_lies_on_the_bench_comes_first() -> None:
    """Kind, thickness and mark are enough where they tell the parts apart; the part number and the name stay away."""
    parts = (
        _part("A", thickness="1.80 mm", number="N1"),
        _part("B", thickness="1.60 mm"),
        _part("C", "snap-ring", "1.57 mm", "one dot"),
    )
    assert labels(parts) == {"a": "Steel plate · 1.80 mm", "b": "Steel plate · 1.60 mm", "c": "Snap ring · 1.57 mm · one dot"}


def test_number_then_name_where_that_is_not_enough() -> None:
    """Two alike are told by their numbers, else by their names, else by both."""
    assert labels((_part("A", number="N1"), _part("B", number="N2"))) == {"a": "Steel plate · N1", "b": "Steel plate · N2"}
    assert labels((_part("A"), _part("B", number="N2"))) == {"a": "A", "b": "Steel plate · N2"}
    twins = (Part("x", "Same", "steel", number="N1"), Part("y", "Same", "steel", number="N2"))
    assert labels(twins, named=True) == {"x": "Same · N1", "y": "Same · N2"}


def test_having_no_mark_tells_nothing() -> None:
    """A part without a mark is not told from the same one with a mark, which may have worn off; its name tells it."""
    plain, marked = _part("Plain", thickness="1.80 mm"), _part("Marked", thickness="1.80 mm", mark="red")
    assert labels((plain, marked)) == {"plain": "Plain · 1.80 mm", "marked": "Steel plate · 1.80 mm · red"}


def test_twins_have_no_labels() -> None:
    """Parts that no word tells apart get none, and look the same."""
    first, second = Part("x", "Same", "steel"), Part("y", "same ", "steel")
    assert labels((first, second)) is None
    assert same_look(first, second)
    assert not same_look(first, Part("y", "Other", "steel"))


def test_units_do_not_hide_a_thickness() -> None:
    """A thickness is shown as the engine shows it."""
    assert labels((Part("x", "X", "shim", thickness=parse_quantity("0.0625 in", Dimension.LENGTH, "")),)) == {
        "x": "Shim · 0.0625 in"
    }
    assert Fraction(1, 16) == Fraction("0.0625")
