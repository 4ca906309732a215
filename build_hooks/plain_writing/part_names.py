"""Words that end the name of a part or a tool, and names that whoever works in a shop knows. Common practice, from memory."""

from __future__ import annotations

from typing import Final

from build_hooks.words.english import word_set

__all__ = ["ABBREVIATIONS", "EVERYDAY_PARTS", "PART_WORDS"]

PART_WORDS: Final = word_set("""
    accumulator adapter band bearing brake bushing cage clip clutch collar drum flange gasket gauge gear groove housing hub indicator lip
    micrometer pin piston plate plug press retainer ring roller seal servo shaft shim sleeve solenoid spacer spline sprag spring valve
    washer wrench
""")

EVERYDAY_PARTS: Final = frozenset(
    name.strip()
    for line in """
        ball bearing, roller bearing, needle bearing, roller, oil seal, dust seal, check valve, relief valve, drain plug, fill plug
        dowel pin, guide pin, locating pin, split pin, roll pin, coil spring, leaf spring, face seal, o-ring, bolt, nut, screw, stud
        wave washer, lock washer, spring washer, gasket, torque wrench, shop press, arbor press, bench press, hand press, pressure gauge
        oil pump, water pump, parking brake, hand brake, foot brake, pipe clip, hose clip, output shaft, input shaft, drive shaft
        propeller shaft, ring gear, sun gear, planet gear, reverse gear, top gear, low gear, first gear, second gear, third gear
    """.splitlines()
    for name in line.split(",")
)

ABBREVIATIONS: Final = word_set("""
    ISO ANSI OSHA CFR IEC IEEE ASD STE HOLD AND OR NOT NO YES OK UP DOWN IN OUT ON OFF TOP TV PDF USA UK EU LED AM PM ID QR USB II III IV
""")
