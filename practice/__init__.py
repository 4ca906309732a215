"""Exercises made from a unit's data, and their marking. Standard library and the engine's public face only; it runs in the page too.

This is the public face: other packages use what is named here and nothing below it.
"""

from .edition import EDITION
from .exercise import Ask, AskMark, Exercise, Mark, Option
from .kinds import KINDS, Kind
from .page import VERBS, answer_for_practice
from .unit import Unit
from .unit_reader import read_unit

__all__ = [
    "EDITION",
    "KINDS",
    "VERBS",
    "Ask",
    "AskMark",
    "Exercise",
    "Kind",
    "Mark",
    "Option",
    "Unit",
    "answer_for_practice",
    "read_unit",
]
