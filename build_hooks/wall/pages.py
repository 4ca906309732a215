"""Writes the wall view's pages: start, unit, pack. Each stands alone, works from a folder, and never scrolls."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Final

from build_hooks.gears import figures_of
from build_hooks.library import Library
from build_hooks.markdown.html import html_of
from build_hooks.model import Drum, GearSet, MeasureStep, Pack, PartStep, State, Step, Unit, drum_folder, drum_steps, pack_steps
from build_hooks.pictures import Photo, wall_photo
from build_hooks.wall.applied import chart_about, chart_steps
from build_hooks.wall.sizes import SIZE_WITHOUT_SCREEN, letter_size
from build_hooks.wall.steps import limits_of, number_of_parts, stack_steps
from calc_engine import Element, element

__all__ = ["FormPlace", "Place", "wall_addresses", "wall_pages"]

_INVENTED: Final = "invented unit"
# A unit with more packs than these has a menu of its own only.
_MOST_BESIDE_UNIT: Final = 4
# The folder of a unit's applied chart. No id of a pack has this sign in it.
_CHART: Final = "gear_set"
_CHART_NAME: Final = "Applied chart"


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
        draw: makes the drawing of a pack, or of a drum with all its packs.
        code_for: makes the code that opens a path of the site on a phone; None where the site's address is not known.
        forms: where the form of a pack is, by the ids of unit and pack.
        photos: the pictures of a step, by the ids of unit, pack and part.
    """

    edition: str
    draw: Callable[[Unit, Pack | Drum], Element]
    code_for: Callable[[str], str | None]
    forms: Mapping[tuple[str, str], FormPlace] = field(default_factory=dict)
    photos: Mapping[tuple[str, str, str], Sequence[Photo]] = field(default_factory=dict)


def wall_pages(library: Library, place: Place) -> dict[str, str]:
    """Every page of the wall view.

    Args:
        library: the shop and its units.
        place: the site they stand in.

    Returns:
        HTML by path below the site: ``wall/index.html``, ``wall/<unit>/index.html``, ``wall/<unit>/<pack>/index.html``,
        ``wall/<unit>/drum_<drum>/index.html`` for a drum whose data gives the order of its packs, and
        ``wall/<unit>/gear_set/index.html`` for the applied chart of a unit with a gear set.
    """
    units = _units(library)
    pages = {_address(): _menu(library, place, library.shop.name, _unit_cards(units), None, 0)}
    for unit in units:
        stacks = _stacks(unit)
        cards = [_card(number, stack.folder, stack.name, stack.about) for number, stack in enumerate(stacks, 1)]
        if unit.gear_set is not None:
            cards.append(_card(len(cards) + 1, _CHART, _CHART_NAME, chart_about(unit.gear_set)))
            pages[_address(unit.id, _CHART)] = _chart(library, place, unit, unit.gear_set)
        pages[_address(unit.id)] = _menu(library, place, unit.name, cards, f"../index.html#{unit.id}", 1, unit)
        for stack in stacks:
            pages[_address(unit.id, stack.folder)] = _stack(library, place, unit, stack)
    return pages


def wall_addresses(library: Library) -> tuple[str, ...]:
    """The paths that `wall_pages` gives, without the pages."""
    units = [_address(unit.id) for unit in _units(library)]
    stacks = [_address(unit.id, stack.folder) for unit in _units(library) for stack in _stacks(unit)]
    charts = [_address(unit.id, _CHART) for unit in _units(library) if unit.gear_set is not None]
    return (_address(), *units, *stacks, *charts)


def _address(*ids: str) -> str:
    return "/".join(("wall", *ids, "index.html"))


def _units(library: Library) -> list[Unit]:
    return [unit for unit in library.units.values() if _packs(unit) or unit.gear_set is not None]


def _packs(unit: Unit) -> list[Pack]:
    return [pack for pack in unit.packs.values() if pack.physical_stack]


@dataclass(frozen=True, slots=True)
class _Stack:
    """What is built on one page: a pack, or a drum with all its packs.

    Attributes:
        thing: the pack or the drum.
        folder: its folder below that of its unit.
        name: what it is called.
        about: the same in a few figures.
        steps: in the order they are taken.
    """

    thing: Pack | Drum
    folder: str
    name: str
    about: str
    steps: tuple[Step, ...]


def _stacks(unit: Unit) -> list[_Stack]:
    """The packs of a unit, and behind them the drums whose data gives the order of their packs."""
    drums = [drum for drum in unit.drums.values() if drum.order]
    return [*(_pack_stack(pack) for pack in _packs(unit)), *(_drum_stack(unit, drum) for drum in drums)]


def _pack_stack(pack: Pack) -> _Stack:
    steps = pack_steps(pack)
    parts = number_of_parts(steps)
    about = parts if pack.clearance is None else f"{parts}, {limits_of(pack.clearance)}"
    return _Stack(pack, pack.id, pack.name, about, steps)


def _drum_stack(unit: Unit, drum: Drum) -> _Stack:
    steps = drum_steps(unit, drum)
    packs = len({step.pack.id for step in steps})
    about = f"{number_of_parts(steps)}, {'1 pack' if packs == 1 else f'{packs} packs'}"
    return _Stack(drum, drum_folder(drum), f"Whole {drum.name}", about, steps)


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
            element("div", {"class": "wall-packs"}, *_pack_links(unit), *_chart_links(unit)),
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


def _chart_links(unit: Unit) -> list[Element]:
    if unit.gear_set is None:
        return []
    address = {"id": f"{unit.id}/{_CHART}", "href": f"{unit.id}/{_CHART}/index.html"}
    return [element("a", {"class": "wall-pack", **address}, _CHART_NAME)]


def _card(number: int, folder: str, name: str, about: str) -> Element:
    told = element("span", {"class": "wall-about", "dir": "auto"}, about)
    return element("li", {}, _numbered_link("wall-card", folder, number, name, told))


def _numbered_link(kind: str, folder: str, number: int, name: str, *more: Element) -> Element:
    """A link that its number key opens too."""
    return element(
        "a",
        {"class": kind, "id": folder, "href": f"{folder}/index.html", "data-number": str(number)},
        element("span", {"class": "wall-number"}, str(number)),
        element("span", {"class": "wall-name", "dir": "auto"}, name),
        *more,
    )


def _menu(
    library: Library,
    place: Place,
    title: str,
    cards: Sequence[Element],
    up: str | None,
    depth: int,
    unit: Unit | None = None,
) -> str:
    kind = "wall-menu" if up else "wall-menu wall-start"
    body = [
        element("h1", {"class": "wall-title"}, title),
        element("ol", {"class": kind, "data-bench": "wall-menu"}, *cards),
    ]
    return _page(library, place, title, body, up, depth, "menu", unit)


def _stack(library: Library, place: Place, unit: Unit, stack: _Stack) -> str:
    def form_of(pack: Pack) -> Element | None:
        return _form(unit, pack, place)

    def pictures_of(step: PartStep) -> list[Element]:
        shown = () if step.already_in else place.photos.get((unit.id, step.pack.id, step.entry.part.id), ())
        return [chunk for photo in shown for chunk in wall_photo(photo, "../../../")]

    body = [
        element("p", {"class": "wall-path", "dir": "auto"}, f"{stack.name} / {unit.name}"),
        element("div", {"class": "wall-drawing"}, place.draw(unit, stack.thing)),
        element(
            "ol",
            {"class": "wall-steps", "data-bench": "stack", "aria-label": f"{unit.name}, {stack.name}: stack order"},
            *stack_steps(library.shop, unit, stack.steps, form_of, pictures_of),
        ),
        _last(unit, stack, place),
    ]
    return _page(library, place, f"{unit.name}: {stack.name}", body, f"../index.html#{stack.folder}", 2, "stack", unit)


def _chart(library: Library, place: Place, unit: Unit, gear_set: GearSet) -> str:
    """The applied chart: it has the keys of a stack, and no drawing."""
    steps = chart_steps(gear_set, figures_of(gear_set), library.shop.screens.values())
    body = [
        element("p", {"class": "wall-path", "dir": "auto"}, f"{_CHART_NAME} / {unit.name}"),
        element(
            "ol",
            {"class": "wall-steps", "data-bench": "applied", "aria-label": f"{unit.name}: what is on in each gear"},
            *steps,
        ),
    ]
    return _page(library, place, f"{unit.name}: {_CHART_NAME}", body, f"../index.html#{_CHART}", 2, "stack wall-applied", unit)


def _form(unit: Unit, pack: Pack, place: Place) -> Element | None:
    """Where the readings are typed in: the page's name, and its code where the site has an address."""
    form = place.forms.get((unit.id, pack.id))
    if form is None:
        return None
    code = place.code_for(form.address)
    image = element("img", {"class": "wall-code", "src": code, "alt": "Code that opens the form on a phone"}) if code else None
    return element("div", {"class": "wall-chunk wall-form"}, image, element("span", {"dir": "auto"}, f"Form: {form.title}"))


def _last(unit: Unit, stack: _Stack, place: Place) -> Element:
    """The screen behind the last part: how many went in, and what is due then."""
    code = place.code_for(f"wall/{unit.id}/{stack.folder}/")
    said: list[Element] = []
    measured = sum(isinstance(step, MeasureStep) for step in stack.steps)
    if measured:
        word = element("strong", {}, "HOLD")
        asked = "Clearance within its limits" if measured == 1 else f"All {measured} clearances within their limits"
        said = [
            element("p", {"class": "wall-chunk wall-hold"}, word, f" {asked}, readings on the build sheet?"),
            element("p", {"class": "wall-chunk"}, "Air check before the unit is closed."),
        ]
    if code:
        image = element("img", {"class": "wall-code", "src": code, "alt": "Code that opens this page on a phone"})
        said.append(element("p", {"class": "wall-chunk wall-phone"}, image, element("span", {}, "This stack on a phone")))
    parts = number_of_parts(stack.steps)
    return element(
        "section",
        {"class": "wall-step wall-end", "data-bench": "wall-end", "tabindex": "-1"},
        element("p", {"class": "wall-count"}, "Done"),
        element("h2", {"class": "wall-part"}, "The part is in" if parts == "1 part" else f"All {parts} in"),
        element("div", {"class": "wall-chunks"}, *said),
    )


def _standing(unit: Unit | None) -> Element | None:
    """What must be known of the data before anybody builds by them; nothing where they are approved."""
    if unit is None or unit.status.state is State.APPROVED:
        return None
    if unit.status.state is State.DRAFT:
        return element("span", {"class": "wall-standing"}, "Draft")
    return element(
        "strong", {"class": "wall-standing wall-withdrawn"}, f"Withdrawn: do not build by this. {unit.status.withdrawn_because}"
    )


def _page(
    library: Library,
    place: Place,
    title: str,
    body: Sequence[Element],
    up: str | None,
    depth: int,
    kind: str,
    unit: Unit | None,
) -> str:
    root = "../" * (depth + 1)
    screens = " ".join(library.shop.screens)
    foot = element(
        "footer",
        {"class": "wall-foot"},
        element("a", {"class": "wall-up", "href": up}, "All packs") if up else None,
        element("button", {"type": "button", "data-bench": "wall-back", "hidden": ""}, "◀ Previous"),
        element("button", {"type": "button", "data-bench": "wall-next", "hidden": ""}, "Next ▶"),
        _standing(unit),
        element("span", {"class": "wall-invented"}, _INVENTED) if library.shop.invented else None,
        # On the menus only: the stack needs the room.
        element("span", {"class": "wall-awake", "data-bench": "wall-awake"}) if kind == "menu" else None,
        element("span", {"class": "wall-edition"}, f"Manual of {place.edition}") if kind == "menu" else None,
        element("button", {"type": "button", "class": "wall-job", "data-bench": "wall-job", "hidden": ""}),
        element("span", {"class": "wall-clock", "data-bench": "wall-clock"}),
    )
    head = "".join(
        (
            '<meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">',
            html_of(element("title", {}, f"{title} · wall view")),
            # Without one the browser asks the server for an icon at each page.
            '<link rel="icon" href="data:,">',
            f'<link rel="stylesheet" href="{root}assets/benchleaf/wall.css">',
            f"<style>{_sizes(library)}</style>",
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
