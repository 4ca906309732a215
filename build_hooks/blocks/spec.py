"""The spec block: limits with their source and revision."""

from __future__ import annotations

from pydantic import Field

from build_hooks.blocks.context import Context, Trouble
from build_hooks.model import Keys, Limits, Pack
from build_hooks.model.fields import Reference
from calc_engine import Element, element, show

__all__ = ["SpecBody", "render_spec"]


class SpecBody(Keys):
    """The body of a spec block."""

    unit: Reference | None = Field(
        None, description="The unit's folder, when the page is in another folder.", examples=["alder-4"]
    )
    pack: Reference | None = Field(None, description="The pack whose clearance is meant.", examples=["forward"])
    float: Reference | None = Field(None, description="The float that is meant.", examples=["reaction-plate-float"])
    shaft: Reference | None = Field(None, description="The shaft whose end play is meant.", examples=["input"])


def render_spec(body: SpecBody, context: Context) -> Element:
    """The limits as a small table, with where they come from.

    Raises:
        Trouble: nothing or two things are named, or what is named has no limits.
    """
    unit = context.unit(body.unit)
    if sum(named is not None for named in (body.pack, body.float, body.shaft)) != 1:
        message = "A spec names one thing: a pack, a float or a shaft."
        raise Trouble((), "pack-or-shaft", message, "Write pack: forward, or shaft: input.")
    if body.float is not None:
        found = context.float(unit, body.float)
        return _table(f"{unit.name}, {found.name}: limits", found.limits, [])
    if body.shaft is not None:
        shaft = context.shaft(unit, body.shaft)
        return _table(f"{unit.name}, {shaft.name}: end play", shaft.end_play, [])
    assert body.pack is not None  # noqa: S101 - seen to above
    pack = context.pack(unit, body.pack)
    if pack.clearance is None:
        raise Trouble(
            ("pack",), "no-limits", f"The pack “{pack.name}” has no clearance limits.", "Write its clearance in unit.yml."
        )
    number = len(pack.waves)
    wave = [("Wave plate" if number <= 1 else f"{number} wave plates", str(pack.clearance.wave))] if pack.clearance.wave else []
    plates = [("Friction plates", str(pack.friction_count))] if pack.friction_count else []
    return _table(f"{unit.name}, {pack.name}: clearance", pack.clearance, [*wave, *plates, *_worn(pack)])


def _worn(pack: Pack) -> list[tuple[str, str]]:
    """The parts that are scrap below a thickness, each once."""
    parts = {entry.part.id: entry.part for entry in pack.physical_stack}
    return [("Worn limit", f"{part.name}: below {show(part.worn_below)}") for part in parts.values() if part.worn_below]


def _table(title: str, limits: Limits, more: list[tuple[str, str]]) -> Element:
    rows = [
        ("Limits", f"{show(limits.min)} to {show(limits.max)}"),
        *([("Target", show(limits.target))] if limits.target else []),
        *([("Measured at", f"{limits.at} positions")] if limits.at else []),
        *([("Largest difference", show(limits.spread_limit))] if limits.spread_limit else []),
        *more,
        ("Source", f"{limits.source}, revision {limits.revision}"),
    ]
    return element(
        "table",
        {"class": "bench-list bench-spec", "data-bench": "spec"},
        element("caption", {}, title),
        element(
            "tbody",
            {},
            *(element("tr", {}, element("th", {"scope": "row"}, name), element("td", {}, said)) for name, said in rows),
        ),
    )
