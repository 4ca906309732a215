"""The arithmetic of the bench. Standard library only; the same files run on CPython and in the browser.

This is the public face: other packages use what is named here and nothing below it.
"""

from .answer import Worked, answer, answer_text, work_out
from .calculation import Calculation, Source
from .catalogue import CATALOGUE
from .fields import Declared, Field, Option, fields_of
from .json_text import LONGEST_REQUEST, decode_request, encode
from .markup import Element, element
from .page import answer_for_page
from .panel import panel
from .problems import Problem, Refused, told_problems, visible
from .process import run_process
from .quantity import Quantity, exact_text, parse_number, parse_quantity, show
from .schema import describe, listing
from .units import Dimension, Unit, find_unit
from .version import VERSION

__all__ = [
    "CATALOGUE", "LONGEST_REQUEST", "VERSION", "Calculation", "Declared", "Dimension", "Element", "Field", "Option", "Problem", "Quantity",
    "Refused", "Source", "Unit", "Worked", "answer", "answer_for_page", "answer_text", "decode_request", "describe", "element", "encode",
    "exact_text", "fields_of", "find_unit", "listing", "panel", "parse_number", "parse_quantity", "run_process", "show",
    "told_problems", "visible", "work_out",
]  # fmt: skip
