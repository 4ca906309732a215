"""The model of shop and unit: what the data files may say, and what the pages are made from."""

from build_hooks.model.assembly import MeasureStep, PartStep, Step, begins_with, drum_folder, drum_steps, pack_steps, parts_in
from build_hooks.model.cavity import PLATES, parts_in_cavity
from build_hooks.model.fields import Side
from build_hooks.model.gears import CASE, ChartRow, GearElement, GearSet, Grip, PlanetarySet, Way
from build_hooks.model.keys import Keys
from build_hooks.model.parts import (
    NEEDS_THICKNESS,
    BallPlace,
    ChamferedEdge,
    Check,
    CheckBall,
    CheckedQuantity,
    ClearanceSpec,
    Drum,
    Feed,
    FeedWay,
    Limits,
    LineUp,
    Method,
    OrderPiece,
    PackEnd,
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
from build_hooks.model.wording import (
    any_time_sentence,
    check_limits,
    check_name,
    check_sentence,
    line_up_sentence,
    method_sentence,
    side_of,
    wave_sentence,
    wrong_sentences,
)
from build_hooks.model.written import WrittenUnit

__all__ = [
    "CASE", "NEEDS_THICKNESS", "PLATES", "BallPlace", "Caution", "ChamferedEdge", "ChartRow", "Check", "CheckBall", "CheckedQuantity",
    "ClearanceSpec", "Consumable", "Drum", "Feed", "FeedWay", "Float", "Gauge", "GaugeKind", "GearElement", "GearSet", "Grip", "Keys",
    "Limits", "LineUp", "Measure", "MeasureStep", "Method", "OrderPiece", "Pack", "PackEnd", "Part", "PartKind", "PartStep", "PlanetarySet",
    "Push", "Repeat", "Screen", "SelectiveKit", "Shaft", "Shop", "Side", "StackEntry", "State", "Status", "Step", "Teeth", "Tool", "Unit",
    "Wait", "WaveState", "Way", "Word", "WrittenUnit", "any_time_sentence", "begins_with", "check_limits", "check_name", "check_sentence",
    "drum_folder", "drum_steps", "line_up_sentence", "method_sentence", "pack_steps", "parts_in", "parts_in_cavity", "read_model",
    "resolved_unit", "side_of", "wave_sentence", "wrong_sentences",
]  # fmt: skip
