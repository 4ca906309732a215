"""What the gear set of a unit comes to: the engine's answers to what the unit data say."""

from build_hooks.gears.holding import LOWER_PRESSURE, Holding, NotKnown, holdings_of
from build_hooks.gears.lever import lever_places
from build_hooks.gears.signs import IDLE, ON, ONE_WAY, overrunning, sign_of
from build_hooks.gears.train import HELD, GearFigures, faults_of_way, figures_of, kinds_of_elements, train_request
from build_hooks.gears.words import figure

__all__ = [
    "HELD",
    "IDLE",
    "LOWER_PRESSURE",
    "ON",
    "ONE_WAY",
    "GearFigures",
    "Holding",
    "NotKnown",
    "faults_of_way",
    "figure",
    "figures_of",
    "holdings_of",
    "kinds_of_elements",
    "lever_places",
    "overrunning",
    "sign_of",
    "train_request",
]
