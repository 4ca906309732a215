"""set-clearances as scripts call it: each order with its words, limits to the last digit, and each problem."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from calc_engine import CATALOGUE, answer, answer_for_page, encode

NAME = "set-clearances"
EXAMPLE: dict[str, Any] = dict(CATALOGUE[NAME].example)
GAUGE = {"resolution": "0.01 mm", "max_error": "0.02 mm"}
FORWARD: dict[str, Any] = {
    "name": "forward",
    "limits": {"min": "0.90 mm", "max": "1.40 mm"},
    "spread_limit": "0.15 mm",
    "gauge": GAUGE,
}
DIRECT: dict[str, Any] = {
    "name": "direct",
    "limits": {"min": "0.80 mm", "max": "1.20 mm"},
    "spread_limit": "0.15 mm",
    "gauge": GAUGE,
}
RING: dict[str, Any] = {
    "name": "ring", "effect": {"forward": -1},
    "choices": [
        {"id": "one dot", "thickness": "1.57 mm"}, {"id": "two dots", "thickness": "1.78 mm"}, {"id": "three dots", "thickness": "1.98 mm"},
    ],
}  # fmt: skip
PLATE: dict[str, Any] = {
    "name": "reaction plate", "effect": {"forward": -1, "direct": -1},
    "choices": [{"id": "5.00", "thickness": "5.00 mm"}, {"id": "5.20", "thickness": "5.20 mm"}],
}  # fmt: skip


def dial(*lifts: str) -> dict[str, Any]:
    """Lifts in mm."""
    return {"method": "dial", "lifts": [f"{lift} mm" for lift in lifts]}


def part(identity: str, measured: str | None = None) -> dict[str, Any]:
    """A part that is fitted, with its measured thickness in mm."""
    return {"id": identity} | ({} if measured is None else {"measured": f"{measured} mm"})


def trial(ring: Any, plate: Any = "5.00", **readings: Any) -> dict[str, Any]:
    """What was fitted, and the packs that were read: by one lift each, or by a reading."""
    fitted = {
        "ring": part(ring) if isinstance(ring, str) else ring,
        "reaction plate": part(plate) if isinstance(plate, str) else plate,
    }
    return {
        "fitted": fitted,
        "readings": {name: dial(read) if isinstance(read, str) else read for name, read in readings.items()},
    }


def ask(*trials: Any, **changes: Any) -> dict[str, Any]:
    """The reply to both packs and both places."""
    request = {"packs": [FORWARD, DIRECT], "positions": [RING, PLATE], "trials": list(trials)} | changes
    reply = answer(NAME, {name: value for name, value in request.items() if value is not ...})
    encode(reply)
    return reply


def result(*trials: Any, **changes: Any) -> dict[str, Any]:
    """Its result, which must be ok."""
    reply = ask(*trials, **changes)
    assert reply["ok"], reply
    made: dict[str, Any] = reply["result"]
    return made


def order(found: dict[str, Any]) -> dict[str, Any]:
    """What is to be done, without what is known of the packs."""
    return {name: value for name, value in found.items() if name not in {"packs", "agreement"}}


def problems(*trials: Any, **changes: Any) -> list[tuple[str, str, str, str]]:
    """Its problems."""
    return [
        (item["field"], item["code"], item["message"], item["remedy"]) for item in ask(*trials, **changes).get("problems", [])
    ]


class TestWhatIsKnown:
    """Each pack by its newest reading, and what was changed since."""

    def test_a_reading_with_the_parts_that_are_fitted(self) -> None:
        """As pack-clearance has it."""
        found = result(trial("one dot", forward=dial("1.10", "1.14"), direct="1.00"))
        alone = answer("pack-clearance", dial("1.10", "1.14") | {key: value for key, value in FORWARD.items() if key != "name"})
        assert found["packs"]["forward"] == {
            **{key: alone["result"][key] for key in ("clearance", "uncertainty", "verdict", "certain", "even")},
            "stale": False, "trial": 1,
        }  # fmt: skip
        assert found["packs"]["forward"]["clearance"] == "1.12 mm"
        assert found["agreement"] == []

    def test_a_shared_plate_makes_the_pack_that_was_not_read_again_expected(self) -> None:
        """Forward is read anew with the thicker plate; direct is 1.30 with the old one, so 1.10 now, and no order mixes the two."""
        found = result(trial("one dot", forward="1.48", direct="1.30"), trial("one dot", "5.20", forward=dial("1.27", "1.28")))
        forward, direct = found["packs"]["forward"], found["packs"]["direct"]
        assert (forward["clearance"], forward["stale"], forward["trial"]) == ("1.275 mm", False, 2)
        assert {key: direct[key] for key in direct if key != "uncertainty"} == {
            "clearance": "1.1 mm", "verdict": "in", "certain": False, "even": True, "stale": True, "trial": 1,
        }  # fmt: skip
        assert order(found) == {
            "next": "measure",
            "advice": "Measure direct. direct: 1.10 mm is only expected, changed since trial 1 (reaction plate: 5.00 to 5.20).",
            "measure": ["direct"],
        }

    def test_the_measured_thickness_counts_before_the_kits(self) -> None:
        """4.97 to 5.20: 0.23 less; 5.00 to 5.21: 0.21 less; both measured: 0.24 less."""
        for before, after, left in (
            (part("5.00", "4.97"), part("5.20"), "0.77 mm"),
            (part("5.00"), part("5.20", "5.21"), "0.79 mm"),
            (part("5.00", "4.97"), part("5.20", "5.21"), "0.76 mm"),
        ):
            assert (
                result(trial("one dot", before, direct="1.00"), trial("one dot", after))["packs"]["direct"]["clearance"] == left
            )

    def test_another_thickness_of_the_same_id_is_another_part(self) -> None:
        """Also one that is only known now; the same in another unit is the same."""
        first = trial("one dot", part("5.00", "5.00"), direct="1.00")
        assert result(first, trial("one dot", part("5.00", "5.03")))["packs"]["direct"]["clearance"] == "0.97 mm"
        later = result(trial("one dot", "5.00", direct="1.00"), trial("one dot", part("5.00", "5.01")))["packs"]["direct"]
        assert (later["clearance"], later["stale"]) == ("0.99 mm", True)
        same = {"fitted": first["fitted"] | {"reaction plate": {"id": "5.00", "measured": "5000 um"}}}
        assert result(first, same)["packs"]["direct"]["stale"] is False

    def test_a_part_that_the_pack_does_not_touch_changes_nothing(self) -> None:
        """The ring belongs to forward alone."""
        found = result(trial("one dot", forward="1.20", direct="1.00"), trial("two dots", forward="0.99"))
        assert (found["packs"]["direct"]["clearance"], found["packs"]["direct"]["stale"]) == ("1 mm", False)

    def test_the_newest_reading_counts_and_the_old_parts_back_make_it_fresh(self) -> None:
        """Two dots were tried in between; what is fitted now is what was read."""
        found = result(trial("one dot", forward="1.20", direct="1.00"), trial("two dots"), trial("one dot"))
        assert (found["packs"]["forward"]["stale"], found["packs"]["forward"]["trial"]) == (False, 1)

    def test_a_part_that_loosens_adds_its_thickness(self) -> None:
        """Exact: a sum of decimals."""
        plate = PLATE | {"effect": {"forward": -1, "direct": 1}}
        found = result(trial("one dot", direct="0.90"), trial("one dot", "5.20"), positions=[RING, plate])
        assert found["packs"]["direct"]["clearance"] == "1.1 mm"

    def test_a_pack_never_read_is_absent_and_what_is_not_known_is_left_out(self) -> None:
        """One reading without a gauge: no uncertainty. No largest difference: nothing is even or uneven."""
        bare = {"name": "forward", "limits": FORWARD["limits"]}
        found = result(trial("one dot", forward="1.20"), packs=[bare, DIRECT])
        assert found["packs"] == {
            "forward": {"clearance": "1.2 mm", "verdict": "in", "certain": False, "stale": False, "trial": 1}
        }

    @pytest.mark.parametrize(
        ("read", "verdict"),
        [("0.9", "in"), ("1.4", "in"), ("0.899999999999", "low"), ("1.400000000001", "high"), ("1.15", "in")],
    )
    def test_a_verdict_is_exact_at_the_limits(self, read: str, verdict: str) -> None:
        """A clearance on a limit is in, read or expected."""
        assert result(trial("one dot", forward=read))["packs"]["forward"]["verdict"] == verdict
        ring = part("two dots", "1.57")
        assert result(trial("one dot", forward=read), trial(ring))["packs"]["forward"]["verdict"] == verdict

    def test_a_free_wave_plate_counts_flat(self) -> None:
        """Measured free, specified flat: 0.60 more."""
        wave = {"free": "2.10 mm", "flat": "1.50 mm", "measured": "free", "specified": "flat"}
        found = result(trial("one dot", forward="0.60", direct="1.00"), packs=[FORWARD | {"wave": wave}, DIRECT])
        assert found["packs"]["forward"]["clearance"] == "1.2 mm"


class TestAgreement:
    """The newest reading against the one before."""

    def test_what_is_expected_is_read(self) -> None:
        """1.35 less 0.21: 1.14, read 1.15."""
        found = result(trial("one dot", forward="1.35", direct="1.00"), trial("two dots", forward="1.15"))
        assert found["agreement"] == [
            {
                "pack": "forward",
                "from": 1,
                "to": 2,
                "expected": "1.14 mm",
                "measured": "1.15 mm",
                "difference": "0.01 mm",
                "agrees": True,
            }
        ]
        assert found["next"] == "stay"

    def test_a_ring_that_is_not_home(self) -> None:
        """It reads 0.13 more than it should."""
        found = result(trial("one dot", forward="1.35", direct="1.00"), trial("two dots", forward="1.27"))
        assert found["agreement"][0]["agrees"] is False
        assert order(found) == {
            "next": "check-part",
            "advice": (
                "Check forward. Expected 1.14 mm, read 1.27 mm: the ring (two dots) is not home, or is not the size its mark says. "
                "Then read it again."
            ),
            "check": ["forward"],
        }

    def test_what_may_be_wrong_of_parts_that_were_measured_of_several_and_of_none(self) -> None:
        """A mark cannot be wrong of a part that was measured."""
        measured = trial(part("two dots", "1.78"), forward="1.27")
        assert result(trial("one dot", forward="1.35", direct="1"), measured)["advice"] == (
            "Check forward. Expected 1.14 mm, read 1.27 mm: the ring (two dots) is not home, or is not as thick as it was measured. "
            "Then read it again."
        )
        both = trial("two dots", "5.20", forward="1.12", direct="1.12")
        assert result(trial("one dot", forward="1.35", direct="1.12"), both)["advice"] == (
            "Check forward and direct. forward: expected 0.94 mm, read 1.12 mm: the ring (two dots) or the reaction plate (5.20) is not home, "
            "or is not the size its mark says. direct: expected 0.92 mm, read 1.12 mm: the reaction plate (5.20) is not home, or is not the "
            "size its mark says. Then read them again."
        )
        same = trial("one dot", forward="1.25")
        assert result(trial("one dot", forward="1.35", direct="1"), same)["advice"] == (
            "Check forward. Expected 1.35 mm, read 1.25 mm with the same parts: something is not home, or one of the two readings is wrong. "
            "Then read it again."
        )

    def test_the_bound_is_exact(self) -> None:
        """By parts: U1 = 2 sqrt(a^2/3), so sqrt(U1^2 + U2^2) is a known root; just on one side of it and on the other."""
        exact = FORWARD | {"gauge": ..., "limits": {"min": "0 mm", "max": "9 mm"}}
        pack = {name: value for name, value in exact.items() if value is not ...}
        stack = [{"name": "stack", "thickness": "1 mm", "count": 1, "max_error": "0.03 mm"}]

        def agrees(cavity: str, tolerance: str) -> bool:
            sizes = [size | {"tolerance": tolerance} for size in RING["choices"]]
            readings = [{"method": "parts", "cavity": f"{text} mm", "parts": stack} for text in ("3.00", cavity)]
            found = result(
                trial("one dot", forward=readings[0]), trial("two dots", forward=readings[1]),
                packs=[pack], positions=[RING | {"choices": sizes}, PLATE | {"effect": {"forward": -1}}],
            )  # fmt: skip
            uncertainty = float(found["packs"]["forward"]["uncertainty"].removesuffix(" mm"))
            assert uncertainty == pytest.approx(0.03464106, abs=1e-8)  # 0.03/sqrt(3), twice: k of a normal variable is 2.0000
            return bool(found["agreement"][0]["agrees"])

        # The root of twice the square: 0.0489898; expected 2.00 - 0.21 = 1.79, so the cavity may show 2.79 +- 0.0489898.
        assert agrees("2.8389898", "0 mm") and agrees("2.7410102", "0 mm")
        assert not agrees("2.8389900", "0 mm") and not agrees("2.7410100", "0 mm")
        # Neither ring was measured: both tolerances count.
        assert agrees("2.8789898", "0.02 mm")
        assert not agrees("2.8789900", "0.02 mm")

    def test_the_tolerance_of_a_measured_part_does_not_count(self) -> None:
        """One dot 0.02, two dots 0.02: with one measured, 0.02 is left. Without a gauge nothing else is."""
        sizes = [size | {"tolerance": "0.02 mm"} for size in RING["choices"]]
        bare = {"name": "forward", "limits": FORWARD["limits"]}

        def agrees(first: Any, second: Any, read: str) -> bool:
            found = result(
                trial(first, forward="1.35"), trial(second, forward=read), packs=[bare],
                positions=[RING | {"choices": sizes}, PLATE | {"effect": {"forward": -1}}],
            )  # fmt: skip
            return bool(found["agreement"][0]["agrees"])

        assert agrees("one dot", "two dots", "1.18")
        assert not agrees("one dot", "two dots", "1.1801")
        assert agrees(part("one dot", "1.57"), "two dots", "1.16")
        assert not agrees(part("one dot", "1.57"), "two dots", "1.1601")
        assert agrees("one dot", part("two dots", "1.78"), "1.12")
        assert not agrees("one dot", part("two dots", "1.78"), "1.1199")
        assert agrees(part("one dot", "1.57"), part("two dots", "1.78"), "1.14")
        assert not agrees(part("one dot", "1.57"), part("two dots", "1.78"), "1.1401")

    def test_only_the_newest_two_are_compared(self) -> None:
        """The first trial was far off; the last two agree."""
        found = result(
            trial("one dot", forward="1.00", direct="1.00"), trial("two dots", forward="1.14"), trial("two dots", forward="1.15")
        )
        assert [(pair["from"], pair["to"], pair["agrees"]) for pair in found["agreement"]] == [(2, 3, True)]


class TestNext:
    """The first order that holds."""

    UNEVEN = dial("1.10", "1.30", "1.12", "1.28")

    def test_uneven_comes_before_everything(self) -> None:
        """Also before a reading that disagrees, one that is missing, and one outside its limits."""
        found = result(trial("one dot", forward="1.90"), trial("one dot", forward=self.UNEVEN))
        assert found["agreement"][0]["agrees"] is False
        assert order(found) == {
            "next": "reseat",
            "advice": (
                "Seat forward again and read it once more. forward: positions differ by 0.20 mm, more than 0.15 mm: something sits crooked "
                "or is trapped."
            ),
            "reseat": ["forward"],
        }
        both = result(trial("one dot", forward=self.UNEVEN, direct=self.UNEVEN))
        assert both["reseat"] == ["forward", "direct"]
        assert both["advice"].startswith("Seat forward and direct again and read them once more. forward: positions differ by ")

    def test_a_spread_on_its_limit_is_even_and_an_older_uneven_reading_is_forgotten(self) -> None:
        """Exact."""
        assert result(trial("one dot", forward=dial("1.10", "1.25"), direct="1"))["next"] != "reseat"
        assert result(trial("one dot", forward=self.UNEVEN, direct="1"), trial("one dot", forward="1.20"))["next"] != "reseat"

    def test_an_uneven_reading_counts_although_a_part_was_changed_since(self) -> None:
        """What is expected of it is no better than it was."""
        found = result(trial("one dot", forward=self.UNEVEN, direct="1"), trial("two dots"))
        assert (found["next"], found["packs"]["forward"]["stale"]) == ("reseat", True)

    def test_a_disagreement_comes_before_a_pack_that_was_never_read(self) -> None:
        """Direct is not read; forward must be understood first."""
        assert result(trial("one dot", forward="1.35"), trial("two dots", forward="1.27"))["next"] == "check-part"

    def test_never_read_comes_before_a_clearance_that_is_out(self) -> None:
        """No part is chosen while a pack that it might touch is not known."""
        found = result(trial("one dot", forward="1.90"))
        assert order(found) == {"next": "measure", "advice": "Measure direct: it has not been read yet.", "measure": ["direct"]}
        third = DIRECT | {"name": "low"}
        assert result(trial("one dot", forward="1.90"), packs=[FORWARD, DIRECT, third])["advice"] == (
            "Measure direct and low: they have not been read yet."
        )
        assert result(trial("one dot"))["measure"] == ["forward", "direct"]
        assert result({"fitted": trial("one dot")["fitted"]})["packs"] == {}

    def test_out_of_limits_is_brought_in(self) -> None:
        """1.41 is out by 0.01; two dots is the ring nearest the centre, and the plate would take too much from direct."""
        found = result(trial("one dot", forward="1.41", direct="1.00"))
        assert order(found) == {
            "next": "fit", "advice": "Fit ring: two dots. Then measure again.", "fit": {"ring": "two dots"},
            "clearances": {"forward": "1.2 mm", "direct": "1 mm"}, "margin": 0.8, "changes": 1,
        }  # fmt: skip

    def test_what_is_only_expected_to_be_out_is_brought_in_too(self) -> None:
        """No need to read what will be changed again."""
        found = result(trial("one dot", forward="1.15", direct="0.95"), trial("one dot", "5.20"))
        assert {name: (pack["clearance"], pack["stale"]) for name, pack in found["packs"].items()} == {
            "forward": ("0.95 mm", True), "direct": ("0.75 mm", True),
        }  # fmt: skip
        assert (found["next"], found["fit"], found["clearances"]) == (
            "fit", {"reaction plate": "5.00"}, {"forward": "1.15 mm", "direct": "0.95 mm"},
        )  # fmt: skip

    def test_the_part_that_stays_keeps_its_measured_thickness_and_a_new_one_has_the_kits(self) -> None:
        """The plate of 5.00 measures 5.04: with the kit's 5.20, 0.16 less. The ring that stays does not move anything."""
        first = trial(part("two dots", "1.90"), part("5.00", "5.04"), forward="1.50", direct="1.25")
        found = result(first, positions=[RING | {"choices": RING["choices"][1:2]}, PLATE])
        assert (found["fit"], found["clearances"]) == ({"reaction plate": "5.20"}, {"forward": "1.34 mm", "direct": "1.09 mm"})

    def test_fewest_changes_prefers_one_part(self) -> None:
        """Best clearance would change both."""
        out = trial("one dot", forward="1.60", direct="1.19")
        assert result(out)["fit"] == {"ring": "two dots", "reaction plate": "5.20"}
        few = result(out, prefer="fewest-changes")
        assert (few["fit"], few["margin"], few["changes"]) == ({"ring": "three dots"}, 0.05, 1)

    def test_a_target_is_aimed_at(self) -> None:
        """Of the two rings that bring it in, the nearer to the target."""
        packs = [FORWARD | {"target": "1.00 mm"}, DIRECT]
        assert result(trial("one dot", forward="1.41", direct="1.00"), packs=packs)["fit"] == {"ring": "three dots"}

    def test_what_is_not_on_the_shelf_is_not_fitted_but_may_stay(self) -> None:
        """Two dots has run out; it stays where it is fitted."""
        gone = [size | ({"stock": 0} if size["id"] == "two dots" else {}) for size in RING["choices"]]
        places = [RING | {"choices": gone}, PLATE]
        assert result(trial("one dot", forward="1.41", direct="1.00"), positions=places)["fit"] == {"ring": "three dots"}
        out = trial("two dots", forward="1.35", direct="1.25")
        assert result(out, positions=places)["fit"] == {"reaction plate": "5.20"}

    def test_no_choice_is_within_every_limit(self) -> None:
        """What comes nearest, and what is missing."""
        found = result(trial("one dot", forward="2.50", direct="1.00"))
        assert found["next"] == "cannot"
        assert {"fit", "clearances", "margin", "changes"} & found.keys() == set()
        assert found["nearest"][0] == {
            "choice": {"ring": "three dots", "reaction plate": "5.20"}, "clearances": {"forward": "1.89 mm", "direct": "0.8 mm"},
            "margin": -1.96, "changes": 2,
        }  # fmt: skip
        assert found["needs"] == {"forward": "0.49 mm", "direct": "0 mm"}
        assert found["advice"] == (
            "No choice of this kit brings every pack within its limits. Short at best: forward by 0.49 mm (too loose)."
        )

    def test_where_every_choice_would_bind_a_pack_none_is_offered(self) -> None:
        """Direct is expected below nothing with the only plate there is now."""
        places = [RING | {"choices": RING["choices"][:1]}, PLATE | {"choices": PLATE["choices"][:1]}]
        reply = ask(
            trial("one dot", part("5.00", "4.80"), forward="1.15", direct="0.10"), trial("one dot", part("5.00", "5.00")),
            positions=places,
        )  # fmt: skip
        found = reply["result"]
        assert (found["packs"]["direct"]["clearance"], found["packs"]["direct"]["verdict"]) == ("-0.1 mm", "low")
        assert (found["next"], found["nearest"], found["needs"]) == ("cannot", [], {"forward": "0 mm", "direct": "-0.9 mm"})
        assert found["advice"] == (
            "No choice of this kit brings every pack within its limits. Each would leave a pack bound up. Short with what is fitted now: "
            "direct by 0.90 mm (too tight)."
        )
        bound = "direct: -0.10 mm is expected, less than nothing: with the parts that are fitted now it is bound up."
        assert bound in reply["cautions"]

    def test_no_choice_below_zero_is_offered(self) -> None:
        """Limits from zero: the thick plate would leave direct -0.05."""
        packs = [FORWARD, DIRECT | {"limits": {"min": "0 mm", "max": "0.10 mm"}}]
        places = [RING | {"choices": RING["choices"][:1]}, PLATE]
        found = result(trial("one dot", forward="1.10", direct="0.15"), packs=packs, positions=places)
        assert (found["next"], [near["choice"]["reaction plate"] for near in found["nearest"]]) == ("cannot", ["5.00"])

    def test_in_but_not_sure_is_moved_where_there_is_more_room(self) -> None:
        """1.39 is in, 0.01 from the limit."""
        found = result(trial("one dot", forward="1.39", direct="1.00"))
        assert (found["packs"]["forward"]["verdict"], found["packs"]["forward"]["certain"]) == ("in", False)
        assert order(found) == {
            "next": "fit",
            "advice": (
                "Every pack is within its limits, but forward is too close to a limit to be sure. Fit ring: two dots. Then measure again."
            ),
            "fit": {"ring": "two dots"}, "clearances": {"forward": "1.18 mm", "direct": "1 mm"}, "margin": 0.88, "changes": 1,
        }  # fmt: skip

    def test_in_but_not_sure_with_fewest_changes_takes_the_fewest_that_leave_more_room(self) -> None:
        """Both parts would leave the most room; one leaves more than there is now."""
        unsure, packs = trial("one dot", forward="1.39", direct="1.19"), [FORWARD | {"target": "1.00 mm"}, DIRECT]
        assert result(unsure, packs=packs)["fit"] == {"ring": "two dots", "reaction plate": "5.20"}
        few = result(unsure, packs=packs, prefer="fewest-changes")
        assert (few["next"], few["fit"], few["margin"], few["changes"]) == ("fit", {"reaction plate": "5.20"}, 0.525, 1)

    def test_measuring_comes_before_moving_what_is_in(self) -> None:
        """Forward is in, not sure; direct is only expected, and in."""
        found = result(trial("one dot", "5.20", forward="1.19", direct="0.85"), trial("one dot", "5.00", forward="1.39"))
        assert (found["next"], found["measure"]) == ("measure", ["direct"])

    def test_nothing_better_is_to_be_had(self) -> None:
        """Not sure, but no other choice leaves more room: it stays, and says why."""
        places = [RING | {"choices": RING["choices"][:1]}, PLATE | {"choices": PLATE["choices"][:1]}]
        assert order(result(trial("one dot", forward="1.39", direct="1.00"), positions=places)) == {
            "next": "stay",
            "advice": (
                "Every pack is within its limits, but forward is too close to a limit to be sure. No other choice leaves more room: "
                "keep the parts that are fitted."
            ),
        }
        bare = {"name": "direct", "limits": DIRECT["limits"]}
        assert result(trial("one dot", forward="1.39", direct="1.00"), positions=places, packs=[FORWARD, bare])["advice"] == (
            "Every pack is within its limits, but forward is too close to a limit to be sure and nothing here says how sure direct is. "
            "No other choice leaves more room: keep the parts that are fitted."
        )

    def test_all_in_and_sure(self) -> None:
        """Although another choice would be nearer the centre."""
        assert order(result(trial("one dot", forward="1.30", direct="1.00"))) == {
            "next": "stay", "advice": "Every pack is within its limits, and sure of it. Keep the parts that are fitted.",
        }  # fmt: skip


def test_the_working_of_the_example() -> None:
    """Each pack's reading, the change by parts, the agreement, line by line."""
    reply = answer(NAME, EXAMPLE)
    lines = reply["working"]
    assert lines[:2] == [
        "forward, trial 2: mean = (1.27 + 1.29 + 1.26 + 1.28) / 4 = 1.275 mm",
        "forward, trial 2: clearance = 1.275 mm",
    ]
    assert lines[7:9] == [
        "forward: limits 0.90 to 1.40 mm: 1.275 is within them",
        "forward: could be 1.248 to 1.302 mm: all on one side of each limit: sure",
    ]
    assert lines[-5:] == [
        "direct, changed since trial 1 (reaction plate: 5.00 to 5.20): 1.30 − (5.21 − 5.01) = 1.10 mm expected",
        "direct: limits 0.80 to 1.20 mm: 1.10 is within them",
        "forward, trial 2 against trial 1 (reaction plate: 5.00 to 5.20): expected 1.48 − (5.21 − 5.01) = 1.28 mm",
        "forward, trial 2 against trial 1: read 1.275 mm, difference 1.275 − 1.28 = -0.005 mm",
        "forward, trial 2 against trial 1: allowed √(0.031² + 0.027²) ≈ 0.041 mm: they agree",
    ]
    assert reply["cautions"] == []


def test_the_working_of_a_choice_and_of_a_disagreement() -> None:
    """As choose-parts shows it; a difference beyond what is allowed."""
    assert ask(trial("one dot", forward="1.41", direct="1.00"))["working"][-5:] == [
        "forward: 1.41 − (1.78 − 1.57) = 1.20 mm, within 0.90 to 1.40 mm",
        "forward: 0.05 mm from the centre 1.15 mm",
        "direct: stays 1.00 mm, within 0.80 to 1.20 mm",
        "direct: 0.00 mm from the centre 1.00 mm",
        "room left in the tightest pack 0.8 (1 at the centre, 0 on a limit); parts changed: 1",
    ]
    sizes = [size | {"tolerance": "0.02 mm"} for size in RING["choices"]]
    trials = [trial("one dot", forward="1.35", direct="1.00"), trial("two dots", forward="1.27")]
    assert ask(*trials, positions=[RING | {"choices": sizes}, PLATE])["working"][-3:] == [
        "forward, trial 2 against trial 1 (ring: one dot to two dots): expected 1.35 − (1.78 − 1.57) = 1.14 mm",
        "forward, trial 2 against trial 1: read 1.27 mm, difference 1.27 − 1.14 = 0.13 mm",
        "forward, trial 2 against trial 1: allowed √(0.024² + 0.024²) + 0.04 ≈ 0.075 mm: they do not agree",
    ]
    bare = {"name": "direct", "limits": DIRECT["limits"]}
    same = [trial("one dot", forward="1.35", direct="1.00"), trial("one dot", part("5.00", "5.01"), direct="0.99")]
    assert ask(*same, packs=[FORWARD, bare])["working"][-3:] == [
        "direct, trial 2 against trial 1 (reaction plate: 5.00 with another thickness): expected 1.00 − (5.01 − 5.00) = 0.99 mm",
        "direct, trial 2 against trial 1: read 0.99 mm, difference 0.99 − 0.99 = 0.00 mm",
        "direct, trial 2 against trial 1: allowed 0.00 = 0.00 mm: they agree",
    ]
    twice = [trial("one dot", forward="1.35", direct="1.00"), trial("one dot", direct="1.00")]
    assert "direct, trial 2 against trial 1: the same parts, so expected 1.00 mm again" in ask(*twice)["working"]


def test_what_the_reader_must_mind() -> None:
    """About each pack's gauge, readings that count as exact, and what a choice does."""
    bare = {"name": "direct", "limits": DIRECT["limits"]}
    trials = [trial("one dot", forward=dial("1.30", "1.30"), direct="1.00"), trial("one dot", direct="1.00")]
    assert ask(*trials, packs=[FORWARD, bare])["cautions"] == [
        "direct: no gauge data: how sure the verdict is cannot be worked out. Fill in the gauge's smallest division or largest error.",
        "direct: one position cannot show a crooked pack: measure at three or more (common practice, no source).",
        (
            "direct: how sure a reading is cannot be worked out, so it counts as exact when it is compared with the other. "
            "Fill in the gauge's smallest division or largest error."
        ),
    ]
    low = DIRECT | {"name": "low"}
    out = trial("one dot", forward=dial("1.41", "1.41"), direct=dial("1.19", "1.19"), low=dial("1.00", "1.00"))
    places = [RING, PLATE | {"choices": PLATE["choices"][:1]}]
    assert ask(out, packs=[FORWARD, DIRECT, low], positions=places)["cautions"] == [
        "direct would be closer to a limit than its uncertainty of 0.024 mm: measure again after fitting.",
        "No part in the list changes low: it is judged as measured.",
    ]


def test_answers_are_in_the_unit_of_the_limits_or_as_asked() -> None:
    """1.27 mm is 0.05 in."""
    found = result(trial("one dot", forward="1.27", direct="1.00"), units="inch")
    assert found["packs"]["forward"]["clearance"] == "0.05 in"


def test_the_panel_shows_the_packs_as_a_table() -> None:
    """Each pack a row with its name in front, and the order on top; a table without rows is not drawn."""
    page = answer_for_page(NAME, encode(EXAMPLE))
    assert '"data-verdict":"measure"' in page.replace(" ", "")
    for said in ("Packs now", "Only expected", "Readings held against each other", '"Measure"'):
        assert said in page
    none = {"packs": [FORWARD], "positions": [RING], "trials": [{"fitted": {"ring": part("one dot")}}]}
    assert "Packs now" not in answer_for_page(NAME, encode(none))


READ = trial("one dot", forward="1.2", direct="1")


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"packs": ..., "positions": ..., "trials": ...}, [
            ("packs", "missing", "Packs: nothing is filled in.", "Every pack of the drum."),
            ("positions", "missing", "Selective parts: nothing is filled in.", "Each place with its sizes."),
            ("trials", "missing", "Trials: nothing is filled in.", "What was fitted and read, the first trial first."),
        ]),
        ({"trials": []}, [("trials", "too-few", "Trials: 0 entries given.", "Give 1 to 40.")]),
        ({"packs": [FORWARD, FORWARD, DIRECT]}, [("packs.1.name", "duplicate-id", "“forward” appears twice.", "Give each its own name.")]),
        ({"positions": [RING, PLATE, RING]}, [("positions.2.name", "duplicate-id", "“ring” appears twice.", "Give each its own name.")]),
        ({"positions": [RING | {"choices": [RING["choices"][0]] * 2}, PLATE]}, [
            ("positions.0.choices.1.id", "duplicate-id", "“one dot” appears twice in the list.", "Give each size once."),
        ]),
        ({"positions": [RING | {"effect": {"foward": -1, "forward": -1}}, PLATE]}, [
            ("positions.0.effect.foward", "unknown-pack", "There is no pack “foward”.", "Name one of: forward, direct."),
        ]),
        ({"positions": [RING | {"effect": {"forward": 2}}, PLATE]}, [
            ("positions.0.effect.forward", "unknown-word", "Effect of a thicker part: 2 is not known here.", "Write -1 or 1."),
        ]),
        ({"positions": [RING | {"fitted": "one dot"}, PLATE]}, [
            ("positions.0.fitted", "unknown-field", "There is no field “fitted” here.", "Known here: name, choices, effect."),
        ]),
        ({"packs": [FORWARD | {"target": "1.5 mm"}, DIRECT]}, [
            ("packs.0.target", "out-of-range", "The target lies outside the limits.", "Aim within the limits, or leave the target empty."),
        ]),
        ({"trials": [READ, {"fitted": {"ring": part("four dots"), "plate": part("5.00")}, "readings": {"low": dial("1")}}]}, [
            ("trials.1.fitted.reaction plate", "missing", "Nothing is said of “reaction plate”.",
             "Name the part in every place, also where it has not changed."),
            ("trials.1.fitted.ring.id", "unknown-choice", "“four dots” is not in the list of sizes.", "Name one of: one dot, two dots, three dots."),
            ("trials.1.fitted.plate", "unknown-position", "There is no place “plate”.", "Name one of: ring, reaction plate."),
            ("trials.1.readings.low", "unknown-pack", "There is no pack “low”.", "Name one of: forward, direct."),
        ]),
        ({"trials": [{"fitted": {}, "readings": {"forward": []}}]}, [
            ("trials.0.fitted", "wrong-type", "What was fitted: at least one name is wanted.", "Write {name: {…}}."),
            ("trials.0.readings.forward", "wrong-type", "A list was given where an object with named fields is expected.", "Write {…}."),
        ]),
        ({"trials": [trial(part("one dot", "0"), forward={"method": "dial"}, direct={"method": "depth", "lifts": ["1 mm"]})]}, [
            ("trials.0.fitted.ring.measured", "out-of-range", "Measured thickness: 0.00 mm is too small.", "It must be more than 0 mm."),
            ("trials.0.readings.forward.lifts", "missing", "Lift at each position: nothing is filled in.",
             "Dial at zero with the pack down, then lift it solid against its ring."),
            ("trials.0.readings.direct.lifts", "not-used", "Lift at each position: no meaning with method “depth”.",
             "Leave it out, or set method to dial."),
            ("trials.0.readings.direct.to_plate", "missing", "Depth to the plate: nothing is filled in.",
             "From the straightedge down to the top plate, at each position."),
            ("trials.0.readings.direct.to_ring", "missing", "Depth to the ring or shoulder: nothing is filled in.",
             "From the same straightedge down to the face that stops the plate or the piston, at the same positions."),
        ]),
        ({"trials": [trial("one dot", direct={"method": "depth", "to_plate": ["2 mm", "2 mm"], "to_ring": ["1 mm"]})]}, [
            ("trials.0.readings.direct.to_ring", "length-mismatch", "There are 2 depths to the plate and 1 to the ring.",
             "Measure both at every position."),
        ]),
        ({"trials": [trial("one dot", direct={"method": "depth", "to_plate": ["1 mm", "2 mm"], "to_ring": ["2 mm", "1 mm"]}),
                     trial("one dot", direct={"method": "parts", "cavity": "2 mm", "parts": [{"name": "all", "thickness": "3 mm", "count": 1}]})]}, [
            ("trials.0.readings.direct.to_plate.0", "negative-clearance", "The plate is nearer than the ring here: a negative clearance.",
             "Check whether the two readings are swapped. If not, the pack is bound up."),
            ("trials.1.readings.direct.cavity", "negative-clearance", "These figures give a negative clearance.",
             "The pack is bound up, or two readings are swapped: measure again."),
        ]),
        ({"packs": [FORWARD | {"wave": {"free": "2.1 mm", "flat": "1.5 mm", "measured": "flat", "specified": "free"}}, DIRECT],
          "trials": [trial("one dot", forward="0.5", direct="1")]}, [
            ("trials.0.readings.forward", "negative-clearance", "These figures give a negative clearance.",
             "The pack is bound up, or two readings are swapped: measure again."),
        ]),
        ({"trials": [trial(part("one dot", "1.5700001"), forward="1")]}, [
            ("trials.0.fitted.ring.measured", "too-fine", "The thickness is written finer than a millionth of a millimetre.",
             "Write it as the micrometer reads, for example 1.780 mm or 0.0701 in."),
        ]),
        ({"positions": [RING, PLATE | {"choices": [{"id": "5.00", "thickness": "5.00 mm", "tolerance": "-1 mm"}]}]}, [
            ("positions.1.choices.0.tolerance", "out-of-range", "Tolerance: -1.00 mm is too small.",
             "It must be at least 0 mm. Was the minus sign typed by mistake?"),
        ]),
    ],
)  # fmt: skip
def test_every_problem_of_a_request_is_told(changes: dict[str, Any], expected: list[tuple[str, str, str, str]]) -> None:
    """Whole, each at its field."""
    assert problems(**copy.deepcopy({"trials": [READ]} | changes)) == expected
