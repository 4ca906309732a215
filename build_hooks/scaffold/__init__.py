"""Begins a manual, a unit, a drum or a pack of it, a procedure, a learning path, a calculation: commented, sound, and never over what is there."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from build_hooks.library import Library, load, pages_of
from build_hooks.model import Pack, Unit
from build_hooks.own import FOLDER, file_name
from build_hooks.reading.problems import did_you_mean, listed, quoted
from build_hooks.scaffold import starters
from build_hooks.scaffold.entries import add_entries
from build_hooks.scaffold.left import starter_warnings
from build_hooks.scaffold.starters import written
from build_hooks.scaffold.writing import NotWrittenError, id_of, quoted_value, refuse_odd, schema_line, shown_name, write
from calc_engine import BUILT_IN, System

__all__ = [
    "NotWrittenError",
    "new_calculation",
    "new_drum",
    "new_manual",
    "new_pack",
    "new_path",
    "new_procedure",
    "new_unit",
    "shown_name",
    "starter_warnings",
]


def new_manual(folder: Path, name: str, units: System, schemas: Mapping[str, str]) -> tuple[Path, ...]:
    """Begins a manual.

    Args:
        folder: where to; free, or an empty folder.
        name: of the shop.
        units: what the shop reads in.
        schemas: the text of each JSON Schema by its name, for an editor.

    Returns:
        The files that were written.

    Raises:
        NotWrittenError: something is in the folder already, the name cannot be used, or nothing can be written there.
    """
    refuse_odd(name)
    if folder.exists() and not (folder.is_dir() and not any(folder.iterdir())):
        raise NotWrittenError(f"{folder.as_posix()}: something is here already. Name a new folder, or an empty one.")
    docs = folder / "docs"
    made = [write(folder / "schemas" / f"{schema}.schema.json", text) for schema, text in schemas.items()]
    shop, value = docs / "shop.yml", quoted_value(name)
    facts = {"name": value, "units": units, "schema": schema_line(shop, docs, "shop"), **_gauge_figures(units)}
    texts = {
        folder / "mkdocs.yml": written(starters.MANUAL, name=value),
        folder / ".gitignore": starters.IGNORED,
        shop: written(starters.SHOP, **facts),
        docs / "index.md": written(starters.INDEX, title=value, heading=name),
        docs / "standards" / "index.md": written(starters.STANDARDS),
    }
    return (*made, *(write(path, text) for path, text in texts.items()))


def _gauge_figures(units: System) -> dict[str, str]:
    return {name: starters.FIGURES[units][name] for name in ("resolution", "max_error")}


def new_unit(library: Library, name: str) -> Path:
    """Writes the starter of a unit's data, in the units that the shop reads in.

    Args:
        library: the data of the docs folder.
        name: what the unit is called, or the id of its folder.

    Returns:
        The file that was written.

    Raises:
        NotWrittenError: the name cannot be used, or there is such a unit already.
    """
    path = library.docs / "units" / id_of(name) / "unit.yml"
    facts = {"name": quoted_value(shown_name(name)), "schema": schema_line(path, library.docs, "unit")}
    return write(path, written(starters.UNIT, **facts, **starters.FIGURES[library.shop.units]))


def new_drum(library: Library, unit_id: str, name: str) -> Path:
    """Adds a drum to a unit's data.

    Args:
        library: the data of the docs folder.
        unit_id: the unit.
        name: what the drum is called, or its id.

    Returns:
        The file that it was added to.

    Raises:
        NotWrittenError: there is no such unit, its data is at fault or laid out in another way, or the name cannot be used.
    """
    unit, drum_id = _unit(library, unit_id), id_of(name)
    _refuse_taken(drum_id, unit.drums, "drum")
    entry = written(starters.DRUM, id=drum_id, name=quoted_value(shown_name(name)))
    return _add(library, unit, {"drums": entry})


def new_pack(library: Library, unit_id: str, name: str, drum_id: str | None = None) -> Path:
    """Adds a pack with parts of its own to a unit's data.

    Args:
        library: the data of the docs folder.
        unit_id: the unit.
        name: what the pack is called, or its id.
        drum_id: the drum that it goes into; needed where the unit has several.

    Returns:
        The file that it was added to.

    Raises:
        NotWrittenError: there is no such unit or drum, the unit's data is at fault or laid out in another way, or the name
            cannot be used.
    """
    unit, pack_id, shown = _unit(library, unit_id), id_of(name), shown_name(name)
    _refuse_taken(pack_id, unit.packs, "pack")
    drum = _drum_of(unit, drum_id)
    grooves = unit.drums[drum].grooves if drum else ()
    figures = starters.FIGURES[library.shop.units]
    names = {f"{part}_name": quoted_value(f"{shown}, {part}") for part in ("steel", "friction", "backing", "ring")}
    facts = {
        "id": pack_id,
        "name": quoted_value(shown),
        "drum": f"  drum: {drum}\n" if drum else "",
        "groove": f"      groove: {grooves[-1]}\n" if grooves else "",
        **names,
        **figures,
    }
    return _add(library, unit, {"parts": written(starters.PACK_PARTS, **facts), "packs": written(starters.PACK, **facts)})


def new_procedure(library: Library, unit_id: str, name: str, pack_id: str | None = None) -> Path:
    """Writes the starter of a procedure's page.

    Args:
        library: the data of the docs folder.
        unit_id: the unit that the procedure is for.
        name: the title of the page.
        pack_id: the pack whose limits and stack the page shows; by default the unit's first.

    Returns:
        The file that was written.

    Raises:
        NotWrittenError: there is no such unit or pack, its data is at fault, the name cannot be used, or the page is there already.
    """
    page_id, unit = id_of(name), _unit(library, unit_id)
    title = shown_name(name)
    facts = {"title": quoted_value(title), "unit_id": unit.id, "heading": f"{unit.name}: {title}"}
    text = written(starters.PAGE, **facts, blocks=_blocks(unit, pack_id))
    return write(library.docs / "units" / unit.id / f"{page_id}.md", text)


def new_path(library: Library, name: str) -> Path:
    """Writes the starter of a learning path.

    Args:
        library: the data of the docs folder.
        name: what the path is called, or its id.

    Returns:
        The file that was written.

    Raises:
        NotWrittenError: there is no page to read yet, the name cannot be used, or there is such a path already.
    """
    path = library.docs / "learning" / f"{id_of(name)}.yml"
    pages = [page.relative_to(library.docs).as_posix() for page in pages_of(library.docs)]
    if not pages:
        raise NotWrittenError("There is no page yet that a path could begin with. Write one first, for example docs/index.md.")
    page = next((found for found in ("standards/index.md", "index.md") if found in pages), pages[0])
    first = id_of(page.removesuffix(".md").removesuffix("/index"))
    facts = {
        "name": quoted_value(shown_name(name)),
        "schema": schema_line(path, library.docs, "path"),
        "page": page,
        "first": first,
    }
    return write(path, written(starters.PATH, **facts))


def new_calculation(library: Library, name: str) -> Path:
    """Writes the starter of a calculation of the manual's own.

    Args:
        library: the data of the docs folder.
        name: what it is called, or its id.

    Returns:
        The file that was written.

    Raises:
        NotWrittenError: the name cannot be used, the engine has it, or there is such a file already.
    """
    made = id_of(name)
    file = file_name(made)
    if file is None:
        raise NotWrittenError(
            f"{quoted(name)} cannot be the name of a calculation. Begin it with a letter, and use none of Python's words."
        )
    if made in BUILT_IN:
        raise NotWrittenError(f"There is a calculation {quoted(made)} already. Choose another name.")
    facts = {"id": made, "title": quoted_value(shown_name(name)), **starters.FIGURES[library.shop.units]}
    return write(library.docs / FOLDER / file, written(starters.CALCULATION, **facts))


def _unit(library: Library, unit_id: str) -> Unit:
    unit = library.units.get(unit_id)
    if unit is None:
        raise NotWrittenError(_no_unit(library, unit_id))
    return unit


def _no_unit(library: Library, unit_id: str) -> str:
    if unit_id in library.units_at_fault:
        return f"The data of {quoted(unit_id)} has problems. See them with: benchleaf check"
    known = sorted({*library.units, *library.units_at_fault})
    near = did_you_mean(unit_id, known) or (
        f"Units here: {', '.join(known)}." if known else "Begin with: benchleaf new unit NAME"
    )
    return f"There is no unit {quoted(unit_id)}. {near}"


def _refuse_taken(made: str, there: Mapping[str, object], what: str) -> None:
    if made in there:
        raise NotWrittenError(f"There is a {what} {quoted(made)} already. Choose another name, or edit it.")


def _drum_of(unit: Unit, drum_id: str | None) -> str | None:
    drums = list(unit.drums)
    if drum_id is None and len(drums) > 1:
        raise NotWrittenError(f"Which drum does it go into? Say so with --drum: {listed(drums)}.")
    if drum_id is None or drum_id in drums:
        return drum_id or next(iter(drums), None)
    known = did_you_mean(drum_id, drums) or (f"Drums here: {', '.join(drums)}." if drums else "Begin with: benchleaf new drum")
    raise NotWrittenError(f"There is no drum {quoted(drum_id)} in {unit.id}. {known}")


def _add(library: Library, unit: Unit, entries: dict[str, str]) -> Path:
    """Adds entries to a unit's data, and takes them out again where they make it unsound."""
    path = library.docs / "units" / unit.id / "unit.yml"
    before, text = path.read_bytes(), add_entries(path, entries)
    path.write_bytes(text.encode())
    problems = [problem for problem in load(library.docs)[1] if problem.path == path.as_posix()]
    if problems:
        path.write_bytes(before)
        raise NotWrittenError(f"It does not fit in with what {path.as_posix()} says. {problems[0].message} {problems[0].remedy}")
    return path


def _blocks(unit: Unit, pack_id: str | None) -> str:
    if pack_id is not None and pack_id not in unit.packs:
        known = did_you_mean(pack_id, unit.packs) or f"Packs here: {', '.join(unit.packs) or 'none'}."
        raise NotWrittenError(f"There is no pack {quoted(pack_id)} in {unit.id}. {known}")
    pack: Pack | None = unit.packs[pack_id] if pack_id else next(iter(unit.packs.values()), None)
    if pack is None:
        return ""
    shown = (starters.SPEC, starters.STACK, starters.CLEARANCE) if pack.clearance else (starters.STACK,)
    return "".join(written(block, pack_id=pack.id) for block in shown)
