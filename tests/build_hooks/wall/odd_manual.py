"""A manual whose data is odd in every way that the checks let through: its screens and drawings must be sound all the same."""

from __future__ import annotations

import json
from typing import Final

__all__ = ["LONG", "LONG_WORD", "MARKUP", "RIGHT_TO_LEFT", "SHOP", "UNIT", "many_packs"]

# Ninety letters, in words and as one word.
LONG: Final = "Outermost stepped and chamfered reaction plate of the forward pack with two notches at rim"
LONG_WORD: Final = "Zwischenwellenkupplungslamellentraegersicherungsringnutabstandsmessscheibenhaltevorrichtun"
MARKUP: Final = "<b>Ring</b> \"A\" & 'B' <script>alert(1)</script>"
_QUOTED: Final = json.dumps(MARKUP)  # YAML reads quotes as JSON writes them
# Steel plate in Arabic, and friction plate in Hebrew with a figure between.
RIGHT_TO_LEFT: Final = "لوح فولاذي 1.80 – דיסקת חיכוך"

SHOP: Final = """\
name: Quay Lane Rebuilders
invented: true
gauges:
  bench-dial: {name: Bench dial, kind: dial, resolution: 0.01 mm, max_error: 0.02 mm}
screens:
  near: {name: Bay 1, distance: 3.5 m, diagonal: 43 in, pixels: 1920 x 1080}
  far: {name: Bay 4, distance: 4.5 m, diagonal: 55 in, pixels: 3840 x 2160}
"""

UNIT: Final = f"""\
name: "Oak <6> & \\"Co\\""
about: {LONG}
status: {{state: approved, approved_by: M. Fennick, approved_on: 2026-09-01, review_due: 2027-09-01}}
drums:
  front: {{name: Front drum, grooves: [lower, upper]}}
parts:
  wave: {{name: Wave plate, kind: wave, thickness: 1.50 mm ± 0.03, free_height: 2.10 mm}}
  steel: {{name: Steel plate, kind: steel, thickness: 1.80 mm ± 0.03}}
  friction: {{name: Friction plate, kind: friction, thickness: 1.70 mm ± 0.05, worn_below: 1.50 mm}}
  backing: {{name: Backing plate, kind: backing, thickness: 5.00 mm}}
  seal: {{name: Piston seal, kind: lip-seal, outer: 128 mm}}
  piston: {{name: Piston, kind: piston}}
  spring: {{name: Return spring, kind: return-spring}}
  retainer: {{name: Retainer, kind: retainer}}
  ring: {{name: Ring, kind: snap-ring, thickness: 1.57 mm}}
  long: {{name: {LONG}, kind: backing, thickness: 4.00 mm, look_alikes: [long-word, markup, backing], mark: {LONG}}}
  long-word: {{name: {LONG_WORD}, kind: steel, thickness: 1.80 mm, mark: {LONG_WORD}}}
  markup: {{name: {_QUOTED}, kind: snap-ring, thickness: 1.60 mm, mark: '</p><p>'}}
  arabic: {{name: "{RIGHT_TO_LEFT}", kind: friction, thickness: 1.70 mm}}
packs:
  three:
    name: Pack of three, no piston, no ring
    stack: [steel, friction, backing, {{measure: with leaves}}]
    clearance: {{min: 0.90 mm, max: 1.40 mm, source: FL-1, revision: A}}
  forty:
    name: Pack of forty
    drum: front
    stack:
      - {{part: seal, side: lip down}}
      - piston
      - spring
      - retainer
      - {{part: ring, place: in the groove of the boss}}
      - repeat: 16
        of: [steel, friction]
      - backing
      - {{part: ring, groove: lower, once_only: true}}
      - {{part: ring, groove: upper, hold: Both rings home all round?}}
      - {{measure: "{LONG}. {LONG}. {LONG}.", hold: {LONG}?, caution: {{danger: {LONG}}}, note: {LONG_WORD}}}
    clearance: {{min: 0.90 mm, max: 1.40 mm, source: FL-2, revision: A}}
  two-hundred:
    name: Pack of two hundred
    stack:
      - repeat: 50
        of: [steel, friction]
      - repeat: 50
        of: [friction, steel]
  waves:
    name: Two wave plates, no ring
    stack:
      - {{part: wave, place: at the bottom}}
      - repeat: 3
        of: [steel, friction]
      - {{part: wave, place: on top}}
      - backing
      - {{measure: {LONG_WORD}}}
    clearance: {{min: 0.90 mm, max: 1.40 mm, wave: flat, source: FL-3, revision: A}}
  one:
    name: One part
    stack: [backing]
  names:
    name: "{LONG}"
    drum: front
    stack:
      - part: long
        side: chamfer up
        place: {LONG}
        wrong: {LONG}, {LONG}, {LONG}
        caution: {{warning: "{LONG}. {LONG}. {LONG}."}}
        hold: {LONG}?
        note: {LONG}. {LONG}. {LONG}. {LONG}. {LONG}. {LONG}. {LONG}. {LONG}.
      - {{part: arabic, place: "{RIGHT_TO_LEFT}", tell_apart: "{RIGHT_TO_LEFT}"}}
      - {{part: long-word, place: {LONG_WORD}, hold: {LONG_WORD}}}
      - {{part: markup, groove: upper, once_only: true, wrong: {_QUOTED}}}
      - {{measure: {_QUOTED}, note: "{RIGHT_TO_LEFT}"}}
    clearance: {{min: 0.90 mm, max: 1.40 mm, source: {LONG}, revision: A}}
gear_set:
  input: only.sun
  output: only.carrier
  sets: {{only: {{sun: 30, ring: 84, planet: 27, planets: 3}}}}
  elements:
    brake: {{name: {LONG}, holds: only.ring, without_pack: a band}}
    clutch: {{name: {LONG_WORD}, joins: [only.sun, only.carrier], without_pack: a band}}
    markup: {{name: {_QUOTED}, joins: [only.ring, only.carrier], without_pack: a band}}
    arabic: {{name: "{RIGHT_TO_LEFT}", joins: [only.sun, only.ring], without_pack: a band}}
    roller: {{name: Roller, holds: only.ring, turns_freely: forwards}}
  chart:
    - {{gear: 1, on: [roller]}}
    - {{gear: {LONG}, on: [brake]}}
    - {{gear: {LONG_WORD}, on: [clutch]}}
    - {{gear: {_QUOTED}, on: [markup]}}
    - {{gear: "{RIGHT_TO_LEFT}", on: [arabic]}}
    - {{gear: R, on: [brake]}}
    - {{gear: M1, on: [brake]}}
    - {{gear: M2, on: [brake]}}
    - {{gear: M3, on: [brake]}}
    - {{gear: N}}
"""


def many_packs(number: int) -> str:
    """A unit of so many packs, more than fit on one screen."""
    packs = "".join(f"  pack-{at}: {{name: Pack {at}, stack: [steel]}}\n" for at in range(1, number + 1))
    return (
        "name: Elm 2\nstatus: {state: draft}\n"
        f"parts:\n  steel: {{name: Steel plate, kind: steel, thickness: 1.80 mm}}\npacks:\n{packs}"
    )
