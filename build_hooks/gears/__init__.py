"""What the gear set of a unit comes to: the engine's answers to what the unit data say."""

from build_hooks.gears.holding import LOWER_PRESSURE, Holding, NotKnown, holdings_of
from build_hooks.gears.lever import lever_places
from build_hooks.gears.train import HELD, GearFigures, faults_of_way, figures_of, kinds_of_elements, train_request
from build_hooks.gears.words import figure

__all__ = [
    "HELD",
    "LOWER_PRESSURE",
    "GearFigures",
    "Holding",
    "NotKnown",
    "faults_of_way",
    "figure",
    "figures_of",
    "holdings_of",
    "kinds_of_elements",
    "lever_places",
    "train_request",
]
