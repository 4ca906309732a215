"""From readings to the ring: what is given is enough, the engine's answer is right, a slip is named."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from typing import Any

import pytest

from calc_engine import answer
from calc_engine.practice import Exercise, Mark, read_unit
from calc_engine.practice.clearance import ClearanceKey, make, mark, why_not
from calc_engine.practice.clearance_words import exact_enough
from calc_engine.practice.setup import setup_of

type Made = Exercise[ClearanceKey]


def _made(data: dict[str, Any], seed: int = 1) -> Made:
    unit = read_unit(data)
    exercise = make(unit, unit.packs["first"], seed)
    assert exercise is not None
    return exercise


def _first(data: dict[str, Any], **wanted: str | None) -> Made:
    """The first exercise, by seed, with these right options, or this state of the wave plate."""
    for seed in range(400):
        exercise = _made(data, seed)
        found = exercise.key.rights | {"wave": exercise.key.trial.wave}
        if all(found.get(name) == value for name, value in wanted.items()):
            return exercise
    raise AssertionError(wanted)


def _right(exercise: Made) -> dict[str, str]:
    trial = exercise.key.trial
    return {"clearance": trial.reply["result"]["clearance"], **exercise.key.rights}


def _mark(exercise: Made, **changes: str) -> Mark:
    return mark(exercise, _right(exercise) | changes)


def test_the_engines_answer_is_right(small: dict[str, Any]) -> None:
    """Clearance, verdict and size by the engine are marked right for a hundred seeds, and its working is shown."""
    for seed in range(100):
        exercise = _made(small, seed)
        marked = _mark(exercise)
        assert marked.right, (seed, marked)
        reply = answer("pack-clearance", exercise.key.trial.request)
        assert marked.working == tuple(reply["working"])
        assert len(marked.why) == 1


def test_every_case_comes_up(small: dict[str, Any]) -> None:
    """Of 300 seeds each verdict and each size, none and none yet, is right in some."""
    rights = [_made(small, seed).key.rights for seed in range(300)]
    verdicts, rings = Counter(right["verdict"] for right in rights), Counter(right["ring"] for right in rights)
    assert set(verdicts) == {"in", "close", "tight", "loose", "uneven"}
    assert min(verdicts.values()) > 20
    assert set(rings) == {"ring-a", "ring-b", "none", "find-the-cause"}


def test_what_is_given(small: dict[str, Any]) -> None:
    """Limits with their source, gauge, wave plate, uncertainty and sizes are told, each once."""
    exercise = _first(small, wave="free")
    told = {fact["name"]: fact["said"] for fact in exercise.given["facts"]}
    assert len(told) == len(exercise.given["facts"])
    assert told["Limits"] == "0.90 mm to 1.40 mm (shop standard X-1)"
    assert told["Largest spread allowed"] == "0.15 mm"
    assert told["Gauge"] == "Bench dial, steps of 0.01 mm"
    assert told["Wave plate"] == "free 2.10 mm, flat 1.50 mm"
    assert (told["Limits are for the wave plate"], told["When measured, the wave plate was"]) == ("flat", "free")
    assert told["Uncertainty of this measurement"].startswith("± 0.0")
    assert told["Elm ring, sizes"] == "no dot, 1.40 mm; one dot, 1.60 mm"
    assert (told["Fitted now"], told["A thicker one"]) == ("no dot", "tightens First pack")
    assert exercise.question == (
        "The First pack was measured by dial: the lift at each position. Work out its clearance and judge it. If the spread is above its "
        "limit the pack is uneven, whatever the mean. Then say which size of the Elm ring brings the pack nearest the centre of its "
        "limits, and within them."
    )


def test_a_clearance_is_right_within_rounding(small: dict[str, Any]) -> None:
    """Half a step of the gauge either way is right, in any unit; a hair more is wrong."""
    exercise = _made(small)
    value = exercise.key.trial.clearance
    for off, right in (("0.005", True), ("-0.005", True), ("0.0051", False), ("-0.0051", False)):
        assert _mark(exercise, clearance=f"{float(value + Fraction(off)):.6f} mm").right == right
    assert _mark(exercise, clearance=f"{float(value) * 1000:.3f} um").right


def _why(exercise: Made, value: Fraction) -> str:
    marked = _mark(exercise, clearance=f"{float(value):.9f} mm")
    assert not marked.right
    return marked.why[0]


def test_slips_with_the_mean_are_named(small: dict[str, Any]) -> None:
    """A sum for a mean, half way between the ends, one position, a point moved, a share: each is told."""
    exercise = next(
        _made(small, seed)
        for seed in range(200)
        if len(set(_made(small, seed).key.trial.values)) == 4 and _made(small, seed).key.trial.wave != "free"
    )
    trial = exercise.key.trial
    values = trial.values
    assert _why(exercise, sum(values, Fraction(0))) == "The sum was not divided by the 4 positions."
    far = max(range(4), key=lambda place: abs(values[place] - trial.clearance))
    assert _why(exercise, values[far]) == f"That is position {far + 1} alone; the mean of all positions counts."
    assert _why(exercise, trial.clearance / 3) == "That is the clearance for each friction plate; the limits are for the pack."
    assert _why(exercise, trial.clearance * 10) == "The decimal point is one place too far right."
    assert _why(exercise, trial.clearance / 10) == "The decimal point is one place too far left."
    assert (
        _why(exercise, Fraction(9))
        == f"The clearance is {exact_enough(trial.setup, trial.clearance)}: see the working, line by line."
    )


def test_half_way_between_the_ends_is_named(small: dict[str, Any]) -> None:
    """The middle of the smallest and the largest is no mean."""
    for seed in range(200):
        exercise = _made(small, seed)
        trial = exercise.key.trial
        middle = (min(trial.values) + max(trial.values)) / 2
        if trial.wave != "free" and abs(middle - trial.clearance) > Fraction(1, 100) and middle not in trial.values:
            assert (
                _why(exercise, middle)
                == "That is half way between the smallest and the largest; the mean of all positions counts."
            )
            return
    pytest.fail("no lopsided readings in 200 seeds")


def test_slips_with_the_wave_plate_are_named(small: dict[str, Any]) -> None:
    """Left out, or taken the wrong way, the wave plate's 0.60 mm is missed."""
    exercise = _first(small, wave="free")
    clearance = exercise.key.trial.clearance
    assert _why(exercise, clearance - Fraction(6, 10)) == (
        "The wave plate was left out: it was measured in one state, and the limits are for the other."
    )
    if clearance > Fraction(12, 10):
        assert _why(exercise, clearance - Fraction(12, 10)) == "The wave plate's correction went the wrong way."
    small["packs"][0]["clearance"]["wave"] = "free"
    exercise = _first(small, wave="flat")
    assert _why(exercise, exercise.key.trial.clearance + Fraction(12, 10)) == "The wave plate's correction went the wrong way."


@pytest.mark.parametrize("verdict", ["in", "close", "tight", "loose", "uneven"])
def test_a_wrong_verdict_is_told_by_the_figures(small: dict[str, Any], verdict: str) -> None:
    """What is right is told with clearance, uncertainty and limits, or with the spread."""
    exercise = _first(small, verdict=verdict)
    trial = exercise.key.trial
    given = "tight" if verdict != "tight" else "loose"
    marked = _mark(exercise, verdict=given)
    clearance, unsure = exact_enough(trial.setup, trial.clearance), trial.setup.show(trial.length("uncertainty"))
    limits = "0.90 mm to 1.40 mm"
    assert (
        marked.why[0]
        == {
            "in": f"{clearance} ± {unsure} lies wholly within {limits}: in, and sure.",
            "close": f"{clearance} lies within {limits}, but with ± {unsure} it reaches beyond a limit: in, but not sure.",
            "tight": f"{clearance} lies below {limits}: too tight.",
            "loose": f"{clearance} lies above {limits}: too loose.",
            "uneven": f"The spread is {exact_enough(trial.setup, trial.length('spread'))}, and 0.15 mm is allowed. Something sits crooked or is "
            "trapped, and the mean of such readings means nothing (common practice, no source).",
        }[verdict]
    )


def test_an_uneven_pack_gets_no_ring(small: dict[str, Any]) -> None:
    """A size chosen for an uneven pack is told that the cause comes first, and so is the reader who was right."""
    exercise = _first(small, verdict="uneven")
    marked = _mark(exercise, ring="ring-a")
    assert marked.why[0] == "No size is chosen by readings that are uneven: find the cause, measure again, then choose."
    assert _mark(exercise).why[0].startswith("Uneven: positions differ by 0.")


def test_a_wrong_size_is_told_by_what_it_leaves(small: dict[str, Any]) -> None:
    """What the chosen size and the right one leave, with in, too tight or too loose; none and the right one likewise."""
    exercise = _first(small, verdict="loose", ring="ring-b")
    clearance = exercise.key.trial.clearance
    show = exercise.key.trial.setup.show
    right = f"with one dot: First pack {show(clearance - Fraction(2, 10))}, in"
    assert _mark(exercise, ring="ring-a").why[0] == f"with no dot: First pack {show(clearance)}, too loose; {right}."
    assert _mark(exercise, ring="none").why[0] == f"{right}."
    exercise = _first(small, verdict="loose", ring="none")
    assert _mark(exercise, ring="ring-b").why[0].startswith("No size brings it within the limits; with one dot: First pack ")
    assert _mark(exercise, ring="find-the-cause").why[0] == "No size brings it within the limits."


def test_a_size_that_is_not_on_the_shelf_is_told(small: dict[str, Any]) -> None:
    """A size with none on the shelf cannot be fitted, is said so, and is no right answer."""
    small["kits"][0]["stock"] = {"ring-b": 0, "ring-a": 4}
    exercise = _first(small, verdict="loose")
    told = {fact["name"]: fact["said"] for fact in exercise.given["facts"]}
    assert told["Elm ring, sizes"] == "no dot, 1.40 mm (4 on the shelf); one dot, 1.60 mm (0 on the shelf)"
    assert exercise.key.rights["ring"] == "none"
    assert _mark(exercise, ring="ring-b").why[0] == "No size brings it within the limits; one dot is not on the shelf."


def test_no_kit_no_question(small: dict[str, Any]) -> None:
    """Without a kit of its own, or with one that also sets an end play, no size is asked for."""
    small["kits"][0]["shafts"] = ["Input shaft"]
    exercise = _made(small)
    assert [ask.id for ask in exercise.asks] == ["clearance", "verdict"]
    assert exercise.title == "Elm 3, First pack: from readings to the verdict"
    small["kits"] = []
    assert _made(small).asks == exercise.asks


def test_no_limit_for_the_spread_no_uneven(small: dict[str, Any]) -> None:
    """Where no spread is named, none is asked for, and none of the options speaks of it."""
    del small["packs"][0]["clearance"]["spread_limit"]
    exercise = _made(small)
    options = {ask.id: [option.id for option in ask.options] for ask in exercise.asks}
    assert options["verdict"] == ["in", "close", "tight", "loose"]
    assert options["ring"] == ["ring-a", "ring-b", "none"]


def _second_pack(small: dict[str, Any], way: int) -> dict[str, Any]:
    """A second pack that the same ring touches."""
    small["packs"].append(
        {
            "id": "second",
            "name": "Second pack",
            "parts": [{"part": "ring-a"}, {"part": "steel"}],
            "clearance": {"min": "0.60 mm", "max": "1.10 mm", "target": "0.90 mm"},
        }
    )
    small["kits"][0]["effect"] = {"first": -1, "second": way}
    return small


@pytest.mark.parametrize("way", [-1, 1])
def test_a_part_between_two_packs_is_chosen_for_both(small: dict[str, Any], way: int) -> None:
    """Its size is marked by choose-parts; the other pack's clearance is given, and both are told of when it is wrong."""
    exercise = _first(_second_pack(small, way), verdict="loose", ring="ring-b")
    trial = exercise.key.trial
    assert trial.parts_reply is not None
    assert trial.parts_reply["result"]["solutions"][0]["choice"] == {"Elm ring": "one dot"}
    told = {fact["name"]: fact["said"] for fact in exercise.given["facts"]}
    assert told["A thicker one"] == f"tightens First pack; {'tightens' if way < 0 else 'loosens'} Second pack"
    assert told["Second pack"].endswith("; limits 0.60 mm to 1.10 mm, target 0.90 mm")
    assert "All other parts stay." in exercise.question
    marked = _mark(exercise, ring="ring-a")
    assert marked.why[0].count("First pack") == 2
    assert marked.why[0].count("Second pack") == 2
    assert marked.working[-len(trial.parts_reply["working"]) :] == tuple(trial.parts_reply["working"])
    assert _mark(exercise).why == (trial.parts_reply["result"]["advice"],)


def test_a_loosening_part_is_chosen_by_choose_parts(small: dict[str, Any]) -> None:
    """A kit whose thicker part loosens is not one that pack-clearance chooses from; with a target, the target is told."""
    small["kits"][0]["effect"] = {"first": 1}
    small["packs"][0]["clearance"]["target"] = "1.10 mm"
    exercise = _first(small, verdict="tight", ring="ring-b")
    assert exercise.key.trial.parts_reply is not None
    assert {"name": "First pack, target", "said": "1.10 mm"} in exercise.given["facts"]
    assert _first(small, verdict="uneven").key.rights["ring"] == "find-the-cause"


def test_a_kit_whose_other_pack_has_no_limits_is_not_asked(small: dict[str, Any]) -> None:
    """What a size does to a pack without limits cannot be judged, so no size is asked for; nor between packs of one name."""
    changed = _second_pack(small, -1)
    del changed["packs"][1]["clearance"]
    assert [ask.id for ask in _made(changed).asks] == ["clearance", "verdict"]
    changed["packs"][1] |= {"clearance": {"min": "0.60 mm", "max": "1.10 mm"}, "name": "first pack"}
    assert [ask.id for ask in _made(changed).asks] == ["clearance", "verdict"]


@pytest.mark.parametrize(
    ("changes", "heads"),
    [
        ({"method": "feeler", "gauge": "feeler"}, ("Position", "Leaves")),
        ({"method": "depth", "gauge": "depth"}, ("Position", "Down to the plate", "Down to the ring or shoulder")),
        ({"method": "parts", "gauge": "depth"}, ("What", "How many", "Each")),
    ],
)
def test_other_methods(small: dict[str, Any], changes: dict[str, str], heads: tuple[str, ...]) -> None:
    """Feeler, depth and parts have their own tables, and the engine's answer is right in each."""
    small["packs"][0]["clearance"] |= changes
    for seed in range(30):
        exercise = _made(small, seed)
        assert exercise.key.trial.readings.heads == heads
        assert _mark(exercise).right


def test_a_gap_of_more_than_ten_leaves_is_told_as_one(small: dict[str, Any]) -> None:
    """Nobody stacks so many leaves; up to ten they are laid one on the other, and the engine's answer is right in both."""
    small["packs"][0]["clearance"] |= {"method": "feeler", "gauge": "feeler", "min": "9.00 mm", "max": "12.00 mm"}
    counts: Counter[int] = Counter()
    for seed in range(40):
        exercise = _made(small, seed)
        counts.update(len(leaves) for leaves in exercise.key.trial.request["leaves"])
        assert _mark(exercise).right
    assert max(counts) <= 11
    assert counts[1] > 0
    assert counts[10] + counts[11] > 0


def test_a_figure_is_never_rounded_past_what_the_gauge_can_tell(small: dict[str, Any]) -> None:
    """By a gauge of 0.000005 in the clearance is told to a tenth of that step, where the usual six decimals of an inch are too few."""
    small["gauges"][0] |= {"resolution": "0.000005 in", "max_error": "0.000005 in"}
    small["packs"][0]["clearance"] |= {"min": "0.035 in", "max": "0.055 in", "spread_limit": "0.006 in", "positions": 3}
    decimals: Counter[int] = Counter()
    for seed in range(20):
        trial = _made(small, seed).key.trial
        said = exact_enough(trial.setup, trial.clearance)
        decimals[len(said.removesuffix(" in").partition(".")[2])] += 1
        assert abs(Fraction(said.removesuffix(" in")) - trial.clearance) <= trial.setup.step / 10
    assert decimals[7] > 0


@pytest.mark.parametrize("refused", ["pack-clearance", "choose-parts"])
def test_readings_that_the_engine_refuses_are_never_asked(
    small: dict[str, Any], monkeypatch: pytest.MonkeyPatch, refused: str
) -> None:
    """Where the engine does not answer, other readings are drawn; what is asked in the end is answered and marked right."""
    seen: Counter[str] = Counter()

    def at_first_unwilling(name: str, request: dict[str, Any]) -> dict[str, Any]:
        seen[name] += 1
        return {"ok": False, "problems": []} if name == refused and seen[name] <= 3 else answer(name, request)

    monkeypatch.setattr("calc_engine.practice.trial.answer", at_first_unwilling)
    exercise = _made(_second_pack(small, -1))
    assert seen[refused] > 3
    assert _mark(exercise).right


def test_by_parts_each_part_counts_as_often_as_it_is_there(small: dict[str, Any]) -> None:
    """Measured by parts: plates with their counts, then the ring that comes in sizes; counting each once is named."""
    small["packs"][0]["clearance"] |= {"method": "parts", "gauge": "depth"}
    exercise = _made(small)
    rows = exercise.key.trial.readings.rows
    assert [(row[0], row[1]) for row in rows] == [
        ("1. Cavity", ""), ("2. Elm wave", "1"), ("3. Elm steel", "3"), ("4. Elm friction", "3"), ("5. Elm backing", "1"), ("6. Elm ring, thin", "1"),
    ]  # fmt: skip
    parts = exercise.key.trial.request["parts"]
    once = Fraction(exercise.key.trial.request["cavity"].split()[0]) - sum(
        Fraction(part["thickness"].split()[0]) for part in parts
    )
    assert _why(exercise, once) == "Each part was counted once: its thickness is taken as many times as it is in the stack."


def test_by_parts_for_a_free_wave_plate(small: dict[str, Any]) -> None:
    """By parts the wave plate counts with its flat thickness; where the limits mean it free that is told, and taken off."""
    small["packs"][0]["clearance"] |= {"method": "parts", "gauge": "depth", "wave": "free"}
    exercise = _made(small)
    assert exercise.key.trial.wave == "flat"
    assert {"name": "When measured, the wave plate was", "said": "counted by its flat thickness"} in exercise.given["facts"]
    assert _mark(exercise).right


def test_a_wave_plate_of_unknown_height_is_measured_as_the_limits_mean(small: dict[str, Any]) -> None:
    """Without its free height no correction can be made, so none is needed: it was as the limits mean it."""
    del small["parts"][3]["free_height"]
    exercise = _made(small)
    assert exercise.key.trial.wave is None
    assert {"name": "Wave plate", "said": "flat when it was measured, as in the limits"} in exercise.given["facts"]


def test_what_the_data_leaves_open_is_as_usual(small: dict[str, Any]) -> None:
    """No method and no positions: by dial at four; the first dial that shows the unit, else steps of 0.01 mm."""
    small["packs"][0]["clearance"] = {"min": "0.90 mm", "max": "1.40 mm"}
    unit = read_unit(small)
    setup = setup_of(unit, unit.packs["first"])
    assert (setup.method, setup.positions, setup.gauge) == ("dial", 4, unit.gauges[0])
    small["gauges"] = []
    unit = read_unit(small)
    assert (setup_of(unit, unit.packs["first"]).gauge, setup_of(unit, unit.packs["first"]).step) == (None, Fraction(1, 100))
    assert "Gauge" not in {fact["name"] for fact in _made(small).given["facts"]}


@pytest.mark.parametrize("resolution", [None, "0.001 in", "1/3 mm", "2 mm"])
def test_a_gauge_that_does_not_fit_is_passed_over(small: dict[str, Any], resolution: str | None) -> None:
    """A gauge without steps, in another unit, in thirds or in steps beyond reason is not read."""
    small["gauges"][0]["resolution"] = resolution
    unit = read_unit(small)
    assert setup_of(unit, unit.packs["first"]).gauge is None


@pytest.mark.parametrize(
    ("unit", "limits", "step"),
    [
        ("in", ("0.035", "0.055"), "0.001"),
        ("um", ("900", "1400"), "10"),
        ("thou", ("35", "55"), "1"),
        ("m", ("0.0009", "0.0014"), "0.00001"),
    ],
)
def test_every_unit_of_length_can_be_used(small: dict[str, Any], unit: str, limits: tuple[str, str], step: str) -> None:
    """Limits in inches, micrometres, thousandths or metres are practised in their own unit, by each method."""
    small["gauges"], small["kits"] = [], []
    for method in ("dial", "feeler", "depth", "parts"):
        small["packs"][0]["clearance"] = {"min": f"{limits[0]} {unit}", "max": f"{limits[1]} {unit}", "method": method}
        exercise = _made(small)
        assert exercise.key.trial.setup.step == Fraction(step)
        assert _mark(exercise).right


WHY_NOT = [
    ({"clearance": None}, "The pack has no clearance limits."),
    ({"clearance": {"min": "1 mm", "max": "20.01 mm"}}, "The limits go beyond 20 mm: no pack runs with so much."),
    (
        {"clearance": {"min": "1.00 mm", "max": "1.07 mm"}},
        "The limits are not between 8 and 100000 steps of the gauge apart, so readings cannot be told apart.",
    ),
    (
        {"clearance": {"min": "1 mm", "max": "2 mm", "method": "parts"}, "parts": [{"part": "piston"}]},
        "It is measured by its parts, and no plate of the pack has a thickness.",
    ),
    (
        {"clearance": {"min": "1 mm", "max": "2 mm", "method": "parts"}, "parts": [{"part": "thick"}]},
        "A part is thicker than 50 mm, or the stack than 500 mm.",
    ),
    (
        {
            "clearance": {"min": "1 mm", "max": "2 mm", "method": "parts", "wave": "free"},
            "parts": [{"part": "wave"}, {"part": "wave"}],
        },
        "It is measured by its parts for a free wave plate, whose free height is not known.",
    ),
]


@pytest.mark.parametrize(("changes", "reason"), WHY_NOT)
def test_why_no_clearance_can_be_practised(small: dict[str, Any], changes: dict[str, Any], reason: str) -> None:
    """Where no readings would be fair, none are made, and it is said why."""
    small["parts"].append({"id": "thick", "name": "Thick", "kind": "steel", "thickness": "51 mm"})
    small["packs"][0] |= changes
    small["kits"] = []
    unit = read_unit(small)
    assert why_not(unit, unit.packs["first"]) == reason
    assert make(unit, unit.packs["first"], 1) is None


@pytest.mark.parametrize("method", ["dial", "parts"])
def test_without_room_for_a_case_the_readings_are_far_out(
    small: dict[str, Any], monkeypatch: pytest.MonkeyPatch, method: str
) -> None:
    """When no case can be shown, equal readings far beyond the limits are decided all the same: too loose, and no size fits."""
    monkeypatch.setattr("calc_engine.practice.trial.CASES", ())
    small["packs"][0]["clearance"] |= {"method": method, "gauge": "depth" if method == "parts" else "dial", "wave": "free"}
    small["gauges"][0]["max_error"] = "1 mm"
    exercise = _made(small)
    assert exercise.key.rights == {"verdict": "loose", "ring": "none"}
    assert len(set(exercise.key.trial.values)) == 1
    assert _mark(exercise).right


def test_sizes_of_one_thickness_are_never_chosen_between(small: dict[str, Any]) -> None:
    """Two sizes that leave the same clearance are equally good, so the right answer is only ever none, or none yet."""
    small["parts"][9]["thickness"] = "1.40 mm"
    assert {_made(small, seed).key.rights["ring"] for seed in range(20)} <= {"none", "find-the-cause"}


def test_the_ring_measured_is_the_one_in_a_groove_without_a_kit(small: dict[str, Any]) -> None:
    """By parts without a kit, the last ring in a groove holds the stack; without one, no ring is counted."""
    small["kits"] = []
    small["packs"][0]["clearance"] |= {"method": "parts", "gauge": "depth"}
    assert _made(small).key.trial.readings.rows[-1][0] == "6. Elm ring, thin"
    del small["packs"][0]["parts"][-1]["groove"]
    assert _made(small).key.trial.readings.rows[-1][0] == "5. Elm backing"


def test_sizes_are_called_by_what_tells_them_apart(small: dict[str, Any]) -> None:
    """By mark; where marks do not tell them apart by number, then by name, at last by id."""
    rings = small["parts"][8:]

    def called() -> str:
        return next(str(fact["said"]) for fact in _made(small).given["facts"] if fact["name"] == "Fitted now")

    assert called() == "no dot"
    del rings[0]["mark"]
    for ring, number in zip(rings, ("E-140", "E-160"), strict=True):
        ring["number"] = number
    assert called() == "E-140"
    del rings[1]["number"]
    assert called() == "Elm ring, thin"
    rings[0]["name"] = rings[1]["name"] = "Elm ring"
    assert called() == "ring-a"
