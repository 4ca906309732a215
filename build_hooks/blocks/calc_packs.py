"""A calculation for several packs that selective parts set together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Final, cast

from build_hooks.blocks.calc_request import Asked, answer_to_example, by_role, fill
from build_hooks.blocks.calc_sizes import fitted_size, size_rows
from build_hooks.blocks.context import Trouble
from build_hooks.forms.form import CarriedOver, Form
from build_hooks.forms.roles import entry_shape, known_field
from build_hooks.model import Float, Pack, SelectiveKit, Unit
from build_hooks.reading.problems import listed
from calc_engine import CATALOGUE, Calculation, Field, Role, System, Worked, field_with, size_names

__all__ = ["kits_of_packs", "pack_facts", "packs_form", "place_of"]

_TAKEN_OVER: Final[tuple[Role, ...]] = ("measured", "uncertainty")


def packs_form(asked: Asked, packs: Sequence[Pack | Float]) -> Form:
    """The form for several packs and every selective part that touches them.

    Raises:
        Trouble: no part sets them, a part touches another pack as well, a pack has no limits, or the example has no answer.
    """
    calculation, unit = asked.calculation, asked.unit
    kits = kits_of_packs(unit, packs, "packs")
    packs_field, places_field = known_field("packs", calculation.request), known_field("places", calculation.request)
    rows, places = (packs_field, entry_shape(packs_field)), (places_field, entry_shape(places_field))
    fitted = known_field("fitted", places[1])
    best = field_with("number of answers", calculation.request)
    names = {kit.id: size_names(kit.choices) for kit in kits}
    preset = {
        rows[0].name: [pack_facts(rows[1], pack, index) for index, pack in enumerate(packs)],
        places[0].name: [place_of(places[1], kit, names[kit.id], unit) for kit in kits],
    }
    paths = [f"{places[0].name}.{index}.{fitted.name}" for index in range(len(kits))]
    defaults = {path: fitted_size(kit, names[kit.id]) for path, kit in zip(paths, kits, strict=True)}
    given = _clearances(packs, asked)
    request = fill(_with_clearances(preset, rows, [value for _, value in given]), defaults)
    return Form(
        calculation,
        asked.context.identity(f"calc-{unit.id}-parts"),
        asked.title or f"{listed([pack.name for pack in packs], 'and')}: choose the parts",
        f"Set together, because parts of the stack touch more than one pack: {listed([kit.name for kit in kits], 'and')}.",
        request,
        _answered(calculation, request, asked.units),
        system=asked.units,
        preset=preset,
        choices={path: list(names[kit.id].values()) for path, kit in zip(paths, kits, strict=True)},
        defaults=defaults,
        carried=_taken_over(rows, unit, packs),
        hidden=frozenset({best.name} if best else ()),
        example_note=f"Worked example: {', '.join(f'{pack.name} {value}' for pack, value in given)}.",
        subject=f"{unit.id}/{'+'.join(pack.id for pack in packs)}",
    )


def kits_of_packs(unit: Unit, packs: Sequence[Pack | Float], key: str) -> list[SelectiveKit]:
    """The selective parts that set these packs.

    Args:
        unit: the unit.
        packs: every pack and float that is set together.
        key: of the block, for what is wrong.

    Raises:
        Trouble: no part sets them, or a part touches another pack as well.
    """
    kits = [kit for kit in unit.kits.values() if any(pack.id in (*kit.tightens, *kit.loosens) for pack in packs)]
    if not kits:
        raise Trouble((key,), "no-kit", "No selective part sets these packs.", "Write the kit under selective: in unit.yml.")
    outside = sorted({name for kit in kits for name in (*kit.tightens, *kit.loosens)} - {pack.id for pack in packs})
    if outside:
        raise Trouble(
            (key,),
            "shared-kit",
            f"A part of these packs also changes {listed(outside, 'and')}.",
            "Name every pack that it touches.",
        )
    return kits


def pack_facts(shape: type[Any], pack: Pack | Float, index: int) -> dict[str, Any]:
    """Name, limits and target of a pack or float that is set with others.

    Raises:
        Trouble: it has no limits.
    """
    spec = pack.limits
    if spec is None:
        raise Trouble(
            ("packs", index), "no-limits", f"The pack “{pack.name}” has no clearance limits.", "Write its clearance in unit.yml."
        )
    target = str(spec.target) if spec.target else None
    return by_role(shape, {"identity": pack.name, "limits": {"min": str(spec.min), "max": str(spec.max)}, "target": target})


def place_of(shape: type[Any], kit: SelectiveKit, names: Mapping[str, str], unit: Unit) -> dict[str, Any]:
    """A place with its sizes, and what a thicker part does to each pack.

    Args:
        shape: what a place is in the request.
        kit: the selective part.
        names: of its sizes, by id.
        unit: for the names of the packs and floats.
    """
    sizes = known_field("sizes", shape)
    effect = {unit.measured(name).name: -1 for name in kit.tightens} | {unit.measured(name).name: 1 for name in kit.loosens}
    return by_role(shape, {"identity": kit.name, "sizes": size_rows(sizes, kit, names), "effect": effect})


def _taken_over(rows: tuple[Field, type[Any]], unit: Unit, packs: Sequence[Pack | Float]) -> dict[str, CarriedOver]:
    """Entries that the answer for a pack fills, where its own form is on the same page."""
    single = next(known for known in CATALOGUE.values() if known.subject == "pack")
    pairs = [(field_with(role, rows[1]), field_with(role, single.result)) for role in _TAKEN_OVER]
    return {
        f"{rows[0].name}.{index}.{entry.name}": CarriedOver(f"calc-{unit.id}-{pack.id}", output.name)
        for index, pack in enumerate(packs)
        for entry, output in pairs
        if entry is not None and output is not None
    }


def _answered(calculation: Calculation[Any, Any], request: Mapping[str, Any], system: System) -> Worked:
    try:
        return answer_to_example(calculation, request, system)
    except Trouble as trouble:
        # The author gave clearances, not the request they were put into.
        raise Trouble(("example",), trouble.code, trouble.message, trouble.remedy) from None


def _clearances(packs: Sequence[Pack | Float], asked: Asked) -> list[tuple[Pack | Float, str]]:
    given = asked.example.get("clearances")
    if not isinstance(given, dict):
        raise Trouble(
            ("example",),
            "no-example",
            "The example must give the clearances.",
            f"Write example: {{clearances: {{forward: {'0.053 in' if asked.units == 'inch' else '1.35 mm'}}}}}.",
        )
    missing = [pack.id for pack in packs if pack.id not in given]
    if missing:
        raise Trouble(
            ("example", "clearances"),
            "no-example",
            f"The example has no clearance for {listed(missing, 'and')}.",
            "Give one for each pack.",
        )
    return [(pack, str(given[pack.id])) for pack in packs]


def _with_clearances(preset: Mapping[str, Any], rows: tuple[Field, type[Any]], clearances: Sequence[str]) -> dict[str, Any]:
    field, shape = rows
    filled = [
        {**cast("dict[str, Any]", known), **by_role(shape, {"measured": clearance})}
        for known, clearance in zip(preset[field.name], clearances, strict=True)
    ]
    return {**preset, field.name: filled}
