"""The stack block: a pack as an ordered list, with its drawing."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from enum import StrEnum
from typing import Annotated, Final

from pydantic import Field

from build_hooks.blocks.context import Context, Trouble
from build_hooks.drawing import SMALL_TYPE, DrawnStack, Frame, draw_exploded, draw_section
from build_hooks.drawing.adapter import drum_stacks, linked_packs, linked_stacks, pack_stack
from build_hooks.model import (
    Caution,
    Check,
    Drum,
    Keys,
    LineUp,
    Measure,
    Pack,
    PartStep,
    Shop,
    StackEntry,
    Step,
    Unit,
    any_time_sentence,
    check_limits,
    check_name,
    check_sentence,
    drum_folder,
    drum_steps,
    line_up_sentence,
    method_sentence,
    parts_in,
    side_of,
    wave_sentence,
    wrong_sentences,
)
from build_hooks.model.fields import Reference, choice_of
from build_hooks.reading.measures import show_limits, show_toleranced
from calc_engine import Element, element, sentence, show

__all__ = ["StackBody", "render_stack", "stack_items"]


# The least type of a drawing: its numbers on a screen [pixels], its smallest words on a screen [pixels] and on paper [mm]; 6.6 points.
_LEAST_NUMBER: Final = 11.5
_LEAST_WORD: Final = 10.1
_LEAST_PRINTED: Final = 6.6 / 72 * 25.4


class Drawing(StrEnum):
    """How a pack is drawn beside its list."""

    SECTION = "section"
    EXPLODED = "exploded"
    DRUM = "drum"
    NONE = "none"


class StackBody(Keys):
    """The body of a stack block."""

    unit: Reference | None = Field(
        None, description="The unit's folder, when the page is in another folder.", examples=["alder-4"]
    )
    pack: Reference | None = Field(None, description="The pack of unit.yml.", examples=["forward"])
    drum: Reference | None = Field(
        None, description="The drum of unit.yml, with all its packs in one order.", examples=["front-drum"]
    )
    drawing: Annotated[Drawing, *choice_of(Drawing, "a way to draw")] = Field(
        Drawing.SECTION,
        description="section: the pack in its drum; exploded: apart, in order; drum: with the packs it shares a plate with; or none.",
        examples=["section"],
    )


def render_stack(body: StackBody, context: Context) -> Element:
    """The pack, or the whole drum, as a list in the order it goes in, each physical part once.

    Raises:
        Trouble: the unit, the pack or the drum is not there, the pack holds nothing, or the drum gives no order.
    """
    unit = context.unit(body.unit)
    if body.drum is not None and body.pack is None:
        return _whole_drum(unit, context.drum(unit, body.drum), body.drawing, context)
    if body.pack is None or body.drum is not None:
        raise Trouble((), "pack-or-drum", "A stack names either a pack or a drum.", "Write pack: forward, or drum: front-drum.")
    pack = context.pack(unit, body.pack)
    if not pack.physical_stack:
        raise Trouble(("pack",), "empty-stack", f"The pack “{pack.name}” has no stack.", "Write its stack in unit.yml.")
    key = context.identity(f"stack-{unit.id}-{pack.id}")
    whole = body.drawing is Drawing.DRUM
    packs, stacks = (
        (linked_packs(unit, pack.id), linked_stacks(unit, pack.id)) if whole else ((pack,), (pack_stack(unit, pack.id),))
    )
    names = " and ".join(shown.name for shown in packs)
    count = len({part.number for stack in stacks for part in stack.parts})
    return element(
        "figure",
        {"class": "bench-stack", "id": key, "aria-label": f"{unit.name}, {names}: stack order"},
        element("figcaption", {}, f"{names}: {count} parts, in the order they go in. 1 goes in first."),
        _drawing(body.drawing, stacks, key),
        # The drawing stands outside, so that whoever counts parts in the stack counts each once.
        *(
            child
            for shown, stack in zip(packs, stacks, strict=True)
            for child in _list(context.library.shop, unit, shown, stack, headed=len(packs) > 1)
        ),
        element(
            "p", {"class": "bench-stack-wall"}, element("a", {"href": wall_link(context, unit, pack)}, "Show it on the wall")
        ),
    )


def _whole_drum(unit: Unit, drum: Drum, drawing: Drawing, context: Context) -> Element:
    """All packs of a drum in one list and one drawing, in the order that the drum's data gives."""
    steps = drum_steps(unit, drum)
    if not steps:
        message = f"The drum “{drum.name}” does not say in which order its packs go in."
        raise Trouble(("drum",), "no-order", message, "Write its order: in unit.yml, or name a pack.")
    key = context.identity(f"stack-{unit.id}-{drum_folder(drum)}")
    stacks = drum_stacks(unit, drum)
    listed = element("ol", {"class": "bench-stack-list", "data-bench": "stack"}, *_drum_items(context.library.shop, unit, steps))
    address = f"{context.root}wall/{unit.id}/{drum_folder(drum)}/index.html"
    return element(
        "figure",
        {"class": "bench-stack", "id": key, "aria-label": f"{unit.name}, whole {drum.name}: stack order"},
        element("figcaption", {}, f"Whole {drum.name}: {parts_in(steps)} parts, in the order they go in. 1 goes in first."),
        _drawing(drawing, stacks, key),
        listed,
        element("p", {"class": "bench-stack-wall"}, element("a", {"href": address}, "Show it on the wall")),
    )


def _drum_items(shop: Shop, unit: Unit, steps: Sequence[Step]) -> Iterator[Element]:
    """The steps of a drum; where another pack begins or goes on, its name stands before it."""
    before: Pack | None = None
    begun: set[str] = set()
    for step in steps:
        if step.pack is not before:
            name = f"{step.pack.name}, the rest" if step.pack.id in begun else step.pack.name
            yield element("li", {"class": "bench-stack-heading"}, name)
            begun.add(step.pack.id)
        before = step.pack
        if isinstance(step, PartStep):
            yield _item(shop, unit, step.entry, step.number, already_in=step.already_in)
        else:
            yield _measure(step.pack, step.measure, named=True)


def _list(shop: Shop, unit: Unit, pack: Pack, stack: DrawnStack, *, headed: bool) -> list[Element]:
    """The parts of one pack under the numbers of the drawing; with others, under the name of the pack."""
    items = stack_items(shop, unit, pack, [part.number for part in stack.parts])
    listed = element("ol", {"class": "bench-stack-list", "data-bench": "stack"}, *items)
    return [element("p", {"class": "bench-stack-pack"}, pack.name), listed] if headed else [listed]


def _drawing(kind: Drawing, stacks: Sequence[DrawnStack], key: str) -> Element | None:
    if kind is Drawing.NONE:
        return None
    drawn = draw_exploded(stacks, key=key) if kind is Drawing.EXPLODED else draw_section(stacks, key=key)
    # On a narrow screen the drawing keeps a size at which its numbers can be read, and is moved sideways in its own frame.
    # On paper it is as wide as its words need, and no wider.
    on_screen, on_paper = _least_widths(drawn)
    style = f"--drawing-least: {on_screen}px; --drawing-printed: {on_paper}mm"
    return element(
        "div",
        {"class": "bench-stack-drawing"},
        element(
            "div",
            {"class": "bench-stack-frame", "style": style, "tabindex": "0", "role": "group", "aria-label": "Drawing"},
            drawn,
        ),
        element("p", {"class": "bench-stack-hint"}, "Move the drawing sideways to see all of it."),
        _legend(stacks),
    )


def _least_widths(drawn: Element) -> tuple[int, int]:
    """How wide the drawing must be for numbers and words to be legible: on a screen [pixels], and on paper [mm]."""
    attributes = drawn[1]
    width = float(attributes["viewBox"].split()[2]) if isinstance(attributes, dict) else 0
    number = Frame().type_size
    word = SMALL_TYPE * number
    return math.ceil(width * max(_LEAST_NUMBER / number, _LEAST_WORD / word)), math.ceil(width * _LEAST_PRINTED / word)


def _legend(stacks: Sequence[DrawnStack]) -> Element | None:
    """What the signs of the drawing mean; only those that stand in it."""
    parts = [part for stack in stacks for part in stack.parts]
    signs = [
        ("ALWAYS NEW", "never fit this part again once it has been out.", any(part.once_only for part in parts)),
        (
            "LOOK-ALIKE",
            "another part can be mistaken for this one; the list says how to tell them apart.",
            any(part.look_alike for part in parts),
        ),
        ("THEN MEASURE", "measure the clearance once this part is in.", any(part.measured_next for part in parts)),
        (
            "A wave line on a plate",
            "a wave plate; several crests are the number of its waves.",
            any(part.kind == "wave" for part in parts),
        ),
    ]
    said = [element("li", {}, element("strong", {}, sign), f": {meaning}") for sign, meaning, shown in signs if shown]
    return element("ul", {"class": "bench-stack-legend"}, *said) if said else None


def wall_link(context: Context, unit: Unit, pack: Pack) -> str:
    """The wall view of a pack, as it is reached from the page."""
    return f"{context.root}wall/{unit.id}/{pack.id}/index.html"


def stack_items(shop: Shop, unit: Unit, pack: Pack, numbers: Sequence[int] | None = None) -> list[Element]:
    """One list item for each physical part, under these numbers or those of the pack's own steps; where to measure among them."""
    entries = pack.physical_stack
    items = [_item(shop, unit, entry, number) for entry, number in zip(entries, numbers or _steps(entries), strict=True)]
    if pack.measure is not None:
        items.insert(pack.measure.after, _measure(pack, pack.measure))
    return items


def _measure(pack: Pack, measure: Measure, *, named: bool = False) -> Element:
    """Where to measure: an item of the list without a number, so that the numbers stay those of the drawing."""
    spec = pack.clearance
    limits = [] if spec is None else [f"{show_limits(spec.min, spec.max)}.", wave_sentence(pack), method_sentence(spec)]
    return element(
        "li",
        {"class": "bench-stack-measure", "data-bench": "measure"},
        element("strong", {}, f"Measure here: {pack.name}" if named else "Measure here"),
        element("span", {"class": "bench-stack-facts"}, f" {' '.join(said for said in limits if said)}"),
        _caution(measure.caution) if measure.caution else None,
        element("p", {}, measure.readings),
        element("p", {"class": "bench-stack-hold"}, f"HOLD: {measure.hold}") if measure.hold else None,
        element("p", {"class": "bench-stack-note"}, measure.note) if measure.note else None,
    )


def _steps(entries: Sequence[StackEntry]) -> list[int]:
    return [entry.number for entry in entries]


def _item(shop: Shop, unit: Unit, entry: StackEntry, number: int, *, already_in: bool = False) -> Element:
    part = entry.part
    first_turn = entry.turn == 1
    attributes = {"data-part": part.id, "data-kind": str(part.kind), "value": str(number)}
    return element(
        "li",
        {**attributes, "data-already-in": ""} if already_in else attributes,
        element("strong", {"dir": "auto"}, part.name),
        element("span", {"class": "bench-stack-turn"}, f" {entry.turn} of {entry.turns}") if entry.turns > 1 else None,
        element("span", {"class": "bench-stack-facts"}, *_facts(entry)) if first_turn else None,
        _caution(entry.caution) if entry.caution and first_turn else None,
        _line_up(entry.line_up) if entry.line_up and first_turn else None,
        *(element("p", {"class": f"bench-stack-{kind}"}, said) for kind, said in _notes(shop, unit, entry) if first_turn),
        # Something is measured at every turn, so there is room for its figure at every turn.
        _check(shop, entry.check) if entry.check else None,
    )


def _line_up(line_up: LineUp) -> Element:
    return element("p", {"class": "bench-stack-line-up"}, element("strong", {}, "LINE UP"), f" {line_up_sentence(line_up)}")


def _check(shop: Shop, check: Check) -> Element:
    """A figure with its limits; on paper there is a line for each reading."""
    gauge = shop.gauges.get(check.gauge or "")
    unit = check_limits(check).rpartition(" ")[2]
    blanks = (element("span", {"class": "bench-stack-blank"}, unit) for _ in range(check.at or 1))
    return element(
        "p",
        {"class": "bench-stack-check", "data-bench": "check"},
        element("strong", {}, "CHECK"),
        f" {check_name(check)}: ",
        element("strong", {}, check_limits(check)),
        f". {sentence(check.text)} {check_sentence(check, None if gauge is None else gauge.name)}",
        element("span", {"class": "bench-stack-blanks", "aria-hidden": "true"}, *blanks),
    )


def _facts(entry: StackEntry) -> list[str]:
    part = entry.part
    facts = [
        side_of(entry),
        entry.place,
        f"{entry.groove} groove" if entry.groove else None,
        show_toleranced(part.thickness) if part.thickness else None,
        f"worn below {show(part.worn_below)}" if part.worn_below else None,
        part.mark,
        "always new" if entry.once_only else None,
    ]
    said = [fact for fact in facts if fact]
    return [f" · {' · '.join(said)}"] if said else []


def _caution(caution: Caution) -> Element:
    return element(
        "p",
        {"class": f"bench-stack-caution bench-{caution.signal}"},
        element("strong", {}, caution.signal.upper()),
        f" {caution.text}",
    )


def _notes(shop: Shop, unit: Unit, entry: StackEntry) -> list[tuple[str, str]]:
    alike = [unit.parts[name].name for name in entry.part.look_alikes if name in unit.parts]
    tool = shop.tools.get(entry.tool or "")
    notes = [
        ("tool", f"Tool: {tool.name}." if tool else None),
        ("order", any_time_sentence(entry, unit.parts)),
        ("lubricant", entry.lubricant),
        ("apart", entry.tell_apart),
        ("alike", f"Don’t confuse it with: {', '.join(alike)}." if alike else None),
        ("wrong", wrong_sentences(entry)),
        ("hold", f"HOLD: {entry.hold}" if entry.hold else None),
        ("note", entry.note),
    ]
    return [(kind, said) for kind, said in notes if said]
