"""Does the gear set of a unit make sense: can its teeth mesh, is everything there that it names, does each gear of the chart do its work?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import gcd
from typing import Final

from build_hooks.checks.values import UnitData, repeated, unknown
from build_hooks.gears import GearFigures, faults_of_way, figures_of
from build_hooks.model import GearElement, GearSet, PlanetarySet, read_model
from build_hooks.reading.nodes import Node
from build_hooks.reading.problems import Fault, did_you_mean, listed, quoted
from calc_engine import Refused, exact_text, parse_number, show_number

__all__ = ["gear_set_faults"]

_PAIRS_OF_WHEELS: Final = (("sun", "ring"), ("sun", "sun2"), ("ring", "ring2"))
_MEMBERS_OF_A_CLUTCH: Final = 2
