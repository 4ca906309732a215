"""The arithmetic of the bench. Standard library only; the same files run on CPython and in the browser.

This is the public face: other packages use what is named here and nothing below it.
"""

import calc_engine.loading  # noqa: F401 - first: it sees to Ctrl+C while the rest is loaded
from calc_engine.answer import Worked, answer, answer_text, work_out
from calc_engine.answer_view.markup import Element, element
from calc_engine.answer_view.panel import panel, verdict_of
from calc_engine.answer_view.shown import shown_outputs
from calc_engine.bench.measuring import GAUGES_OF_METHOD, MOST_POSITIONS
from calc_engine.bench.one_reading import JudgedReading, judged_reading
from calc_engine.bench.selective import size_names
from calc_engine.catalogue import BUILT_IN, CATALOGUE, set_own
from calc_engine.declare import fields
from calc_engine.declare.calculation import Calculation, Source, Subject
from calc_engine.declare.fields import Declared, Field, Option, Role, field_with, fields_of
from calc_engine.declare.json_text import LONGEST_REQUEST, decode_request, encode
from calc_engine.declare.request import Reader as RequestReader
from calc_engine.declare.schema import describe, listing
from calc_engine.gears.meshing import mesh_problems
from calc_engine.maths.functions import float_sine_cosine
from calc_engine.own import OWN_PACKAGE, calculations_in, load_own
from calc_engine.page import answer_for_page
from calc_engine.problems import Problem, Refused, told_problems, visible
from calc_engine.process import run_process
from calc_engine.quantities.figures import exact_text, rounded_text
from calc_engine.quantities.phrases import alike, capitalised, listed, sentence, uncapitalised
from calc_engine.quantities.quantity import Quantity, parse_number, parse_quantity, show
from calc_engine.quantities.units import Dimension, System, Unit, find_unit
from calc_engine.version import VERSION

__all__ = [
    "BUILT_IN", "CATALOGUE", "GAUGES_OF_METHOD", "LONGEST_REQUEST", "MOST_POSITIONS", "OWN_PACKAGE", "VERSION", "Calculation",
    "Declared", "Dimension", "Element", "Field", "JudgedReading", "Option", "Problem", "Quantity", "Refused", "RequestReader",
    "Role", "Source", "Subject", "System", "Unit", "Worked", "alike", "answer", "answer_for_page", "answer_text",
    "calculations_in", "capitalised", "decode_request", "describe", "element", "encode", "exact_text", "field_with", "fields",
    "fields_of", "find_unit", "float_sine_cosine", "judged_reading", "listed", "listing", "load_own", "mesh_problems",
    "panel", "parse_number", "parse_quantity", "rounded_text", "run_process", "sentence", "set_own", "show", "shown_outputs",
    "size_names", "told_problems", "uncapitalised", "verdict_of", "visible", "work_out",
]  # fmt: skip
