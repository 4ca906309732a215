"""Writes the wall view's pages: start, unit, pack. Each stands alone, works from a folder, and never scrolls."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Final

from build_hooks.library import Library
from build_hooks.markdown.html import html_of
from build_hooks.model import Pack, Shop, Unit
from build_hooks.wall.sizes import SIZE_WITHOUT_SCREEN, letter_size
from build_hooks.wall.steps import limits_of, measure_step, number_of_parts, part_step
from calc_engine import Element, element

__all__ = ["FormPlace", "Place", "wall_addresses", "wall_pages"]

_INVENTED: Final = "invented unit"
# A unit with more packs than these has a menu of its own only.
_MOST_BESIDE_UNIT: Final = 4


@dataclass(frozen=True, slots=True)
class FormPlace:
    """Where the form for a pack's readings is.

    Attributes:
        title: of its page.
        address: from the root of the site, with the place in the page.
    """

    title: str
    address: str


@dataclass(frozen=True, slots=True)
class Place:
    """What the wall's pages need to know of the site they stand in.

    Attributes:
        edition: a short name of this edition of the manual.
        draw: makes the drawing of a pack.
        code_for: makes the code that opens a path of the site on a phone; None where the site's address is not known.
        forms: where the form of a pack is, by the ids of unit and pack.
    """

    edition: str
    draw: Callable[[Unit, Pack], Element]
    code_for: Callable[[str], str | None]
    forms: Mapping[tuple[str, str], FormPlace] = field(default_factory=dict)


def wall_pages(library: Library, place: Place) -> dict[str, str]:
    """Every page of the wall view.

    Args:
        library: the shop and its units.
        place: the site they stand in.

    Returns:
        HTML by path below the site: ``wall/index.html``, ``wall/<unit>/index.html``, ``wall/<unit>/<pack>/index.html``.
    """
    sizes = _sizes(library)
    units = _units(library)
    pages = {_address(): _menu(library, place, sizes, library.shop.name, _unit_cards(units), None, 0)}
    for unit in units:
        cards = [_pack_card(number, pack) for number, pack in enumerate(_packs(unit), 1)]
        pages[_address(unit.id)] = _menu(library, place, sizes, unit.name, cards, f"../index.html#{unit.id}", 1)
        for pack in _packs(unit):
            pages[_address(unit.id, pack.id)] = _stack(library, place, sizes, unit, pack)
    return pages


def wall_addresses(library: Library) -> tuple[str, ...]:
    """The paths that `wall_pages` gives, without the pages."""
    units = [_address(unit.id) for unit in _units(library)]
    packs = [_address(unit.id, pack.id) for unit in _units(library) for pack in _packs(unit)]
    return (_address(), *units, *packs)


def _address(*ids: str) -> str:
    return "/".join(("wall", *ids, "index.html"))


def _units(library: Library) -> list[Unit]:
    return [unit for unit in library.units.values() if _packs(unit)]


def _packs(unit: Unit) -> list[Pack]:
    return [pack for pack in unit.packs.values() if pack.physical_stack]


def _pack_line(pack: Pack) -> str:
    parts = number_of_parts(pack)
    return parts if pack.clearance is None else f"{parts}, {limits_of(pack.clearance)}"


def _sizes(library: Library) -> str:
    """The type sizes of every screen as style: the page takes the first, or the one it is told to be."""
    rules = [
        f'[data-screen="{name}"]{{--wall-letter:{_vh(letter_size(screen).size_vh)}vh}}'
        for name, screen in library.shop.screens.items()
    ]
    first = next(iter(library.shop.screens.values()), None)
    default = _vh(letter_size(first).size_vh) if first else SIZE_WITHOUT_SCREEN
    return f":root{{--wall-letter:{default}vh}}{''.join(rules)}"


def _vh(share: object) -> str:
    """Rounded up: a letter may be larger than it must, never smaller."""
    value = Decimal(str(float(share)))  # type: ignore[arg-type]
    return str(value.quantize(Decimal("0.01"), rounding="ROUND_UP"))


def _unit_cards(units: Sequence[Unit]) -> list[Element]:
    """The units, each with its packs beside it: any stack is a few arrows away, or two number keys."""
    return [
        element(
            "li",
            {},
            _numbered_link("wall-unit", unit.id, number, unit.name),
            element("div", {"class": "wall-packs"}, *_pack_links(unit)),
        )
        for number, unit in enumerate(units, 1)
    ]


def _pack_links(unit: Unit) -> list[Element]:
    packs = _packs(unit)
    if len(packs) > _MOST_BESIDE_UNIT:
        # Its id is that of the unit's name, which stands before it.
        return [element("a", {"class": "wall-pack", "href": f"{unit.id}/index.html", "dir": "auto"}, f"{len(packs)} packs")]
    return [
        element(
            "a",
            {"class": "wall-pack", "id": f"{unit.id}/{pack.id}", "href": f"{unit.id}/{pack.id}/index.html", "dir": "auto"},
            pack.name,
        )
        for pack in packs
    ]


def _pack_card(number: int, pack: Pack) -> Element:
    about = element("span", {"class": "wall-about", "dir": "auto"}, _pack_line(pack))
    return element("li", {}, _numbered_link("wall-card", pack.id, number, pack.name, about))


def _numbered_link(kind: str, folder: str, number: int, name: str, *more: Element) -> Element:
    """A link that its number key opens too."""
    return element(
        "a",
        {"class": kind, "id": folder, "href": f"{folder}/index.html", "data-number": str(number)},
        element("span", {"class": "wall-number"}, str(number)),
        element("span", {"class": "wall-name", "dir": "auto"}, name),
        *more,
    )


def _menu(library: Library, place: Place, sizes: str, title: str, cards: Sequence[Element], up: str | None, depth: int) -> str:
    kind = "wall-menu" if up else "wall-menu wall-start"
    body = [
        element("h1", {"class": "wall-title"}, title),
        element("ol", {"class": kind, "data-bench": "wall-menu"}, *cards),
    ]
    return _page(library, place, sizes, title, body, up, depth, "menu")


def _stack(library: Library, place: Place, sizes: str, unit: Unit, pack: Pack) -> str:
    body = [
        element("p", {"class": "wall-path", "dir": "auto"}, f"{pack.name} / {unit.name}"),
        element("div", {"class": "wall-drawing"}, place.draw(unit, pack)),
        element(
            "ol",
            {"class": "wall-steps", "data-bench": "stack", "aria-label": f"{unit.name}, {pack.name}: stack order"},
            *_steps(library.shop, unit, pack, place),
        ),
        _last(unit, pack, place),
    ]
    return _page(library, place, sizes, f"{unit.name}: {pack.name}", body, f"../index.html#{pack.id}", 2, "stack")


def _steps(shop: Shop, unit: Unit, pack: Pack, place: Place) -> list[Element]:
    """A step for each part, and among them the one at which the clearance is measured."""
    steps = [part_step(shop, unit, entry, pack) for entry in pack.physical_stack]
    if pack.measure is not None:
        steps.insert(pack.measure.after, measure_step(pack, pack.measure, _form(unit, pack, place)))
    return steps


def _form(unit: Unit, pack: Pack, place: Place) -> Element | None:
    """Where the readings are typed in: the page's name, and its code where the site has an address."""
    form = place.forms.get((unit.id, pack.id))
    if form is None:
        return None
    code = place.code_for(form.address)
    image = element("img", {"class": "wall-code", "src": code, "alt": "Code that opens the form on a phone"}) if code else None
    return element("div", {"class": "wall-chunk wall-form"}, image, element("span", {"dir": "auto"}, f"Form: {form.title}"))


def _last(unit: Unit, pack: Pack, place: Place) -> Element:
    """The screen behind the last part: how many went in, and what is due then."""
    code = place.code_for(f"wall/{unit.id}/{pack.id}/")
    said: list[Element] = []
    if pack.measure is not None:
        word = element("strong", {}, "HOLD")
        said = [
            element("p", {"class": "wall-chunk wall-hold"}, word, " Clearance within its limits, readings on the build sheet?"),
            element("p", {"class": "wall-chunk"}, "Air check before the unit is closed."),
        ]
    if code:
        image = element("img", {"class": "wall-code", "src": code, "alt": "Code that opens this page on a phone"})
        said.append(element("p", {"class": "wall-chunk wall-phone"}, image, element("span", {}, "This stack on a phone")))
    number = len(pack.physical_stack)
    return element(
        "section",
        {"class": "wall-step wall-end", "data-bench": "wall-end", "tabindex": "-1"},
        element("p", {"class": "wall-count"}, "Done"),
        element("h2", {"class": "wall-part"}, "The part is in" if number == 1 else f"All {number_of_parts(pack)} in"),
        element("div", {"class": "wall-chunks"}, *said),
    )


def _page(
    library: Library, place: Place, sizes: str, title: str, body: Sequence[Element], up: str | None, depth: int, kind: str
) -> str:
    root = "../" * (depth + 1)
    screens = " ".join(library.shop.screens)
    foot = element(
        "footer",
        {"class": "wall-foot"},
        element("a", {"class": "wall-up", "href": up}, "All packs") if up else None,
        element("button", {"type": "button", "data-bench": "wall-back", "hidden": ""}, "◀ Previous"),
        element("button", {"type": "button", "data-bench": "wall-next", "hidden": ""}, "Next ▶"),
        element("span", {"class": "wall-invented"}, _INVENTED) if library.shop.invented else None,
        # On the menus only: the stack needs the room.
        element("span", {"class": "wall-awake", "data-bench": "wall-awake"}) if kind == "menu" else None,
        element("span", {"class": "wall-edition"}, f"Manual of {place.edition}") if kind == "menu" else None,
        element("span", {"class": "wall-clock", "data-bench": "wall-clock"}),
    )
    head = "".join(
        (
            '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">',
            html_of(element("title", {}, f"{title} · wall view")),
            # Without one the browser asks the server for an icon at each page.
            '<link rel="icon" href="data:,">',
            f'<link rel="stylesheet" href="{root}assets/benchleaf/wall.css">',
            f"<style>{sizes}</style>",
        )
    )
    main = html_of(
        element(
            "main",
            {"class": f"wall wall-{kind} bench-wall", "data-bench": "wall", "data-screens": screens, "data-title": title},
            *body,
        )
    )
    script = f'<script src="{root}assets/benchleaf/wall.js"></script>'
    return f'<!doctype html>\n<html lang="en" class="wall-page"><head>{head}</head><body>{main}{html_of(foot)}{script}</body></html>\n'
