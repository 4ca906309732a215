"""The model as the pages use it: references resolved, repeats expanded, nothing that can be changed."""

from dataclasses import FrozenInstanceError
from datetime import date
from pathlib import Path

import pytest
from pydantic import ValidationError

from build_hooks.library import load
from build_hooks.model import Caution, Measure, Pack, Repeat, Side, Teeth, Unit
from calc_engine import show

SHOP = """\
name: Quay Lane
gauges:
  bench-dial: {name: Dial, kind: dial, resolution: 0.01 mm, max_error: 0.02 mm}
  air: {name: Air gauge, kind: pressure, resolution: 1 psi}
screens:
  bay: {name: Bay, distance: 3.5 m, diagonal: 43 in, pixels: 1920×1080}
words:
  friction plate: {meaning: A lined plate., also: [fibre, 15], misspelt: [friciton]}
"""
UNIT = """\
name: 4
about: 2026-09-01
status: {state: approved, approved_by: M. Fennick, approved_on: 2026-09-01, review_due: 2027-09-01, revision: 3}
drums:
  front: {name: Front drum, grooves: [lower, upper]}
parts:
  wave: {name: Wave plate, kind: wave, thickness: 1.50 mm ± 0.03, free_height: 2.10 mm}
  steel: {name: Steel plate, kind: steel, thickness: 1.80 mm, teeth: none, tell_apart: "eight lugs"}
  friction: {name: Friction plate, kind: friction, thickness: 1.70 mm ± 0.05, worn_below: 1.50 mm}
  ring-a: {name: Ring A, kind: snap-ring, thickness: 1.37 mm, once_only: true}
  ring-b: {name: Ring B, kind: snap-ring, thickness: 1.57 mm}
packs:
  low:
    name: Low pack
    drum: front
    stack:
      - {part: wave, place: on the piston, side: either way, once_only: true, note: Feel it rock.}
      - repeat: 2
        of: [steel, {part: friction, tell_apart: "32 teeth", hold: Soaked?}]
      - {part: steel, side: dish in, wrong: "upside down: it drags", caution: {warning: Keep clear.}}
      - {part: ring-a, groove: upper, once_only: false}
      - {measure: With the dial., hold: Read twice?, caution: {caution: Mind the hooks.}, note: It takes two.}
    clearance: {min: 0.90 mm, max: 1.40 mm, wave: flat, at: 4 positions, source: FL-1, revision: A}
  high:
    name: High pack
    stack: [steel, friction]
floats:
  play: {name: Play of the plate, drum: front, limits: {min: 0.05 mm, max: 0.55 mm, method: feeler, source: FL-4, revision: A}}
shafts:
  input: {name: Input shaft, end_play: {min: 0.20 mm, max: 0.50 mm, at: 3, source: FL-3, revision: A}}
selective:
  ring: {name: Ring, choices: [ring-b, ring-a], tightens: [low], stock: {ring-a: 2}}
  washer: {name: Washer, choices: [ring-a, ring-b], loosens: [input, play]}
"""


@pytest.fixture
def unit(tmp_path: Path) -> Unit:
    """The unit above, loaded."""
    folder = tmp_path / "units" / "oak-2"
    folder.mkdir(parents=True)
    (tmp_path / "shop.yml").write_text(SHOP, encoding="utf-8")
    (folder / "unit.yml").write_text(UNIT, encoding="utf-8")
    library, problems = load(tmp_path)
    assert problems == ()
    assert library is not None
    assert show(library.shop.screens["bay"].diagonal) == "43.000 in"
    assert str(library.shop.screens["bay"].pixels) == "1920 x 1080"
    assert library.shop.words["friction plate"].also == ("fibre", "15")
    assert [gauge.id for gauge in library.shop.gauges.values()] == ["bench-dial", "air"]
    return library.units["oak-2"]


def low(unit: Unit) -> Pack:
    """The pack with everything in it."""
    return unit.packs["low"]


def test_ids_and_references_are_resolved(unit: Unit) -> None:
    """Every thing knows its id, and points at things, not at names."""
    assert (unit.id, unit.name, unit.about) == ("oak-2", "4", "2026-09-01")
    assert [part.id for part in unit.parts.values()] == ["wave", "steel", "friction", "ring-a", "ring-b"]
    assert low(unit).drum is unit.drums["front"]
    assert unit.packs["high"].drum is None
    assert unit.packs["high"].clearance is None
    assert all(entry.part is unit.parts[entry.part.id] for entry in low(unit).physical_stack)
    assert unit.status.approved_on == date(2026, 9, 1)
    assert unit.status.revision == "3"


def test_the_physical_stack_has_one_numbered_entry_for_each_part(unit: Unit) -> None:
    """Repeats are expanded in turn, and the numbers run through."""
    assert [(entry.number, entry.part.id, entry.turn, entry.turns) for entry in low(unit).physical_stack] == [
        (1, "wave", 1, 1),
        (2, "steel", 1, 2), (3, "friction", 1, 2), (4, "steel", 2, 2), (5, "friction", 2, 2),
        (6, "steel", 1, 1), (7, "ring-a", 1, 1),
    ]  # fmt: skip
    repeat = low(unit).stack[1]
    assert isinstance(repeat, Repeat)
    assert (repeat.times, [entry.number for entry in repeat.of]) == (2, [2, 3])


def test_what_a_place_says_counts_before_what_its_part_says(unit: Unit) -> None:
    """Tell-apart and once-only come from the part unless the place has its own."""
    wave, steel, friction, _, _, last_steel, ring = low(unit).physical_stack
    assert (wave.once_only, steel.once_only, ring.once_only, ring.part.once_only) == (True, False, False, True)
    assert (steel.tell_apart, friction.tell_apart, ring.tell_apart) == ("eight lugs", "32 teeth", None)
    assert (wave.side, last_steel.side, steel.side) == (Side(None, None), Side("dish", "in"), None)
    assert (str(wave.side), str(last_steel.side)) == ("either way", "dish in")
    assert last_steel.caution is not None
    assert (last_steel.caution.signal, last_steel.caution.text) == ("warning", "Keep clear.")
    assert (friction.hold, wave.note, wave.place, ring.groove) == ("Soaked?", "Feel it rock.", "on the piston", "upper")


def test_where_a_pack_is_measured_is_no_part_and_takes_no_number(unit: Unit) -> None:
    """It says how many parts are in by then; a pack without limits has none."""
    assert low(unit).measure == Measure(
        7, "With the dial.", "Read twice?", Caution("caution", "Mind the hooks."), "It takes two."
    )
    assert len(low(unit).physical_stack) == 7
    assert unit.packs["high"].measure is None


def test_a_pack_counts_its_friction_plates_and_knows_its_wave_plate(unit: Unit) -> None:
    """Both come from the physical stack."""
    assert (low(unit).friction_count, unit.packs["high"].friction_count) == (2, 1)
    assert low(unit).waves == (unit.parts["wave"],)
    assert unit.packs["high"].waves == ()


def test_teeth_are_as_usual_unless_given(unit: Unit) -> None:
    """Friction plates inside, other plates outside, all else none."""
    found = {part.id: part.toothed for part in unit.parts.values()}
    assert found == {
        "wave": Teeth.OUTSIDE,
        "steel": Teeth.NONE,
        "friction": Teeth.INSIDE,
        "ring-a": Teeth.NONE,
        "ring-b": Teeth.NONE,
    }


def test_kits_know_what_is_fitted_and_what_they_set(unit: Unit) -> None:
    """The fitted part is the choice that stands in a stack; a shaft's kit has none."""
    ring = unit.kits["ring"]
    assert ([part.id for part in ring.choices], dict(ring.stock)) == (["ring-b", "ring-a"], {"ring-a": 2})
    assert ring.fitted is unit.parts["ring-a"]
    assert unit.kits["washer"].fitted is None
    assert [[kit.id for kit in unit.kits_of(target)] for target in ("low", "input", "high")] == [["ring"], ["washer"], []]


def test_a_float_is_in_its_drum_and_kits_set_it(unit: Unit) -> None:
    """Like a pack, but without plates of its own."""
    play = unit.floats["play"]
    assert (play.name, play.drum, str(play.limits.max)) == ("Play of the plate", unit.drums["front"], "0.55 mm")
    assert [kit.id for kit in unit.kits_of("play")] == ["washer"]
    assert (unit.measured("play"), unit.measured("low")) == (play, low(unit))


def test_limits_keep_what_was_written(unit: Unit) -> None:
    """Quantities stay in their unit, positions become a number."""
    clearance = low(unit).clearance
    assert clearance is not None
    assert (str(clearance.min), str(clearance.max), clearance.wave, clearance.at) == ("0.9 mm", "1.4 mm", "flat", 4)
    assert unit.shafts["input"].end_play.at == 3


def test_nothing_of_a_unit_can_be_changed(unit: Unit) -> None:
    """What was checked stays as it was checked."""
    with pytest.raises(FrozenInstanceError, match="cannot assign to field 'name'"):
        unit.name = "x"  # type: ignore[misc]
    with pytest.raises(ValidationError, match="Instance is frozen"):
        unit.parts["wave"].name = "x"
