"""What the gear set of a unit comes to: the engine's answers to what the unit data say."""

from build_hooks.gears.train import GearFigures, faults_of_way, figures_of, train_request

__all__ = ["GearFigures", "faults_of_way", "figures_of", "train_request"]
