"""The kinds of part that a pack can hold."""

from __future__ import annotations

from typing import Final

__all__ = ["PART_KINDS", "PLATES"]

PART_KINDS: Final = {
    "friction": "friction plate",
    "steel": "steel plate",
    "wave": "wave plate",
    "backing": "backing plate",
    "reaction": "reaction plate",
    "pressure": "pressure plate",
    "snap-ring": "snap ring",
    "piston": "piston",
    "seal": "seal",
    "lip-seal": "lip seal",
    "return-spring": "return spring",
    "retainer": "spring retainer",
    "thrust-washer": "thrust washer",
    "bearing": "bearing",
    "shim": "shim",
    "hub": "hub",
}
"""What a part of each kind is called."""

PLATES: Final = frozenset({"friction", "steel", "wave", "backing", "reaction", "pressure"})
"""Of these, the plates: what a pack is counted by."""
