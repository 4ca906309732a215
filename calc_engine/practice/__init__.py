"""Exercises made from a unit's data, and their marking. Standard library and the engine's public face only; it runs in the page too.

This is the public face: other packages use what is named here and nothing below it.
"""

from calc_engine.practice.edition import EDITION
from calc_engine.practice.exercise import Ask, AskMark, AskOption, Exercise, Further, Mark
from calc_engine.practice.finding_drawings import DRAWINGS, finding_drawing
from calc_engine.practice.gear_set import GEAR_SET
from calc_engine.practice.kinds import KINDS, Kind
from calc_engine.practice.page import VERBS, answer_for_practice
from calc_engine.practice.standards import reached
from calc_engine.practice.unit import SIDE_DIRECTIONS, SIDE_MARKS, ExerciseUnit, SideDirection, SideMark
from calc_engine.practice.unit_reader import read_unit

__all__ = [
    "DRAWINGS",
    "EDITION",
    "GEAR_SET",
    "KINDS",
    "SIDE_DIRECTIONS",
    "SIDE_MARKS",
    "VERBS",
    "Ask",
    "AskMark",
    "AskOption",
    "Exercise",
    "ExerciseUnit",
    "Further",
    "Kind",
    "Mark",
    "SideDirection",
    "SideMark",
    "answer_for_practice",
    "finding_drawing",
    "reached",
    "read_unit",
]
