"""The steps of a pack on the shop screen: one part each, the place to measure, and the end. Plain elements, no pages."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from build_hooks.model import (
    Check,
    ClearanceSpec,
    MeasureStep,
    Pack,
    Part,
    PartStep,
    Shop,
    StackEntry,
    Step,
    Unit,
    any_time_sentence,
    check_limits,
    check_name,
    check_sentence,
    line_up_sentence,
    method_sentence,
    parts_in,
    side_of,
    wave_sentence,
    wrong_sentences,
)
from build_hooks.reading.measures import show_limits, show_toleranced
from calc_engine import Element, capitalised, element, sentence, show

__all__ = ["limits_of", "number_of_parts", "stack_steps"]

_NO_BREAK: Final = "\N{NO-BREAK SPACE}"
# So many parts are told ahead.
_AHEAD: Final = 2
# The arrow shows where the mark of a part points.
_ARROWS: Final = {"up": "▲", "down": "▼", "in": "▶", "out": "◀"}


def number_of_parts(steps: Sequence[Step]) -> str:
    """How many parts some steps put in, in words: “16 parts”."""
    number = parts_in(steps)
    return "1 part" if number == 1 else f"{number} parts"


def limits_of(spec: ClearanceSpec) -> str:
    """Both limits, the unit once; a line never ends between a figure and its unit."""
    return show_limits(spec.min, spec.max).replace(" ", _NO_BREAK)


def stack_steps(
    shop: Shop,
    unit: Unit,
    steps: Sequence[Step],
    form_of: Callable[[Pack], Element | None],
    pictures_of: Callable[[PartStep], Sequence[Element]] = lambda _step: (),
) -> list[Element]:
    """The steps of a pack or of a whole drum, one list item each.

    Args:
        shop: for the names of gauges and tools.
        unit: the unit.
        steps: in the order they are taken.
        form_of: where the form for a pack's readings is; None where that is not known.
        pictures_of: the pictures of a step at which a part goes in.
    """
    several = len({step.pack.id for step in steps}) > 1
    total = parts_in(steps)
    return [
        _part_step(shop, unit, step, total, (*pictures_of(step), *_then(steps, at)))
        if isinstance(step, PartStep)
        else _measure_step(step, total, form_of(step.pack), _then(steps, at), named=several)
        for at, step in enumerate(steps)
    ]


def _part_step(shop: Shop, unit: Unit, step: PartStep, total: int, then: Sequence[Element]) -> Element:
    """The step at which a part goes in.

    What must be seen comes before what is good to know: the script keeps the first on one screen where it can, and shows
    the other where there is room, else behind the arrow down.
    """
    entry = step.entry
    named = (
        {"data-step": f"again-{step.number}", "data-lights": str(step.number)}
        if step.already_in
        else {"data-step": str(step.number)}
    )
    return element(
        "li",
        {"class": "wall-step", "data-part": entry.part.id, **named, "tabindex": "-1"},
        element("p", {"class": "wall-count"}, f"{step.number} of {total}"),
        element("h2", {"class": "wall-part", "dir": "auto"}, entry.part.name),
        # Not behind the count: that line has no room left once it says that there is more.
        element("p", {"class": "wall-turn"}, "Already in") if step.already_in else None,
        element("p", {"class": "wall-turn"}, _turn(entry)) if entry.turns > 1 else None,
        element("div", {"class": "wall-chunks"}, *_chunks(shop, unit, entry), *then),
    )


def _measure_step(step: MeasureStep, total: int, form: Element | None, then: Sequence[Element], *, named: bool) -> Element:
    """The step at which a clearance is measured, before anything covers the pack; with several packs it says which."""
    pack, measure = step.pack, step.measure
    spec = pack.clearance
    facts = [] if spec is None else [_chunk("limits", limits_of(spec))]
    said = [("wave", wave_sentence(pack)), ("method", None if spec is None else method_sentence(spec))]
    at = f"measure-{pack.id}" if named else "measure"
    return element(
        "li",
        {"class": "wall-step wall-measure", "data-step": at, "data-bench": "wall-measure", "tabindex": "-1"},
        element("p", {"class": "wall-count"}, f"{step.parts_in} of {total} in"),
        element("h2", {"class": "wall-part", "dir": "auto"}, f"Measure here: {pack.name}" if named else "Measure here"),
        element(
            "div",
            {"class": "wall-chunks"},
            *([_caution(measure.caution.signal, measure.caution.text)] if measure.caution else []),
            *facts,
            *(_chunk(kind, text) for kind, text in said if text),
            _chunk("readings", sentence(measure.readings)),
            _hold(measure.hold) if measure.hold else None,
            form,
            _chunk("note", sentence(measure.note), aside=True) if measure.note else None,
            *([] if spec is None else [_chunk("source", sentence(f"{spec.source}, revision {spec.revision}"), aside=True)]),
            *then,
        ),
    )


def _turn(entry: StackEntry) -> str:
    left = entry.turns - entry.turn
    return f"{entry.turn} of {entry.turns}, {'last one' if left == 0 else f'{left} left'}".replace(
        " of ", f"{_NO_BREAK}of{_NO_BREAK}"
    )


def _then(steps: Sequence[Step], at: int) -> list[Element]:
    """What comes next, where the screen has room for it; behind a place to measure nothing is told before it is done."""
    told: list[Element] = []
    for step in steps[at + 1 : at + 1 + (_AHEAD if isinstance(steps[at], PartStep) else 1)]:
        if isinstance(step, MeasureStep):
            return told or [_ahead("Then: measure here")]
        told.append(_ahead(f"{step.number} {step.entry.part.name}"))
    return told


def _ahead(said: str) -> Element:
    return element("p", {"class": "wall-chunk wall-then", "dir": "auto", "data-spare": ""}, said)


def _chunks(shop: Shop, unit: Unit, entry: StackEntry) -> list[Element]:
    """What is said of a part, cautions first, what is to be checked last: each a piece that may move to a screen of its own."""
    tool = shop.tools.get(entry.tool or "")
    return [
        chunk
        for chunk in (
            _caution(entry.caution.signal, entry.caution.text) if entry.caution else None,
            _tags(entry),
            _said("place", entry.place),
            _chunk("line-up", element("strong", {}, "LINE UP"), f" {line_up_sentence(entry.line_up)}") if entry.line_up else None,
            _said("tool", f"Tool: {tool.name}" if tool else None),
            _said("lubricant", entry.lubricant),
            _said("apart", entry.tell_apart, aside=True),
            _alike(unit, entry.part),
            _said("thickness", _size(entry.part), aside=True),
            _said("wrong", wrong_sentences(entry), aside=True),
            _said("note", entry.note, aside=True),
            _said("order", any_time_sentence(entry, unit.parts), aside=True),
            _hold(entry.hold) if entry.hold else None,
            *(_check(shop, entry.check) if entry.check else ()),
        )
        if chunk is not None
    ]


def _tags(entry: StackEntry) -> Element | None:
    """What is told by a word in a frame: side, groove, always new, look-alike. Each frame has a shape of its own."""
    tags = [
        ("side", _side(entry)),
        ("groove", f"{capitalised(entry.groove)} groove" if entry.groove else None),
        ("once", "ALWAYS NEW" if entry.once_only else None),
        ("alike", "LOOK-ALIKE" if entry.part.look_alikes else None),
    ]
    shown = [element("span", {"class": f"wall-tag wall-{kind}", "dir": "auto"}, said) for kind, said in tags if said]
    return element("div", {"class": "wall-chunk wall-tags"}, *shown) if shown else None


def _side(entry: StackEntry) -> str | None:
    said = side_of(entry)
    if said is None or entry.side is None:
        return None
    arrow = f"{_ARROWS[entry.side.direction]}{_NO_BREAK}" if entry.side.direction else ""
    return f"{arrow}{capitalised(said)}"


def _alike(unit: Unit, part: Part) -> Element | None:
    """The parts that it gets mistaken for, one on a line."""
    names = [unit.parts[name].name for name in part.look_alikes if name in unit.parts]
    if not names:
        return None
    lines = (element("span", {"class": "wall-alike-name", "dir": "auto"}, name) for name in names)
    return element("div", {"class": "wall-chunk wall-alikes", "data-aside": ""}, "Don’t confuse it with:", *lines)


def _size(part: Part) -> str | None:
    said = [
        f"Mark: {part.mark}." if part.mark else None,
        f"{show_toleranced(part.thickness)}." if part.thickness else None,
        f"Worn below {show(part.worn_below)}." if part.worn_below else None,
    ]
    return " ".join(fact for fact in said if fact) or None


def _said(kind: str, text: str | None, *, aside: bool = False) -> Element | None:
    return _chunk(kind, sentence(text), aside=aside) if text else None


def _check(shop: Shop, check: Check) -> tuple[Element, ...]:
    """What is measured once the part is in: the limits with what is read in one frame, and where they come from."""
    gauge = shop.gauges.get(check.gauge or "")
    limits = check_limits(check).replace(" ", _NO_BREAK)
    name = f"{check_name(check)}: {limits}. "
    return (
        _chunk("check", element("strong", {}, "CHECK"), f" {name}{sentence(check.text)}"),
        _chunk("source", check_sentence(check, None if gauge is None else gauge.name), aside=True),
    )


def _caution(signal: str, text: str) -> Element:
    return _chunk("caution", element("strong", {"class": f"bench-{signal}"}, signal.upper()), f" {text}")


def _hold(text: str) -> Element:
    return _chunk("hold", element("strong", {}, "HOLD"), f" {text}")


def _chunk(kind: str, *content: Element | str, aside: bool = False) -> Element:
    """What may be shown by itself where a screen does not hold all of a step."""
    attributes = {"class": f"wall-chunk wall-{kind}", "dir": "auto"}
    return element("p", {**attributes, "data-aside": ""} if aside else attributes, *content)
