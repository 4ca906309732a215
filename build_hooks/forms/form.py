"""What the form of a calculation is to hold."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from calc_engine import Calculation, Element, System, Worked

__all__ = ["CarriedOver", "Form", "TrialPack", "TrialShape"]


@dataclass(frozen=True, slots=True)
class CarriedOver:
    """An entry that is filled from the answer of another panel of the page.

    Attributes:
        panel: id of that panel.
        output: the output to take.
    """

    panel: str
    output: str


@dataclass(frozen=True, slots=True)
class TrialPack:
    """A pack of the drum, and how it is read.

    Attributes:
        name: as the request has it.
        method: how it is measured.
        about: what its limits are.
        wave: path of the entry that says how the wave plate sat; empty without a wave plate.
    """

    name: str
    method: str
    about: Sequence[Element | str]
    wave: str = ""


@dataclass(frozen=True, slots=True)
class TrialShape:
    """What a trial of a drum is made of.

    Attributes:
        places: where selective parts sit, as the request names them.
        packs: what is measured.
    """

    places: Sequence[str]
    packs: Sequence[TrialPack]


@dataclass(frozen=True, slots=True)
class Form:
    """What a form is to hold.

    Attributes:
        calculation: from the catalogue.
        identity: id of the panel, unique on its page.
        title: what stands on top.
        about: a sentence beneath it.
        preset: parts of the request that are given.
        by_page: whether the page gives them, and not the unit data.
        hidden: optional fields that are not offered.
        entries: how many entries a list starts with and keeps, by field.
        choices: the values offered for a text field, by dotted path.
        defaults: what an editable entry holds at first, by dotted path.
        carried: entries filled from another panel, by dotted path.
        example: the request of the worked example.
        worked: the request and its answer, of which the panel is made.
        system: the units that the form starts in; a reader who has chosen others gets those.
        example_note: says what the example is.
        in_title: what is given and needs no entry, because the title tells it, by dotted path.
        subject: what of the unit data it is for, the same on every page; empty for a calculation by itself.
        sources: where the limits of each pack are from; of a form with one, under no name.
        trial: for a drum: what a trial is made of; the form then holds that and nothing else.
        leads: pages about what an answer may name: by its name, a title and an address for each.
    """

    calculation: Calculation[Any, Any]
    identity: str
    title: str
    about: str
    example: Mapping[str, Any]
    worked: Worked
    system: System = "metric"
    preset: Mapping[str, Any] = field(default_factory=dict)
    by_page: bool = False
    hidden: frozenset[str] = frozenset()
    entries: Mapping[str, int] = field(default_factory=dict)
    choices: Mapping[str, Sequence[str]] = field(default_factory=dict)
    defaults: Mapping[str, str] = field(default_factory=dict)
    carried: Mapping[str, CarriedOver] = field(default_factory=dict)
    example_note: str = "Worked example."
    in_title: frozenset[str] = frozenset()
    subject: str = ""
    sources: Mapping[str, str] = field(default_factory=dict)
    trial: TrialShape | None = None
    leads: Mapping[str, Sequence[tuple[str, str]]] = field(default_factory=dict)
