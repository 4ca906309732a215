"""Where the shop screen finds the form for a pack's readings."""

from pathlib import Path

from build_hooks.library import load
from build_hooks.search import IndexedPage
from build_hooks.site.files import form_places
from build_hooks.wall import FormPlace

DEMO = Path(__file__).parents[3] / "docs"


def _page(title: str, unit: str | None, *forms: tuple[str, str]) -> IndexedPage:
    html = "".join(
        f'<bench-calc data-bench="calc" data-calculator="{name}" data-state="static" id="{key}">' for name, key in forms
    )
    return IndexedPage(f"{title}.md", title, html, unit)


def test_the_form_of_a_pack_is_found_on_a_page_of_its_unit_first() -> None:
    """A page of the unit wins, whichever comes first; other calculations, and forms of no pack, count for nothing."""
    library, _ = load(DEMO)
    assert library is not None
    forward = ("pack-clearance", "calc-alder-4-forward")
    pages = {
        "a/": _page(
            "Own", "alder-4", forward, ("choose-parts", "calc-alder-4-direct"), ("pack-clearance", "calc-pack-clearance")
        ),
        "b/": _page("Elsewhere", None, forward, ("pack-clearance", "calc-alder-4-low-reverse")),
    }
    assert form_places(library, pages) == {
        ("alder-4", "forward"): FormPlace("Own", "a/#calc-alder-4-forward"),
        ("alder-4", "low-reverse"): FormPlace("Elsewhere", "b/#calc-alder-4-low-reverse"),
    }
    drum = {"c/": _page("Drum", "alder-4", ("set-clearances", "calc-alder-4-front-drum"))}
    assert form_places(library, drum) == {
        ("alder-4", pack): FormPlace("Drum", "c/#calc-alder-4-front-drum") for pack in ("forward", "direct")
    }
