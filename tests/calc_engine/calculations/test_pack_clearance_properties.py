"""What holds for every pack-clearance request: units, shifts, order, growth, and the way to the centre."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

from hypothesis import assume, given
from hypothesis import strategies as st

from calc_engine import answer

FIGURES = st.decimals(min_value=0, max_value=3, places=3)
SHIFTS = st.decimals(min_value="0.001", max_value=5, places=3)
LIMITS = st.tuples(FIGURES, FIGURES).filter(lambda pair: pair[0] != pair[1]).map(sorted)
READINGS = st.lists(FIGURES, min_size=1, max_size=8)
STATES = st.sampled_from(["free", "flat"])
WAVES = st.none() | st.fixed_dictionaries(
    {"free": st.sampled_from(["1.6", "1.9"]), "flat": st.sampled_from(["1.2", "1.6"]), "measured": STATES, "specified": STATES}
)
GAUGES = st.fixed_dictionaries(
    {},
    optional={
        "resolution": st.sampled_from(["0.001", "0.01", "0.02", "0.03"]),
        "max_error": st.sampled_from(["0", "0.002", "0.01", "0.03"]),
    },
)
WORDS = {"method", "measured", "specified", "name", "units"}


def with_unit(value: Any, unit: str) -> Any:
    """A request whose figures get a unit; words and counts stay."""
    if isinstance(value, dict):
        return {name: item if name in WORDS else with_unit(item, unit) for name, item in value.items()}
    if isinstance(value, list):
        return [with_unit(item, unit) for item in value]
    return f"{value} {unit}" if isinstance(value, (str, Decimal)) else value


@st.composite
def requests(draw: st.DrawFn, methods: tuple[str, ...] = ("dial", "feeler", "depth", "parts")) -> dict[str, Any]:
    """A request by any of the methods, its lengths without a unit."""
    low, high = draw(LIMITS)
    made: dict[str, Any] = {"method": draw(st.sampled_from(methods)), "limits": {"min": low, "max": high}, "gauge": draw(GAUGES)}
    readings = draw(READINGS)
    if made["method"] == "dial":
        made["lifts"] = readings
    elif made["method"] == "feeler":
        made["leaves"] = [[value, *draw(st.lists(FIGURES, max_size=2))] for value in readings]
    elif made["method"] == "depth":
        made["to_ring"] = [value + 8 for value in draw(st.lists(FIGURES, min_size=len(readings), max_size=len(readings)))]
        made["to_plate"] = [ring + lift for ring, lift in zip(made["to_ring"], readings, strict=True)]
    else:
        made["cavity"] = 20 + readings[0]
        made["parts"] = [{"name": "pack", "thickness": Decimal("2.5"), "count": 8, "max_error": draw(FIGURES) / 100}]
    wave = draw(WAVES)
    return made if wave is None else made | {"wave": wave}


def result(request: dict[str, Any], unit: str = "mm") -> dict[str, Any]:
    """The result of a request; one that leaves less than no clearance is passed over."""
    found = answer("pack-clearance", with_unit(request, unit))
    assume(found["ok"] or {item["code"] for item in found["problems"]} != {"negative-clearance"})
    assert found["ok"], found
    made: dict[str, Any] = found["result"]
    return made


def figure(text: str) -> Fraction:
    """The figure of a quantity."""
    return Fraction(text.split(" ", maxsplit=1)[0])


def near(one: Fraction, other: Fraction) -> bool:
    """Equal to 13 digits: what is written to 15 may differ in the last, and differences of such lose one."""
    return abs(one - other) <= max(abs(one), abs(other)) / 10**13


@given(requests())
def test_thinking_in_inches_instead_of_millimetres_changes_no_verdict(request: dict[str, Any]) -> None:
    """Every length times 25.4: the same figures, verdict, evenness and factor, in inches."""
    metric, inch = result(request), result(request, "in")
    for name, value in metric.items():
        if isinstance(value, str) and value.endswith(" mm"):
            assert inch[name].endswith(" in")
            assert near(figure(inch[name]), figure(value))
    for name in ("verdict", "certain", "coverage_factor"):
        assert inch.get(name) == metric.get(name)


@given(requests(), st.sampled_from(["metric", "inch"]))
def test_asking_for_other_units_changes_the_writing_only(request: dict[str, Any], units: str) -> None:
    """The same amounts, verdict and certainty."""
    plain, asked = result(request), result(request | {"units": units})
    factor, unit = (Fraction("25.4"), "in") if units == "inch" else (Fraction(1), "mm")
    assert asked.keys() == plain.keys()
    for name in {
        "clearance",
        "smallest",
        "largest",
        "spread",
        "uncertainty",
        "adjust",
        "adjust_min",
        "adjust_max",
    } & plain.keys():
        assert asked[name].endswith(f" {unit}")
        assert near(figure(asked[name]) * factor, figure(plain[name]))
    assert (asked["verdict"], asked["certain"]) == (plain["verdict"], plain["certain"])


@given(requests(("depth",)), SHIFTS)
def test_a_thicker_straightedge_changes_nothing(request: dict[str, Any], shift: Decimal) -> None:
    """The same added to both depths at every position."""
    moved = request | {name: [value + shift for value in request[name]] for name in ("to_plate", "to_ring")}
    assert result(moved) == result(request)


@given(requests(("parts",)), SHIFTS)
def test_a_thicker_plate_in_a_deeper_cavity_changes_nothing(request: dict[str, Any], shift: Decimal) -> None:
    """The same added to the cavity and to the one plate."""
    plate = {"name": "plate", "count": 1, "thickness": Decimal(1)}
    plain = request | {"cavity": request["cavity"] + 1, "parts": [*request["parts"], plate]}
    moved = request | {
        "cavity": request["cavity"] + 1 + shift,
        "parts": [*request["parts"], plate | {"thickness": 1 + shift}],
    }
    assert result(moved) == result(plain)


@given(requests(("dial",)), SHIFTS)
def test_a_pack_that_is_looser_by_so_much_reads_looser_by_so_much(request: dict[str, Any], shift: Decimal) -> None:
    """All lifts moved: the clearance moves as much, spread and uncertainty stay, and the verdict never tightens."""
    plain, moved = result(request), result(request | {"lifts": [value + shift for value in request["lifts"]]})
    assert near(figure(moved["clearance"]), figure(plain["clearance"]) + Fraction(shift))
    assert all(moved.get(name) == plain.get(name) for name in ("spread", "sd", "uncertainty", "coverage_factor"))
    order = ["low", "in", "high"]
    assert order.index(plain["verdict"]) <= order.index(moved["verdict"])


@given(requests(("dial",)), st.data())
def test_a_larger_reading_at_one_position_never_lowers_the_clearance(request: dict[str, Any], data: st.DataObject) -> None:
    """The mean grows with each of its readings."""
    index = data.draw(st.integers(0, len(request["lifts"]) - 1))
    lifts = list(request["lifts"])
    lifts[index] += data.draw(SHIFTS)
    plain, moved = result(request), result(request | {"lifts": lifts})
    assert figure(moved["clearance"]) > figure(plain["clearance"])
    assert figure(moved["largest"]) >= figure(plain["largest"])


@given(requests())
def test_adding_what_is_told_brings_the_pack_to_the_centre(request: dict[str, Any]) -> None:
    """A ring thicker by `adjust` gives the centre; by `adjust_min` and `adjust_max` the limits: never uncertain which."""
    found = result(request)
    low, high = (Fraction(request["limits"][end]) for end in ("min", "max"))
    clearance = figure(found["clearance"])
    assert near(clearance - figure(found["adjust"]), (low + high) / 2)
    assert near(clearance - figure(found["adjust_min"]), high)
    assert near(clearance - figure(found["adjust_max"]), low)


@given(requests(("dial", "feeler")), st.data())
def test_the_order_of_the_positions_does_not_matter(request: dict[str, Any], data: st.DataObject) -> None:
    """Every output but the list of positions stays."""
    name = {"dial": "lifts", "feeler": "leaves"}[request["method"]]
    turned = data.draw(st.permutations(request[name]))
    plain, moved = result(request), result(request | {name: turned})
    assert sorted(plain.pop("positions")) == sorted(moved.pop("positions"))
    assert moved == plain


@given(requests(("depth",)), st.randoms(use_true_random=False))
def test_pairs_of_depths_may_come_in_any_order(request: dict[str, Any], random: Any) -> None:
    """As long as each plate keeps its ring."""
    pairs = list(zip(request["to_plate"], request["to_ring"], strict=True))
    random.shuffle(pairs)
    moved = result(request | {"to_plate": [plate for plate, _ in pairs], "to_ring": [ring for _, ring in pairs]})
    plain = result(request)
    assert sorted(plain.pop("positions")) == sorted(moved.pop("positions"))
    assert moved == plain


@given(requests(("dial", "feeler", "depth")), FIGURES, FIGURES)
def test_a_worse_gauge_never_makes_a_verdict_certain(request: dict[str, Any], one: Decimal, other: Decimal) -> None:
    """Where the uncertainty is larger, what was uncertain stays so; verdict and clearance stay as they are."""
    better, worse = (result(request | {"gauge": request["gauge"] | {"max_error": error / 100}}) for error in sorted((one, other)))
    assert (better["clearance"], better["verdict"]) == (worse["clearance"], worse["verdict"])
    if "uncertainty" not in better:
        assert not better["certain"]
    elif figure(worse["uncertainty"]) >= figure(better["uncertainty"]):
        assert better["certain"] or not worse["certain"]


@given(requests())
def test_a_certain_verdict_can_be_checked_from_the_printed_figures(request: dict[str, Any]) -> None:
    """Clearance and uncertainty as they are printed decide as the engine did, but where they meet a limit in the 13th digit."""
    found = result(request)
    low, high = (Fraction(request["limits"][end]) for end in ("min", "max"))
    if "uncertainty" not in found:
        assert not found["certain"]
        return
    clearance, spread = figure(found["clearance"]), figure(found["uncertainty"])
    ends = [(clearance - spread, low), (clearance + spread, low), (clearance - spread, high), (clearance + spread, high)]
    assume(not any(near(end, limit) and end != limit for end, limit in ends))
    straddles = clearance - spread < low <= clearance + spread or clearance - spread <= high < clearance + spread
    assert found["certain"] is not straddles
