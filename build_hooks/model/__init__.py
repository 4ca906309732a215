"""The model of shop and unit: what the data files may say, and what the pages are made from."""

from build_hooks.model.fields import Side
from build_hooks.model.keys import Keys
from build_hooks.model.parts import (
    NEEDS_THICKNESS,
    ChamferedEdge,
    ClearanceSpec,
    Drum,
    Limits,
    Method,
    Part,
    PartKind,
    Push,
    Shaft,
    State,
    Status,
    Teeth,
    WaveState,
)
from build_hooks.model.reading import read_model
from build_hooks.model.resolve import resolved_unit
from build_hooks.model.shop import Consumable, Gauge, GaugeKind, Screen, Shop, Tool, Wait, Word
from build_hooks.model.unit import Caution, Float, Measure, Pack, Repeat, SelectiveKit, StackEntry, Unit
from build_hooks.model.wording import method_sentence, side_of, wave_sentence, wrong_sentences
from build_hooks.model.written import WrittenUnit

__all__ = [
    "NEEDS_THICKNESS", "Caution", "ChamferedEdge", "ClearanceSpec", "Consumable", "Drum", "Float", "Gauge", "GaugeKind", "Keys", "Limits", "Measure",
    "Method", "Pack", "Part", "PartKind", "Push", "Repeat", "Screen", "SelectiveKit", "Shaft", "Shop", "Side", "StackEntry", "State", "Status",
    "Teeth", "Tool", "Unit", "Wait", "WaveState", "Word", "WrittenUnit", "method_sentence", "read_model", "resolved_unit",
    "side_of", "wave_sentence", "wrong_sentences",
]  # fmt: skip
