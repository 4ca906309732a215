"""The exercises of a page: which can be made, the element that asks them, and the data that it reads."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any, Final

from build_hooks.learning.standards_data import standards_data
from build_hooks.learning.unit_data import unit_data
from build_hooks.library import STANDARDS, Library
from build_hooks.reading.memory import Memory, Same
from calc_engine import Element, element, encode
from calc_engine.practice import GEAR_SET, KINDS, answer_for_practice

__all__ = [
    "Offers",
    "exercise_element",
    "offers_by_unit",
    "offers_of",
    "practice_element",
    "practised_in",
    "subject_ids",
    "subject_name",
    "unit_script",
    "why_no_exercise",
]

type Offers = Callable[[str], Mapping[str, Mapping[str, str | None]]]

_NEEDS_SCRIPT: Final = "An exercise stands here where the page's script runs."


def offers_of(library: Library, unit_id: str) -> Mapping[str, Mapping[str, str | None]]:
    """For each pack of a unit, and for its gear set, why no exercise of a kind can be made; None where one can.

    Args:
        library: the units and the shop.
        unit_id: one of `subject_ids`.

    Raises:
        ValueError: practice could not read the unit data that we made for it: a fault of ours.
    """
    reply = json.loads(answer_for_practice("list", encode({"unit": _data_of(library, unit_id)})))
    if not reply["ok"]:
        raise ValueError(f"Practice cannot read {unit_id}: {reply['problems'][0]}")
    found = {pack["id"]: {kind["kind"]: kind["why_not"] for kind in pack["kinds"]} for pack in reply["packs"]}
    empty = dict.fromkeys(KINDS, "The pack has no parts.")
    return {name: found.get(name, empty) for name in practised_in(library, unit_id)}


def subject_ids(library: Library) -> tuple[str, ...]:
    """What exercises can be made from: the sound units, and the standards where they say something as data."""
    return (*library.units, *((STANDARDS,) if library.standards.practised else ()))


def subject_name(library: Library, unit_id: str) -> str:
    """The name of one of `subject_ids`."""
    return "Shop standards" if unit_id == STANDARDS else library.units[unit_id].name


def practised_in(library: Library, unit_id: str) -> dict[str, str]:
    """What exercises can be asked about, with its name, by its id.

    Args:
        library: the units and the standards.
        unit_id: one of `subject_ids`.

    Returns:
        The packs of a unit and its gear set; the sets of findings and the decision trees of the standards.
    """
    if unit_id == STANDARDS:
        return library.standards.practised
    unit = library.units[unit_id]
    packs = {pack.id: pack.name for pack in unit.packs.values()}
    return packs if unit.gear_set is None else packs | {GEAR_SET: "Gear set"}


def offers_by_unit(library: Library, memory: Memory) -> Offers:
    """What each unit offers (see `offers_of`), worked out when it is asked for, and not again while unit and shop are the same.

    Args:
        library: the units and the shop.
        memory: what was worked out before.
    """

    def offers(unit_id: str) -> Mapping[str, Mapping[str, str | None]]:
        made_of = (Same(library.standards if unit_id == STANDARDS else library.units[unit_id]), Same(library.shop))
        return memory.made("offers", unit_id, made_of, lambda: offers_of(library, unit_id))

    return offers


def why_no_exercise(library: Library, offers: Offers) -> Callable[[str, str, str], str | None]:
    """Asks why no fair exercise of a kind can be made of a pack (kind, unit, pack); None when one can.

    Args:
        library: the units.
        offers: what they offer.
    """

    def why_not(kind: str, unit: str, pack: str) -> str | None:
        if library.shop_at_fault:
            # An exercise may need a gauge, and nobody knows which there are.
            return None
        return offers(unit)[pack][kind]

    return why_not


def unit_script(library: Library, unit_id: str) -> str:
    """The script that carries a unit's data to its exercises: a page opened from a folder may load nothing else."""
    text = encode(_data_of(library, unit_id))
    # As text, so that nothing of it can be taken for script.
    carried = json.dumps(text, ensure_ascii=True).replace("</", "<\\/")
    return f"benchleafUnit({json.dumps(unit_id)},{carried});\n"


def _data_of(library: Library, unit_id: str) -> dict[str, Any]:
    if unit_id == STANDARDS:
        return standards_data(library.standards, library.shop)
    return unit_data(library.units[unit_id], library.shop)


def exercise_element(title: str, asked: Mapping[str, Any], identity: str, manual: str) -> Element:
    """The place of an exercise in a page.

    Args:
        title: what stands on top of it.
        asked: kind, unit, pack, count, and the number of the set where the author gives one.
        identity: its id.
        manual: the shop whose manual it is.
    """
    return element(
        "bench-exercise",
        {
            "data-bench": "exercise",
            "id": identity,
            "class": "bench-learning",
            "data-manual": manual,
            **{f"data-{key}": str(value) for key, value in asked.items() if value is not None},
        },
        element("p", {"class": "bench-exercise-title"}, title),
        element("p", {"class": "bench-needs-script"}, _NEEDS_SCRIPT),
    )


def practice_element(library: Library, data: str, offers: Offers) -> Element:
    """Practice of anything: choose unit, pack and kind.

    Args:
        library: the units.
        data: what the page's script is told of the paths, as JSON.
        offers: what each unit offers.
    """
    units = [
        {"id": name, "name": subject_name(library, name), "packs": _offers(practised_in(library, name), offers(name))}
        for name in subject_ids(library)
    ]
    kinds = [{"id": kind.name, "title": kind.title, "about": kind.about} for kind in KINDS.values()]
    return element(
        "bench-practice",
        {"data-bench": "practice", "data-manual": library.shop.name, "class": "bench-learning"},
        element("script", {"type": "application/json", "data-bench": "learning"}, data),
        element("script", {"type": "application/json", "data-bench": "offers"}, encode({"units": units, "kinds": kinds})),
        element(
            "p", {"class": "bench-needs-script"}, "Practice needs the page's script: exercises are made and marked in the page."
        ),
    )


def _offers(practised: Mapping[str, str], reasons: Mapping[str, Mapping[str, str | None]]) -> list[dict[str, Any]]:
    return [
        {"id": known, "name": name, "kinds": [kind for kind, reason in reasons[known].items() if reason is None]}
        for known, name in practised.items()
    ]
