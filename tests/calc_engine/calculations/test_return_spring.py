"""return-spring: free lengths and forces against their limits."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

NO_FORCE = "Only the free length is judged: a spring that was overheated can have its length and no force."
NO_GAUGE = "No gauge data: the verdicts are only as sure as the reading."
BY_LENGTH = {"rate": ..., "installed_length": ..., "force_limits": ...}


def test_the_example_finds_the_tired_spring(bench: Any, near: Any) -> None:
    """Rate 9 N/mm pressed from 32.1 to 25 mm: 63.9 N; the fourth is short, so 50.4 N is too weak."""
    result = bench.result("return-spring")
    assert (result["verdict"], result["advice"]) == ("replace", "Replace spring 4, or the whole cage.")
    assert result["springs"] == [
        {"spring": 1, "free_length": "32.1 mm", "length_verdict": "in", "certain": True, "force": "63.9 N", "force_verdict": "in"},
        {"spring": 2, "free_length": "31.9 mm", "length_verdict": "in", "certain": True, "force": "62.1 N", "force_verdict": "in"},
        {"spring": 3, "free_length": "32 mm", "length_verdict": "in", "certain": True, "force": "63 N", "force_verdict": "in"},
        {"spring": 4, "free_length": "30.6 mm", "length_verdict": "low", "certain": True, "force": "50.4 N", "force_verdict": "low"},
    ]  # fmt: skip
    assert (result["mean"], result["smallest"], result["largest"], result["spread"]) == (
        "31.65 mm",
        "30.6 mm",
        "32.1 mm",
        "1.5 mm",
    )
    assert result["total_force"] == "239.4 N"
    assert near(result["uncertainty"], "0.0645498013133108 mm")  # mpmath: 2.0000024 sqrt(0.05^2/12 + 0.05^2/3)
    assert bench.cautions("return-spring") == []


def test_working_shows_each_spring(bench: Any) -> None:
    """Length against limits, force with its numbers, and the sums."""
    assert bench.working("return-spring") == [
        "free length: limits 31.50 to 32.50 mm",
        "one reading could be off by U ≈ 0.065 mm",
        "spring 1: 32.10 mm is in; force 9.0 N/mm × (32.10 − 25.00) mm = 63.9 N, in",
        "spring 2: 31.90 mm is in; force 9.0 N/mm × (31.90 − 25.00) mm = 62.1 N, in",
        "spring 3: 32.00 mm is in; force 9.0 N/mm × (32.00 − 25.00) mm = 63 N, in",
        "spring 4: 30.60 mm is too short; force 9.0 N/mm × (30.60 − 25.00) mm = 50.4 N, too weak",
        "mean = (32.10 + 31.90 + 32.00 + 30.60) / 4 = 31.65 mm",
        "spread = 32.10 − 30.60 = 1.50 mm",
        "force of all springs = 63.9 + 62.1 + 63 + 50.4 = 239.4 N",
    ]


def test_free_length_alone(bench: Any) -> None:
    """Force outputs are absent, and a caution says what was not seen."""
    request = BY_LENGTH | {"free_lengths": ["32.0 mm", "32.5 mm"], "gauge": ...}
    reply = bench.reply("return-spring", request)
    assert reply["result"]["verdict"] == "good"
    assert reply["result"]["advice"] == "All are within their limits."
    assert reply["result"]["springs"][1] == {"spring": 2, "free_length": "32.5 mm", "length_verdict": "in"}
    assert {"total_force", "uncertainty"}.isdisjoint(reply["result"])
    assert reply["cautions"] == [NO_GAUGE, NO_FORCE]
    assert reply["working"] == [
        "free length: limits 31.50 to 32.50 mm",
        "spring 1: 32.00 mm is in",
        "spring 2: 32.50 mm is in",
        "mean = (32.00 + 32.50) / 2 = 32.25 mm",
        "spread = 32.50 − 32.00 = 0.50 mm",
    ]


def test_too_near_a_limit_for_the_gauge_is_measured_again(bench: Any) -> None:
    """32.46 mm with U of 0.065: it could be 32.52. The verdict is neither good nor replace."""
    result = bench.result("return-spring", **BY_LENGTH, free_lengths=["32.0 mm", "32.46 mm"])
    assert (result["verdict"], [spring["certain"] for spring in result["springs"]]) == ("unsure", [True, False])
    assert result["advice"] == "Spring 2: in, but too close to a limit to trust. Measure again."
    both = bench.result("return-spring", **BY_LENGTH, free_lengths=["31.51 mm", "32.46 mm"])
    assert both["advice"] == "Springs 1 and 2: in, but too close to a limit to trust. Measure again."


def test_measured_forces(bench: Any) -> None:
    """Good length with no force left is a spring to replace; several are listed."""
    request = BY_LENGTH | {
        "free_lengths": ["32.0 mm", "32.0 mm", "33.0 mm", "32.0 mm"], "forces": ["63 N", "57.9 N", "63 N", "68.1 N"],
        "force_limits": {"min": "58 N", "max": "68 N"},
    }  # fmt: skip
    result = bench.result("return-spring", **request)
    assert [spring["force_verdict"] for spring in result["springs"]] == ["in", "low", "in", "high"]
    assert result["springs"][2]["length_verdict"] == "high"
    assert result["advice"] == "Replace springs 2, 3 and 4, or the whole cage."
    assert result["total_force"] == "252 N"
    assert bench.working("return-spring", **request)[3] == "spring 2: 32.00 mm is in; force 57.9 N, too weak"
    assert bench.working("return-spring", **request)[5] == "spring 4: 32.00 mm is in; force 68.1 N, too strong"


def test_forces_without_limits_are_summed_but_not_judged(bench: Any) -> None:
    """The sum is what a piston must overcome."""
    request = BY_LENGTH | {"free_lengths": ["32.0 mm"], "forces": ["63 N"]}
    result = bench.result("return-spring", **request)
    assert result["springs"] == [{"spring": 1, "free_length": "32 mm", "length_verdict": "in", "certain": True, "force": "63 N"}]
    assert result["total_force"] == "63 N"
    assert bench.working("return-spring", **request)[2] == "spring 1: 32.00 mm is in; force 63 N"
    assert bench.cautions("return-spring", **request) == [NO_FORCE]


def test_limits_themselves_are_in(bench: Any) -> None:
    """Both ends, of length and of force."""
    request = BY_LENGTH | {
        "free_lengths": ["31.5 mm", "32.5 mm"], "gauge": ..., "forces": ["58 N", "68 N"], "force_limits": {"min": "58 N", "max": "68 N"},
    }  # fmt: skip
    assert bench.result("return-spring", **request)["verdict"] == "good"


def test_tells_every_problem_between_the_fields(bench: Any) -> None:
    """Two ways to the force, lengths that do not pair up, springs that cannot push."""
    assert bench.problems("return-spring", forces=["63 N"], installed_length=...) == [
        ("forces", "both-given", "Rate and forces are both given.", "Give rate or forces, not both."),
        (
            "installed_length",
            "missing",
            "The installed length is missing.",
            "With a rate it is wanted; or leave the rate out.",
        ),
        ("forces", "length-mismatch", "There are 4 free lengths and 1 forces.", "Measure both of every spring."),
    ]
    assert bench.problems("return-spring", rate=..., free_lengths=["24.9 mm", "25 mm"]) == [
        (
            "installed_length",
            "not-used",
            "The installed length has no meaning without a rate.",
            "Leave it out, or give the rate.",
        ),
        (
            "forces",
            "missing",
            "There is no force to hold against its limits.",
            "Give the measured forces, or rate and installed length; or leave the limits of the force out.",
        ),
        (
            "free_lengths.0",
            "crossed-limits",
            "The spring is shorter free than installed: it does not push at all.",
            "Check both lengths; else replace it.",
        ),
    ]
    assert bench.problems("return-spring", force_limits={"min": "68 N", "max": "58 N"}) == [
        (
            "force_limits",
            "crossed-limits",
            "The smallest of the limits is not below the largest.",
            "Check which is which: min must be below max.",
        )
    ]


def test_inch_request_gives_inch_answers(bench: Any) -> None:
    """A 50 lbf/in spring pressed by 0.28 in: 14 lbf."""
    request = {
        "free_lengths": ["1.26 in"], "free_limits": {"min": "1.24 in", "max": "1.28 in"}, "gauge": {"resolution": "0.001 in"},
        "rate": "50 lbf/in", "installed_length": "0.98 in", "force_limits": {"min": "13 lbf", "max": "15 lbf"},
    }  # fmt: skip
    result = bench.result("return-spring", **request)
    assert result["springs"][0]["force"] == "14 lbf"
    assert result["mean"] == "1.26 in"
    assert bench.result("return-spring", **request, units="metric")["mean"] == "32.004 mm"
    assert bench.result("return-spring", units="inch")["total_force"].endswith(" lbf")


@given(st.lists(st.integers(2500, 3500), min_size=1, max_size=8), st.permutations(range(8)))
def test_order_of_the_springs_does_not_change_the_set(bench: Any, lengths: Any, order: Any) -> None:
    """Verdict, mean and sum are those of the set; one bad spring is enough to replace."""
    shuffled = [lengths[index] for index in order if index < len(lengths)]
    first, second = (
        bench.result("return-spring", gauge=..., free_lengths=[f"{length / 100} mm" for length in springs])
        for springs in (lengths, shuffled)
    )
    for output in ("verdict", "mean", "smallest", "largest", "spread", "total_force"):
        assert first[output] == second[output]
    good = all(3150 <= length <= 3250 and 5800 <= 9 * (length - 2500) <= 6800 for length in lengths)
    assert (first["verdict"] == "good") is good
