"""The kit and tools blocks: what to lay out before the work starts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from pydantic import Field

from build_hooks.blocks.context import Context, Trouble, known_or_trouble
from build_hooks.model import Keys, Part
from build_hooks.model.fields import Flag, Reference
from calc_engine import Element, element, show

__all__ = ["KitBody", "ToolsBody", "render_kit", "render_tools"]


class KitBody(Keys):
    """The body of a kit block."""

    unit: Reference | None = Field(
        None, description="The unit's folder, when the page is in another folder.", examples=["alder-4"]
    )
    replace: tuple[Reference, ...] = Field((), description="Ids of parts to replace.", examples=["[forward-seal-outer]"])
    once_only: Flag = Field(default=False, description="True to list the once-only parts of the packs too.", examples=["true"])
    packs: tuple[Reference, ...] = Field(
        (), description="The packs whose once-only parts are meant.", examples=["[forward, direct]"]
    )


class ToolsBody(Keys):
    """The body of a tools block."""

    tools: tuple[Reference, ...] = Field((), description="Ids of tools in shop.yml.", examples=["[seal-sleeve]"])
    consumables: tuple[Reference, ...] = Field((), description="Ids of consumables in shop.yml.", examples=["[clean-fluid]"])
    gauges: tuple[Reference, ...] = Field((), description="Ids of gauges in shop.yml.", examples=["[bench-dial]"])


def render_kit(body: KitBody, context: Context) -> Element:
    """The parts to replace, each once, with number and how many.

    Raises:
        Trouble: a part or a pack is not there, or nothing is listed.
    """
    unit = context.unit(body.unit)
    wanted = {name: known_or_trouble(unit.parts, name, ("replace", index), "part") for index, name in enumerate(body.replace)}
    counts = dict.fromkeys(wanted, 0)
    for index, name in enumerate(body.packs):
        pack = context.pack(unit, name, ("packs", index))
        for entry in pack.physical_stack:
            if entry.part.id in wanted or (body.once_only and entry.once_only):
                wanted.setdefault(entry.part.id, entry.part)
                counts[entry.part.id] = counts.get(entry.part.id, 0) + 1
    if not wanted:
        raise Trouble((), "empty", "This kit lists nothing.", "Name parts under replace:, or packs with once_only: true.")
    rows = [_kit_row(part, counts.get(name, 0)) for name, part in wanted.items()]
    return _list("Parts to replace", ("Part", "Number", "How many", "Replaced"), rows, "kit")


def _kit_row(part: Part, count: int) -> tuple[Element | str, ...]:
    number, many = part.number or part.mark or "", str(count or 1)
    return part.name, number or "–", many, _tick(part.name, number, many)


def _tick(name: str, number: str, many: str) -> Element:
    """A box to tick: the page notes it in the current job."""
    given = {"type": "checkbox", "data-bench": "replaced", "data-part": name, "data-number": number, "data-count": many}
    return element("label", {"class": "bench-replaced"}, element("input", {**given, "aria-label": f"{name}: replaced"}))


def render_tools(body: ToolsBody, context: Context) -> Element:
    """Tools, gauges and consumables, with what to know of each.

    Raises:
        Trouble: one is not in shop.yml, or nothing is listed.
    """
    shop = context.shop()
    gauges = _named(shop.gauges, body.gauges, "gauges", "gauge")
    rows = [
        *((tool.name, tool.note or "") for tool in _named(shop.tools, body.tools, "tools", "tool")),
        *((gauge.name, " ".join(filter(None, [_step(gauge.resolution), gauge.note]))) for gauge in gauges),
        *((item.name, item.note or "") for item in _named(shop.consumables, body.consumables, "consumables", "consumable")),
    ]
    if not rows:
        raise Trouble((), "empty", "This list of tools is empty.", "Name tools, gauges or consumables of shop.yml.")
    return _list("Tools for this job", ("Item", "Note"), rows, "tools")


def _step(resolution: object) -> str | None:
    return f"Reads to {show(resolution)}." if resolution is not None else None  # type: ignore[arg-type]


def _named[T](known: Mapping[str, T], names: Iterable[str], key: str, what: str) -> list[T]:
    return [known_or_trouble(known, name, (key, index), what) for index, name in enumerate(names)]


def _list(title: str, heads: tuple[str, ...], rows: Iterable[tuple[Element | str, ...]], kind: str) -> Element:
    return element(
        "table",
        {"class": f"bench-list bench-{kind}", "data-bench": kind},
        element("caption", {}, title),
        element("thead", {}, element("tr", {}, *(element("th", {"scope": "col"}, head) for head in heads))),
        element("tbody", {}, *(element("tr", {}, *(element("td", {}, cell) for cell in row)) for row in rows)),
    )
