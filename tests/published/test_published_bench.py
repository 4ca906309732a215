"""The bench's calculations against printed answers: each case stands in a YAML file here, with its source beside it.

A case asks `calculation` with `request`, takes `output` of the result in `unit` (without `unit` it is a plain number), multiplies it
by `multiply` if that is there, and compares it with `expected`. Texts hold figures in quotation marks, so that none is rounded on the way.
`id` is any name that the file does not have yet. A case that no calculation takes has `why_not` in place of `expected`, one that does not
follow stands under `does_not_follow` with `why`.

A tolerance is half a unit of the last printed digit unless the case says why not. READ: the printed value was seen; MEMORY: recalled,
page not opened; EXACT: arithmetic, no printed answer behind it. Printed values that do not follow from their own inputs are kept too,
and must stay different.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import mpmath
import pytest
import yaml

from calc_engine import answer, parse_quantity
from calc_engine.calculations.disc_spring import diameter_constant
from calc_engine.quantities.quantity import Quantity
from tests.published.files import HERE, bench_topics, read, topics

LABELS = {"READ", "MEMORY", "EXACT"}


def load(part: str) -> list[Any]:
    """Every case of one part of every topic, those that no calculation takes left out."""
    return [pytest.param(case, id=f"{path.stem} {case['id']}") for path in bench_topics(HERE) for case in read(path, part)]


def worked_out(case: dict[str, Any]) -> Decimal:
    """The engine's figure in the unit of the printed one."""
    reply = answer(case["calculation"], case["request"])
    assert reply["ok"], reply
    found = reply["result"][case["output"]]
    if "unit" not in case:
        figure = Decimal(repr(found))
    else:
        given = parse_quantity(found, None, "")
        wanted = parse_quantity(f"1 {case['unit']}", None, "").unit
        value = Quantity(given.value, given.unit).to(wanted).value
        figure = Decimal(value.numerator) / Decimal(value.denominator)
    figure *= Decimal(case.get("multiply", "1"))
    if "power_at" in case:
        figure *= Decimal(case["power_at"]) * Decimal(str(mpmath.mpf(2) * mpmath.pi)) / 60 / 1000  # N.m and rpm to kW
    return figure


@pytest.mark.parametrize("case", load("cases"))
def test_the_printed_answer_comes_out(case: dict[str, Any]) -> None:
    """Within the tolerance of the case."""
    assert case["label"] in LABELS
    assert case["source"]
    assert abs(worked_out(case) - Decimal(case["expected"])) <= Decimal(case["tolerance"])


@pytest.mark.parametrize("case", load("does_not_follow"))
def test_a_printed_answer_that_does_not_follow_stays_different(case: dict[str, Any]) -> None:
    """If it ever agreed, either the case or the engine would be wrong."""
    assert case["label"] in LABELS
    assert case["source"]
    assert case["why"]
    assert abs(worked_out(case) - Decimal(case["expected"])) > Decimal(case["tolerance"])


def test_what_is_left_out_says_why() -> None:
    """A row of a source that no calculation takes is listed, not forgotten."""
    for path in topics(HERE):
        for case in yaml.safe_load(path.read_text(encoding="utf-8"))["cases"]:
            assert ("why_not" in case) is not ("expected" in case), case["id"]


def test_the_classical_constant_gives_the_textbook_disc() -> None:
    """V.B. Bhandari, Design of Machine Elements, Ex 10.26 (Scilab companion 764), rows 5.01 to 5.04, READ.

    Printed for 4500 N flat: D 154.818478, d 88.467702, t 2.652980, h 3.979470 mm. The book uses the classical constant
    M = 6/(pi ln d) ((d - 1)/d)^2; with it in place of K1 our flat force is the book's, and with K1 it is 0.5 % less.
    """
    request = {
        "outer": "154.818478 mm", "inner": "88.467702 mm", "thickness": "2.652980 mm", "cone_height": "3.979470 mm",
        "deflection": "3.979470 mm", "modulus": "207000 MPa", "poisson": "0.3",
    }  # fmt: skip
    ours = float(answer("disc-spring", request)["result"]["flat_force"].split()[0])
    ratio = parse_quantity("154.818478 mm", None, "").value / parse_quantity("88.467702 mm", None, "").value
    d = float(ratio)
    classical = float(6 / (mpmath.pi * mpmath.log(d)) * ((d - 1) / d) ** 2)
    # Each printed length is right to half a millionth; the force goes with the fourth power of them.
    assert abs(ours * float(diameter_constant(ratio)) / classical - 4500) < 4500 * 8 * 0.5e-6 / 2.65
    assert 4476 < ours < 4478
