"""How the exercises write figures: with the decimals of a gauge's step, or rounded by the rule of their unit."""

from __future__ import annotations

from fractions import Fraction

from calc_engine import Quantity, Unit, exact_text, show

__all__ = ["at_step", "places_of", "shown"]


def places_of(step: Fraction) -> int:
    """How many decimals a figure in whole steps has.

    Args:
        step: a finite decimal, above zero.
    """
    return len(exact_text(step).partition(".")[2])


def at_step(value: Fraction, step: Fraction) -> str:
    """A figure with the decimals that its step has: 1.30 where the step is 0.01. A finer value keeps all its digits.

    Args:
        value: a finite decimal.
        step: a finite decimal above zero, in the unit of the value.

    Returns:
        The figure alone.
    """
    text = exact_text(value)
    whole, _, decimals = text.partition(".")
    places = places_of(step)
    return f"{whole}.{decimals.ljust(places, '0')}" if places else text


def shown(value: Fraction, unit: Unit) -> str:
    """A quantity for a reader, rounded by the rule of its unit.

    Args:
        value: the figure, in `unit`.
        unit: the unit to show it in.

    Returns:
        The figure with its unit.
    """
    return show(Quantity(value, unit))
