"""The gear set of a unit as exercises see it, and the engine's answers to it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from calc_engine import work_out
from calc_engine.practice.exercise import AskOption
from calc_engine.practice.generator import Generator

__all__ = ["GEAR_SET", "NOT_A_GEAR_SET", "GearSet", "options_of"]

GEAR_SET: Final = "gear_set"
"""What exercises on the gear set ask for in the place of a pack. No pack is called so."""

NOT_A_GEAR_SET: Final = "This is asked of a gear set, not of a pack."


@dataclass(frozen=True, slots=True)
class GearSet:
    """A gear set.

    Attributes:
        train: the request of ``gear-train``, found sound.
        held: the names of elements of the train that are none: what is held in every gear.
    """

    train: Mapping[str, Any]
    held: Sequence[str] = field(default=())

    @property
    def chart(self) -> dict[str, tuple[str, ...]]:
        """For each gear what is on in it, without gears in which nothing is."""
        gears = {gear["name"]: tuple(name for name in gear["on"] if name not in self.held) for gear in self.train["gears"]}
        return {name: on for name, on in gears.items() if on}

    @property
    def elements(self) -> tuple[str, ...]:
        """The names of clutches, brakes and one-way elements."""
        return tuple(each["name"] for each in self.train["elements"] if each["name"] not in self.held)

    @property
    def kinds(self) -> list[dict[str, str]]:
        """The elements as ``which-element`` takes them."""
        return [
            {"name": each["name"], "kind": "one-way" if each.get("one_way") else "clutch" if "joins" in each else "brake"}
            for each in self.train["elements"]
            if each["name"] not in self.held
        ]

    def working_of(self, gear: str) -> tuple[str, ...]:
        """The engine's working of one gear."""
        gears = [one for one in self.train["gears"] if one["name"] == gear]
        return tuple(work_out("gear-train", {**self.train, "gears": gears}).answer.working)


def options_of(draw: Generator, texts: Sequence[str]) -> tuple[AskOption, ...]:
    """Texts as options, shuffled.

    Args:
        draw: the chance.
        texts: no two alike.
    """
    return tuple(AskOption(f"option-{number}", text) for number, text in enumerate(draw.shuffled(texts), 1))
