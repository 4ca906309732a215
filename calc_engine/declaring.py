"""What a manual's own calculation may use: all that it takes to declare one, and to work it out the same everywhere.

A file in the ``calculations`` folder of a manual imports from here, and from nowhere else in the engine. What is named here stays.
"""

from calc_engine.bench.readings import Gauge
from calc_engine.bench.verdict import Limits, Verdict, certain_flag, crossed, is_certain, judge, uncertainty_length
from calc_engine.declare.calculation import Answer, Calculation, Source
from calc_engine.declare.fields import (
    Option,
    amount,
    choice,
    count,
    flag,
    group,
    length,
    length_as_given,
    mapping,
    number,
    prose,
    text,
)
from calc_engine.maths.functions import PI, cosine, exponential, natural_log, sine, square_root, tangent
from calc_engine.maths.statistics import mean
from calc_engine.problems import Problem, Refused
from calc_engine.quantities.answer_units import AnswerUnits, equals_number, plain
from calc_engine.quantities.measured import Measured, uncertain
from calc_engine.quantities.phrases import listed
from calc_engine.quantities.quantity import Quantity
from calc_engine.quantities.units import Dimension

__all__ = [
    "PI", "Answer", "AnswerUnits", "Calculation", "Dimension", "Gauge", "Limits", "Measured", "Option", "Problem", "Quantity", "Refused",
    "Source", "Verdict", "amount", "certain_flag", "choice", "cosine", "count", "crossed", "equals_number", "exponential", "flag", "group",
    "is_certain", "judge", "length", "length_as_given", "listed", "mapping", "mean", "natural_log", "number", "plain", "prose", "sine",
    "square_root", "tangent", "text", "uncertain", "uncertainty_length",
]  # fmt: skip
