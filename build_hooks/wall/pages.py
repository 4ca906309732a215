"""Writes the wall view's pages: start, unit, pack. Each stands alone, works from a folder, and never scrolls."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from build_hooks.html import html_of
from build_hooks.library import Library
from build_hooks.measures import show_toleranced
from build_hooks.model import Pack, StackEntry, Unit
from build_hooks.wall.sizes import letter_size
from calc_engine import Element, element, show

__all__ = ["Place", "wall_pages"]

_INVENTED: Final = "invented unit"
# Where no screen is described, a 43 inch one at 3.5 m is taken.
_SIZE_WITHOUT_SCREEN: Final = "5.70"
_FRAME: Final = '<div class="wall-drawing"></div>'


@dataclass(frozen=True, slots=True)
class Place:
    """What the wall's pages need to know of the site they stand in.

    Attributes:
        edition: a short name of this edition of the manual.
        draw: makes the drawing of a pack, as SVG text.
        code_for: makes the code that opens a path of the site on a phone; None where the site's address is not known.
    """

    edition: str
    draw: Callable[[Unit, Pack], str]
    code_for: Callable[[str], str | None]


def wall_pages(library: Library, place: Place) -> dict[str, str]:
    """Every page of the wall view.

    Args:
        library: the shop and its units.
        place: the site they stand in.

    Returns:
        HTML by path below the site: ``wall/index.html``, ``wall/<unit>/index.html``, ``wall/<unit>/<pack>/index.html``.
    """
    sizes = _sizes(library)
    units = [unit for unit in library.units.values() if _packs(unit)]
    pages = {
        "wall/index.html": _menu(
            library, place, sizes, library.shop.name, [(unit.id, unit.name, unit.about or "") for unit in units], None, 0
        )
    }
    for unit in units:
        entries = [(pack.id, pack.name, _pack_line(pack)) for pack in _packs(unit)]
        pages[f"wall/{unit.id}/index.html"] = _menu(library, place, sizes, unit.name, entries, "../index.html", 1)
        for pack in _packs(unit):
            pages[f"wall/{unit.id}/{pack.id}/index.html"] = _stack(library, place, sizes, unit, pack)
    return pages


def _packs(unit: Unit) -> list[Pack]:
    return [pack for pack in unit.packs.values() if pack.physical_stack]


def _pack_line(pack: Pack) -> str:
    parts = f"{len(pack.physical_stack)} parts"
    if pack.clearance is None:
        return parts
    return f"{parts}, {show(pack.clearance.min)} to {show(pack.clearance.max)}"


def _sizes(library: Library) -> str:
    """The type sizes of every screen as style: the page takes the first, or the one it is told to be."""
    rules = [
        f'[data-screen="{name}"]{{--wall-letter:{_vh(letter_size(screen).size_vh)}vh}}'
        for name, screen in library.shop.screens.items()
    ]
    first = next(iter(library.shop.screens.values()), None)
    default = _vh(letter_size(first).size_vh) if first else _SIZE_WITHOUT_SCREEN
    return f":root{{--wall-letter:{default}vh}}{''.join(rules)}"


def _vh(share: object) -> str:
    """Rounded up: a letter may be larger than it must, never smaller."""
    value = Decimal(str(float(share)))  # type: ignore[arg-type]
    return str(value.quantize(Decimal("0.01"), rounding="ROUND_UP"))


def _menu(
    library: Library, place: Place, sizes: str, title: str, entries: Sequence[tuple[str, str, str]], up: str | None, depth: int
) -> str:
    links = [
        element(
            "li",
            {},
            element(
                "a",
                {"href": f"{path}/index.html", "data-number": str(number)},
                element("span", {"class": "wall-number"}, str(number)),
                element("span", {"class": "wall-name"}, name),
                element("span", {"class": "wall-about"}, about),
            ),
        )
        for number, (path, name, about) in enumerate(entries, 1)
    ]
    body = [
        element("h1", {"class": "wall-title"}, title),
        element("ol", {"class": "wall-menu", "data-bench": "wall-menu"}, *links),
    ]
    return _page(library, place, sizes, title, body, up, depth, "menu")


def _stack(library: Library, place: Place, sizes: str, unit: Unit, pack: Pack) -> str:
    steps = pack.physical_stack
    drum = f" / {pack.drum.name}" if pack.drum else ""
    body = [
        element("p", {"class": "wall-path"}, f"{unit.name}{drum} / {pack.name}"),
        element("div", {"class": "wall-drawing"}),
        element(
            "ol",
            {"class": "wall-steps", "data-bench": "stack", "aria-label": f"{unit.name}, {pack.name}: stack order"},
            *(_step(unit, entry, len(steps)) for entry in steps),
        ),
        _last(unit, pack, place),
    ]
    page = _page(library, place, sizes, f"{unit.name}: {pack.name}", body, "../index.html", 2, "stack")
    # The drawing is markup already; names are escaped, so nothing else can look like its empty frame.
    return page.replace(_FRAME, f'<div class="wall-drawing">{place.draw(unit, pack)}</div>', 1)


def _step(unit: Unit, entry: StackEntry, total: int) -> Element:
    part = entry.part
    turn = f" ({entry.turn} of {entry.turns})" if entry.turns > 1 else ""
    return element(
        "li",
        {"class": "wall-step", "data-part": part.id, "data-step": str(entry.number), "tabindex": "-1"},
        element("p", {"class": "wall-count"}, f"{entry.number} of {total}"),
        element("h2", {"class": "wall-part"}, f"{part.name}{turn}"),
        element("div", {"class": "wall-chunks"}, *_chunks(unit, entry)),
    )


def _chunks(unit: Unit, entry: StackEntry) -> list[Element]:
    """What is said of a part, cautions first, each a piece that may move to a screen of its own."""
    alike = [unit.parts[name].name for name in entry.part.look_alikes if name in unit.parts]
    facts = [
        ("side", _sentence(str(entry.side)) if entry.side else None),
        ("place", _sentence(entry.place)),
        ("groove", f"{entry.groove.capitalize()} groove." if entry.groove else None),
        ("mark", f"Mark: {entry.part.mark}." if entry.part.mark else None),
        ("thickness", show_toleranced(entry.part.thickness) if entry.part.thickness else None),
        ("apart", _sentence(entry.tell_apart)),
        ("alike", f"Looks like: {', '.join(alike)}." if alike else None),
        ("once", "New every time." if entry.once_only else None),
        ("wrong", f"Wrong: {entry.wrong}" if entry.wrong else None),
        ("note", _sentence(entry.note)),
    ]
    chunks = [element("p", {"class": f"wall-chunk wall-{kind}"}, said) for kind, said in facts if said]
    if entry.caution is not None:
        word = element("strong", {"class": f"bench-{entry.caution.signal}"}, entry.caution.signal.upper())
        chunks.insert(0, element("p", {"class": "wall-chunk wall-caution"}, word, f" {entry.caution.text}"))
    if entry.hold is not None:
        chunks.append(element("p", {"class": "wall-chunk wall-hold"}, element("strong", {}, "HOLD"), f" {entry.hold}"))
    return chunks


def _sentence(text: str | None) -> str | None:
    if not text:
        return None
    said = text[0].upper() + text[1:]
    return said if said[-1] in ".?!" else f"{said}."


def _last(unit: Unit, pack: Pack, place: Place) -> Element:
    """The screen behind the last part: how many went in, and what to measure now."""
    spec = pack.clearance
    code = place.code_for(f"wall/{unit.id}/{pack.id}/")
    said = [
        f"{len(pack.physical_stack)} parts in."
        if spec is None
        else f"{len(pack.physical_stack)} parts in. Now measure the clearance.",
        *([f"{show(spec.min)} to {show(spec.max)}.", _sentence(f"{spec.source}, revision {spec.revision}")] if spec else []),
    ]
    return element(
        "section",
        {"class": "wall-step wall-end", "data-bench": "wall-end", "tabindex": "-1"},
        element("p", {"class": "wall-count"}, "Done"),
        element("h2", {"class": "wall-part"}, pack.name),
        element("div", {"class": "wall-chunks"}, *(element("p", {"class": "wall-chunk"}, line) for line in said)),
        element("img", {"class": "wall-code", "src": code, "alt": "Code that opens this page on a phone"}) if code else None,
    )


def _page(
    library: Library, place: Place, sizes: str, title: str, body: Sequence[Element], up: str | None, depth: int, kind: str
) -> str:
    root = "../" * (depth + 1)
    screens = " ".join(library.shop.screens)
    foot = element(
        "footer",
        {"class": "wall-foot"},
        element("a", {"class": "wall-up", "href": up or f"{root}index.html"}, "List" if up else "Manual"),
        element("button", {"type": "button", "data-bench": "wall-back", "hidden": ""}, "◀ back"),
        element("button", {"type": "button", "data-bench": "wall-next", "hidden": ""}, "next ▶"),
        element("span", {"class": "wall-invented"}, _INVENTED) if library.shop.invented else None,
        element("span", {"class": "wall-awake", "data-bench": "wall-awake"}),
        element("span", {}, f"ed. {place.edition}"),
        element("span", {"class": "wall-clock", "data-bench": "wall-clock"}),
    )
    head = "".join(
        (
            '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">',
            html_of(element("title", {}, f"{title} · wall view")),
            f'<link rel="stylesheet" href="{root}assets/benchleaf/wall.css">',
            f"<style>{sizes}</style>",
        )
    )
    main = html_of(
        element("main", {"class": f"wall wall-{kind} bench-wall", "data-bench": "wall", "data-screens": screens}, *body)
    )
    script = f'<script src="{root}assets/benchleaf/wall.js"></script>'
    return f'<!doctype html>\n<html lang="en" class="wall-page"><head>{head}</head><body>{main}{html_of(foot)}{script}</body></html>\n'
